package part

import (
	"math"
	"strconv"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
)

// A HeadsetCap is the headset's upper cap, which stands on the head tube and
// carries spacers and stem.
type HeadsetCap struct {
	// Name is for people.
	Name string `json:"name"`
	// Height is from the head tube's top to the cap's top, 0 to 60 mm.
	Height float64 `json:"height_mm"`
	// SteererDiameter is the diameter of the steerer that it fits, 20 to 45 mm.
	SteererDiameter float64 `json:"steerer_diameter_mm"`
}

// Validate reports numbers that are out of the ranges stated at the fields.
func (h HeadsetCap) Validate() error {
	var c fault.List
	c.Range("height", h.Height, 0, 60, "mm")
	c.Diameter("steerer_diameter", h.SteererDiameter)
	return c.Err()
}

// A Spacer is a kind of ring that goes round the steerer, under or above the
// stem, and how many there are; or a kind of shim that goes under a cleat, and
// how many there are for each foot.
type Spacer struct {
	// Height is in mm, 1 to 60, a whole number of tenths.
	Height float64 `json:"height_mm"`
	// Count is how many of them the shelf has, 1 to 20.
	Count int `json:"count"`
}

// Validate reports numbers that are out of the ranges stated at the fields.
func (s Spacer) Validate() error {
	var c fault.List
	c.Range("height", s.Height, 1, 60, "mm")
	if t := s.Height / 0.1; math.Abs(t-math.Round(t)) > 1e-6 {
		c.Add("height", num.Text(s.Height, "mm"), "a whole number of tenths of a millimetre", contact.ErrRange)
	}
	c.Range("count", float64(s.Count), 1, 20, "pieces")
	return c.Err()
}

// A Stem clamps round the steerer and holds the bar.
type Stem struct {
	// Name is for people.
	Name string `json:"name"`
	// Length is from the steerer's axis to the bar's centre, along the stem, 20 to 180 mm.
	Length float64 `json:"length_mm"`
	// Angle is against a line square to the steerer, positive when the stem
	// climbs to the bar, -60 to 60 degrees.
	Angle float64 `json:"angle_deg"`
	// Height is the height of the steerer clamp, 20 to 80 mm. The stem's axis
	// leaves the steerer at half of it.
	Height float64 `json:"height_mm"`
	// SteererDiameter and BarDiameter are the diameters that it clamps, 20 to 45 mm.
	SteererDiameter float64 `json:"steerer_diameter_mm"`
	BarDiameter     float64 `json:"bar_diameter_mm"`
	// Flippable says that the stem may be mounted upside down, which turns the sign of Angle.
	Flippable bool `json:"flippable"`
}

// Validate reports numbers that are out of the ranges stated at the fields.
func (s Stem) Validate() error {
	var c fault.List
	c.Length("length", s.Length, 20, 180)
	c.Range("angle", s.Angle, -60, 60, "degrees")
	c.Range("height", s.Height, 20, 80, "mm")
	c.Diameter("steerer_diameter", s.SteererDiameter)
	c.Diameter("bar_diameter", s.BarDiameter)
	return c.Err()
}

// A Bar is a handlebar in its own axes: origin at the clamp's centre, and level
// as its maker draws it. It has exactly one of the shapes Drop, Flat and Base,
// the same left and right.
type Handlebar struct {
	// Name is for people.
	Name string `json:"name"`
	// ClampDiameter is the diameter where a stem holds it, 20 to 45 mm. Zero
	// for a bar in one piece with its stem.
	ClampDiameter float64 `json:"clamp_diameter_mm,omitzero"`
	// AeroDiameter is the diameter beside the clamp, where an aero bar can be
	// clamped on, 20 to 45 mm. Zero: nowhere.
	AeroDiameter float64 `json:"aero_diameter_mm,omitzero"`
	// RollRange is how far the bar may be turned in the stem, either way from
	// how its maker draws it, 0 to 30 degrees. Zero for a bar in one piece with
	// its stem.
	RotationRange float64 `json:"rotation_range_deg,omitzero"`
	// Stem is for a bar in one piece with its stem: Length, Angle, Height and
	// SteererDiameter of the stem. The zero Stem: the bar is held by a stem.
	Stem Stem `json:"stem,omitzero"`
	// DrawnAt is the head angle at which a bar in one piece with its stem is
	// level, 50 to 90 degrees; on another steerer it is turned by the
	// difference. Zero for other bars.
	DrawnAt float64 `json:"drawn_at_deg,omitzero"`

	Drop DropBar `json:"drop,omitzero"` // a drop bar, which takes levers with hoods
	Flat FlatBar `json:"flat,omitzero"` // a flat or riser bar
	Base BaseBar `json:"base,omitzero"` // a base bar, which reaches forward under an aero bar
}

