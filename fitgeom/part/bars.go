package part

import (
	"strconv"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/field"
	"example.com/fitgeom/internal/num"
)

// A Handlebar is described in its own axes: origin at the clamp's centre, in its nominal
// position, as its manufacturer draws it. It has exactly one of the shapes Drop, Flat and
// Base, the same left and right.
type Handlebar struct {
	// Name is for people.
	Name string `json:"name"`
	// ClampDiameter is the diameter where a stem holds it. Zero for a one-piece
	// (integrated) bar and stem.
	ClampDiameter float64 `json:"clamp_diameter_mm,omitzero" length:"20 to 45" zero:"in one piece with its stem"`
	// ClampInterface names what holds it in place of a diameter: see [Stem].
	ClampInterface string `json:"clamp_interface,omitzero" zero:"round, by its diameter"`
	// AeroDiameter is the diameter beside the clamp, where an aero bar can be clamped on.
	// Zero: nowhere, as on a bar that its manufacturer has not rated for that.
	AeroDiameter float64 `json:"aero_diameter_mm,omitzero" length:"20 to 45" zero:"nowhere"`
	// RotationRange is how far the handlebar may be rotated in the stem, either way from
	// its nominal position. Zero for a one-piece bar and stem.
	RotationRange float64 `json:"rotation_range_deg,omitzero" range:"0 to 30"`
	// Stem is for a one-piece (integrated) bar and stem: Length, Angle, Height and
	// SteererDiameter of the stem. The zero Stem: the handlebar is held by a stem.
	Stem Stem `json:"stem,omitzero" zero:"held by a stem" validate:"own"`
	// DrawnAt is the head angle at which a one-piece bar and stem is in its nominal
	// position; on another steerer it is rotated by the difference. Zero for other
	// handlebars.
	DrawnAt float64 `json:"drawn_at_deg,omitzero" range:"50 to 90" zero:"not in one piece with its stem"`

	Drop DropBar `json:"drop,omitzero" zero:"another shape" validate:"own"` // a drop bar, which takes levers with hoods
	Flat FlatBar `json:"flat,omitzero" zero:"another shape" validate:"own"` // a flat or riser bar
	Base BaseBar `json:"base,omitzero" zero:"another shape" validate:"own"` // a base bar, which reaches forward under an aero bar
}

var handlebarFields = field.New[Handlebar]()

// Validate reports numbers that are out of range, and a handlebar without exactly one
// shape.
func (b Handlebar) Validate() error { return b.validate() }

func (b *Handlebar) validate() error {
	var c fault.List
	if b.onePiece() { // which has none of these: their own checks are below
		numbers := *b
		numbers.RotationRange, numbers.ClampDiameter = 0, 0
		handlebarFields.Check(&c, &numbers)
	} else {
		handlebarFields.Check(&c, b)
	}
	if b.onePiece() {
		stem := b.Stem
		if stem.BarDiameter == 0 {
			stem.BarDiameter = 31.8 // it is ignored
		}
		c.In("stem", stem.Validate())
		if stem.Angles != (Steps{}) || stem.Quill != (Steps{}) {
			c.Add("stem.angles_deg", "set", "no settings in one piece with the bar", contact.ErrConflict)
		}
		c.Range("rotation_range_deg", b.RotationRange, 0, 0, "degrees for a one-piece bar and stem")
		c.Range("clamp_diameter_mm", b.ClampDiameter, 0, 0, "mm for a one-piece bar and stem")
	} else {
		if b.Stem != (Stem{}) {
			c.Range("drawn_at_deg", b.DrawnAt, 50, 90, "degrees for a one-piece bar and stem")
		}
		if b.ClampDiameter == 0 {
			c.Range("clamp_diameter_mm", 0, 20, 45, "mm")
		}
	}
	b.checkShape(&c)
	return c.Err()
}

// checkShape reports a handlebar without exactly one shape, and faults of its shape.
func (b *Handlebar) checkShape(c *fault.List) {
	shapes := 0
	if b.Drop != (DropBar{}) {
		shapes++
		c.In("drop", b.Drop.validate())
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
		c.Add("drop", strconv.Itoa(shapes)+" shapes", "exactly one of drop, flat and base", contact.ErrConflict)
	}
}

// OnePiece reports whether bar and stem are one piece (integrated): then, and only then,
// DrawnAt is stated.
func (b Handlebar) OnePiece() bool { return b.onePiece() }

