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
	s, err := chart.Steering{HeadAngle: headAngle, Radius: radius}.WithTrail(trail)
	require.NoError(t, err)
	assert.InDelta(t, offset, s.ForkOffset, tolMM)
	got, err := chart.Steering{HeadAngle: headAngle, ForkOffset: offset, Radius: radius}.Trail()
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
		got, err := chart.Steering{HeadAngle: c.headAngle, ForkOffset: c.offset, Radius: c.rolled * 1000 / (2 * math.Pi * c.revolutions)}.Trail()
		require.NoError(t, err)
		assert.InDelta(t, c.trail*1000, got, 1e-9)
	}
}

func TestScalarFaults(t *testing.T) {
	nan := math.NaN()
	for name, c := range map[string]struct {
		err   error
		class error
		path  string
	}{
		"head angle of 7.3":  {second(steering(7.3, 45, 335).Trail()), contact.ErrRange, "head_angle_deg"},
		"radius in metres":   {second(steering(73, 45, 0.335).Trail()), contact.ErrUnit, "radius_mm"},
		"offset NaN":         {second(steering(73, nan, 335).Trail()), contact.ErrRange, "fork_offset_mm"},
		"trail infinite":     {second(steering(73, nan, 335).WithTrail(math.Inf(1))), contact.ErrRange, "trail_mm"},
		"radius for a trail": {second(steering(73, nan, 33.5).WithTrail(57)), contact.ErrUnit, "radius_mm"},
		"stack in inches":    {second(chart.VirtualTopTube{Stack: 22, SeatAngle: 73, Effective: 550}.Reach()), contact.ErrUnit, "stack_mm"},
		"top tube in cm":     {second(chart.VirtualTopTube{Stack: 560, SeatAngle: 73, Effective: 55}.Reach()), contact.ErrUnit, "effective_mm"},
		"seat angle of 7.3":  {second(chart.VirtualTopTube{Stack: 560, SeatAngle: 7.3, Effective: 550}.Reach()), contact.ErrRange, "seat_angle_deg"},
	} {
		require.ErrorIs(t, c.err, c.class, name)
		assert.Equal(t, c.path, contact.Faults(c.err)[0].Path, name)
	}
}

func steering(head, offset, radius float64) chart.Steering {
	return chart.Steering{HeadAngle: head, ForkOffset: offset, Radius: radius}
}

func second[T any](_ T, err error) error { return err }

// By hand: a line of slope 2 (63.43°) is 350 mm behind at 700 mm up; 0.2° of seat
// angle at 730 mm along the tube move the saddle by 2.55 mm.
func TestSetback(t *testing.T) {
	p, err := chart.SeatPointAt(700, math.Atan(2)*180/math.Pi)
	require.NoError(t, err)
	assert.Equal(t, 700., p.Height)
	assert.InDelta(t, 350, p.Setback, 1e-9)
	a, err := p.SeatAngle()
	require.NoError(t, err)
	assert.InDelta(t, math.Atan(2)*180/math.Pi, a, 1e-12)
	assert.InDelta(t, 2.55, 730*0.2*math.Pi/180, 0.005)
	assert.ErrorIs(t, second(chart.SeatPointAt(700, 7.3)), contact.ErrRange)
	assert.ErrorIs(t, second(chart.SeatPoint{Height: 70, Setback: 200}.SeatAngle()), contact.ErrUnit)
}

// GOST R ISO 4210-2-2023, Annex A names the ratio; the numbers are recomputed from
// the measured bicycles of J. K. Moore (2012) and the benchmark of 2007.
func TestSteeringAxisCut(t *testing.T) {
	for _, c := range []struct{ head, offset, radius, want float64 }{
		{72, 32.071426727619305, 350, 0.703471},
		{67.1, 70.5, 343.52982332, 0.472604},
		{74.2, 31.5, 333.838861345, 0.653457},
		{72.7, 56.5, 341.877060449, 0.444257},
	} {
		got, err := steering(c.head, c.offset, c.radius).AxisCut()
		require.NoError(t, err)
		assert.InDelta(t, c.want, got, 1e-6)
	}
	assert.ErrorIs(t, second(steering(90, 45, 340).AxisCut()), contact.ErrRange)
}