// Validate reports numbers that are out of the ranges stated at the fields, and
// a bar that has not exactly one shape.
func (b Handlebar) Validate() error {
	var c fault.List
	if b.OnePiece() {
		c.In("stem", Stem{Length: b.Stem.Length, Angle: b.Stem.Angle, Height: b.Stem.Height, SteererDiameter: b.Stem.SteererDiameter, BarDiameter: 31.8}.Validate())
		c.Optional("stem.bar_diameter", b.Stem.BarDiameter, 20, 45, "mm") // it counts for nothing
		c.Range("drawn_at", b.DrawnAt, 50, 90, "degrees")
		c.Range("rotation_range", b.RotationRange, 0, 0, "degrees for a bar in one piece with its stem")
		c.Range("clamp_diameter", b.ClampDiameter, 0, 0, "mm for a bar in one piece with its stem")
	} else {
		if b.Stem != (Stem{}) {
			c.Range("drawn_at", b.DrawnAt, 50, 90, "degrees for a bar in one piece with its stem")
		}
		c.Range("rotation_range", b.RotationRange, 0, 30, "degrees")
		c.Diameter("clamp_diameter", b.ClampDiameter)
	}
	c.Optional("aero_diameter", b.AeroDiameter, 20, 45, "mm")
	shapes := 0
	if b.Drop != (DropBar{}) {
		shapes++
		c.In("drop", b.Drop.Validate())
	}
	if b.Flat != (FlatBar{}) {
		shapes++
		c.In("flat", b.Flat.Validate())
	}
	if b.Base != (BaseBar{}) {
		shapes++
		c.In("base", b.Base.Validate())
	}
	if shapes != 1 {
		c.Add("shape", strconv.Itoa(shapes), "exactly one of drop, flat and base", contact.ErrConflict)
	}
	return c.Err()
}

// OnePiece reports whether the bar is in one piece with its stem: then, and only
// then, DrawnAt is stated.
func (b Handlebar) OnePiece() bool { return b.DrawnAt != 0 }

// A DropBar is the shape of a drop bar without its levers. Its zero value is no
// drop bar. Its sites are hoods, and tops and drops where they are stated. All
// widths are from centre to centre of the tube; for one that a maker states from
// outside to outside, package convert has BarWidth.
type DropBar struct {
	// Width is from centre to centre where the levers sit, 250 to 700 mm.
	Width float64 `json:"width_mm"`
	// DropsWidth is from centre to centre at the hands' place in the drops, 250
	// to 900 mm. Zero: Flare tells.
	DropsWidth float64 `json:"drops_width_mm,omitzero"`
	// Flare is how far the drops lean outwards below the levers, 0 to 45
	// degrees: the hands' place in the drops is wider by twice Drop times the
	// flare's tangent. If both Flare and DropsWidth are zero, the width there
	// is not stated and the drops sites are not offered.
	Flare float64 `json:"flare_deg,omitzero"`
	// TopsWidth is from hand to hand on the tops, 50 to 600 mm. Zero: not
	// stated, and the tops sites are not offered.
	TopsWidth float64 `json:"tops_width_mm,omitzero"`
	// Reach is from the clamp's centre forward to the centre of the tube at the
	// bend's foremost point, 30 to 150 mm.
	Reach float64 `json:"reach_mm"`
	// Drop is from the clamp's centre down to the centre of the tube at its
	// lowest, 50 to 250 mm. The hands' place in the drops is at that height.
	Drop float64 `json:"drop_mm"`
	// Hook is how far the hands' place in the drops lies behind the bend's
	// foremost point, 0 to 150 mm.
	Hook float64 `json:"hook_mm,omitzero"`
}

