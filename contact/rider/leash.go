package rider

import (
	"math"

	"example.com/fitgeom/internal/num"
)

// A pull is a leash on a line of a paddock.
type pull struct {
	*leash
	k     *paddock
	shift xz // of the hip, off the line
}

// slopeOf returns the slope of the first of two links, of lengths a and b, that bridge v and bend
// to its left.
func slopeOf(v xz, a, b float64) float64 {
	d := v.length()
	// Half of the angle at the near end, by its tangent. What does not reach is fenced.
	return v.slope() + 2*num.Atan2(math.Sqrt(max(0, (b+d-a)*(a+b-d))), math.Sqrt(max(0, (a+d-b)*(a+b+d))))
}

// thighAt returns the slope of the thigh at a crank angle with the hip moved.
func (p *pull) thighAt(crank float64, hip xz) float64 {
	l := p.leg
	low := l.below(crank)
	x, z := l.target(crank, low)
	pitch := slopeOf(xz{x, z}.less(hip), l.thigh, low.link)
	if pitch > 135 {
		pitch -= 360
	}
	return pitch
}

// spare returns by how much the hip is within its limit, in degrees, with the hip moved along the
// line by t, and the crank angle where that is least: exactly, or to about 1e-6 degrees.
func (p *pull) spare(t float64, exact bool) (by, crank float64) {
	hip := p.k.hip.plus(p.shift).plus(p.k.move.hip.times(t))
	a, b, _ := p.k.links()
	lean := slopeOf(p.k.wrist.less(hip), a, b)
	sign := 1.
	if !p.most {
		sign = -1
	}
	of := func(crank float64) float64 { return -sign * p.thighAt(num.Turn(crank), hip) }
	n := min(mostSteps, max(24, len(p.leg.profile)))
	step := 360 / float64(n)
	best, at := math.Inf(1), 0.
	for i := range n {
		if v := of(float64(i) * step); v < best {
			best, at = v, float64(i)*step
		}
	}
	if exact {
		at = bottomTo(fine, at-step, at+step, of)
		best = min(best, of(at))
	} else {
		best = min(best, dip(at, step, of))
	}
	return sign*(p.angle-180+lean) + best, num.Turn(at)
}

// about returns about by how much the hip is within its limit.
func (p *pull) about(t float64) float64 {
	by, _ := p.spare(t, false)
	return by
}

// dip returns about the least value of f near to a place, by parabolas that become narrower.
func dip(at, step float64, f func(float64) float64) float64 {
	best := f(at)
	for range 3 {
		a, c := f(at-step), f(at+step)
		if curve := a - 2*best + c; curve > 0 {
			to := at + max(-step, min(step, step*(a-c)/(2*curve)))
			if v := f(to); v < best {
				best, at = v, to
			}
		}
		step /= 12
	}
	return best
}

// stride is how far apart a leash is looked at, mm. It is smooth over many times as much.
const stride = 8.

// A taut is how tight a leash is at a place: negative is too tight.
type taut struct{ t, by float64 }

func (a taut) ok() bool { return a.by >= 0 }

// looks looks at a leash along an interval, strides apart, and where it is nearest to being just
// tight in between.
func (p *pull) looks(in *Interval) []taut {
	n := int(max(4, math.Ceil((in.To.At-in.From.At)/stride)))
	grid := make([]taut, n+1)
	for i := range grid {
		t := in.From.At + (in.To.At-in.From.At)*float64(i)/float64(n)
		grid[i] = taut{t, p.about(t)}
	}
	all := make([]taut, 0, n+3)
	for i, a := range grid {
		// It may turn here, and cross twice. At an end it may do so wherever it comes nearer.
		before, after := grid[max(0, i-1)], grid[min(n, i+1)]
		turn := before.ok() == a.ok() && a.ok() == after.ok() && math.Abs(a.by) <= min(math.Abs(before.by), math.Abs(after.by))
		if !turn {
			all = append(all, a)
			continue
		}
		best := p.nearest(a, before.t, after.t)
		switch {
		case best.ok() == a.ok():
			all = append(all, a)
		case best.t < a.t:
			all = append(all, best, a)
		default:
			all = append(all, a, best)
		}
	}
	return all
}

// nearest returns a place on the other side of a leash from a, or the nearest to it, between two
// others.
func (p *pull) nearest(a taut, lo, hi float64) taut {
	best := a
	for width, k := hi-lo, 0; k < 30 && best.ok() == a.ok(); width, k = width/1.5, k+1 {
		for _, t := range [...]float64{max(lo, best.t-width/2), min(hi, best.t+width/2)} {
			if by := p.about(t); math.Copysign(1, a.by)*(by-best.by) < 0 {
				best = taut{t, by}
			}
		}
	}
	return best
}

// cut returns what a leash leaves of an interval.
func (p *pull) cut(to []Interval, in Interval) []Interval {
	all := p.looks(&in)
	from := in.From
	for i, b := range all[1:] {
		a := all[i]
		if a.ok() == b.ok() {
			continue
		}
		root := p.edge
		root.At, root.CrankAngle = p.cross(a.t, a.by, b.t, b.by)
		if b.ok() {
			from = root
		} else if root.At-from.At > shortest {
			to = append(to, Interval{from, root})
		}
	}
	if all[len(all)-1].ok() && in.To.At-from.At > shortest {
		to = append(to, Interval{from, in.To})
	}
	return to
}

// cross returns where the leash is just tight, and the crank angle of that.
func (p *pull) cross(t0, v0, t1, v1 float64) (t, crank float64) {
	t = num.RootTo(1e-7, p.about, t0, v0, t1, v1)
	exact := func(t float64) (by float64) {
		by, crank = p.spare(t, true)
		return by
	}
	for h := 1e-5; h < 1; h *= 10 {
		lo, hi := t-h, t+h
		if a, b := exact(lo), exact(hi); (a >= 0) != (b >= 0) {
			return num.RootTo(1e-10, exact, lo, a, hi, b), crank
		}
	}
	return t, crank
}
