package fitgeom

import (
	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/field"
	"example.com/fitgeom/internal/num"
)

// A Frame is a frame with its fork: geometry and limits.
type Frame struct {
	// Name is for people, such as "road 54".
	Name string `json:"name"`
	// Geometry is the side view.
	Geometry chart.Geometry `json:"geometry" validate:"own"`
	// SteererDiameter is the outer diameter of the steerer at the stem's clamp (28.6 for
	// 1⅛ in).
	SteererDiameter float64 `json:"steerer_diameter_mm" length:"20 to 45"`
	// SteererInterface names the steerer's shape or thread in place of its diameter: see
	// [part.Stem].
	SteererInterface string `json:"steerer_interface,omitzero" zero:"round, by its diameter"`
	// MaxUnderStem is the most that headset cap and spacers together may lift the stem's
	// lower edge above the head tube: the fork manufacturer's limit, or what the uncut
	// steerer's length allows, whichever is less.
	MaxUnderStem float64 `json:"max_under_stem_mm" range:"0 to 150"`
	// SteererCut is how far a steerer that has been cut stands out above the head tube.
	// The stem's upper edge may then be at most 5 mm above the steerer's (ISO
	// 4210-2:2015, 4.7.4), and what is left above the stem is filled with spacers up to
	// at least 2 mm above the steerer (common practice, no source). Zero: it is cut to
	// suit.
	SteererCut float64 `json:"steerer_cut_mm,omitzero" range:"20 to 400" zero:"it is cut to suit"`
	// SeatTubeTop is how far up the seat tube's axis its upper edge lies, from the point
	// of the axis nearest to the bottom bracket.
	SeatTubeTop float64 `json:"seat_tube_top_mm" length:"200 to 750"`
	// SeatpostDiameter is the diameter of seatpost that the frame takes.
	SeatpostDiameter float64 `json:"seatpost_diameter_mm" length:"20 to 45"`
	// SeatpostInterface names what it takes in place of a diameter: see [part.Stem].
	SeatpostInterface string `json:"seatpost_interface,omitzero" zero:"round, by its diameter"`
	// SeatpostInsertion is the minimum insertion that the frame's manufacturer demands,
	// below SeatTubeTop. Zero: no more than the seatpost's own mark.
	SeatpostInsertion float64 `json:"seatpost_insertion_mm" range:"0 to 300" zero:"no more than the seatpost's own mark"`
	// SeatpostDepth is how deep below SeatTubeTop the seat tube lets a seatpost go. Zero:
	// nothing stops it.
	SeatpostDepth float64 `json:"seatpost_depth_mm,omitzero" range:"50 to 700" zero:"nothing stops it"`
	// MaxFrontRadius and MaxRearRadius are the largest radii of wheel with tyre that the
	// manufacturers of fork and frame allow. Zero: not stated.
	MaxFrontRadius float64 `json:"max_front_radius_mm,omitzero" range:"100 to 450" zero:"not stated"`
	MaxRearRadius  float64 `json:"max_rear_radius_mm,omitzero" range:"100 to 450" zero:"not stated"`
	// Assumed tells which numbers nobody stated. Builds on the frame come with a caution
	// then. Zero: all are stated.
	Assumed Assumed `json:"assumed,omitzero" zero:"all are stated"`
}

// Assumed is the numbers of a frame that were taken for want of a statement, as where a
// manufacturer's chart does not have them. What hangs on them is not checked by anything.
type Assumed struct {
	// SteererDiameter: other stems and caps may be the ones that fit.
	SteererDiameter bool `json:"steerer_diameter,omitzero"`
	// MaxUnderStem: fewer spacers may be allowed.
	MaxUnderStem bool `json:"max_under_stem,omitzero"`
	// SeatTubeTop: the seatpost may go less deep, or be too short.
	SeatTubeTop bool `json:"seat_tube_top,omitzero"`
	// SeatpostDiameter: other seatposts may be the ones that fit.
	SeatpostDiameter bool `json:"seatpost_diameter,omitzero"`
}

// Validate reports numbers that are out of range, and [contact.ErrConflict] for a reach of
// more than 1.2 times the stack, as where the two were exchanged.
func (f Frame) Validate() error { return f.validate() }

func (f *Frame) validate() error {
	var c fault.List
	c.In("geometry", f.Geometry.Validate())
	frameFields.Check(&c, f)
	if g := &f.Geometry; c.Len() == 0 && g.Reach > 1.2*g.Stack {
		c.Add("geometry.reach_mm", num.Text(g.Reach, "mm"), "hardly more than the stack, "+num.Text(g.Stack, "mm")+" (exchanged?)", contact.ErrConflict)
	}
	return c.Err()
}

var frameFields = field.New[Frame]()

// ValidateOn reports wheels on which the frame cannot stand, as [chart.Wheels.ValidateOn]
// does.
func (f Frame) ValidateOn(w chart.Wheels) error {
	err := w.ValidateOn(f.Geometry)
	if err == nil {
		return nil
	}
	var c fault.List
	fault.Each(err, func(e *fault.Fault) {
		under := *e
		if under.Path == "geometry.axles" {
			under.Path = "frame." + under.Path
		}
		c.Put(under)
	})
	return c.Err()
}

// SeatpostRange returns how far out a seatpost may be in the frame, in mm as
// Settings.SeatpostExtension: from fully in to as far out as its minimum insertion and
// the frame's allow. The range is empty (highest < lowest) if the seatpost does not suit
// the frame.
func (f Frame) SeatpostRange(p part.Seatpost) (lowest, highest float64) {
	lowest = p.MinExtension
	if f.SeatpostDepth != 0 {
		lowest = max(lowest, p.Length-f.SeatpostDepth)
	}
	highest = p.Length - max(p.MinInsertion, f.SeatpostInsertion)
	if p.MaxExtension != 0 {
		highest = min(highest, p.MaxExtension)
	}
	return lowest, highest
}

// What a cut steerer demands, in mm.
const (
	// SteererGap is how far the stem's upper edge may stand above a cut steerer, mm: ISO
	// 4210-2:2015, 4.7.4.
	SteererGap = 5
	// PreloadRoom is how far the topmost spacer (or the stem, if no spacer is above it)
	// must stand above a cut steerer, mm: common practice, no source.
	PreloadRoom = 2
)

// SpacerRoom returns the greatest height of spacers, in mm, that the frame takes
// between a headset cap and a stem. A quill stem takes none.
func (f Frame) SpacerRoom(c part.HeadsetCap, s part.Stem) float64 {
	most := f.MaxUnderStem
	if f.SteererCut != 0 {
		most = min(most, f.SteererCut+SteererGap-s.Height)
	}
	if s.Quill != (part.Steps{}) {
		most = min(most, c.Height)
	}
	return most - c.Height
}
