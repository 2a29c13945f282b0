package region

import (
	"math"

	"example.com/fitgeom/internal/num"
)

// A clampPiece holds the places that the clamp may have over a short range of rolls.
type clampPiece struct {
	convex
	roll   float64 // in the middle of the range
	centre vec
}

// A frameBox holds the places that the clamp may have at one roll.
type frameBox struct{ lo, hi vec }

// gap returns a positive number if the box is empty.
func (b *frameBox) gap() float64 { return max(b.lo.x-b.hi.x, b.lo.z-b.hi.z) }

func (b *frameBox) empty() bool { return b.gap() > 0 }

// widen makes a box that is a line or a point a little wider, so that pieces have no sharp
// corners.
func (b *frameBox) widen() {
	const least = 1e-7 // mm
	x, z := max(0, least-(b.hi.x-b.lo.x))/2, max(0, least-(b.hi.z-b.lo.z))/2
	b.lo, b.hi = vec{b.lo.x - x, b.lo.z - z}, vec{b.hi.x + x, b.hi.z + z}
}

func clampBox(wants []want, roll float64) frameBox {
	sin, cos := num.Sincos(roll)
	b := frameBox{vec{math.Inf(-1), math.Inf(-1)}, vec{math.Inf(1), math.Inf(1)}}
	for i := range wants {
		w := &wants[i]
		at := vec{float64(w.at.x*cos) - float64(w.at.z*sin), float64(w.at.x*sin) + float64(w.at.z*cos)}
		b.lo.x, b.hi.x = max(b.lo.x, w.lo.x-at.x), min(b.hi.x, w.hi.x-at.x)
		b.lo.z, b.hi.z = max(b.lo.z, w.lo.z-at.z), min(b.hi.z, w.hi.z-at.z)
	}
	return b
}

// clampPieces cuts ranges of the roll so finely that the boxes at both ends of a
// piece, joined by straight lines, are off by no more than a few thousandths of a mm.
func clampPieces(wants []want, rolls [][2]float64) []clampPiece {
	c := cutter{wants: wants}
	for i := range wants {
		c.reach = max(c.reach, math.Hypot(wants[i].at.x, wants[i].at.z))
	}
	for _, r := range rolls {
		middle, most := (r[0]+r[1])/2, (r[1]-r[0])/2
		if most == 0 {
			if b := clampBox(wants, middle); !b.empty() {
				c.add(middle, middle, b, b)
			}
			continue
		}
		n := int(math.Ceil(most))
		for i := -n; i < n; i++ {
			lo, hi := middle+most*float64(i)/float64(n), middle+most*float64(i+1)/float64(n)
			c.cut(lo, hi, clampBox(wants, lo), clampBox(wants, hi), 16)
		}
	}
	return c.all
}

// A cutter cuts a range of rolls into pieces.
type cutter struct {
	wants []want
	reach float64 // from the clamp to the farthest site
	all   []clampPiece
}

// cut adds the rolls between two boxes, cut in halves down to a depth.
func (c *cutter) cut(lo, hi float64, a, b frameBox, depth int) {
	const fine = 2e-3 // mm
	mid := (lo + hi) / 2
	m := clampBox(c.wants, mid)
	if m.gap() > 2*c.reach*num.Rad*(hi-lo)/2 {
		return // no roll of the range closes it
	}
	whole := !a.empty() && !b.empty() && !m.empty()
	straight := whole && max(
		math.Abs(a.lo.x+b.lo.x-2*m.lo.x), math.Abs(a.hi.x+b.hi.x-2*m.hi.x),
		math.Abs(a.lo.z+b.lo.z-2*m.lo.z), math.Abs(a.hi.z+b.hi.z-2*m.hi.z),
	) <= fine
	switch {
	case straight || whole && depth == 0:
		c.add(lo, hi, a, b)
	case depth > 0:
		c.cut(lo, mid, a, m, depth-1)
		c.cut(mid, hi, m, b, depth-1)
	}
}

// add adds the piece between two boxes.
func (c *cutter) add(lo, hi float64, a, b frameBox) {
	a.widen()
	b.widen()
	p := clampPiece{roll: (lo + hi) / 2}
	p.centre = vec{(a.lo.x + a.hi.x + b.lo.x + b.hi.x) / 4, (a.lo.z + a.hi.z + b.lo.z + b.hi.z) / 4}
	p.convex = hull([]vec{
		a.lo,
		{a.hi.x, a.lo.z},
		a.hi,
		{a.lo.x, a.hi.z},
		b.lo,
		{b.hi.x, b.lo.z},
		b.hi,
		{b.lo.x, b.hi.z},
	})
	c.all = append(c.all, p)
}
