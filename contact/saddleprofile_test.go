package contact_test

import (
	"math"
	"testing"

	"example.com/fitgeom/contact"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// A reference that was read where the saddle is 70 mm wide lies 9 mm further forward on a
// saddle that widens by a millimetre every 0.9 mm, along its slope of −3°.
func TestCarryReference(t *testing.T) {
	p := contact.SaddleProfile{Width: 70, Widening: 0.9}
	var q contact.Position
	q.Set(contact.SaddleReference, r3.Vec{X: -200, Z: 700})
	_, _, err := p.Carry(q, contact.Covariance{}, 80)
	require.ErrorIs(t, err, contact.ErrMissing, "no tilt")
	q.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: -3})
	k := func(a contact.Axis) contact.Coordinate {
		return contact.Coordinate{Site: contact.SaddleReference, Axis: a}
	}
	cov, err := contact.NewCovariance([]contact.Coordinate{k(contact.AxisX), k(contact.AxisZ), k(contact.AxisTilt)}, func(i, j int) float64 {
		return map[bool]float64{true: 0.25}[i == j]
	})
	require.NoError(t, err)

	got, c, err := p.Carry(q, cov, 80)
	require.NoError(t, err)
	at, _ := got.At(contact.SaddleReference)
	sin, cos := math.Sincos(3 * math.Pi / 180)
	assert.InDelta(t, -200-9*cos, at.X, 1e-12)
	assert.InDelta(t, 700+9*sin, at.Z, 1e-12)
	// The tilt is uncertain by 0.5°, which raises and lowers what lies 9 mm away.
	v, _ := c.At(k(contact.AxisZ), k(contact.AxisZ))
	assert.InDelta(t, 0.25+math.Pow(9*cos*0.5*math.Pi/180, 2), v, 1e-12)
	both, _ := c.At(k(contact.AxisTilt), k(contact.AxisZ))
	assert.InDelta(t, -9*cos*math.Pi/180*0.25, both, 1e-12)

	p.Width = 80
	back, _, err := p.Carry(got, c, 70)
	require.NoError(t, err)
	v0, _ := q.At(contact.SaddleReference)
	v1, _ := back.At(contact.SaddleReference)
	assert.InDelta(t, 0, r3.Norm(r3.Sub(v0, v1)), 1e-12, "there and back")

	for _, wrong := range []contact.SaddleProfile{{Width: 70}, {Width: 39, Widening: 1}, {Width: 70, Widening: math.NaN()}} {
		_, _, err := wrong.Carry(q, cov, 80)
		require.Error(t, err)
	}
	_, _, err = contact.SaddleProfile{}.Carry(q, cov, 70)
	require.ErrorIs(t, err, contact.ErrMissing)
	_, _, err = p.Carry(q, cov, 200)
	require.ErrorIs(t, err, contact.ErrRange)
}
