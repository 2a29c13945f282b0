package region

import (
	"example.com/fitgeom/internal/num"
)

// A Placement is how a frame lies with respect to a region.
type Placement struct {
	// Holds is [Region.Holds] of the place.
	Holds bool `json:"holds"`
	// Distance is the distance from the place to the outline, in mm, positive inside and
	// negative outside the region.
	Distance float64 `json:"distance_mm"`
	// Edge is the closest place on the outline.
	Edge HeadPlace `json:"edge"`
	// Spacers and Stem are the additional height of spacers and length of stem, in mm,
	// that the frame needs compared with a frame at Edge; negative means less. A frame
	// at Edge uses the bounds to their limit. So for a frame outside the region they say
	// what the bounds lack, and for a frame inside what the bounds have to spare on that
	// side. They are measured along the steerer and along the stem, with head angle and
	// stem angle in the middle of their ranges.
	Spacers float64 `json:"spacers_mm"`
	Stem    float64 `json:"stem_mm"`
	// ReachLess, ReachMore, StackLess and StackMore are the distances, in mm, by which
	// reach or stack alone may decrease or increase before the place leaves the region.
	// They are 0 if the place is outside.
	ReachLess float64 `json:"reach_less_mm"`
	ReachMore float64 `json:"reach_more_mm"`
	StackLess float64 `json:"stack_less_mm"`
	StackMore float64 `json:"stack_more_mm"`
}

// Place returns how a frame lies with respect to the region. It returns false if the
// region is empty, and if a number of the place is not finite.
func (r Region) Place(at HeadPlace) (Placement, bool) {
	if len(r.lines.all) == 0 || !num.Finite(at.Reach, at.Stack) {
		return Placement{}, false
	}
	p, v := Placement{Holds: r.Holds(at)}, r.place(at)
	near, least := r.lines.nearest(v)
	p.Edge = r.at(near)
	p.Distance = least
	if !p.Holds {
		p.Distance = -least
	}
	dx, dz := p.Edge.Reach-at.Reach, p.Edge.Stack-at.Stack
	sin, cos := num.Sincos(r.head)
	sinA, cosA := num.Sincos(r.angle)
	p.Stem = (float64(dx*sin) + float64(dz*cos)) / cosA
	p.Spacers = float64(dz*sin) - float64(dx*cos) - float64(p.Stem*sinA)
	if p.Holds {
		p.ReachLess, p.ReachMore = r.lines.room(v, false, false), r.lines.room(v, false, true)
		p.StackLess, p.StackMore = r.lines.room(v, true, false), r.lines.room(v, true, true)
	}
	return p, true
}
