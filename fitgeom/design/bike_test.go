package design_test

import (
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/design"
	"example.com/fitgeom/internal/invented"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

const contactBarClamp = contact.BarClamp

// bike builds a design, from the parts of the invented bike.
func bike(t *testing.T, p design.Problem, d design.Design) fitgeom.Build {
	t.Helper()
	value := func(s design.Setting) float64 {
		v, _, ok := d.Value(set(s))
		require.True(t, ok)
		return v
	}
	b := invented.Build()
	front := d.Front()
	b.Frame.Geometry = d.Geometry()
	b.Frame.SeatTubeTop, _, _ = d.Get(chart.SeatTubeTop)
	b.Frame.MaxUnderStem = p.MaxUnderStem
	b.Cap.Height = p.Cap
	b.Stem, b.Handlebar, b.Lever = front.Stem, front.Handlebar, front.Lever
	b.Seatpost, b.Saddle = p.Seatpost, p.Saddle
	b.Seatpost.Setback = value(design.Setback)
	s := &b.Settings
	s.Spacers, s.Flipped, s.BarRotation = front.Up-p.Cap, front.Flipped, front.BarRotation
	s.SeatpostExtension, s.RailClamp = value(design.SeatpostExtension), value(design.RailClamp)
	a, _ := p.Target.Attitude(contact.SaddleReference)
	s.SaddleTilt = a.Tilt
	return b
}

// holds checks a design outside of its package: the bike that is built by it, through the
// forward map of package fitgeom, has the position; and what its chart says, solved by
// package chart from the side view alone, is what is wished.
func holds(t *testing.T, p design.Problem, d design.Design, wishes []design.Wish) {
	t.Helper()
	b := bike(t, p, d)
	at, err := b.Position()
	require.NoError(t, err)
	for _, s := range [...]contact.Site{contact.BarClamp, contact.HoodsLeft, contact.HoodsRight, contact.SaddleReference} {
		is, _ := at.At(s)
		if want, ok := p.Target.At(s); ok {
			assert.Less(t, r3.Norm(r3.Sub(is, want)), 1e-5, "%v", s)
		}
	}
	c := chart.Chart{Rounding: chart.Rounding{LengthStep: 1, AngleStep: 0.1}}
	for _, e := range d.Chart(c.Rounding).Entries {
		switch e.Dimension {
		case chart.LowerHeadset, chart.AxleToCrown, chart.SeatTubeTop, chart.SeatTubeCentre, chart.TopTube, chart.Standover:
			c.Entries = append(c.Entries, e) // nothing else says what they are
		}
	}
	for i, dim := range [...]chart.Dimension{
		chart.Stack, chart.Reach, chart.HeadAngle, chart.SeatAngle, chart.SeatOffset,
		chart.Chainstay, chart.Drop, chart.ForkOffset, chart.FrontRadius, chart.RearRadius,
	} {
		c.Entries = append(c.Entries, chart.Entry{Dimension: dim, Value: flat(d.Geometry())[i]})
	}
	solved, err := c.Solve()
	require.NoError(t, err)
	for _, w := range wishes {
		v, _, ok := d.Value(w.Subject)
		require.True(t, ok)
		if w.Subject.Dimension != 0 {
			v, _, ok = solved.Get(w.Subject.Dimension)
			require.True(t, ok, "%v", w)
		}
		assert.True(t, v >= w.From-1e-5 && v <= w.To+1e-5, "%v is %v", w, v)
	}
}
