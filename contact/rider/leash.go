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
	n := max(24, len(p.leg.profile))
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

// cut returns what a leash leaves of an interval.
func (p *pull) cut(to []Interval, in Interval) []Interval {
	n := int(max(4, math.Ceil((in.To.At-in.From.At)/stride)))
	at := func(i int) float64 {
		return in.From.At + (in.To.At-in.From.At)*float64(i)/float64(n)
	}
	about := p.about
	from := Edge{At: math.NaN()}
	t0, v0 := at(0), about(at(0))
	if v0 >= 0 {
		from = in.From
	}
	step := func(t1, v1 float64) {
		if (v0 >= 0) != (v1 >= 0) {
			root := p.edge
			root.At, root.CrankAngle = p.cross(t0, v0, t1, v1)
			switch {
			case v1 >= 0:
				from = root
			case root.At-from.At > shortest:
				to = append(to, Interval{from, root})
			}
		}
		t0, v0 = t1, v1
	}
	before := v0
	for i := 1; i <= n; i++ {
		t, v := at(i), about(at(i))
		if i < n { // it may turn between, and cross twice
			next := about(at(i + 1))
			if turn := (before >= 0) == (v >= 0) && (v >= 0) == (next >= 0) && math.Abs(v) <= math.Abs(before) && math.Abs(v) <= math.Abs(next); turn {
				sign := math.Copysign(1, v)
				best := v
				where := t
				for width, k := (in.To.At-in.From.At)/float64(n), 0; k < 30; width, k = width/1.5, k+1 {
					for _, u := range [...]float64{where - width/2, where + width/2} {
						if w := about(u); sign*w < sign*best {
							where, best = u, w
						}
					}
				}
				if (best >= 0) != (v >= 0) {
					step(where, best)
				}
			}
		}
		before = v
		step(t, v)
	}
	if v0 >= 0 && in.To.At-from.At > shortest {
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
