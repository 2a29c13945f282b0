package search

import (
	"math"

	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/rig"
	"gonum.org/v1/gonum/spatial/r3"
)

// settle returns the roll at which the bar comes nearest to what is wanted, of
// those that hold if there are any.
func (c *cockpit) settle(ch *rig.Chassis, clamp r3.Vec) (roll float64, v verdict) {
	if c.most > 0 {
		if c.form.round {
			roll = c.form.roll(ch.Steerer(clamp))
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
	for _, r := range append(c.meets(clamp), c.rolls(clamp)...) {
		if u := c.judge(clamp, r); u.holds && u.cost < best-1e-9 {
			roll, v, best = r, u, u.cost
		}
	}
	return roll, v
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
	}
	return v
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
// derivative on a grid is refined, and the ends of the range are tried.
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
	if kc == 0 && ks == 0 && kd == 0 && kx == 0 {
		return []float64{0} // nothing that turns is asked for
	}
	slope := func(roll float64) float64 {
		sin, cos := num.Sincos(roll)
		return ks*cos - kc*sin - 2*kd*sin*cos + kx*(cos*cos-sin*sin)
	}
	all := []float64{-c.most}
	const steps = 8
	lo, slopeLo := -c.most, slope(-c.most)
	for i := range steps {
		hi := c.most * (2*float64(i+1)/steps - 1)
		slopeHi := slope(hi)
		if slopeLo <= 0 && slopeHi >= 0 {
			all = append(all, num.Root(slope, lo, slopeLo, hi, slopeHi))
		}
		lo, slopeLo = hi, slopeHi
	}
	return append(all, c.most)
}

// meets returns the rolls within the range at which a coordinate of a site is
// off by just its tolerance.
func (c *cockpit) meets(clamp r3.Vec) []float64 {
	all := []float64{-c.most, c.most}
	add := func(deg float64) {
		if deg = math.Remainder(deg, 360); math.Abs(deg) <= c.most {
			all = append(all, deg)
		}
	}
	for i := range c.hands {
		want, h := c.hands[i].want, c.hands[i].at
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