// Validate reports numbers that are out of the ranges stated at the fields, and
// a flare beside a width of the drops.
func (b DropBar) Validate() error {
	var c fault.List
	c.Length("width", b.Width, 250, 700)
	c.Optional("drops_width", b.DropsWidth, 250, 900, "mm")
	c.Range("flare", b.Flare, 0, 45, "degrees")
	if b.Flare != 0 && b.DropsWidth != 0 {
		c.Add("flare", num.Text(b.Flare, "degrees"), "either it or drops_width", contact.ErrConflict)
	}
	c.Optional("tops_width", b.TopsWidth, 50, 600, "mm")
	c.Range("reach", b.Reach, 30, 150, "mm")
	c.Range("drop", b.Drop, 50, 250, "mm")
	c.Range("hook", b.Hook, 0, 150, "mm")
	return c.Err()
}

// A FlatBar is the shape of a flat or riser bar: from the clamp out to where the
// grips' straight part begins, and from there out, back and up. Its zero value
// is no flat bar. Its sites are [contact.GripLeft] and [contact.GripRight].
type FlatBar struct {
	// Width is from end to end, 400 to 900 mm.
	Width float64 `json:"width_mm"`
	// Centre is from where the straight part of one side begins to where that
	// of the other does, along Y, 0 to 500 mm and less than Width.
	Centre float64 `json:"centre_mm"`
	// Rise is from the clamp's centre up to where the straight part begins, -100 to 150 mm.
	Rise float64 `json:"rise_mm,omitzero"`
	// Forward is from the clamp's centre forward to where the straight part begins, -150 to 150 mm.
	Forward float64 `json:"forward_mm,omitzero"`
	// Backsweep is the straight part's slope backwards seen from above, -20 to 60 degrees.
	Backsweep float64 `json:"backsweep_deg"`
	// Upsweep is its slope upwards against the level plane, -20 to 30 degrees.
	Upsweep float64 `json:"upsweep_deg"`
	// Hand is from the bar's end in to half-way along the grip, along the tube, 20 to 150 mm.
	Hand float64 `json:"hand_mm"`
}

// Validate reports numbers that are out of the ranges stated at the fields.
func (b FlatBar) Validate() error {
	var c fault.List
	c.Length("width", b.Width, 400, 900)
	c.Range("centre", b.Centre, 0, min(500, b.Width), "mm")
	c.Range("rise", b.Rise, -100, 150, "mm")
	c.Range("forward", b.Forward, -150, 150, "mm")
	c.Range("backsweep", b.Backsweep, -20, 60, "degrees")
	c.Range("upsweep", b.Upsweep, -20, 30, "degrees")
	c.Range("hand", b.Hand, 20, 150, "mm")
	return c.Err()
}

// A BaseBar is the shape of a base bar, whose grips reach forward. Its zero
// value is no base bar. Its sites are [contact.GripLeft] and [contact.GripRight].
type BaseBar struct {
	// Width is from centre to centre of the grips, half-way along them, 250 to 700 mm.
	Width float64 `json:"width_mm"`
	// Reach is from the clamp's centre forward to there, 0 to 250 mm.
	Reach float64 `json:"reach_mm"`
	// Rise is from the clamp's centre up to there, -150 to 150 mm; negative for
	// grips that lie lower.
	Rise float64 `json:"rise_mm,omitzero"`
}

// Validate reports numbers that are out of the ranges stated at the fields.
func (b BaseBar) Validate() error {
	var c fault.List
	c.Length("width", b.Width, 250, 700)
	c.Range("reach", b.Reach, 0, 250, "mm")
	c.Range("rise", b.Rise, -150, 150, "mm")
	return c.Err()
}

