package rider

import (
	"math"
	"slices"

	"example.com/fitgeom/contact"
)

// A sway is how body and positions are off by one standard uncertainty of what two numbers
// have in common.
type sway struct {
	body          []Derivative
	before, after []contact.Derivative
}

// spreads returns covariances with a number of the given derivatives, one for each
// coordinate, times a factor.
func spreads(c contact.Covariance, g []contact.Derivative, by float64) (all []contact.Derivative) {
	for _, k := range c.Coordinates() {
		sum := 0.0
		for _, d := range g {
			v, _ := c.At(k, d.Coordinate)
			sum += v * d.By
		}
		all = append(all, contact.Derivative{Coordinate: k, By: sum * by})
	}
	return all
}

// sway returns that of the sum of what is compared, which most of what bends them has in
// common; false if nothing is uncertain.
func (u *Uncertainty) sway(before, after Slopes) (sway, bool) {
	both := Slopes{Position: before.Position, Body: slices.Concat(before.Body, after.Body)}
	if u.Moved {
		both.Position = slices.Concat(before.Position, after.Position)
	}
	sigma, err := both.Sigma(u.Before, u.Body)
	if !u.Moved && err == nil && len(u.After.Coordinates()) > 0 {
		var more float64
		more, err = Slopes{Position: after.Position}.Sigma(u.After, Covariance{})
		sigma = math.Hypot(sigma, more)
	}
	if err != nil || !(sigma > 0) {
		return sway{}, false
	}
	s := sway{before: spreads(u.Before, both.Position, 1/sigma)}
	if s.after = s.before; !u.Moved {
		s.after = spreads(u.After, after.Position, 1/sigma)
	}
	for _, n := range u.Body.numbers {
		sum := 0.0
		for _, d := range both.Body {
			v, _ := u.Body.At(n, d.Number)
			sum += v * d.By
		}
		s.body = append(s.body, Derivative{n, sum / sigma})
	}
	return s, true
}

// of returns how much a number with these slopes changes with the sway, to first order.
func (s *sway) of(g Slopes, position []contact.Derivative) (sum float64) {
	for _, d := range g.Body {
		for _, by := range s.body {
			if by.Number == d.Number {
				sum += d.By * by.By
			}
		}
	}
	for _, d := range g.Position {
		for _, by := range position {
			if by.Coordinate == d.Coordinate {
				sum += d.By * by.By
			}
		}
	}
	return sum
}

// off returns a body that is off by a sway so many times.
func (b Body) off(by []Derivative, times float64) Body {
	b.Left.Ankle.Profile, b.Right.Ankle.Profile = slices.Clone(b.Left.Ankle.Profile), slices.Clone(b.Right.Ankle.Profile)
	for _, d := range by {
		l := &b.Left
		if d.Number.Side == contact.Right {
			l = &b.Right
		}
		if d.Number.Of == BodyAnkleAngle {
			for i := range l.Ankle.Profile {
				l.Ankle.Profile[i] += times * d.By
			}
			continue
		}
		*[...]*float64{
			BodyThigh: &l.Thigh, BodyShank: &l.Shank, BodyAnkleHeight: &l.AnkleHeight, BodyAnkleBehind: &l.AnkleBehind,
			BodyHipForward: &b.HipForward, BodyHipUp: &b.HipUp, BodyTrunk: &b.Upper.Trunk, BodyUpperArm: &b.Upper.UpperArm,
			BodyForearm: &b.Upper.Forearm, BodyWristBack: &b.Upper.WristBack, BodyWristUp: &b.Upper.WristUp, BodyUpperAngle: &b.Upper.Angle,
		}[d.Number.Of] += times * d.By
	}
	return b
}

// offBy returns a position that is off by a sway so many times.
func offBy(p contact.Position, by []contact.Derivative, times float64) contact.Position {
	for _, d := range by {
		v, ok := p.At(d.Coordinate.Site)
		if !ok {
			continue
		}
		switch d.Coordinate.Axis {
		case contact.AxisX:
			v.X += times * d.By
		case contact.AxisZ:
			v.Z += times * d.By
		case contact.AxisY, contact.AxisTilt, contact.AxisYaw, contact.AxisRoll: // which no chain looks at
		}
		p.Set(d.Coordinate.Site, v)
	}
	return p
}

// near returns the extreme of a variable that is near a crank angle, by the parabola through
// three places; false for a limb that does not reach.
func (c *Chain) near(m Variable, side contact.Side, crank float64) (float64, bool) {
	if v, ok := c.still(m); ok {
		return v, c.upper.Gap == 0
	}
	const step = 2 // degrees
	var is [3]float64
	for i := range is {
		p, err := c.At(side, crank+step*float64(i-1))
		if err != nil || p.Gap != 0 {
			return 0, false
		}
		is[i], _ = p.of(m)
	}
	bend, slope := is[0]-2*is[1]+is[2], (is[2]-is[0])/2
	if math.Abs(bend) < 1e-9 || math.Abs(slope/bend) > 10 {
		return is[1], true
	}
	return is[1] - slope*slope/(2*bend), true
}

// nodes and shares are those of the quadrature of Gauss and Hermite with five places, exact to
// the ninth power: where, in standard deviations, and how much each counts.
var (
	nodes  = [...]float64{-2.856970013872806, -1.355626179974266, 0, 1.355626179974266, 2.856970013872806}
	shares = [...]float64{0.011257411327721, 0.222075922005613, 8. / 15, 0.222075922005613, 0.011257411327721}
)

// bent returns the variance of a change along a sway, with the bends of limbs followed; NaN
// where one does not reach.
func (b Body) bent(s *sway, before, after contact.Position, is func(before, after *Chain) (float64, bool)) float64 {
	mean, squares := 0.0, 0.0
	for i, t := range nodes {
		other := b.off(s.body, t)
		one, err := NewChain(other, offBy(before, s.before, t))
		if err != nil {
			return math.NaN()
		}
		two, err := NewChain(other, offBy(after, s.after, t))
		if err != nil {
			return math.NaN()
		}
		v, ok := is(&one, &two)
		if !ok {
			return math.NaN()
		}
		mean += shares[i] * v
		squares += shares[i] * v * v
	}
	return squares - mean*mean
}