func (b *Handlebar) onePiece() bool { return b.DrawnAt != 0 }

// A DropBar is the shape of a drop bar without its levers. Its zero value is no drop bar.
// Its sites are hoods, and tops and drops where they are stated. All widths are from
// centre to centre of the tube. If the manufacturer states a width from outside to
// outside, subtract the tube's diameter.
//
// Each bend lies in a plane of its own: an upright one, turned by Flare about the line that
// runs forward at the height of the clamp's centre where the bar is as wide as Width.
type DropBar struct {
	// Width is from centre to centre where the levers sit.
	Width float64 `json:"width_mm" length:"250 to 700"`
	// DropsWidth is from centre to centre at the hands' place in the drops. Zero: it
	// follows from Flare.
	DropsWidth float64 `json:"drops_width_mm,omitzero" range:"250 to 900" zero:"it follows from Flare"`
	// Flare is the angle by which the plane of each bend leans outwards below the levers and
	// inwards above them, the levers with it: the hands' place in the drops is wider by
	// twice Drop times the flare's tangent. If both Flare and DropsWidth are zero, the width
	// there is not stated and the drops sites are not offered. With DropsWidth alone the
	// bends widen without leaning.
	Flare float64 `json:"flare_deg,omitzero" range:"0 to 45"`
	// TopsWidth is from hand to hand on the tops. Zero: not stated, and the tops sites are
	// not offered.
	TopsWidth float64 `json:"tops_width_mm,omitzero" range:"50 to 600" zero:"not stated, and the tops sites are not offered"`
	// TopsCentre is from the start of one side's swept tops to the start of the other's, along
	// Y, and TopsRise from the clamp's centre up to there.
	TopsCentre float64 `json:"tops_centre_mm,omitzero" range:"0 to 500" atmost:"TopsWidth"`
	TopsRise   float64 `json:"tops_rise_mm,omitzero" range:"-60 to 80"`
	// TopsBacksweep is the slope of swept tops backwards seen from above, and TopsUpsweep
	// their slope upwards from the horizontal plane.
	TopsBacksweep float64 `json:"tops_backsweep_deg,omitzero" range:"-30 to 45"`
	TopsUpsweep   float64 `json:"tops_upsweep_deg,omitzero" range:"-30 to 30"`
	// Reach is from the clamp's centre forward to the centre of the tube at the bend's
	// foremost point.
	Reach float64 `json:"reach_mm" range:"30 to 150"`
	// Drop is from the clamp's centre down to the centre of the tube at its lowest. The
	// hands' place in the drops is at that height.
	Drop float64 `json:"drop_mm" range:"50 to 250"`
	// Hook is how far the hands' place in the drops lies behind the bend's foremost point.
	Hook float64 `json:"hook_mm,omitzero" range:"0 to 150"`
	// BendRadius is the radius to the tube's centre of the bend where the levers sit, and
	// BendBelow how far its foremost point lies below the clamp's centre, in the bend's plane.
	BendRadius float64 `json:"bend_radius_mm,omitzero" range:"30 to 150" zero:"not stated: levers stay at the foremost point"`
	BendBelow  float64 `json:"bend_below_mm,omitzero" range:"-20 to 120"`
	// LeverUp is how far the levers may be moved up along the bend from its foremost point, in
	// steps; down is negative. It needs BendRadius.
	LeverUp Steps `json:"lever_up_mm,omitzero" range:"-40 to 40" steps:"all"`
	// LeverIn is how far the levers may be turned inwards about the tube, in steps; outwards
	// is negative.
	LeverIn Steps `json:"lever_in_deg,omitzero" range:"-30 to 30" steps:"all"`
	// Tube is the diameter of the tube from the levers down, without tape.
	Tube float64 `json:"tube_mm,omitzero" range:"15 to 60" zero:"not stated"`
}

var dropBarFields = field.New[DropBar]()

// Validate reports numbers that are out of range, a bar that states both Flare and
// DropsWidth, and levers that may be moved along a bend whose radius is not stated.
func (b DropBar) Validate() error { return b.validate() }

func (b *DropBar) validate() error {
	var c fault.List
	dropBarFields.Check(&c, b)
	if b.Flare != 0 && b.DropsWidth != 0 {
		c.Add("flare_deg", num.Text(b.Flare, "degrees"), "either it or drops_width_mm", contact.ErrConflict)
	}
	if b.LeverUp != (Steps{}) && b.BendRadius == 0 {
		c.Add("bend_radius_mm", "", "to be stated, since the levers may be moved along the bend", contact.ErrMissing)
	}
	return c.Err()
}

