package chart_test

import (
	"math"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The benchmark bicycle: J. P. Meijaard, J. M. Papadopoulos, A. Ruina, A. L.
// Schwab (2007), Proc. R. Soc. A 463(2084), Table 1: trail 0.08 m, steer axis
// tilt π/10 (head angle 72°), front wheel radius 0.35 m, exact. The fork offset
// that follows is d3 in the docstring of benchmark_to_moore (DynamicistToolKit).
func TestBenchmarkBicycle(t *testing.T) {
	const headAngle, trail, radius, offset = 72, 80, 350, 32.07142672761929
	got, err := chart.ForkOffsetOf(headAngle, trail, radius)
	require.NoError(t, err)
	assert.InDelta(t, offset, got, tolMM)
	got, err = chart.TrailOf(headAngle, offset, radius)
	require.NoError(t, err)
	assert.InDelta(t, trail, got, tolMM)
}

// Trail of measured bicycles: J. K. Moore, Human Control of a Bicycle (2012),
// chapter Physical Parameters; data set moorepants/BicycleParameters, commit
// e061bc9c. The radius is the distance rolled over 2π times the revolutions.
func TestTrailOfMeasuredBicycles(t *testing.T) {
	for _, c := range []struct {
		revolutions, rolled, offset, headAngle, trail float64 // m, m, mm, degrees, m
	}{
		{13, 28.06, 70.5, 67.1, 0.0685808540382},
		{13, 27.98, 70.5, 67.1, 0.0681671329298},
		{14, 29.366, 31.5, 74.2, 0.0617300113263},
		{13, 27.925, 56.5, 72.7, 0.0473057207886},
	} {
		got, err := chart.TrailOf(c.headAngle, c.offset, c.rolled*1000/(2*math.Pi*c.revolutions))
		require.NoError(t, err)
		assert.InDelta(t, c.trail*1000, got, 1e-9)
	}
}

// A -17° stem is level at a head angle of 73° (common practice, no source).
func TestLevelStem(t *testing.T) {
	pitch, err := chart.StemPitch(73, -17)
	require.NoError(t, err)
	assert.InDelta(t, 0, pitch, tolMM)
	angle, err := chart.StemAngle(73, 0)
	require.NoError(t, err)
	assert.InDelta(t, -17, angle, tolMM)
	rise, run, err := chart.StemRiseRun(110, 73, -17)
	require.NoError(t, err)
	assert.InDelta(t, 0, rise, tolMM)
	assert.InDelta(t, 110, run, tolMM)
}

func TestStemRiseRunBothWays(t *testing.T) {
	for _, length := range []float64{35, 90, 140} {
		for _, angle := range []float64{-40, -6, 0, 17, 60} {
			rise, run, err := chart.StemRiseRun(length, 71.5, angle)
			require.NoError(t, err)
			l, a, err := chart.StemFromRiseRun(rise, run, 71.5)
			require.NoError(t, err)
			assert.InDelta(t, length, l, tolMM)
			assert.InDelta(t, angle, a, tolMM)
		}
	}
}

func TestScalarFaults(t *testing.T) {
	nan := math.NaN()
	for name, c := range map[string]struct {
		err   error
		class error
		path  string
	}{
		"head angle of 7.3":   {second(chart.TrailOf(7.3, 45, 335)), contact.ErrRange, "head_angle"},
		"radius in metres":    {second(chart.TrailOf(73, 45, 0.335)), contact.ErrUnit, "radius"},
		"offset NaN":          {second(chart.TrailOf(73, nan, 335)), contact.ErrRange, "fork_offset"},
		"trail infinite":      {second(chart.ForkOffsetOf(73, math.Inf(1), 335)), contact.ErrRange, "trail"},
		"stem angle":          {second(chart.StemPitch(73, 61)), contact.ErrRange, "stem_angle"},
		"pitch":               {second(chart.StemAngle(73, nan)), contact.ErrRange, "pitch"},
		"stack in inches":     {second(chart.EffectiveTopTubeOf(22, 385, 73)), contact.ErrUnit, "stack"},
		"top tube in cm":      {second(chart.ReachFromEffectiveTopTube(560, 55, 73)), contact.ErrUnit, "effective_top_tube"},
		"stem of no length":   {third(chart.StemFromRiseRun(0, 0, 73)), contact.ErrRange, "length"},
		"stem's own fault":    {third(chart.StemRiseRun(100, 73, nan)), contact.ErrRange, "stem.stem_angle"},
		"stem rise not known": {third(chart.StemFromRiseRun(nan, 10, 73)), contact.ErrRange, "rise"},
	} {
		require.ErrorIs(t, c.err, c.class, name)
		assert.Equal(t, c.path, contact.Faults(c.err)[0].Path, name)
	}
}

func second(_ float64, err error) error   { return err }
func third(_, _ float64, err error) error { return err }