// Steps is what a part can be set to: From, From + Step, and so on up to To. With
// Step 0 it is anything from From to To. The zero Steps is 0 alone.
type Steps struct {
	// From and To are the least and the greatest value, in the unit of the field.
	From float64 `json:"from"`
	To   float64 `json:"to"`
	// Step is from one value to the next, 0.5 to 1000. Zero: there are no steps,
	// which fields that say "in steps" do not take unless From is To.
	Step float64 `json:"step,omitzero"`
}

// Count returns how many values there are: 0 where they cannot be counted,
// since there are no steps.
func (s Steps) Count() int {
	switch {
	case s.From == s.To:
		return 1
	case s.Step == 0:
		return 0
	}
	return int((s.To-s.From)/s.Step+1e-9) + 1
}

// At returns value number i of those that can be counted, from 0 to one less than
// Count, which is not checked.
func (s Steps) At(i int) float64 { return s.From + float64(s.Step*float64(i)) }

// Last returns the greatest value: To, or less where the steps do not end there.
func (s Steps) Last() float64 {
	if s.Step == 0 {
		return s.To
	}
	return s.At(s.Count() - 1)
}

// Nearest returns the value between lo and hi that is nearest to v, the lower of
// two that are equally near; false if there is none between, and then the number
// says nothing. A leeway of 1e-9 (steps, or the unit where there are none) keeps
// rounding from deciding.
func (s Steps) Nearest(v, lo, hi float64) (float64, bool) {
	const leeway = 1e-9
	if s.Step == 0 || s.From == s.To {
		lo, hi = max(lo, s.From), min(hi, s.To)
		return max(s.From, min(s.To, max(lo, min(hi, v)))), lo <= hi+leeway
	}
	first := max(0, math.Ceil((lo-s.From)/s.Step-leeway))
	last := min(float64(s.Count()-1), math.Floor((hi-s.From)/s.Step+leeway))
	i := max(first, min(last, math.Ceil((v-s.From)/s.Step-0.5-leeway)))
	return s.At(int(i)), first <= last
}

// Has reports whether v is one of the values, to 1e-6.
func (s Steps) Has(v float64) bool {
	at, _ := s.Nearest(v, math.Inf(-1), math.Inf(1))
	return math.Abs(at-v) < 1e-6
}

// An AeroBar is a pair of forearm pads with extensions, clamped on a bar beside
// its clamp. Its own axes have their origin at the centre of the bar's clamp
// and lie level when its tilt is 0; it is the same left and right.
type AeroBar struct {
	// Name is for people.
	Name string `json:"name"`
	// BarDiameter is the diameter of the bar that it clamps, 20 to 45 mm.
	BarDiameter float64 `json:"bar_diameter_mm"`
	// Tilt is what the whole can be turned to about the bar, positive when the
	// extensions point up, -30 to 45 degrees, in steps. It is against level, not
	// against the bar.
	Tilt Steps `json:"tilt_deg,omitzero"`
	// PadStack is from the bar's centre up to the middle of the pads' surface, 0
	// to 250 mm, in steps.
	PadRise Steps `json:"pad_rise_mm"`
	// PadReach is from the bar's centre forward to the middle of the pads'
	// surface, -250 to 250 mm; negative when the pads lie behind the bar.
	PadForward Steps `json:"pad_forward_mm"`
	// PadWidth is from the middle of one pad to that of the other, 60 to 400 mm.
	PadWidth Steps `json:"pad_width_mm"`
	// Extension is from above the bar's centre forward to the tip, along the
	// extension, 50 to 600 mm.
	Extension Steps `json:"extension_mm"`
	// ExtensionDrop is how far the extension's line lies below the pads'
	// surface, above the bar's centre, -50 to 150 mm. It moves with PadStack.
	ExtensionDrop float64 `json:"extension_drop_mm,omitzero"`
	// ExtensionAngle is the extension's slope against the aero bar's own axes,
	// positive when it climbs forward, -30 to 60 degrees.
	ExtensionAngle float64 `json:"extension_angle_deg,omitzero"`
	// ExtensionWidth is from centre to centre of the tips, 0 to 400 mm.
	ExtensionWidth float64 `json:"extension_width_mm"`
}

