package rig_test

import (
	"math"
	"testing"

	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/rig"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

func geometry() chart.Geometry {
	return chart.Geometry{Stack: 560, Reach: 385, HeadAngle: 72, SeatAngle: 74, SeatOffset: 15}
}

func near(t *testing.T, want, got r3.Vec) {
	t.Helper()
	assert.InDelta(t, 0, r3.Norm(r3.Sub(want, got)), 1e-9, "want %v, got %v", want, got)
}

func TestChassis(t *testing.T) {
	g := geometry()
	c := rig.NewChassis(&g, 500, 0)
	near(t, r3.Vec{X: 385, Z: 560}, c.HeadTop)
	near(t, g.SteererUp(), c.SteererUp)
	near(t, r3.Add(g.SeatFoot(), r3.Scale(500, g.SeatUp())), c.SeatTop)
	near(t, g.SeatUp(), c.SeatUp)

	// As it stands, all of it is turned about the bottom bracket.
	p := rig.NewChassis(&g, 500, 2)
	sin, cos := num.Sincos(2)
	near(t, num.Turned(c.HeadTop, sin, cos), p.HeadTop)
	near(t, num.Turned(c.SteererUp, sin, cos), p.SteererUp)
	near(t, num.Turned(c.SeatTop, sin, cos), p.SeatTop)
	near(t, num.Turned(c.SeatUp, sin, cos), p.SeatUp)
	assert.Equal(t, 70., p.HeadAngle, "nose-up makes the head angle less")
	assert.InDelta(t, 70, num.Atan2(p.SteererUp.Z, -p.SteererUp.X), 1e-9)
}

func TestSteererCoordinates(t *testing.T) {
	g := geometry()
	c := rig.NewChassis(&g, 500, 1.5)
	q, a := c.Steerer(c.SteererUp)
	assert.InDelta(t, 0, q, 1e-15)
	assert.InDelta(t, 1, a, 1e-15)
	for _, v := range []r3.Vec{{X: 1}, {Z: 1}, {X: 420, Z: 610}, {X: -30, Z: -7}} {
		q, a := c.Steerer(v)
		assert.InDelta(t, math.Hypot(v.X, v.Z), math.Hypot(q, a), 1e-9)
		near(t, v, c.Plane(q, a))
	}
	q, _ = c.Steerer(r3.Vec{X: 1})
	assert.Positive(t, q, "across the steerer is forward")
}

// The clamp is where the stem's own conversion says, half of the stem's height and
// the spacers up the steerer.
func TestClamp(t *testing.T) {
	g := geometry()
	for _, pitch := range []float64{0, -1.2} {
		c := rig.NewChassis(&g, 500, pitch)
		for _, flipped := range []bool{false, true} {
			s := part.Stem{Length: 110, Angle: -6, Height: 40}
			mount := c.Mount(&s, rig.StemSet{Flipped: flipped})
			if flipped {
				s.Angle = -s.Angle
			}
			off, err := s.Offset(c.HeadAngle)
			require.NoError(t, err)
			want := r3.Add(c.HeadTop, r3.Scale(20+25, c.SteererUp))
			near(t, r3.Add(want, r3.Vec{X: off.Run, Z: off.Rise}), c.Clamp(&mount, 25))
		}
	}
}

func TestRailClamp(t *testing.T) {
	g := geometry()
	c := rig.NewChassis(&g, 500, 0)
	top := r3.Add(c.SeatTop, r3.Scale(180, c.SeatUp))
	near(t, top, c.RailClamp(&part.Seatpost{}, 180))
	back := r3.Sub(c.RailClamp(&part.Seatpost{Setback: 25}, 180), top)
	assert.InDelta(t, 25, r3.Norm(back), 1e-9)
	assert.InDelta(t, 0, r3.Dot(back, c.SeatUp), 1e-9)
	assert.Negative(t, back.X)
}

func TestFits(t *testing.T) {
	assert.True(t, rig.Fits(27.2, 27.2))
	assert.True(t, rig.Fits(27.2, 27.249))
	assert.False(t, rig.Fits(27.2, 27.3))
	assert.False(t, rig.Fits(27.3, 27.2))
	assert.False(t, rig.Fits(27.2, math.NaN()))
}
