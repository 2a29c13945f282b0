package chart

import "example.com/fitgeom/contact"

// Findings returns what hardly any frame has, though [Geometry.Validate] takes it; nothing
// of one that it refuses. The bounds are common practice, no source: a stack of
// 1.05 to 2.2 times the reach, which two that were exchanged do not have; a head angle at
// most 5 degrees steeper than the seat angle; where the axles are stated, a bottom bracket
// 200 to 380 mm above the ground and a trail of 0 to 150 mm.
func (g Geometry) Findings() []contact.Oddity {
	if g.Validate() != nil {
		return nil
	}
	var all []contact.Oddity
	look := func(value, least, most float64, unit, path, what string) {
		if value < least || value > most {
			all = append(all, contact.Oddity{Path: path, What: what, Value: value, Least: least, Most: most, Unit: unit})
		}
	}
	look(g.Stack/g.Reach, 1.05, 2.2, "", "stack_mm", "stack over reach")
	look(g.HeadAngle-g.SeatAngle, -16, 5, "degrees", "head_angle_deg", "head angle less seat angle")
	if height, ok := g.BottomBracketHeight(); ok {
		look(height, 200, 380, "mm", "axles.bb_drop_mm", "bottom bracket above the ground")
	}
	if trail, ok := g.Trail(); ok {
		look(trail, 0, 150, "mm", "axles.fork_offset_mm", "trail")
	}
	return all
}