// A FlatBar is the shape of a flat or riser bar: from the clamp out to where the
// grips' straight part begins, and from there out, back and up. Its zero value
// is no flat bar. Its sites are [contact.GripLeft] and [contact.GripRight].
type FlatBar struct {
	// Width is from end to end.
	Width float64 `json:"width_mm" length:"400 to 900"`
	// Centre is from the start of one side's straight part to the start of the other's,
	// along Y.
	Centre float64 `json:"centre_mm" range:"0 to 500" atmost:"Width"`
	// Rise is from the clamp's centre up to where the straight part begins.
	Rise float64 `json:"rise_mm,omitzero" range:"-100 to 150"`
	// Forward is from the clamp's centre forward to where the straight part begins.
	Forward float64 `json:"forward_mm,omitzero" range:"-150 to 150"`
	// Backsweep is the straight part's slope backwards seen from above.
	Backsweep float64 `json:"backsweep_deg" range:"-20 to 60"`
	// Upsweep is the straight part's slope upwards from the horizontal plane.
	Upsweep float64 `json:"upsweep_deg" range:"-20 to 30"`
	// Hand is from the bar's end in to half-way along the grip, along the tube.
	Hand float64 `json:"hand_mm" range:"20 to 150"`
}

var flatBarFields = field.New[FlatBar]()

// Validate reports numbers that are out of range.
func (b FlatBar) Validate() error { return flatBarFields.Validate(&b) }

// A BaseBar is the shape of a base bar, whose grips reach forward. Its zero
// value is no base bar. Its sites are [contact.GripLeft] and [contact.GripRight].
type BaseBar struct {
	// Width is from centre to centre of the grips, half-way along them.
	Width float64 `json:"width_mm" length:"250 to 700"`
	// Reach is from the clamp's centre forward to there.
	Reach float64 `json:"reach_mm" range:"0 to 250"`
	// Rise is from the clamp's centre up to there; negative for grips that lie lower.
	Rise float64 `json:"rise_mm,omitzero" range:"-150 to 150"`
	// Slope is how steeply the grips rise forward.
	Slope float64 `json:"slope_deg,omitzero" range:"-45 to 60"`
	// Tube is the breadth of a grip's tube there, laterally, without tape.
	Tube float64 `json:"tube_mm,omitzero" range:"10 to 60" zero:"not stated"`
}

var baseBarFields = field.New[BaseBar]()

// Validate reports numbers that are out of range.
func (b BaseBar) Validate() error { return baseBarFields.Validate(&b) }

// A Lever is a brake lever with a hood, as mounted on a drop bar without flare in its nominal
// position. On a bar with flare it leans as the bend does, and its lengths count in the
// plane of the bend.
type Lever struct {
	// Name is for people.
	Name string `json:"name"`
	// Reach is from the bend's foremost point forward to where the web of the thumb rests
	// on the hood.
	Reach float64 `json:"reach_mm" range:"1 to 120"`
	// Rise is from the height of the handlebar's clamp up to that place.
	Rise float64 `json:"rise_mm" range:"-60 to 100"`
	// Offset is how far that place lies outside the plane of the bend.
	Offset float64 `json:"offset_mm,omitzero" range:"-30 to 30"`
	// Slope is how steeply the hood rises forward there.
	Slope float64 `json:"slope_deg,omitzero" range:"-30 to 45"`
	// Breadth is the hood's breadth there, laterally.
	Breadth float64 `json:"breadth_mm,omitzero" range:"20 to 80" zero:"not stated"`
}

var leverFields = field.New[Lever]()

// Validate reports numbers that are out of range.
func (l Lever) Validate() error { return leverFields.Validate(&l) }

// A LeverMount is how both levers are mounted on a drop bar. The zero LeverMount is their
// nominal position: at the bend's foremost point, pointing straight ahead.
type LeverMount struct {
	// Up is how far they are moved up along the bend, mm.
	Up float64 `json:"up_mm,omitzero" range:"-40 to 40"`
	// In is how far they are turned inwards about the tube, degrees.
	In float64 `json:"in_deg,omitzero" range:"-30 to 30"`
}
