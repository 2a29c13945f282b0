package region_test

import (
	"math"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/region"
	"example.com/fitgeom/internal/invented"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// With one stem and a bar that is not turned, the region is the rectangle of the hands'
// tolerances. The chance is then a product of two error functions, for reach and stack with
// errors of their own, and that of a line for errors that go together.
func TestRegionChance(t *testing.T) {
	b := invented.Build()
	b.Settings.BarRotation = 0
	bar := b.Handlebar
	bar.RotationRange = 0
	head := b.Frame.Geometry.HeadAngle
	r, err := region.New(t.Context(), invented.Position(b), region.Bounds{
		HeadFrom: head, HeadTo: head, StemHeight: b.Stem.Height,
		StemLength: part.Steps{From: b.Stem.Length, To: b.Stem.Length}, StemAngle: part.Steps{From: b.Stem.Angle, To: b.Stem.Angle}, Up: part.Steps{From: 20, To: 20},
		Handlebar: bar, Lever: b.Lever,
	}, []fitgeom.Keep{{Site: contact.HoodsLeft, Tolerance: r3.Vec{X: 3, Z: 2}}})
	require.NoError(t, err)
	best, ok := r.Best()
	require.True(t, ok)
	in := func(k float64) float64 { return math.Erf(k / math.Sqrt2) }

	own, err := chart.Chart{Rounding: chart.Rounding{LengthStep: 0.01, AngleStep: 1}, Entries: []chart.Entry{
		{Dimension: chart.Reach, Value: best.Reach, Sigma: 2}, {Dimension: chart.Stack, Value: best.Stack, Sigma: 2},
	}}.Solve()
	require.NoError(t, err)
	got, ok := r.Chance(best, own)
	require.True(t, ok)
	assert.InDelta(t, in(1.5)*in(1), got, 0.005)

	one, err := chart.Chart{Rounding: chart.Rounding{LengthStep: 0.01, AngleStep: 1}, Entries: []chart.Entry{
		{Dimension: chart.Reach, Value: best.Reach, Together: "plumb line", Common: 2}, {Dimension: chart.Stack, Value: best.Stack, Together: "plumb line", Common: 2},
	}}.Solve()
	require.NoError(t, err)
	got, ok = r.Chance(best, one)
	require.True(t, ok)
	assert.InDelta(t, in(1), got, 0.005, "the stack's window is the narrower one")

	_, ok = r.Chance(best, chart.Surveyed{})
	assert.False(t, ok)
	_, ok = r.Chance(best, nil)
	assert.False(t, ok)
}
