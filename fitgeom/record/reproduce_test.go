package record_test

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/record"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/invented"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// another is a frame that the position of the tests fits too.
func another() solve.Problem {
	f := invented.Road54()
	f.Name = "road 55"
	f.Geometry.Stack, f.Geometry.Reach, f.Geometry.SeatAngle = 564, 386, 73
	return solve.Problem{Frame: f, Shelf: invented.Shelf(), Crank: fitgeom.KeepSaddle, Limit: 3}
}

// The answer is that of the problem, with the chance that a bike so built has the rider's true
// position: as often as positions drawn with the record's errors are within tolerance of the
// build.
func TestReproduce(t *testing.T) {
	rng := rand.New(rand.NewPCG(24, 3))
	r := drawn(rng, invented.Position(invented.Build()), 0.6)
	got, err := r.Reproduce(t.Context(), another(), solve.Errors{})
	require.NoError(t, err)
	p := another()
	p.Target = r.Fix.Position
	want, err := p.Solve(t.Context())
	require.NoError(t, err)
	require.Equal(t, want, got.Result)
	require.Len(t, got.Chances, len(want.Candidates))
	sure := 0
	for i, c := range want.Candidates {
		const draws = 4000
		in := 0
		for range draws {
			truth := drawn(rng, r.Fix.Position, 0.6).Fix.Position
			within := true
			for _, d := range c.Deviations {
				built, _ := invented.Position(c.Build).At(d.Keep.Site)
				at, _ := truth.At(d.Keep.Site)
				off := r3.Sub(built, at)
				for _, v := range [][2]float64{{off.X, d.Keep.Tolerance.X}, {off.Y, d.Keep.Tolerance.Y}, {off.Z, d.Keep.Tolerance.Z}} {
					within = within && (v[1] == 0 || math.Abs(v[0]) <= v[1])
				}
			}
			if within {
				in++
			}
		}
		share := float64(in) / draws
		assert.InDelta(t, share, got.Chances[i], 0.003+4*math.Sqrt(share*(1-share)/draws), "candidate %d", i)
		t.Logf("candidate %d: %.3f by draws, %.3f", i, share, got.Chances[i])
		if got.Chances[i] > 0.2 && got.Chances[i] < 0.999 {
			sure++
		}
	}
	assert.Positive(t, sure, "some chance says something")

	left, err := r.Anonymous().Reproduce(t.Context(), another(), solve.Errors{})
	require.NoError(t, err)
	assert.Equal(t, got, left)
}

func TestReproduceRefuses(t *testing.T) {
	r := aRecord()
	p := another()
	p.Target = r.Fix.Position
	_, err := r.Reproduce(t.Context(), p, solve.Errors{Target: r.Fix.Covariance})
	assert.EqualError(t, err, "problem.target one: want that of the record\nerrors.target one: want that of the record")
	_, err = record.Record{}.Reproduce(t.Context(), another(), solve.Errors{})
	assert.EqualError(t, err, "record.fix.position.sites missing: want at least one site")
	r = drawn(rand.New(rand.NewPCG(24, 4)), invented.Position(invented.Build()), 1)
	r.Fix.Covariance = contact.Covariance{}
	_, err = r.Reproduce(t.Context(), another(), solve.Errors{})
	require.ErrorIs(t, err, contact.ErrMissing)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err = aRecord().Reproduce(ctx, another(), solve.Errors{})
	require.ErrorIs(t, err, context.Canceled)
}
