package region

import (
	"math"
	"slices"

	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/work"
)

// A clampPiece holds the places that the clamp may have over a short range of rolls.
type clampPiece struct {
	convex
	roll   float64 // in the middle of the range
	centre vec
	off    float64 // of the centre, from where it would be without limits
}

// A frameBox holds the places that the clamp may have at one roll.
type frameBox struct{ lo, hi vec }

// gap returns a positive number if the box is empty.
func (b *frameBox) gap() float64 { return max(b.lo.x-b.hi.x, b.lo.z-b.hi.z) }

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

// A clamper is a way to mount a bar, and where its clamp may be.
type clamper struct {
	wants []want
	rolls [][2]float64
	grip  vec // of the rider's hands, from the clamp
	// offered says that the bar has that grip.
	offered bool
}

// clampPieces cuts ranges of the roll so finely that what the clamp has at both ends of a
// piece, joined by straight lines, is off by no more than a few thousandths of a mm. Of the places
// of the rider's grip those in hands are allowed; nil: all.
func (l *clamper) clampPieces(m *work.Meter, hands convex) []clampPiece {
	c := cutter{m: m, clamper: l, hands: hands.sides(1e-8)}
	for i := range l.wants {
		c.reach = max(c.reach, math.Hypot(l.wants[i].at.x, l.wants[i].at.z))
	}
	if hands != nil {
		c.reach = max(c.reach, math.Hypot(l.grip.x, l.grip.z))
	}
	for _, r := range l.rolls {
		middle, most := (r[0]+r[1])/2, (r[1]-r[0])/2
		if most == 0 {
			if b := c.at(middle, 0); !b.empty() {
				c.add(middle, middle, b, b)
			}
			continue
		}
		n := int(math.Ceil(most))
		for i := -n; i < n; i++ {
			lo, hi := middle+most*float64(i)/float64(n), middle+most*float64(i+1)/float64(n)
			c.cut(lo, hi, c.at(lo, 0), c.at(hi, 0), 16)
		}
	}
	return c.all
}

// A cutter cuts a range of rolls into pieces.
type cutter struct {
	*clamper
	m     *work.Meter
	hands []plane
	reach float64 // from the clamp to the farthest site
	all   []clampPiece
}

// A spread is the places that the clamp may have at one roll.
type spread struct {
	frameBox
	corners convex
}

func (s *spread) empty() bool { return len(s.corners) == 0 }

// at is where the clamp may be at a roll, or would be if everything were less strict by so much.
func (c *cutter) at(roll, loose float64) (s spread) {
	if s.frameBox = clampBox(c.wants, roll); s.gap() > 2*loose {
		return s
	}
	b := s.frameBox
	b.lo, b.hi = vec{b.lo.x - loose, b.lo.z - loose}, vec{b.hi.x + loose, b.hi.z + loose}
	b.widen()
	corners := box(b).corners()
	s.corners = corners[:]
	sin, cos := num.Sincos(roll)
	grip := vec{float64(c.grip.x*cos) - float64(c.grip.z*sin), float64(c.grip.x*sin) + float64(c.grip.z*cos)}
	for i := range c.hands {
		p := &c.hands[i]
		left := func(v vec) float64 { return p.c + loose - p.n.dot(v.plus(grip)) }
		if slices.ContainsFunc(s.corners, func(v vec) bool { return left(v) < 0 }) {
			s.corners = num.Clip(nil, s.corners, left, vec.on)
		}
	}
	if len(c.hands) > 0 && s.corners.thin() {
		s.corners = nil
	}
	return s
}

// bent is by how much the middle of what is between two spreads differs from that of their middle,
// twice, none of which is empty.
func (c *cutter) bent(a, m, b *spread) float64 {
	most := max(
		math.Abs(a.lo.x+b.lo.x-2*m.lo.x), math.Abs(a.hi.x+b.hi.x-2*m.hi.x),
		math.Abs(a.lo.z+b.lo.z-2*m.lo.z), math.Abs(a.hi.z+b.hi.z-2*m.hi.z),
	)
	if len(c.hands) == 0 {
		return most
	}
	off := func(n vec) { most = max(most, math.Abs(a.corners.far(n)+b.corners.far(n)-2*m.corners.far(n))) }
	for _, n := range [...]vec{{1, 0}, {-1, 0}, {0, 1}, {0, -1}} {
		off(n)
	}
	for i := range c.hands {
		off(c.hands[i].n)
	}
	return most
}

// cut adds the rolls between two spreads, cut in halves down to a depth.
func (c *cutter) cut(lo, hi float64, a, b spread, depth int) {
	const fine = 2e-3 // mm
	if !c.m.Do(1 + len(c.hands)*4) {
		return
	}
	mid := (lo + hi) / 2
	loose := c.reach * num.Rad * (hi - lo) / 2
	m := c.at(mid, 0)
	if m.gap() > 2*loose {
		return // no roll of the range closes it
	}
	if len(c.hands) > 0 && m.empty() {
		if n := c.at(mid, loose); n.empty() {
			return
		}
	}
	whole := !a.empty() && !b.empty() && !m.empty()
	switch {
	case whole && (depth == 0 || c.bent(&a, &m, &b) <= fine):
		c.add(lo, hi, a, b)
	case depth > 0:
		c.cut(lo, mid, a, m, depth-1)
		c.cut(mid, hi, m, b, depth-1)
	}
}

// add adds the piece between two spreads.
func (c *cutter) add(lo, hi float64, a, b spread) {
	p := clampPiece{roll: (lo + hi) / 2, convex: hull(slices.Concat(a.corners, b.corners))}
	for _, v := range slices.Concat(a.corners, b.corners) {
		p.centre = p.centre.plus(v)
	}
	n := float64(len(a.corners) + len(b.corners))
	p.centre = vec{p.centre.x / n, p.centre.z / n}
	if len(c.hands) > 0 {
		p.off = p.centre.to(vec{(a.lo.x + a.hi.x + b.lo.x + b.hi.x) / 4, (a.lo.z + a.hi.z + b.lo.z + b.hi.z) / 4})
	}
	c.m.Do(10 * len(p.convex)) // as much as keeps the memory in bounds
	c.all = append(c.all, p)
}
