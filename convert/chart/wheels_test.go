package chart_test

import (
	"math"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The frame stands on other tyres: whatever turns with it keeps its distances,
// and the axles come to their new heights.
func TestOnWheels(t *testing.T) {
	g := chart.Geometry{
		Stack: 560, Reach: 385, HeadAngle: 73, SeatAngle: 73.5, SeatOffset: 12,
		Axles: chart.Axles{Chainstay: 410, Drop: 70, ForkOffset: 45, FrontRadius: 340, RearRadius: 340},
	}
	on := chart.Wheels{FrontRadius: 352, RearRadius: 338}
	h, err := g.OnWheels(on)
	require.NoError(t, err)
	pitch, ok := g.Pitch(on)
	require.True(t, ok)
	w, _ := g.Wheelbase()
	assert.InDelta(t, math.Asin(14/w)*180/math.Pi, pitch, 1e-12, "equal wheels before: the axles lay level")
	assert.InDelta(t, math.Hypot(560, 385), math.Hypot(h.Stack, h.Reach), 1e-9)
	f, _ := h.FrontAxle()
	r, _ := h.RearAxle()
	assert.InDelta(t, 14, f.Z-r.Z, 1e-9)
	assert.InDelta(t, w, math.Hypot(f.X-r.X, f.Z-r.Z), 1e-9)
	assert.InDelta(t, 410, math.Hypot(r.X, r.Z), 1e-9)
	assert.Less(t, h.HeadAngle, g.HeadAngle)
	assert.Less(t, h.Reach, g.Reach)
	a, _ := g.SteererToAxle()
	b, _ := h.SteererToAxle()
	assert.InDelta(t, a, b, 1e-9, "head tube and fork stay as long as they are")
	back := chart.Wheels{FrontRadius: 340, RearRadius: 340}
	same, err := h.OnWheels(back)
	require.NoError(t, err)
	assert.InDelta(t, g.Stack, same.Stack, 1e-9)
	assert.InDelta(t, g.Axles.Drop, same.Axles.Drop, 1e-9)
	down, _ := h.Pitch(back)
	assert.Negative(t, down)
	assert.InDelta(t, -pitch, down, 1e-12)

	_, err = g.OnWheels(chart.Wheels{FrontRadius: 34, RearRadius: 34})
	assert.ErrorIs(t, err, contact.ErrUnit)
	g.Axles = chart.Axles{}
	_, err = g.OnWheels(back)
	assert.ErrorIs(t, err, contact.ErrMissing)
	_, err = chart.Geometry{}.OnWheels(back)
	assert.Error(t, err)
}

// A frame that would be none on other wheels: 100 mm more in front turns a head
// angle of 51° by asin(100/990), 6°.
func TestOnWheelsBeyondFrames(t *testing.T) {
	g := worked()
	g.HeadAngle, g.Axles.ForkOffset, g.Reach = 51, 20, 290
	require.NoError(t, g.Validate())
	_, err := g.OnWheels(chart.Wheels{FrontRadius: 440, RearRadius: 340})
	require.ErrorIs(t, err, contact.ErrRange)
	assert.Equal(t, "on_wheels.head_angle_deg", contact.Faults(err)[0].Path)
}

func TestWheelsFaults(t *testing.T) {
	require.NoError(t, chart.Wheels{}.Validate())
	require.NoError(t, chart.Wheels{FrontSag: 120, RearSag: 120, FrontRadius: 100, RearRadius: 450}.Validate())
	assert.Len(t, contact.Faults(chart.Wheels{FrontSag: -1, RearSag: 120.1, FrontRadius: 34, RearRadius: math.NaN()}.Validate()), 4, "all faults together")
	without := worked()
	without.Axles = chart.Axles{}
	for name, c := range map[string]struct {
		wheels chart.Wheels
		on     chart.Geometry
		class  error
	}{
		"no axles":   {chart.Wheels{FrontSag: 1}, without, contact.ErrMissing},
		"turned far": {chart.Wheels{FrontRadius: 440, RearRadius: 110}, worked(), contact.ErrConflict},
		"sag":        {chart.Wheels{RearSag: 200}, worked(), contact.ErrRange},
	} {
		assert.ErrorIs(t, c.wheels.ValidateOn(c.on), c.class, name)
		_, err := c.on.OnWheels(c.wheels)
		assert.ErrorIs(t, err, c.class, name)
	}
	_, ok := without.Pitch(chart.Wheels{FrontSag: 1})
	assert.False(t, ok)
}

// Wheels that turn nothing leave a frame as it is, and need no axles.
func TestNoWheels(t *testing.T) {
	g := worked()
	g.Axles = chart.Axles{}
	require.NoError(t, chart.Wheels{}.ValidateOn(g))
	same, err := g.OnWheels(chart.Wheels{})
	require.NoError(t, err)
	assert.Equal(t, g, same)
	pitch, ok := g.Pitch(chart.Wheels{})
	assert.True(t, ok)
	assert.Zero(t, pitch)
}

// Radii that are not stated are those of the frame.
func TestWheelsOn(t *testing.T) {
	g := worked()
	assert.Equal(t, chart.Wheels{FrontSag: 5, FrontRadius: 350, RearRadius: 340}, chart.Wheels{FrontSag: 5, FrontRadius: 350}.On(g))
	assert.Equal(t, chart.Wheels{FrontRadius: 340, RearRadius: 335}, chart.Wheels{RearRadius: 335}.On(g))
	want, err := g.OnWheels(chart.Wheels{FrontRadius: 350, RearRadius: 340})
	require.NoError(t, err)
	got, err := g.OnWheels(chart.Wheels{FrontRadius: 350})
	require.NoError(t, err)
	assert.Equal(t, want, got)
}

// Sag moves the axles in the frame, and the ground with them: by hand, a rear axle
// that is 20 mm higher in the frame lowers the bottom bracket by its share.
func TestSag(t *testing.T) {
	g := worked()
	w := chart.Wheels{RearSag: 20}
	h, err := g.OnWheels(w)
	require.NoError(t, err)
	pitch, _ := g.Pitch(w)
	front, _ := g.FrontAxle()
	rear, _ := g.RearAxle()
	rear.Z += 20
	assert.InDelta(t, math.Atan2(20, front.X-rear.X)*180/math.Pi, pitch, 1e-12, "the nose goes up")
	f, _ := h.FrontAxle()
	r, _ := h.RearAxle()
	assert.InDelta(t, 0, f.Z-r.Z, 1e-9, "equal wheels stand level")
	assert.InDelta(t, math.Hypot(front.X-rear.X, 20), f.X-r.X, 1e-9)
	before, _ := g.BottomBracketHeight()
	after, _ := h.BottomBracketHeight()
	assert.InDelta(t, before-20*front.X/(front.X-rear.X), after, 0.5)

	// In front it moves along the steering axis.
	w = chart.Wheels{FrontSag: 30}
	h, err = g.OnWheels(w)
	require.NoError(t, err)
	down, _ := g.SteererToAxle()
	less, _ := h.SteererToAxle()
	assert.InDelta(t, down-30, less, 1e-9)
	pitch, _ = g.Pitch(w)
	assert.Negative(t, pitch)
}