// Validate reports numbers that are out of the ranges stated at the fields,
// ranges that end before they begin, and steps of less than 0.5.
func (a AeroBar) Validate() error {
	var c fault.List
	c.Diameter("bar_diameter", a.BarDiameter)
	c.Steps("tilt", a.Tilt.From, a.Tilt.To, a.Tilt.Step, -30, 45, "degrees", true)
	c.Steps("pad_stack", a.PadRise.From, a.PadRise.To, a.PadRise.Step, 0, 250, "mm", true)
	c.Steps("pad_reach", a.PadForward.From, a.PadForward.To, a.PadForward.Step, -250, 250, "mm", false)
	c.Steps("pad_width", a.PadWidth.From, a.PadWidth.To, a.PadWidth.Step, 60, 400, "mm", false)
	c.Steps("extension", a.Extension.From, a.Extension.To, a.Extension.Step, 50, 600, "mm", false)
	c.Range("extension_drop", a.ExtensionDrop, -50, 150, "mm")
	c.Range("extension_angle", a.ExtensionAngle, -30, 60, "degrees")
	c.Range("extension_width", a.ExtensionWidth, 0, 400, "mm")
	return c.Err()
}

// A Lever is a brake lever with a hood, as mounted on a drop bar that is level.
type Lever struct {
	// Name is for people.
	Name string `json:"name"`
	// Reach is from the bend's foremost point forward to where the thumb's web
	// rests on the hood, 1 to 120 mm.
	Reach float64 `json:"reach_mm"`
	// Rise is from the level of the bar's clamp up to that place, -60 to 100 mm.
	Rise float64 `json:"rise_mm"`
}

// Validate reports numbers that are out of the ranges stated at the fields.
func (l Lever) Validate() error {
	var c fault.List
	c.Range("reach", l.Reach, 1, 120, "mm")
	c.Range("rise", l.Rise, -60, 100, "mm")
	return c.Err()
}

// A Post is a seat post.
type Seatpost struct {
	// Name is for people.
	Name string `json:"name"`
	// Diameter is in mm, 20 to 45.
	Diameter float64 `json:"diameter_mm"`
	// Length is from the post's lower end to the centre of the rail clamp,
	// along the post, 100 to 600 mm.
	Length float64 `json:"length_mm"`
	// Setback is how far the rail clamp's centre lies behind the post's axis,
	// square to it, -60 to 80 mm.
	Setback float64 `json:"setback_mm"`
	// MinInsertion is the length below the maker's mark: how much of the post
	// must be in the frame, 20 to 300 mm.
	MinInsertion float64 `json:"min_insertion_mm"`
	// MinExtension is how high, at least, the rail clamp's centre stands above
	// the seat tube's upper edge with the post fully in the frame, 0 to 400 mm.
	// That of a dropper post is at the top of its travel.
	MinExtension float64 `json:"min_extension_mm"`
	// MaxExtension is how high, at most, it may stand there, whatever the
	// insertion, 50 to 600 mm. Zero: the insertion alone counts.
	MaxExtension float64 `json:"max_extension_mm,omitzero"`
	// Travel is how far a dropper post can be lowered, 0 to 300 mm. Zero: it is none.
	Travel float64 `json:"travel_mm,omitzero"`
}

// Validate reports numbers that are out of the ranges stated at the fields.
func (p Seatpost) Validate() error {
	var c fault.List
	c.Diameter("diameter", p.Diameter)
	c.Length("length", p.Length, 100, 600)
	c.Range("setback", p.Setback, -60, 80, "mm")
	c.Range("min_insertion", p.MinInsertion, 20, 300, "mm")
	c.Range("min_extension", p.MinExtension, 0, 400, "mm")
	c.Optional("max_extension", p.MaxExtension, 50, 600, "mm")
	c.Range("travel", p.Travel, 0, 300, "mm")
	return c.Err()
}

