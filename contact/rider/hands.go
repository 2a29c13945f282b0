package rider

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// Hands returns where the hands may be for a position to keep all limits, as seen from the side:
// places of the grip (Body.Upper.Grip, of both sides the midpoint) in a rectangle from one corner to
// the other, of which X is forward and Z up as in the position. All else stays. The position need not
// have the grip.
//
// The places are those of convex polygons, which may overlap, each anticlockwise with X to the right
// and Z up; none if there is no place. They lie within the limits, and what they leave out at a curved
// edge is no more than finest wide, in mm, 0.0001 to 10; but slivers that are narrower than 1e-8 mm are
// left out. What a limit needs and the position does not have limits nothing, as in [Limits.Check].
//
// Errors are those of [Limits.Check], and [contact.ErrRange] for finest, for corners beyond 5000 mm
// and for a rectangle that ends before it begins.
func (l Limits) Hands(p contact.Position, from, to r3.Vec, finest float64) ([][]r3.Vec, error) {
	var f fault.List
	f.In("", l.Validate())
	f.In("position", p.Validate())
	f.Range("finest_mm", finest, 1e-4, 10, "mm")
	for _, c := range [...]struct {
		name   string
		lo, hi float64
	}{{"x", from.X, to.X}, {"z", from.Z, to.Z}} {
		f.Range("from."+c.name, c.lo, -5000, 5000, "mm")
		f.Range("to."+c.name, c.hi, max(-5000, min(c.lo, 5000)), 5000, "mm")
	}
	if err := f.Err(); err != nil {
		return nil, err
	}
	if u := &l.Body.Upper; *u != (Upper{}) {
		p.Set(u.Grip.On(contact.Left), from)
		p.Set(u.Grip.On(contact.Right), from)
	}
	height := Way{Adjustment: BarDrop}
	k := l.paddock(&p, height.motion())
	if len(k.shut) > 0 {
		return nil, nil
	}
	all := []lot{{{from.X, from.Z}, {to.X, from.Z}, {to.X, to.Z}, {from.X, to.Z}}}
	for i := range k.fences {
		fence := &k.fences[i]
		c := &fence.drawn[0] // of a fence of the arms, which the stroke does not change
		s := spot{centre: xz{from.X, from.Z}.less(c.q), r: c.r, finest: finest}
		var left []lot
		for _, one := range all {
			left = s.within(left, one, fence.no, c.u)
		}
		all = left
	}
	out := make([][]r3.Vec, len(all))
	for i, one := range all {
		for _, v := range one {
			out[i] = append(out[i], r3.Vec{X: v.x, Z: v.z})
		}
	}
	return out, nil
}

// A lot is a convex polygon, anticlockwise.
type lot []xz

// A spot is a disc, which is to be made of polygons.
type spot struct {
	centre    xz
	r, finest float64
}

// within appends what a fence leaves of a lot, of which u is the direction.
func (s *spot) within(to []lot, of lot, no side, u xz) []lot {
	switch no {
	case outside:
		return keep(to, s.inner(of))
	case inside:
		return s.outer(to, of)
	case left:
		return s.outer(to, of.side(xz{}.less(u), s.centre))
	case right:
		return keep(keep(to, of.side(u, s.centre)), s.inner(of))
	case rightInside: // of cleats, which move no hands
	}
	return to
}

// keep appends a lot, unless it is nothing or a sliver.
func keep(to []lot, of lot) []lot {
	const sliver = 1e-8 // mm
	area, long := 0., 0.
	for i, v := range of {
		area += v.less(of[0]).cross(of[(i+1)%len(of)].less(of[0])) / 2
		long = max(long, of[0].less(v).length())
	}
	if area > sliver*long {
		return append(to, of)
	}
	return to
}

// side is what of a lot is to the left of a line in a direction.
func (of lot) side(u, through xz) lot {
	return num.Clip(nil, of, func(v xz) float64 { return u.cross(v.less(through)) }, func(a, b xz, share float64) xz {
		return a.plus(b.less(a).times(share))
	})
}

// parts is into how many parts a circle is cut so that chords, and corners of tangents, are no more
// than finest off.
func (s *spot) parts() int {
	return int(math.Ceil(math.Pi / math.Acos(s.r/(s.r+s.finest))))
}

// inner is what of a lot is in the disc.
func (s *spot) inner(of lot) lot {
	if s.r <= 0 {
		return nil
	}
	n := s.parts()
	_, half := num.Sincos(180 / float64(n))
	for i := range n {
		u := direction(360 * float64(i) / float64(n))
		edge := s.centre.plus(u.times(s.r * half)) // of a chord
		beyond := false
		for _, v := range of {
			beyond = beyond || u.dot(v.less(edge)) > 0
		}
		if beyond {
			of = of.side(xz{-u.z, u.x}, edge)
		}
	}
	return of
}

// outer appends what of a lot is not in the disc, in sectors between tangents.
func (s *spot) outer(to []lot, of lot) []lot {
	if s.r < 0 || len(of) == 0 {
		return to
	}
	near, within := s.nearest(of)
	if within {
		return s.sectors(to, of, 0, 360)
	}
	if near.length() >= s.r {
		return keep(to, of)
	}
	from, till := 0., 0.
	at := near.slope()
	for _, v := range of {
		by := math.Remainder(v.less(s.centre).slope()-at, 360)
		from, till = min(from, by), max(till, by)
	}
	return s.sectors(to, of, at+from, at+till)
}

// sectors appends what of a lot is beyond the tangents at directions between two.
func (s *spot) sectors(to []lot, of lot, from, till float64) []lot {
	n := max(1, math.Ceil(float64(s.parts())*(till-from)/360))
	if till-from == 360 {
		n = max(n, 4)
	}
	step := (till - from) / n
	const over = 0.51 // so that sectors overlap
	for i := range int(n) {
		at := from + step*(float64(i)+0.5)
		u := direction(at)
		one := of.side(xz{u.z, -u.x}, s.centre.plus(u.times(s.r))) // beyond the tangent
		if n > 1 {
			one = one.side(direction(at-over*step), s.centre).side(xz{}.less(direction(at+over*step)), s.centre)
		}
		to = keep(to, one)
	}
	return to
}

// nearest is the place of a lot that is nearest to the centre, from there, and whether the centre is
// within the lot.
func (s *spot) nearest(of lot) (near xz, within bool) {
	within, least := true, math.Inf(1)
	for i, b := range of {
		a := of[(i+len(of)-1)%len(of)].less(s.centre)
		b = b.less(s.centre)
		e := b.less(a)
		within = within && a.cross(b) >= 0
		share := 0.
		if n := e.dot(e); n > 0 {
			share = max(0, min(1, -a.dot(e)/n))
		}
		if v := a.plus(e.times(share)); v.length() < least {
			near, least = v, v.length()
		}
	}
	return near, within
}
