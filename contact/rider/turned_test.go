package rider_test

import (
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/internal/invented"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// Identity: a body that is turned as one piece keeps the angles of all joints, whatever is given of
// ankle and trunk, and comes back.
func TestOtherBikeKeepsJoints(t *testing.T) {
	for _, given := range []rider.AnkleAngle{rider.SolePitch, rider.Dorsiflexion} {
		for _, keep := range []rider.UpperAngle{rider.KeepElbow, rider.KeepTrunk} {
			b, p := invented.Rider()
			b.Left.Ankle = rider.Ankle{Given: given, Profile: []float64{-12}}
			b.Right.Ankle = b.Left.Ankle
			b.Upper.Keep = keep
			if keep == rider.KeepTrunk {
				b.Upper.Angle = 50
			}
			got, err := b.OtherBike(p, rider.OtherBike{Turn: 12})
			require.NoError(t, err)
			for _, c := range got.Kept {
				by := 0.
				if c.Variable == rider.TrunkLean {
					by = -12
				}
				assert.InDelta(t, c.Before.Least+by, c.After.Least, 1e-8, c.Variable)
				assert.InDelta(t, c.Before.Most+by, c.After.Most, 1e-8, c.Variable)
			}
			before, _ := p.At(contact.SaddleReference)
			after, _ := got.Position.At(contact.SaddleReference)
			assert.Greater(t, after.X, before.X+100, "the saddle comes forward")
			if given == rider.SolePitch {
				assert.Greater(t, r3.Norm(r3.Vec{X: got.Sole[0].After.Least - got.Sole[0].Before.Least}), 0.1, "a sole that keeps its slope changes the knee")
			} else {
				assert.Nil(t, got.Sole)
			}
			back, err := got.Body.OtherBike(got.Position, rider.OtherBike{Turn: -12})
			require.NoError(t, err)
			for s, v := range p.All() {
				w, ok := back.Position.At(s)
				require.True(t, ok)
				assert.InDelta(t, 0, r3.Norm(r3.Sub(v, w)), 1e-9, s)
			}
		}
	}
}

// On extensions shoulder and elbow have the angles that were asked for.
func TestOtherBikeArms(t *testing.T) {
	b, p := invented.Rider()
	arms := b.Upper
	arms.Grip, arms.Angle, arms.WristBack, arms.WristUp = contact.ExtensionLeft, 75, 60, 30
	got, err := b.OtherBike(p, rider.OtherBike{Turn: 15, Arms: arms, ShoulderFlexion: 80, Width: 110})
	require.NoError(t, err)
	c, err := rider.NewChain(got.Body, got.Position)
	require.NoError(t, err)
	u, ok := c.Upper()
	require.True(t, ok)
	assert.InDelta(t, 80, u.ShoulderFlexion, 1e-9)
	assert.InDelta(t, 75, u.ElbowFlexion, 1e-9)
	was, err := rider.NewChain(b, p)
	require.NoError(t, err)
	v, _ := was.Upper()
	assert.InDelta(t, v.TrunkLean-15, u.TrunkLean, 1e-9)
	_, err = b.OtherBike(p, rider.OtherBike{Turn: 80, Arms: rider.Upper{Trunk: 500}})
	require.ErrorIs(t, err, contact.ErrRange)
	require.ErrorIs(t, err, contact.ErrConflict)
	b.Upper = rider.Upper{}
	_, err = b.OtherBike(p, rider.OtherBike{})
	require.ErrorIs(t, err, contact.ErrMissing)
}

// Identity: a shim as high as a shank is shorter, under a leg that is straight down, makes knees
// nearly alike; shares are taken in their order, by their steps, and the rest is told.
func TestShareOut(t *testing.T) {
	b, p := invented.Rider()
	b.Right.Shank -= 9
	got, err := b.ShareOut(p, []rider.Share{
		{Remedy: rider.ShimUnderCleat, Of: 0.5, Most: 3},
		{Remedy: rider.ShorterCrank, Of: 0.3, Step: 2.5},
		{Remedy: rider.LowerSaddle, Of: 0.1},
	})
	require.NoError(t, err)
	assert.Equal(t, contact.Right, got.Side)
	assert.InDelta(t, 9, got.Difference, 1e-12)
	require.Len(t, got.Steps, 3)
	assert.InDeltaSlice(t, []float64{3, 2.5, 0.9}, []float64{got.Steps[0].By, got.Steps[1].By, got.Steps[2].By}, 1e-12)
	assert.InDelta(t, 2.6, got.Rest, 1e-12)
	least := got.Right.Least
	for i, s := range got.Steps {
		assert.Greater(t, s.Right.Least, least, "each bends the shorter leg more")
		least = s.Right.Least
		if i < 2 {
			assert.InDelta(t, got.Left.Least, s.Left.Least, 1e-9, "and leaves the other")
		} else {
			assert.Greater(t, s.Left.Least, got.Left.Least)
		}
	}
	// The mirror image.
	m := b
	m.Left, m.Right = b.Right, b.Left
	other, err := m.ShareOut(p.Mirror(), []rider.Share{{Remedy: rider.CleatForward, Of: 1}})
	require.NoError(t, err)
	one, err := b.ShareOut(p, []rider.Share{{Remedy: rider.CleatForward, Of: 1}})
	require.NoError(t, err)
	assert.InDelta(t, one.Steps[0].Right.Least, other.Steps[0].Left.Least, 1e-9)
	assert.Greater(t, one.Steps[0].Right.Least, one.Right.Least, "with the toes down")

	_, err = b.ShareOut(p, []rider.Share{{Remedy: 9, Of: 0.9}, {Remedy: rider.LowerSaddle, Of: 0.2}})
	require.ErrorIs(t, err, contact.ErrUnknown)
	require.ErrorIs(t, err, contact.ErrConflict)
	b.Left = rider.Leg{}
	_, err = b.ShareOut(p, nil)
	require.ErrorIs(t, err, contact.ErrMissing)
}
