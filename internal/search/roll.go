package search

import (
	"math"

	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/rig"
	"gonum.org/v1/gonum/spatial/r3"
)

// settle returns the roll at which the bar comes nearest to what is wanted, of
// those that hold if there are any.
func (c *cockpit) settle(clamp r3.Vec) (roll float64, v verdict) {
	if c.most > 0 {
		if c.form.round && !c.turns {
			roll = c.form.roll(clamp)
		} else {
			roll = c.least(c.rolls(clamp), clamp)
		}
	}
	v = c.judge(clamp, roll)
	if v.holds || v.cost > c.asked || c.most == 0 || !c.across.holds {
		return roll, v
	}
	// The best of those that hold lies where a coordinate meets its tolerance,
	// or where the cost is least nearby.
	best := math.Inf(1)
	c.tries = c.meets(c.tries[:0], clamp)
	for _, r := range append(c.tries, c.rolls(clamp)...) {
		if u := c.judge(clamp, r); u.holds && u.cost < best-1e-9 {
			roll, v, best = r, u, u.cost
		}
	}
	return roll, v
}

// can reports whether the bar holds at some roll. If it does, it also does where a coordinate
// meets its tolerance, or at an end of the range.
func (c *cockpit) can(clamp r3.Vec) bool {
	roll := 0.0
	if c.form.round && !c.turns && c.most > 0 {
		roll = c.form.roll(clamp) // the likeliest
	}
	if c.judge(clamp, roll).holds {
		return true
	}
	if c.most == 0 {
		return false
	}
	c.tries = c.meets(c.tries[:0], clamp)
	for _, r := range c.tries {
		if c.judge(clamp, r).holds {
			return true
		}
	}
	return false
}

func (c *cockpit) judge(clamp r3.Vec, roll float64) verdict {
	v := c.across
	v.coordinate(clamp.X-c.clamp.at.X, c.clamp.tolerance.X, c.clamp.weight.X)
	v.coordinate(clamp.Z-c.clamp.at.Z, c.clamp.tolerance.Z, c.clamp.weight.Z)
	sin, cos := num.Sincos(roll)
	for i := range c.hands {
		h := &c.hands[i]
		t := num.Turned(h.at, sin, cos)
		v.coordinate(clamp.X+t.X-h.want.at.X, h.want.tolerance.X, h.want.weight.X)
		v.coordinate(clamp.Z+t.Z-h.want.at.Z, h.want.tolerance.Z, h.want.weight.Z)
		if h.turns {
			v.face(h.want, h.facing(roll, sin, cos))
		}
	}
	return v
}

// lean is the slope, for each radian of roll, of what the directions cost.
func (c *cockpit) lean(roll, sin, cos float64) (slope float64) {
	for i := range c.hands {
		h := &c.hands[i]
		if !h.turns {
			continue
		}
		off, price := h.facing(roll, sin, cos).Less(h.want.facing), &h.want.price
		f, l := num.Turned(h.forward, sin, cos), num.Turned(h.left, sin, cos)
		slope += price.Tilt * off.Tilt
		if f.Y != 0 {
			slope += price.Yaw * off.Yaw * f.Y * f.Z / (f.X*f.X + f.Y*f.Y)
		}
		if l.X != 0 {
			slope += price.Roll * off.Roll * l.Y * l.X / (l.Y*l.Y + l.Z*l.Z)
		}
	}
	return 2 * slope / num.Rad
}

func (c *cockpit) least(rolls []float64, clamp r3.Vec) float64 {
	best, least := 0.0, math.Inf(1)
	for _, r := range rolls {
		if v := c.judge(clamp, r); v.cost < least {
			best, least = r, v.cost
		}
	}
	return best
}

// rolls returns the rolls within the range at which the cost may be least.
//
// The cost of a roll ρ is a trigonometric polynomial of second degree,
//
//	kc cos ρ + ks sin ρ + kd cos² ρ + kx sin ρ cos ρ + a constant,
//
// which has at most two minima in a whole turn: every change of sign of the
// derivative on a grid is refined, and the ends of the range are tried. What directions
// cost is smooth, and on a finer grid it is the same.
func (c *cockpit) rolls(clamp r3.Vec) []float64 {
	var kc, ks, kd, kx float64
	for i := range c.hands {
		want, h := c.hands[i].want, c.hands[i].at
		wx, wz := want.weight.X, want.weight.Z
		dx, dz := clamp.X-want.at.X, clamp.Z-want.at.Z
		kc += 2 * (wx*dx*h.X + wz*dz*h.Z)
		ks += 2 * (wz*dz*h.X - wx*dx*h.Z)
		kd += (wx - wz) * (h.X*h.X - h.Z*h.Z)
		kx += 2 * (wz - wx) * h.X * h.Z
	}
	if kc == 0 && ks == 0 && kd == 0 && kx == 0 && !c.turns {
		return []float64{0} // nothing that turns is asked for
	}
	slope := func(roll float64) float64 {
		sin, cos := num.Sincos(roll)
		s := ks*cos - kc*sin - 2*kd*sin*cos + kx*(cos*cos-sin*sin)
		if c.turns {
			s += c.lean(roll, sin, cos)
		}
		return s
	}
	all := []float64{-c.most}
	steps := 8
	if c.turns {
		steps = 24
	}
	lo, slopeLo := -c.most, slope(-c.most)
	for i := range steps {
		hi := c.most * (2*float64(i+1)/float64(steps) - 1)
		slopeHi := slope(hi)
		if slopeLo <= 0 && slopeHi >= 0 {
			all = append(all, num.Root(slope, lo, slopeLo, hi, slopeHi))
		}
		lo, slopeLo = hi, slopeHi
	}
	return append(all, c.most)
}

// meets appends the rolls within the range at which a coordinate of a site is
// off by just its tolerance.
func (c *cockpit) meets(all []float64, clamp r3.Vec) []float64 {
	all = append(all, -c.most, c.most)
	add := func(deg float64) {
		if deg = math.Remainder(deg, 360); math.Abs(deg) <= c.most {
			all = append(all, deg)
		}
	}
	for i := range c.hands {
		want, h := c.hands[i].want, c.hands[i].at
		if i%2 == 1 && !c.hands[i].turns && c.hands[i].like(&c.hands[i-1]) {
			continue // the other side's
		}
		if c.hands[i].turns {
			rig.Stops(&c.hands[i].forward, &c.hands[i].left, want.facing, want.turn.Angles(), add)
		}
		n, at := math.Hypot(h.X, h.Z), num.Atan2(h.Z, h.X)
		if n == 0 {
			continue
		}
		for _, sign := range [2]float64{1, -1} {
			if t := want.tolerance.X; t != 0 {
				if r := (want.at.X + sign*t - clamp.X) / n; math.Abs(r) <= 1 {
					add(math.Acos(r)/num.Rad - at)
					add(-math.Acos(r)/num.Rad - at)
				}
			}
			if t := want.tolerance.Z; t != 0 {
				if r := (want.at.Z + sign*t - clamp.Z) / n; math.Abs(r) <= 1 {
					add(math.Asin(r)/num.Rad - at)
					add(180 - math.Asin(r)/num.Rad - at)
				}
			}
		}
	}
	return all
}

// like reports whether two hands ask the same in the plane.
func (h *hand) like(g *hand) bool {
	a, b := h.want, g.want
	return h.at.X == g.at.X && h.at.Z == g.at.Z && a.at.X == b.at.X && a.at.Z == b.at.Z && a.tolerance.X == b.tolerance.X && a.tolerance.Z == b.tolerance.Z
}
