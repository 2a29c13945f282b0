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

// A foot is where a leg ends at a crank angle, and its second link.
type foot struct {
	at   xz
	link float64
}

func (h *leash) foot(crank float64) foot {
	low := h.leg.below(crank)
	x, z := h.leg.target(crank, low)
	return foot{xz{x, z}, low.link}
}

// ready notes the feet of the steps.
func (h *leash) ready() {
	h.feet = make([]foot, min(mostSteps, h.leg.steps()))
	for i := range h.feet {
		h.feet[i] = h.foot(360 * float64(i) / float64(len(h.feet)))
	}
}

// A trough is the least that a leash's thigh has of its slope over the stroke, or of its slope's negative if
// the most is limited.
type trough struct {
	*leash
	hip          xz
	value, crank float64
}

// look looks at a foot.
func (l *trough) look(f foot, crank float64) float64 {
	v := slopeOf(f.at.less(l.hip), l.leg.thigh, f.link)
	if v > 135 {
		v -= 360
	}
	if l.most {
		v = -v
	}
	if v < l.value {
		l.value, l.crank = v, num.Turn(crank)
	}
	return v
}

func (l *trough) at(crank float64) float64 { return l.look(l.foot(num.Turn(crank)), crank) }

// over looks at every so many of the steps from one to another, and closer where it is lowest.
func (l *trough) over(from, till, every int) {
	n := len(l.feet)
	step := 360 / float64(n)
	of := func(i int) float64 { return l.look(l.feet[(i+n)%n], float64(i)*step) }
	a, b := of(from), of(from+every)
	for i := from + every; i < till; i += every {
		c := of(i + every)
		switch {
		case b > a || b > c || b-(max(a, c)-b) > l.value: // it is not less by more than there is to a neighbour
		case every > 1:
			l.over(i-every, i+every, 1)
		default:
			l.at(dip(float64(i-1)*step, float64(i+1)*step, len(l.leg.profile) > 1, l.at))
		}
		a, b = b, c
	}
}

// spare returns by how much the hip is within its limit, in degrees, with the hip moved along the
// line by t, and the crank angle where that is least.
func (p *pull) spare(t float64) (by, crank float64) {
	l := trough{leash: p.leash, hip: p.k.hip.plus(p.shift).plus(p.k.move.hip.times(t)), value: math.Inf(1)}
	every := 5
	if len(p.leg.profile) > len(p.feet)/every/2 {
		every = 1
	}
	l.over(-every, len(p.feet), every)
	a, b, _ := p.k.links()
	free := p.angle - 180 + slopeOf(p.k.wrist.less(l.hip), a, b)
	if !p.most {
		free = -free
	}
	return free + l.value, l.crank
}

// within is the first of spare.
func (p *pull) within(t float64) float64 {
	by, _ := p.spare(t)
	return by
}

// stride is how far apart a leash is looked at, mm. It is smooth over many times as much.
const stride = 8.

// A taut is how tight a leash is at a place: negative is too tight.
type taut struct{ t, by float64 }

func (a taut) ok() bool { return a.by >= 0 }

// looks looks at a leash along an interval, strides apart, and where it is nearest to being just
// tight in between.
func (p *pull) looks(in *Interval) []taut {
	// The ends are looked at from inside, since right at one that is an edge rounding would decide.
	lo, hi := in.From.At+shortest/20, in.To.At-shortest/20
	n := int(max(4, math.Ceil((hi-lo)/stride)))
	grid := make([]taut, n+1)
	for i := range grid {
		t := lo + (hi-lo)*float64(i)/float64(n)
		grid[i] = taut{t, p.within(t)}
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
		best := p.nearest(before, a, after)
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

// nearest returns a place on the other side of a leash from b, of those between two others that are not
// nearer to it; or one on the same side, if there is none.
func (p *pull) nearest(a, b, c taut) taut {
	sign := math.Copysign(1, b.by)
	try := func(t float64) taut { return taut{t, p.within(t)} }
	nearer := func(x, y taut) bool { return sign*(x.by-y.by) < 0 }
	const nigh = 1e-3
	if a.t == b.t || c.t == b.t { // an end, near to which it comes nearer or does not
		x := try(b.t + nigh*(a.t+c.t-2*b.t))
		if !nearer(x, b) {
			return b
		}
		b = x
	}
	for k := 0; k < 30 && b.ok() == (sign > 0); k++ {
		was, t := b, b.t
		// The lowest place of the parabola through all three.
		u, v := (b.t-a.t)*sign*(b.by-c.by), (b.t-c.t)*sign*(b.by-a.by)
		if bend := u - v; bend != 0 {
			t -= ((b.t-a.t)*u - (b.t-c.t)*v) / (2 * bend)
		}
		if least := nigh * (c.t - a.t); !(t > a.t && t < c.t && math.Abs(t-b.t) >= least) {
			t = b.t + math.Copysign(least, (c.t-b.t)-(b.t-a.t))
		}
		x := try(t)
		switch left := x.t < b.t; {
		case nearer(x, b) && left:
			b, c = x, b
		case nearer(x, b):
			a, b = b, x
		case left:
			a = x
		default:
			c = x
		}
		if far := math.Abs(b.by); far > 1e-6 && math.Abs(b.by-was.by) < far/16 && c.t-a.t < stride/8 {
			break // it does not come near
		}
	}
	return b
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
	t = num.RootTo(1e-10, p.within, t0, v0, t1, v1)
	_, crank = p.spare(t)
	return t, crank
}
