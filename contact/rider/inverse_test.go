package rider_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

func between(rng *rand.Rand, lo, hi float64) float64 { return lo + (hi-lo)*rng.Float64() }

// anybody returns a random body and a position that it reaches. Its ankle is
// fixed, or has a profile of up to 36 angles.
func anybody(rng *rand.Rand, given rider.AnkleAngle, angles int) (rider.Body, contact.Position) {
	mean, swing, phase := between(rng, -25, 0), between(rng, 0, 15), between(rng, 0, 2*math.Pi)
	profile := make([]float64, angles)
	for i := range profile {
		at := 2 * math.Pi * float64(i) / float64(angles)
		profile[i] = mean + swing*math.Sin(at+phase) + 0.2*swing*math.Sin(2*at)
	}
	leg := rider.Leg{
		Thigh: between(rng, 350, 500), Shank: between(rng, 350, 500), AnkleHeight: between(rng, 50, 120), AnkleBehind: between(rng, 60, 160),
		Ankle: rider.Ankle{Given: given, Profile: profile},
	}
	b := rider.Body{Left: leg, HipForward: between(rng, -50, 70), HipUp: between(rng, 50, 120)}
	crank, stack := between(rng, 130, 190), between(rng, 5, 50)
	reach := leg.Thigh + leg.Shank + leg.AnkleHeight + stack - crank
	distance, lean := reach*between(rng, 0.88, 0.95), between(rng, 5, 25)*math.Pi/180
	return b, contact.New(map[contact.Site]r3.Vec{
		contact.SaddleReference: {X: -distance*math.Sin(lean) - b.HipForward, Z: distance*math.Cos(lean) - b.HipUp},
		contact.FootLeft:        {X: crank, Y: 120, Z: stack},
	})
}

// What an inverse was asked for must come back by the way forward, within 1e-9
// degrees.
func TestForwardUndoesInverse(t *testing.T) {
	rng := rand.New(rand.NewPCG(71, 1))
	worst, impossible := 0., 0
	try := func(n int, given rider.AnkleAngle, angles int) {
		switch {
		case testing.Short():
			n /= 10
		case !trial.Long():
			n /= 4
		}
		for range n {
			b, p := anybody(rng, given, angles)
			want := between(rng, 20, 60)
			line := between(rng, 68, 90)
			by, after, err := b.RaiseSaddle(p, contact.Left, want, line)
			if err != nil { // a joint that is held may not allow it
				require.ErrorIs(t, err, contact.ErrConflict)
				require.Equal(t, rider.Dorsiflexion, given)
				impossible++
				continue
			}
			far, err := chain(t, b, after).FarEnd(contact.Left)
			require.NoError(t, err)
			worst = max(worst, math.Abs(far.KneeFlexion-want))
			was, _ := p.At(contact.SaddleReference)
			is, _ := after.At(contact.SaddleReference)
			assert.InDelta(t, math.Abs(by), r3.Norm(r3.Sub(is, was)), 1e-9)

			// The crank: from the raised saddle, another flexion, and back.
			length, other, err := b.CrankLength(after, contact.Left, want+2)
			if err != nil { // less than 50 mm, or more than 250
				require.ErrorIs(t, err, contact.ErrRange)
				continue
			}
			far, err = chain(t, b, other).FarEnd(contact.Left)
			require.NoError(t, err)
			worst = max(worst, math.Abs(far.KneeFlexion-want-2))
			foot, _ := after.At(contact.FootLeft)
			assert.Less(t, length, foot.X, "a knee that is to bend more wants a shorter crank")
			back, _, err := b.CrankLength(other, contact.Left, want)
			require.NoError(t, err)
			assert.InDelta(t, foot.X, back, 1e-8)
		}
	}
	try(8000, rider.SolePitch, 1)
	for range 200 { // a straight leg, where rounding counts most
		b, p := anybody(rng, rider.SolePitch, 1)
		_, after, err := b.RaiseSaddle(p, contact.Left, 0, 74)
		require.NoError(t, err)
		far, err := chain(t, b, after).FarEnd(contact.Left)
		require.NoError(t, err)
		assert.InDelta(t, 0, far.KneeFlexion, 1e-5)
		assert.Zero(t, far.Gap)
	}
	try(1500, rider.Dorsiflexion, 1)
	try(300, rider.SolePitch, 12)
	try(200, rider.Dorsiflexion, 36)
	t.Logf("worst: %.2g degrees; not possible: %d", worst, impossible)
	assert.Less(t, worst, 1e-9)
	assert.Less(t, impossible, 500)
}

