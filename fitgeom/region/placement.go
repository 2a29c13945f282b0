package region

import (
	"math"

	"example.com/fitgeom/internal/num"
)

// A Placement is where a frame is in a region, and what that means.
type Placement struct {
	// Holds is [Region.Holds] of the place.
	Holds bool
	// Distance is from the place to the outline, in mm: positive inside, negative outside.
	Distance float64
	// Edge is the place of the outline that is nearest.
	Edge HeadPlace
	// Spacers and Stem are how much more spacers and how much more length of
	// stem the frame needs than one at Edge, which is at an end of the bounds, in
	// mm; negative: less. For a frame outside that is what the bounds lack, for
	// one inside what they leave on that side. They are counted along the
	// steerer and along a stem, with head angle and stem angle in the middle of
	// their ranges.
	Spacers, Stem float64
	// ReachLess, ReachMore, StackLess and StackMore are how far reach or stack
	// alone may change, either way, before the place leaves the region, in mm;
	// 0 if it is outside.
	ReachLess, ReachMore, StackLess, StackMore float64
}

// Place tells where a frame is in the region; false if the region is empty or
// all narrower than the grid of its outline, and if the place is not of finite
// numbers.
func (r Region) Place(at HeadPlace) (Placement, bool) {
	if r.Empty() || !num.Finite(at.Reach, at.Stack) {
		return Placement{}, false
	}
	p := Placement{Holds: r.Holds(at)}
	least := math.Inf(1)
	v := vec{at.Reach, at.Stack}
	for _, o := range r.outlines {
		for i, a := range o.Places {
			b := o.Places[(i+1)%len(o.Places)]
			near := nearest(v, vec{a.Reach, a.Stack}, vec{b.Reach, b.Stack})
			if d := math.Hypot(near.x-v.x, near.z-v.z); d < least {
				least = d
				p.Edge = HeadPlace{near.x, near.z}
			}
		}
	}
	if math.IsInf(least, 1) {
		return Placement{}, false // no piece as large as the grid
	}
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
		for _, s := range crossings(r.pieces, v.z, false) {
			if v.x >= s[0] && v.x <= s[1] {
				p.ReachLess, p.ReachMore = v.x-s[0], s[1]-v.x
			}
		}
		for _, s := range crossings(r.pieces, v.x, true) {
			if v.z >= s[0] && v.z <= s[1] {
				p.StackLess, p.StackMore = v.z-s[0], s[1]-v.z
			}
		}
	}
	return p, true
}
