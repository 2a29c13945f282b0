package rider

import (
	"math"
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
)

// Slopes are how much a number changes with each coordinate of the position and with each
// number of the body that it depends on: its partial derivatives.
type Slopes struct {
	Position []contact.Derivative
	Body     []Derivative
}

// Sub returns the slopes of a difference of two numbers, both of the same position and
// body.
func (s Slopes) Sub(t Slopes) Slopes {
	d := Slopes{Position: slices.Clone(s.Position), Body: slices.Clone(s.Body)}
	// Of one number there is one slope, so that what is equal in both leaves nothing.
	for _, g := range t.Position {
		if i := slices.IndexFunc(d.Position, func(h contact.Derivative) bool { return h.Coordinate == g.Coordinate }); i >= 0 {
			d.Position[i].By -= g.By
		} else {
			d.Position = append(d.Position, contact.Derivative{Coordinate: g.Coordinate, By: -g.By})
		}
	}
	for _, g := range t.Body {
		if i := slices.IndexFunc(d.Body, func(h Derivative) bool { return h.Number == g.Number }); i >= 0 {
			d.Body[i].By -= g.By
		} else {
			d.Body = append(d.Body, Derivative{g.Number, -g.By})
		}
	}
	return d
}

// scaled returns the slopes of a number times a factor.
func (s Slopes) scaled(by float64) Slopes {
	t := Slopes{}.Sub(s)
	for i := range t.Position {
		t.Position[i].By *= -by
	}
	for i := range t.Body {
		t.Body[i].By *= -by
	}
	return t
}

// Sigma returns the standard uncertainty of the number, to first order (JCGM 100:2008,
// 5.2), from those of a position and of a body, whose errors are independent. A zero
// covariance says that the position, or the body, is exact.
//
// First order is good while joints are far from straight for their errors. Against draws
// (JCGM 101) it was right to 2 % for lengths known to 1 mm, to 3 for 1.5 mm, with a knee
// flexed by 27 to 35 degrees. Faults are [contact.ErrMissing] for what a covariance that is
// not zero does not know, and [contact.ErrRange].
func (s Slopes) Sigma(position contact.Covariance, body Covariance) (float64, error) {
	var f fault.List
	variance := 0.0
	if len(position.Coordinates()) > 0 {
		v, err := position.Between(s.Position, s.Position)
		f.In("position", err)
		variance += v
	}
	if len(body.numbers) > 0 {
		v, err := body.Between(s.Body, s.Body)
		f.In("body", err)
		variance += v
	}
	return math.Sqrt(max(0, variance)), f.Err()
}

// Slopes returns those of a variable of one leg at a crank angle in degrees, or of trunk,
// shoulder and elbow, which need neither.
//
// Faults are those of [Chain.At] and [Chain.Span]; and [contact.ErrConflict] for a limb that
// does not reach, or that is straight: its angles have no slopes there.
func (c Chain) Slopes(m Variable, side contact.Side, crankAngle float64) (Slopes, error) {
	if _, ok := c.still(m); ok {
		lean, shoulder, elbow, ok := c.arms.gradients(&c.upper)
		if !ok {
			return Slopes{}, noSlope(m.String())
		}
		g := map[Variable]*gradient{TrunkLean: &lean, ShoulderFlexion: &shoulder, ElbowFlexion: &elbow}[m]
		return c.slopes(g, contact.Centre), nil
	}
	p, err := c.At(side, crankAngle)
	if err != nil {
		return Slopes{}, err
	}
	if _, ok := p.of(m); !ok {
		return Slopes{}, fault.New("variable", m.String(), "one that the chain knows", fault.ErrMissing)
	}
	var lean gradient
	if m == HipFlexion {
		var ok bool
		if lean, _, _, ok = c.arms.gradients(&c.upper); !ok {
			return Slopes{}, noSlope(m.String())
		}
	}
	g, ok := c.legs[side].gradient(m, p.CrankAngle, &lean)
	if !ok {
		return Slopes{}, noSlope(m.String())
	}
	return c.slopes(&g, side), nil
}

func noSlope(of string) error {
	return fault.New(of, "a limb that is straight or does not reach", "one that is bent", fault.ErrConflict)
}

// SoleSlopes returns those of the slope of the sole (Posture.SolePitch) of one leg at a crank angle in
// degrees. Faults are those of [Chain.At], and [contact.ErrConflict] as of [Chain.Slopes].
func (c Chain) SoleSlopes(side contact.Side, crankAngle float64) (Slopes, error) {
	return c.bendSlopes("sole_pitch", side, crankAngle, (*leg).sole)
}

// KneeOverSpindleSlopes returns those of [Posture.KneeOverSpindle] of one leg at a crank angle in
// degrees. The landmark, in mm, is taken as exact; with the shank upright an error of it is as much of
// the answer. Faults are those of KneeOverSpindle and [Chain.At], and [contact.ErrConflict] as of
// [Chain.Slopes].
func (c Chain) KneeOverSpindleSlopes(side contact.Side, crankAngle, landmark float64) (Slopes, error) {
	if _, err := (Posture{}).KneeOverSpindle(landmark); err != nil {
		return Slopes{}, err
	}
	return c.bendSlopes("knee_over_spindle", side, crankAngle, func(l *leg, b *bend) gradient { return l.overSpindle(b, landmark) })
}

// bendSlopes returns the slopes of what a leg has at a crank angle.
func (c *Chain) bendSlopes(name string, side contact.Side, crankAngle float64, of func(*leg, *bend) gradient) (Slopes, error) {
	p, err := c.At(side, crankAngle)
	if err != nil {
		return Slopes{}, err
	}
	l := &c.legs[side]
	b, ok := l.bends(p.CrankAngle)
	if !ok {
		return Slopes{}, noSlope(name)
	}
	g := of(l, &b)
	return c.slopes(&g, side), nil
}

// SpanSlopes returns the range of a variable as [Chain.Span] does, and the slopes of its
// extremes. To first order an extreme changes as the variable does at its crank angle.
// Faults are those of Span and of [Chain.Slopes].
func (c Chain) SpanSlopes(m Variable, side contact.Side) (s Span, least, most Slopes, err error) {
	if s, err = c.Span(m, side); err != nil {
		return s, least, most, err
	}
	if least, err = c.Slopes(m, side, s.LeastAt); err == nil {
		most, err = c.Slopes(m, side, s.MostAt)
	}
	return s, least, most, err
}

// An Estimate is a number and its standard uncertainty.
type Estimate struct {
	// Value is the number, Sigma its standard uncertainty, both in its unit.
	Value, Sigma float64
}

// Range returns where the number lies with a probability of coverage, above 0 and below 1,
// such as 0.95, if errors are normal. The fault is [contact.ErrRange].
func (e Estimate) Range(coverage float64) (low, high float64, err error) {
	if !(coverage > 0 && coverage < 1) {
		return 0, 0, fault.New("coverage", num.Text(coverage, ""), "above 0 and below 1", fault.ErrRange)
	}
	half := num.Normal((1+coverage)/2) * e.Sigma
	return e.Value - half, e.Value + half, nil
}

// Real reports whether a change is more than the uncertainty explains: whether its range
// at that coverage is all on one side of 0. The fault is that of [Estimate.Range].
func (e Estimate) Real(coverage float64) (bool, error) {
	low, high, err := e.Range(coverage)
	return err == nil && (low > 0 || high < 0), err
}