// No joint angle may jump on the way around the crank circle: of steps ten times
// as small, the largest change of an angle is about a tenth.
func TestNoBranchJumps(t *testing.T) {
	rng := rand.New(rand.NewPCG(72, 1))
	n := 60
	if testing.Short() {
		n = 16
	}
	for i := range n {
		given := []rider.AnkleAngle{rider.SolePitch, rider.Dorsiflexion}[i%2]
		b, p := anybody(rng, given, []int{1, 5, 12, 24}[i/2%4])
		_, after, err := b.RaiseSaddle(p, contact.Left, between(rng, 18, 50), 74)
		if err != nil {
			continue
		}
		b.Upper = rider.Upper{Trunk: 500, UpperArm: 320, Forearm: 260, Grip: contact.HoodsRight, Keep: rider.KeepTrunk, Angle: 45}
		after.Set(contact.HoodsRight, r3.Vec{X: 500, Y: -200, Z: 650})
		c := chain(t, b, after)
		coarse, fine := largest(t, c, 720), largest(t, c, 7200)
		for k := range coarse {
			assert.Less(t, coarse[k], 3., "%d: number %d", i, k)
			assert.LessOrEqual(t, fine[k], coarse[k]/8+1e-9, "%d: number %d", i, k)
		}
	}
}

// largest returns the largest change of each number of a posture from one of n
// crank angles to the next, the last to the first included.
func largest(t *testing.T, c rider.Chain, n int) (most [8]float64) {
	stroke := make([]rider.Posture, n)
	require.NoError(t, c.Stroke(contact.Left, stroke))
	numbers := func(p *rider.Posture) [8]float64 {
		return [8]float64{p.KneeFlexion, p.HipFlexion, p.AnkleDorsiflexion, p.ThighPitch, p.SolePitch, p.Knee.X / 10, p.Knee.Z / 10, p.Ankle.Z / 10}
	}
	before := numbers(&stroke[n-1])
	for i := range stroke {
		require.Zero(t, stroke[i].Gap)
		now := numbers(&stroke[i])
		for k := range now {
			most[k] = max(most[k], math.Abs(now[k]-before[k]))
		}
		before = now
	}
	return most
}

// The extremes of a search must not be beaten by any of 7200 crank angles.
func TestExtremesAreExtreme(t *testing.T) {
	rng := rand.New(rand.NewPCG(73, 1))
	for i := range 40 {
		b, p := anybody(rng, rider.SolePitch+rider.AnkleAngle(i%2), []int{1, 3, 12, 90}[i/2%4])
		c := chain(t, b, p)
		stroke := make([]rider.Posture, 7200)
		require.NoError(t, c.Stroke(contact.Left, stroke))
		knee, err := c.Span(rider.KneeFlexion, contact.Left)
		require.NoError(t, err)
		ankle, err := c.Span(rider.AnkleDorsiflexion, contact.Left)
		require.NoError(t, err)
		leastKnee, mostKnee, leastAnkle, mostAnkle, gap := 999., 0., 999., -999., 0.
		for _, s := range stroke {
			leastKnee, mostKnee = min(leastKnee, s.KneeFlexion), max(mostKnee, s.KneeFlexion)
			leastAnkle, mostAnkle = min(leastAnkle, s.AnkleDorsiflexion), max(mostAnkle, s.AnkleDorsiflexion)
			gap = max(gap, s.Gap)
		}
		assert.LessOrEqual(t, knee.Least, leastKnee+1e-9, i)
		assert.GreaterOrEqual(t, knee.Most, mostKnee-1e-9, i)
		assert.LessOrEqual(t, ankle.Least, leastAnkle+1e-9, i)
		assert.GreaterOrEqual(t, ankle.Most, mostAnkle-1e-9, i)
		assert.GreaterOrEqual(t, knee.Gap, gap-1e-9, i)
		if gap == 0 {
			assert.InDelta(t, leastKnee, knee.Least, 1e-4, i)
		}
		at, err := c.At(contact.Left, knee.MostAt)
		require.NoError(t, err)
		assert.InDelta(t, knee.Most, at.KneeFlexion, 1e-9, i)
	}
}
