package solve

import (
	"cmp"
	"math"
	"slices"

	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// slack is how far, in mm, a point that rounding has put beyond the edge of a box may be
// beyond it.
const slack = 1e-10

// A span is the numbers from lo to hi; none if hi is less than lo.
type span struct{ lo, hi float64 }

func anything() span { return span{math.Inf(-1), math.Inf(1)} }

// about returns the numbers that are off a middle by no more than a tolerance; any if that
// is 0.
func about(middle, tolerance float64) span {
	if tolerance == 0 {
		return anything()
	}
	return span{middle - tolerance, middle + tolerance}
}

func (s span) none() bool { return s.hi < s.lo }

func (s span) and(t span) span { return span{max(s.lo, t.lo), min(s.hi, t.hi)} }

func (s span) less(v float64) span { return span{s.lo - v, s.hi - v} }

func (s span) has(v float64) bool { return v >= s.lo-slack && v <= s.hi+slack }

func (s span) nearest(v float64) float64 { return max(s.lo, min(s.hi, v)) }

// where returns where v + k·t is within the span, for t.
func (s span) where(v, k float64) span {
	switch {
	case k > 0:
		return span{(s.lo - v) / k, (s.hi - v) / k}
	case k < 0:
		return span{(s.hi - v) / k, (s.lo - v) / k}
	case s.has(v):
		return anything()
	}
	return span{1, 0}
}

// merged returns what is in any of some spans, as spans that are apart, lowest first.
func merged(all []span) []span {
	slices.SortFunc(all, func(a, b span) int { return cmp.Compare(a.lo, b.lo) })
	out := all[:0]
	for _, s := range all {
		if n := len(out); n > 0 && s.lo <= out[n-1].hi {
			out[n-1].hi = max(out[n-1].hi, s.hi)
		} else {
			out = append(out, s)
		}
	}
	return out
}

// common returns what is in a span of both lists, of which spans are apart and lowest first.
func common(a, b []span) (all []span) {
	for len(a) > 0 && len(b) > 0 {
		if s := a[0].and(b[0]); !s.none() {
			all = append(all, s)
		}
		if a[0].hi < b[0].hi {
			a = a[1:]
		} else {
			b = b[1:]
		}
	}
	return all
}

// A box is where a point may be in the side view.
type box struct{ x, z span }

func anywhere() box { return box{anything(), anything()} }

func (b box) and(c box) box { return box{b.x.and(c.x), b.z.and(c.z)} }

// from returns the box as it is seen from a point.
func (b box) from(p r3.Vec) box { return box{b.x.less(p.X), b.z.less(p.Z)} }

// wider returns the box with its edges farther out.
func (b box) wider(by float64) box {
	return box{span{b.x.lo - by, b.x.hi + by}, span{b.z.lo - by, b.z.hi + by}}
}

func (b box) has(p r3.Vec) bool { return b.x.has(p.X) && b.z.has(p.Z) }

// line returns where p + t·v is in the box, for t.
func (b box) line(p, v r3.Vec) span { return b.x.where(p.X, v.X).and(b.z.where(p.Z, v.Z)) }

// A strip is where at + t·k + x·way is in a span: of the plane of t and x what lies between two
// lines.
type strip struct {
	at, k, way float64
	in         span
}

// strips returns the two of a box for p + t·v + x·along.
func (b box) strips(p, v, along r3.Vec) [2]strip {
	return [2]strip{{p.X, v.X, along.X, b.x}, {p.Z, v.Z, along.Z, b.z}}
}

// slide returns the t of a window that are in all strips with some x of a span.
func slide(window, x span, all ...strip) span {
	type line struct{ at, k float64 } // of at + k·t, below or above which x is
	var buffer [2][8]line
	least, most := append(buffer[0][:0], line{at: x.lo}), append(buffer[1][:0], line{at: x.hi})
	for i := range all {
		s := &all[i]
		if s.way == 0 {
			window = window.and(s.in.where(s.at, s.k))
			continue
		}
		in, k := s.in.where(s.at, s.way), -s.k/s.way
		least, most = append(least, line{in.lo, k}), append(most, line{in.hi, k})
	}
	for _, l := range least {
		for _, m := range most {
			if !math.IsInf(l.at, 0) && !math.IsInf(m.at, 0) {
				window = window.and(span{0, math.Inf(1)}.where(m.at-l.at, m.k-l.k))
			}
		}
	}
	return window
}

// turns returns the angles of a range, in degrees, by which a rod must be turned about the
// origin to have some point in the box: those p + x·along with x of a span, where along has
// length 1. It appends to a list, lowest first.
func (b box) turns(to []span, p, along r3.Vec, x, within span) []span {
	// Seen along the rod, its points are (x, off).
	at, off := along.X*p.X+along.Z*p.Z, along.X*p.Z-along.Z*p.X
	ahead := num.Atan2(along.Z, along.X)
	x, within = x.less(-at), within.less(-ahead)
	var buffer [64]float64
	stops := b.stops(buffer[:0], x, off)
	n := 0
	for _, deg := range stops {
		if deg += 360 * math.Ceil((within.lo-deg)/360); deg < within.hi {
			stops[n] = deg
			n++
		}
	}
	stops = append(stops[:n], within.hi)
	slices.Sort(stops)
	lo, open := within.lo, false
	for _, hi := range stops {
		if hi < lo {
			continue
		}
		sin, cos := num.Sincos((lo + hi) / 2)
		some := x.and(b.x.where(-off*sin, cos)).and(b.z.where(off*cos, sin))
		switch holds := some.hi >= some.lo-slack; {
		case holds && open:
			to[len(to)-1].hi = hi - ahead
		case holds:
			to = append(to, span{lo - ahead, hi - ahead})
			open = true
		default:
			open = false
		}
		lo = hi
	}
	return to
}

// stops returns all angles at which the points (x, off) of a rod, turned, may begin or
// cease to be in the box: where an end of the rod or a square to it meets an edge, and
// where the rod meets a corner.
func (b box) stops(to []float64, x span, off float64) []float64 {
	xs, zs := [2]float64{b.x.lo, b.x.hi}, [2]float64{b.z.lo, b.z.hi}
	for i, end := range [2]float64{x.lo, x.hi} {
		if i > 0 && x.hi == x.lo {
			return to
		}
		r, at := math.Hypot(end, off), num.Atan2(off, end)
		if r == 0 {
			continue // turning does not move it
		}
		for _, e := range xs {
			if math.Abs(e) <= r {
				a := math.Acos(e/r) / num.Rad
				to = append(to, a-at, -a-at)
			}
		}
		for _, e := range zs {
			if math.Abs(e) <= r {
				a := math.Asin(e/r) / num.Rad
				to = append(to, a-at, 180-a-at)
			}
		}
	}
	to = append(to, 0, 90, 180, 270)
	for _, ex := range xs {
		for _, ez := range zs {
			if v := ex*ex + ez*ez - off*off; v >= 0 && !math.IsInf(v, 1) {
				at := num.Atan2(ez, ex)
				for _, v := range [2]float64{math.Sqrt(v), -math.Sqrt(v)} {
					to = append(to, at-num.Atan2(off, v))
				}
			}
		}
	}
	return to
}