// A Saddle is a saddle in its own axes: level when the line from its rear edge
// to its nose is level. Its rails are straight and along that line.
type Saddle struct {
	// Name is for people.
	Name string `json:"name"`
	// Length is from nose to rear edge, 180 to 340 mm.
	Length float64 `json:"length_mm"`
	// Station is from the nose back to where the saddle is 80 mm wide, 30 to
	// 250 mm: there is the saddle reference.
	Station float64 `json:"station_mm"`
	// Stack is from the centre of the clamped rails up to the saddle reference, 15 to 100 mm.
	Height float64 `json:"height_mm"`
	// Dip is how far the saddle reference lies below the line from rear edge to nose, -20 to 40 mm.
	Dip float64 `json:"dip_mm,omitzero"`
	// RailsFrom and RailsTo bound where the rail clamp's centre may hold the
	// rails, as distances behind the nose, 40 to 300 mm.
	RailsFrom float64 `json:"rails_from_mm"`
	RailsTo   float64 `json:"rails_to_mm"`
}

// Validate reports numbers that are out of the ranges stated at the fields, and
// rails that end before they begin.
func (s Saddle) Validate() error {
	var c fault.List
	c.Length("length", s.Length, 180, 340)
	c.Range("station", s.Station, 30, 250, "mm")
	c.Range("stack", s.Height, 15, 100, "mm")
	c.Range("dip", s.Dip, -20, 40, "mm")
	c.Range("rails_from", s.RailsFrom, 40, 300, "mm")
	c.Range("rails_to", s.RailsTo, s.RailsFrom, 300, "mm")
	return c.Err()
}

// A Crank is a pair of cranks with its axle.
type Crank struct {
	// Name is for people.
	Name string `json:"name"`
	// Length is from the bottom bracket's centre to the pedal's axis, 100 to 220 mm.
	Length float64 `json:"length_mm"`
	// QFactor is from the outer face of one crank at the pedal to that of the
	// other, across the bike, 100 to 250 mm.
	QFactor float64 `json:"q_factor_mm"`
}

// Validate reports numbers that are out of the ranges stated at the fields.
func (k Crank) Validate() error {
	var c fault.List
	c.Length("length", k.Length, 100, 220)
	c.Length("q_factor", k.QFactor, 100, 250)
	return c.Err()
}

// A Pedal is a pair of pedals with the shoes' cleats and soles: what lies between
// the spindle and the foot.
type Pedal struct {
	// Name is for people.
	Name string `json:"name"`
	// Stack is from the spindle's centre up to the foot's sole, with cleat and
	// shoe, -20 to 80 mm.
	FootHeight float64 `json:"foot_height_mm"`
	// Stance is from the crank's outer face out to the middle of the foot's width, 20 to 120 mm.
	FootOffset float64 `json:"foot_offset_mm"`
}

// Validate reports numbers that are out of the ranges stated at the fields.
func (p Pedal) Validate() error {
	var c fault.List
	c.Range("stack", p.FootHeight, -20, 80, "mm")
	c.Range("wheels", p.FootOffset, 20, 120, "mm")
	return c.Err()
}

// A Shim is a sleeve that makes a thin post fit a wide seat tube, or a thin bar a
// wide stem.
type Shim struct {
	// Name is for people.
	Name string `json:"name"`
	// Inner is the diameter of the post or bar in it, and Outer the one that it
	// makes of that, both 20 to 45 mm, Outer the greater.
	Inner float64 `json:"inner_diameter_mm"`
	Outer float64 `json:"outer_diameter_mm"`
}

// Validate reports numbers that are out of the ranges stated at the fields.
func (s Shim) Validate() error {
	var c fault.List
	c.Diameter("inner", s.Inner)
	c.Range("outer", s.Outer, s.Inner, 45, "mm")
	return c.Err()
}
