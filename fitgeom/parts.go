package fitgeom

import (
	"example.com/fitgeom/convert"
	"example.com/fitgeom/internal/check"
)

// A Frame is a frame with its fork: geometry and limits.
type Frame struct {
	// Name is for people, such as "road 54".
	Name string `json:"name"`
	// Geometry is the side view.
	Geometry convert.Geometry `json:"geometry"`
	// SteererDiameter is the outer diameter of the steerer at the stem's clamp, 20 to 45 mm (28.6 for 1⅛ in).
	SteererDiameter float64 `json:"steerer_diameter_mm"`
	// MaxStack is the most, in mm, that headset cap and spacers together may
	// lift the stem's lower edge above the head tube: the fork maker's limit, or
	// what the steerer's length allows, whichever is less. 0 to 150 mm.
	MaxStack float64 `json:"max_stack_mm"`
	// SeatTubeTop is how far up the seat tube's axis its upper edge lies, from
	// the point of the axis nearest to the bottom bracket, 200 to 750 mm.
	SeatTubeTop float64 `json:"seat_tube_top_mm"`
	// PostDiameter is the diameter of post that the frame takes, 20 to 45 mm.
	PostDiameter float64 `json:"post_diameter_mm"`
	// PostInsertion is how deep a post the frame's maker demands, below
	// SeatTubeTop, 0 to 300 mm. Zero: no more than the post's own mark.
	PostInsertion float64 `json:"post_insertion_mm"`
	// PostDepth is how deep the seat tube lets a post go, 50 to 700 mm.
	// Zero: nothing stops it.
	PostDepth float64 `json:"post_depth_mm,omitzero"`
}

// Validate reports numbers that are out of the ranges stated at the fields.
func (f Frame) Validate() error {
	var c check.Faults
	c.In("geometry", f.Geometry.Validate())
	diameter(&c, "steerer_diameter", f.SteererDiameter)
	c.Range("max_stack", f.MaxStack, 0, 150, "mm")
	c.Length("seat_tube_top", f.SeatTubeTop, 200, 750)
	diameter(&c, "post_diameter", f.PostDiameter)
	c.Range("post_insertion", f.PostInsertion, 0, 300, "mm")
	c.Optional("post_depth", f.PostDepth, 50, 700, "mm")
	return c.Err()
}

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
	var c check.Faults
	c.Range("height", h.Height, 0, 60, "mm")
	diameter(&c, "steerer_diameter", h.SteererDiameter)
	return c.Err()
}

// A Spacer is a kind of ring that goes under the stem, and how many there are.
type Spacer struct {
	// Height is in mm, 1 to 60, and counts to a hundredth.
	Height float64 `json:"height_mm"`
	// Count is how many of them the shelf has, 1 to 20.
	Count int `json:"count"`
}

// Validate reports numbers that are out of the ranges stated at the fields.
func (s Spacer) Validate() error {
	var c check.Faults
	c.Range("height", s.Height, 1, 60, "mm")
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
	var c check.Faults
	c.Length("length", s.Length, 20, 180)
	c.Range("angle", s.Angle, -60, 60, "degrees")
	c.Range("height", s.Height, 20, 80, "mm")
	diameter(&c, "steerer_diameter", s.SteererDiameter)
	diameter(&c, "bar_diameter", s.BarDiameter)
	return c.Err()
}

// A DropBar is a drop bar without its levers, in its own axes: origin at the
// clamp's centre, and level as its maker draws it.
type DropBar struct {
	// Name is for people.
	Name string `json:"name"`
	// ClampDiameter is the diameter where the stem holds it, 20 to 45 mm.
	ClampDiameter float64 `json:"clamp_diameter_mm"`
	// Width is from centre to centre where the levers sit, 250 to 700 mm.
	Width float64 `json:"width_mm"`
	// DropsWidth is from centre to centre at the hands' place in the drops, 250
	// to 900 mm. Zero: not stated, and the drops sites are not offered.
	DropsWidth float64 `json:"drops_width_mm,omitzero"`
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
	// RollRange is how far the bar may be turned in the stem, either way from
	// how its maker draws it, 0 to 30 degrees.
	RollRange float64 `json:"roll_range_deg"`
}

// Validate reports numbers that are out of the ranges stated at the fields.
func (b DropBar) Validate() error {
	var c check.Faults
	diameter(&c, "clamp_diameter", b.ClampDiameter)
	c.Length("width", b.Width, 250, 700)
	c.Optional("drops_width", b.DropsWidth, 250, 900, "mm")
	c.Optional("tops_width", b.TopsWidth, 50, 600, "mm")
	c.Range("reach", b.Reach, 30, 150, "mm")
	c.Range("drop", b.Drop, 50, 250, "mm")
	c.Range("hook", b.Hook, 0, 150, "mm")
	c.Range("roll_range", b.RollRange, 0, 30, "degrees")
	return c.Err()
}

// A Lever is a brake lever with a hood, as mounted on a drop bar that is level.
type Lever struct {
	// Name is for people.
	Name string `json:"name"`
	// Reach is from the bend's foremost point forward to where the thumb's web
	// rests on the hood, 0 to 120 mm.
	Reach float64 `json:"reach_mm"`
	// Rise is from the level of the bar's clamp up to that place, -60 to 100 mm.
	Rise float64 `json:"rise_mm"`
}

// Validate reports numbers that are out of the ranges stated at the fields.
func (l Lever) Validate() error {
	var c check.Faults
	c.Range("reach", l.Reach, 0, 120, "mm")
	c.Range("rise", l.Rise, -60, 100, "mm")
	return c.Err()
}

// A Post is a seat post.
type Post struct {
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
	// the seat tube's upper edge with the post fully down, 0 to 300 mm.
	MinExtension float64 `json:"min_extension_mm"`
}

// Validate reports numbers that are out of the ranges stated at the fields.
func (p Post) Validate() error {
	var c check.Faults
	diameter(&c, "diameter", p.Diameter)
	c.Length("length", p.Length, 100, 600)
	c.Range("setback", p.Setback, -60, 80, "mm")
	c.Range("min_insertion", p.MinInsertion, 20, 300, "mm")
	c.Range("min_extension", p.MinExtension, 0, 300, "mm")
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
	Stack float64 `json:"stack_mm"`
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
	var c check.Faults
	c.Length("length", s.Length, 180, 340)
	c.Range("station", s.Station, 30, 250, "mm")
	c.Range("stack", s.Stack, 15, 100, "mm")
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
	var c check.Faults
	c.Length("length", k.Length, 100, 220)
	c.Length("q_factor", k.QFactor, 100, 250)
	return c.Err()
}

func diameter(c *check.Faults, path string, v float64) { c.Range(path, v, 20, 45, "mm") }
