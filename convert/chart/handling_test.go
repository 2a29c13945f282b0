package chart_test

import (
	"math"
	"reflect"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// J. P. Meijaard et al. (2007), benchmark bicycle: trail 80 mm at 72°; the flop factor is
// recomputed. It is the second-order coefficient of how far the frame sinks, and not what
// anything sinks at 90°.
func TestWheelFlop(t *testing.T) {
	s, err := chart.Steering{HeadAngle: 72, Radius: 350}.WithTrail(80)
	require.NoError(t, err)
	f, err := s.WheelFlopFactor()
	require.NoError(t, err)
	assert.InDelta(t, 23.51141009169893, f, 1e-9)
	const small = 0.05 * math.Pi / 180
	sunk, err := s.Sink(0.05)
	require.NoError(t, err)
	assert.InDelta(t, f, 2*sunk.Frame/(small*small), 1e-4)
	cos := math.Cos(72 * math.Pi / 180)
	assert.InDelta(t, 350*cos*cos, 2*sunk.Axle/(small*small), 1e-4, "the axle sinks by another coefficient")
	assert.ErrorIs(t, second(steering(7.2, 32, 350).WheelFlopFactor()), contact.ErrRange)
	assert.ErrorIs(t, second(s.Sink(181)), contact.ErrRange)
	assert.ErrorIs(t, second(steering(7.2, 32, 350).MechanicalTrail()), contact.ErrRange)
}

// Against a wheel of many points that turns about the axis, with the frame held: by as much
// as its lowest point rises the frame sinks, and the axle by as much as it comes nearer to it.
func TestSinkOfPoints(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := func(lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, "number") }
		s := steering(f(60, 85), f(-50, 90), f(150, 400))
		angle := f(-180, 180)
		h := s.HeadAngle * math.Pi / 180
		up, ahead := r3.Vec{X: -math.Cos(h), Z: math.Sin(h)}, r3.Vec{X: math.Sin(h), Z: math.Cos(h)}
		lowest := func(by float64) (z, axle float64) {
			turn := r3.NewRotation(by*math.Pi/180, up)
			centre := turn.Rotate(r3.Scale(s.ForkOffset, ahead))
			axis := turn.Rotate(r3.Vec{Y: 1})
			// The lowest point of a circle lies down its plane's steepest line.
			down := r3.Unit(r3.Sub(r3.Vec{Z: -1}, r3.Scale(-axis.Z, axis)))
			return r3.Add(centre, r3.Scale(s.Radius, down)).Z, centre.Z
		}
		z0, axle0 := lowest(0)
		z, axle := lowest(angle)
		got, err := s.Sink(angle)
		require.NoError(t, err)
		require.InDelta(t, z-z0, got.Frame, 1e-9)
		require.InDelta(t, (axle0-z0)-(axle-z), got.Axle, 1e-9)
	})
}

// The frame as it stands: the numbers of the worked example of geometry.txt, and what
// tyres and sag do to them by Geometry's own methods.
func TestHandling(t *testing.T) {
	g := worked()
	drawn, err := g.Handling(chart.Wheels{})
	require.NoError(t, err)
	assert.InDelta(t, 73, drawn.HeadAngle, 1e-12)
	assert.InDelta(t, 56.892303, drawn.Trail, 1e-6)
	assert.InDelta(t, 581.864163, drawn.FrontCentre, 1e-6)
	assert.InDelta(t, 985.844360, drawn.Wheelbase, 1e-6)
	assert.InDelta(t, 270, drawn.BottomBracketHeight, 1e-9)
	sin, cos := math.Sincos(73 * math.Pi / 180)
	assert.InDelta(t, drawn.Trail*sin, drawn.MechanicalTrail, 1e-9)
	assert.InDelta(t, drawn.Trail*sin*cos, drawn.WheelFlopFactor, 1e-9)

	w := chart.Wheels{FrontSag: 30, FrontRadius: 345}
	sagged, err := g.Handling(w)
	require.NoError(t, err)
	on, err := g.OnWheels(w)
	require.NoError(t, err)
	trail, _ := on.Trail()
	assert.InDelta(t, trail, sagged.Trail, 1e-9)
	change := sagged.Sub(drawn)
	assert.Negative(t, change.Trail, "a fork that sags makes the head angle steeper")
	for i := range reflect.TypeFor[chart.Handling]().NumField() {
		number := func(h chart.Handling) float64 { return reflect.ValueOf(h).Field(i).Float() }
		assert.InDelta(t, number(sagged), number(drawn)+number(change), 1e-9, reflect.TypeFor[chart.Handling]().Field(i).Name)
	}
	front, rear, ok := g.AxlesOn(w)
	require.True(t, ok)
	assert.InDelta(t, sagged.Wheelbase, front.X-rear.X, 1e-9)
	assert.InDelta(t, sagged.FrontCentre, front.X, 1e-9)
	assert.InDelta(t, front.Z-345, rear.Z-340, 1e-9, "one level ground")

	g.Axles = chart.Axles{}
	_, err = g.Handling(chart.Wheels{})
	assert.ErrorIs(t, err, contact.ErrMissing)
	_, _, ok = g.AxlesOn(chart.Wheels{})
	assert.False(t, ok)
	_, err = worked().Handling(chart.Wheels{FrontRadius: 3})
	assert.ErrorIs(t, err, contact.ErrRange)
}

// Points beside the steering axis, by the direction of the axis.
func TestFromSteeringAxis(t *testing.T) {
	g := worked()
	up := g.SteererUp()
	on := r3.Add(g.HeadTop(), r3.Scale(80, up))
	ahead, direct := g.FromSteeringAxis(on)
	assert.InDelta(t, 0, ahead, 1e-9)
	assert.InDelta(t, 0, direct, 1e-9)
	ahead, direct = g.FromSteeringAxis(r3.Add(on, r3.Vec{X: 60 * up.Z, Y: -80, Z: -60 * up.X}))
	assert.InDelta(t, 60, ahead, 1e-9)
	assert.InDelta(t, 100, direct, 1e-9)
	axle, _ := g.FrontAxle()
	ahead, _ = g.FromSteeringAxis(axle)
	assert.InDelta(t, 45, ahead, 1e-9, "the fork's offset")
	ahead, _ = g.FromSteeringAxis(r3.Vec{})
	assert.Negative(t, ahead)
}
