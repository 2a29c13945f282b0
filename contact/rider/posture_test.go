package rider_test

import (
	"math"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// A shank of 3, 4, 5: the knee is 30 mm in front of the spindle, and what lies 50 mm in
// front of it square to the shank is 40 mm further forward.
func TestKneeOverSpindle(t *testing.T) {
	p := rider.Posture{Knee: r3.Vec{X: 200, Z: 420}, Ankle: r3.Vec{X: -100, Z: 20}, Pedal: r3.Vec{X: 170}}
	for landmark, want := range map[float64]float64{0: 30, 50: 70, -50: -10} {
		got, err := p.KneeOverSpindle(landmark)
		require.NoError(t, err)
		assert.InDelta(t, want, got, 1e-9)
	}
	for _, landmark := range []float64{math.NaN(), 121, -51} {
		_, err := p.KneeOverSpindle(landmark)
		assert.ErrorIs(t, err, contact.ErrRange)
	}
}
