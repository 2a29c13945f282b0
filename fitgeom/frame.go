package fitgeom

import (
	"example.com/fitgeom/convert"
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
	// what the uncut steerer's length allows, whichever is less. 0 to 150 mm.
	MaxStack float64 `json:"max_stack_mm"`
	// SteererCut is how far a steerer that has been cut stands out of the head
	// tube, 20 to 400 mm. The stem's upper edge may then be at most 5 mm above
	// the steerer's (ISO 4210-2:2015, 4.7.4), and what is left above the stem is
	// filled with spacers up to at least 2 mm above the steerer (common
	// practice, no source). Zero: it is cut to suit.
	SteererCut float64 `json:"steerer_cut_mm,omitzero"`
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
	// MaxFrontRadius and MaxRearRadius are the largest radii of wheel with tyre
	// that the makers of fork and frame allow, 100 to 450 mm. Zero: not stated.
	MaxFrontRadius float64 `json:"max_front_radius_mm,omitzero"`
	MaxRearRadius  float64 `json:"max_rear_radius_mm,omitzero"`
}

// Validate reports numbers that are out of the ranges stated at the fields.
func (f Frame) Validate() error { return f.validate() }

func (f *Frame) validate() error {
	var c faults
	c.In("geometry", f.Geometry.Validate())
	c.Diameter("steerer_diameter", f.SteererDiameter)
	c.Range("max_stack", f.MaxStack, 0, 150, "mm")
	c.Length("seat_tube_top", f.SeatTubeTop, 200, 750)
	c.Diameter("post_diameter", f.PostDiameter)
	c.Range("post_insertion", f.PostInsertion, 0, 300, "mm")
	c.Optional("post_depth", f.PostDepth, 50, 700, "mm")
	c.Optional("steerer_cut", f.SteererCut, 20, 400, "mm")
	c.Optional("max_front_radius", f.MaxFrontRadius, 100, 450, "mm")
	c.Optional("max_rear_radius", f.MaxRearRadius, 100, 450, "mm")
	return c.Err()
}
