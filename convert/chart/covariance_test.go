package chart_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A frame as a workshop reads it: heights from one gauge whose foot is off by some
// unknown amount, distances along the ground from one plumb line, the rest by tape and
// level. Trail and fork offset follow.
func gauged() chart.Chart {
	return chart.Chart{
		Rounding: chart.Rounding{LengthStep: 0.5, AngleStep: 0.1},
		Entries: []chart.Entry{
			{Dimension: chart.FrontRadius, Value: 338, Sigma: 0.5, Together: "height gauge", Common: 1.5},
			{Dimension: chart.RearRadius, Value: 338, Sigma: 0.5, Together: "height gauge", Common: 1.5},
			{Dimension: chart.BottomBracketHeight, Value: 270, Sigma: 0.5, Together: "height gauge", Common: 1.5},
			{Dimension: chart.Stack, Value: 560, Sigma: 1},
			{Dimension: chart.Reach, Value: 385, Sigma: 0.7, Together: "plumb line", Common: 1},
			{Dimension: chart.FrontCentreHorizontal, Value: 588, Sigma: 0.7, Together: "plumb line", Common: 1},
			{Dimension: chart.Chainstay, Value: 412, Sigma: 1},
			{Dimension: chart.Wheelbase, Value: 994, Sigma: 1},
			{Dimension: chart.HeadAngle, Value: 72.5, Sigma: 0.1},
		},
	}
}

// What follows from correlated readings against Monte Carlo (JCGM 101:2008, clause 7):
// readings drawn with what they share, rounded as they are read, and solved.
func TestCorrelatedReadingsMonteCarlo(t *testing.T) {
	c := gauged()
	sol, err := c.Solve()
	require.NoError(t, err)
	dims := []chart.Dimension{chart.Trail, chart.ForkOffset, chart.FrontRadius, chart.Drop, chart.Wheelbase}
	rng := rand.New(rand.NewPCG(4, 5))
	const n = 20_000
	sums, squares := make([]float64, len(dims)), make([][]float64, len(dims))
	for i := range squares {
		squares[i] = make([]float64, len(dims))
	}
	centre := make([]float64, len(dims))
	for i, d := range dims {
		centre[i], _, _ = sol.Get(d)
	}
	drawn := gauged()
	for range n {
		shared := map[string]float64{"height gauge": rng.NormFloat64(), "plumb line": rng.NormFloat64()}
		for i := range drawn.Entries {
			e, o := &drawn.Entries[i], c.Entries[i]
			step := c.LengthStep
			if o.Dimension.Unit() != "mm" {
				step = c.AngleStep
			}
			e.Value = step * math.Round((o.Value+o.Sigma*rng.NormFloat64()+o.Common*shared[o.Together])/step)
		}
		got, err := drawn.Solve()
		require.NoError(t, err)
		off := make([]float64, len(dims))
		for i, d := range dims {
			v, _, ok := got.Get(d)
			require.True(t, ok)
			off[i] = v - centre[i]
			sums[i] += off[i]
		}
		for i := range off {
			for j := range off {
				squares[i][j] += off[i] * off[j]
			}
		}
	}
	for i, d := range dims {
		for j, e := range dims {
			mean := squares[i][j]/n - sums[i]/n*sums[j]/n
			got, ok := sol.Covariance(d, e)
			require.True(t, ok)
			si, _ := sol.Covariance(d, d)
			sj, _ := sol.Covariance(e, e)
			assert.InDelta(t, mean, got, 0.04*math.Sqrt(si*sj), "%v with %v", d, e) // 2 % of σ
		}
		_, sigma, _ := sol.Get(d)
		v, _ := sol.Covariance(d, d)
		assert.InDelta(t, sigma, math.Sqrt(v), 1e-12)
	}
	// Had the gauge's errors been independent, the trail's σ would be another one.
	apart := gauged()
	for i := range apart.Entries {
		e := &apart.Entries[i]
		e.Sigma, e.Together, e.Common = math.Hypot(e.Sigma, e.Common), "", 0
	}
	other, err := apart.Solve()
	require.NoError(t, err)
	_, with, _ := sol.Get(chart.Trail)
	_, without, _ := other.Get(chart.Trail)
	assert.Greater(t, math.Abs(with/without-1), 0.1)
}

// Slopes against charts with one number changed, and the covariance against the law of
// propagation (JCGM 100:2008, 5.2.2) by these slopes.
func TestSlopes(t *testing.T) {
	c := gauged()
	sol, err := c.Solve()
	require.NoError(t, err)
	const h = 0.01
	for _, d := range chart.Dimensions() {
		at := slices.IndexFunc(sol.Values, func(v chart.Value) bool { return v.Dimension == d })
		if at < 0 {
			continue
		}
		sigma := sol.Values[at].Sigma
		slopes, ok := c.Slopes(sol.Values[at])
		require.True(t, ok)
		variance, shared := 0.0, map[string]float64{}
		for i, by := range slopes {
			more, less := gauged(), gauged()
			more.Entries[i].Value += h
			less.Entries[i].Value -= h
			a, err := more.Solve()
			require.NoError(t, err)
			b, err := less.Solve()
			require.NoError(t, err)
			up, _, _ := a.Get(d)
			down, _, _ := b.Get(d)
			assert.InDelta(t, (up-down)/(2*h), by, 0.02, "%v by %v", d, c.Entries[i].Dimension) // it bends
			e := c.Entries[i]
			step := c.LengthStep
			if e.Dimension.Unit() != "mm" {
				step = c.AngleStep
			}
			own := by * math.Hypot(e.Sigma, step/math.Sqrt(12))
			variance += own * own
			shared[e.Together] += by * e.Common
		}
		for _, v := range shared {
			variance += v * v
		}
		assert.InDelta(t, math.Sqrt(variance), sigma, 1e-9, d)
	}
	_, ok := c.Slopes(chart.Value{})
	assert.False(t, ok)
	_, ok = chart.Solution{}.Covariance(chart.Stack, chart.Reach)
	assert.False(t, ok)
}

// What entries share has a name and an amount, and not too many names.
func TestTogetherFaults(t *testing.T) {
	c := gauged()
	c.Entries[0].Common = 0
	c.Entries[1].Together = ""
	c.Entries[2].Common = 30
	faults := contact.Faults(c.Validate())
	require.Len(t, faults, 3)
	for i, want := range []struct {
		path  string
		class error
	}{{"entries[0].common_mm", contact.ErrMissing}, {"entries[1].together", contact.ErrMissing}, {"entries[2].common_mm", contact.ErrRange}} {
		assert.Equal(t, want.path, faults[i].Path)
		assert.ErrorIs(t, faults[i], want.class)
	}
	c = gauged()
	for i := range 41 {
		c.Entries = append(c.Entries, chart.Entry{Dimension: chart.Stack, Value: 560, Together: fmt.Sprint(i), Common: 1})
	}
	require.ErrorIs(t, c.Validate(), contact.ErrRange)
}
