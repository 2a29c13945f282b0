package rider

import (
	"math"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
)

// An Uncertainty says what two positions and a body are uncertain by. What is zero is
// exact.
type Uncertainty struct {
	Body Covariance
	// Before and After are of the positions, each measured by itself.
	Before, After contact.Covariance
	// Moved says that the second position is the first one with parts moved by known
	// amounts: then the errors of both are those of Before, and After must be zero.
	Moved bool
}

// A Change is what becomes of one variable of a body in another position, with its
// uncertainty.
type Change struct {
	Comparison
	// Least, Most and Range are those of the span after less those before.
	Least, Most, Range Estimate
}

// Changes is [Body.Compare] with uncertainties. The body's errors are the same in both
// positions, so that most of them fall out of a change.
//
// What both have in common is followed as far as the uncertainties go, since a knee that
// is nearly straight bends more for each millimetre; the rest is of first order. Against
// draws that was right to 2 % for lengths known to 1 mm and to 4 for 1.5 mm, where first order
// alone was 17 % too small.
//
// Faults are those of Compare; [contact.ErrConflict] for an After beside Moved, and for a
// limb that does not reach or is straight in either position; and those of [Slopes.Sigma],
// with body or position replaced by body, before or after.
func (b Body) Changes(before, after contact.Position, u Uncertainty) ([]Change, error) {
	compared, err := b.Compare(before, after)
	if err != nil {
		return nil, err
	}
	var f fault.List
	if u.Moved && len(u.After.Coordinates()) > 0 {
		f.Add("after", "its own covariance", "none, if it was moved", contact.ErrConflict)
	}
	var chains [2]Chain
	for i, p := range []contact.Position{before, after} {
		chains[i], _ = NewChain(b, p) // as Compare did
	}
	all := make([]Change, len(compared))
	for i, c := range compared {
		all[i].Comparison = c
		_, least, most, err := chains[0].SpanSlopes(c.Variable, c.Side)
		f.In("before", err)
		_, leastAfter, mostAfter, err := chains[1].SpanSlopes(c.Variable, c.Side)
		f.In("after", err)
		if f.Len() > 0 {
			continue
		}
		at := func(end func(*Span) float64) func(one, two *Chain) (float64, bool) {
			return func(one, two *Chain) (float64, bool) {
				v, ok := one.near(c.Variable, c.Side, end(&c.Before))
				w, too := two.near(c.Variable, c.Side, end(&c.After))
				return w - v, ok && too
			}
		}
		low, high := at(func(s *Span) float64 { return s.LeastAt }), at(func(s *Span) float64 { return s.MostAt })
		of := func(change float64, g, h Slopes, is func(one, two *Chain) (float64, bool)) Estimate {
			e := u.of(&f, change, g, h)
			if s, ok := u.sway(g, h); ok && f.Len() == 0 {
				first := s.of(h, s.after) - s.of(g, s.before)
				if v := b.bent(&s, before, after, is); !math.IsNaN(v) {
					e.Sigma = math.Sqrt(max(0, e.Sigma*e.Sigma-first*first+v))
				}
			}
			return e
		}
		a := &all[i]
		a.Least = of(c.After.Least-c.Before.Least, least, leastAfter, low)
		a.Most = of(c.After.Most-c.Before.Most, most, mostAfter, high)
		a.Range = of(c.After.Range()-c.Before.Range(), most.Sub(least), mostAfter.Sub(leastAfter), func(one, two *Chain) (float64, bool) {
			v, ok := low(one, two)
			w, too := high(one, two)
			return w - v, ok && too
		})
	}
	if err := f.Err(); err != nil {
		return nil, err
	}
	return all, nil
}

// of returns a change with its uncertainty, from the slopes of what is compared.
func (u *Uncertainty) of(f *fault.List, change float64, before, after Slopes) Estimate {
	d := after.Sub(before)
	if u.Moved {
		sigma, err := d.Sigma(u.Before, u.Body)
		for _, e := range contact.Faults(err) {
			f.Add(strings.Replace(e.Path, "position.", "before.", 1), e.Value, e.Want, e.Class)
		}
		return Estimate{change, sigma}
	}
	variance := 0.0
	for _, part := range []struct {
		name string
		of   Slopes
		p    contact.Covariance
		b    Covariance
	}{
		{"", Slopes{Body: d.Body}, contact.Covariance{}, u.Body},
		{"before.", Slopes{Position: before.Position}, u.Before, Covariance{}},
		{"after.", Slopes{Position: after.Position}, u.After, Covariance{}},
	} {
		sigma, err := part.of.Sigma(part.p, part.b)
		for _, e := range contact.Faults(err) {
			f.Add(strings.Replace(e.Path, "position.", part.name, 1), e.Value, e.Want, e.Class)
		}
		variance += sigma * sigma
	}
	return Estimate{change, math.Sqrt(variance)}
}

// An Answer is what an inverse found, and what it depends on.
type Answer struct {
	// Value is the move of the saddle or the length of the crank, mm.
	Value float64
	// Slopes are how much it changes with position and body, if the flexion is to stay as
	// it was asked for.
	Slopes Slopes
	// PerDegree is how much it changes with a degree of the wanted flexion, mm.
	PerDegree float64
}

// SaddleSlopes is [Body.RaiseSaddle] with the slopes of the move: [Slopes.Sigma] of them says
// how well the move is known. Faults are those of RaiseSaddle, and of [Chain.Slopes] at the
// answer.
func (b Body) SaddleSlopes(p contact.Position, side contact.Side, kneeFlexion, lineAngle float64) (Answer, error) {
	by, after, err := b.RaiseSaddle(p, side, kneeFlexion, lineAngle)
	if err != nil {
		return Answer{}, err
	}
	sin, cos := num.Sincos(lineAngle)
	return b.answer(by, after, side, func(g *gradient) float64 { return sin*g[byHipZ] - cos*g[byHipX] }, -1)
}

// CrankSlopes is [Body.CrankLength] with the slopes of the length, which does not depend on
// the crank that the position has. Faults are those of CrankLength, and of [Chain.Slopes] at
// the answer.
func (b Body) CrankSlopes(p contact.Position, side contact.Side, kneeFlexion float64) (Answer, error) {
	length, after, err := b.CrankLength(p, side, kneeFlexion)
	if err != nil {
		return Answer{}, err
	}
	return b.answer(length, after, side, func(g *gradient) float64 { return g[byCrank] }, byCrank)
}

// answer returns the slopes of what keeps the flexion at the far end, by the theorem of
// implicit functions: rate is what a mm of the answer does to the flexion. The answer does
// not depend on what it replaces.
func (b *Body) answer(value float64, after contact.Position, side contact.Side, rate func(*gradient) float64, replaces int) (Answer, error) {
	c, err := NewChain(*b, after)
	if err != nil {
		return Answer{}, err
	}
	far, err := c.FarEnd(side)
	if err != nil {
		return Answer{}, err
	}
	g, ok := c.legs[side].gradient(KneeFlexion, far.CrankAngle, &gradient{})
	per := rate(&g)
	if !ok || per == 0 {
		return Answer{}, noSlope(KneeFlexion.String())
	}
	if replaces >= 0 {
		g[replaces] = 0
	}
	return Answer{Value: value, Slopes: c.slopes(&g, side).scaled(-1 / per), PerDegree: 1 / per}, nil
}
