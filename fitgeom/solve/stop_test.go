package solve_test

import (
	"context"
	"math/rand/v2"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/invented"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// cutShort looks at what is said to be the best so far: its builds hold what they say, and
// no build is better than the bound tells.
func cutShort(t *testing.T, p solve.Problem, got, want solve.Result) {
	require.False(t, got.Complete)
	require.NotEmpty(t, got.Candidates)
	require.LessOrEqual(t, got.Combinations, want.Combinations)
	for _, c := range got.Candidates {
		require.NoError(t, p.Verify(c))
	}
	for _, c := range want.Candidates {
		found := false
		for _, d := range got.Candidates {
			found = found || assert.ObjectsAreEqual(c, d)
		}
		if !found && len(got.Candidates) == len(want.Candidates) {
			require.GreaterOrEqual(t, c.Distance(), got.Bound)
		}
	}
}

// Solve stops wherever its context or its budget ends. With enough of either the answer is
// that without an end.
func TestSolveStops(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 15))
	n := 40
	if testing.Short() {
		n = 8
	}
	cut, bounded := 0, 0
	for range n {
		d := invented.Draw(rng, invented.BikeKinds[rng.IntN(len(invented.BikeKinds))], true)
		p := solve.Problem{Target: invented.Position(d.Build), Frame: d.Build.Frame, Shelf: d.Shelf, Limit: 3, Vary: part.AllKinds, Grain: pick(rng, 0, 0.1)}
		want, err := p.Solve(t.Context())
		require.NoError(t, err)
		require.True(t, want.Complete)
		require.Zero(t, want.Bound)
		for p.Budget.Work = 20; ; p.Budget.Work += 1 + p.Budget.Work/4 {
			p.Budget.Partial = false
			got, err := p.Solve(t.Context())
			if err == nil {
				require.Equal(t, want, got)
				break
			}
			require.ErrorIs(t, err, contact.ErrBudget)
			require.Zero(t, got)
			p.Budget.Partial = true
			if got, err = p.Solve(t.Context()); err != nil {
				require.ErrorIs(t, err, contact.ErrBudget, "nothing was found")
				continue
			}
			again, err := p.Solve(t.Context())
			require.NoError(t, err)
			require.Equal(t, got, again)
			cutShort(t, p, got, want)
			if cut++; got.Bound > 0 {
				bounded++
			}
		}
		p.Budget.Work = -1
		for looks := 1; ; looks++ {
			ctx := trial.NewEnding(t.Context(), looks)
			got, err := p.Solve(ctx)
			if err == nil {
				require.Equal(t, want, got)
				break
			}
			require.ErrorIs(t, err, context.Canceled)
			require.EqualValues(t, -1, ctx.Looks.Load(), "nothing is looked at after the end")
			if got.Candidates != nil {
				cutShort(t, p, got, want)
			}
		}
	}
	assert.Positive(t, bounded)
	assert.Less(t, bounded, cut)
}

// Spacers of every height on a steerer that is cut are too many to put together in pairs.
func TestTooManyPiles(t *testing.T) {
	p := solve.Problem{Target: invented.Position(invented.Build()), Frame: invented.Road54(), Shelf: invented.Shelf()}
	p.Frame.SteererCut, p.Frame.MaxUnderStem = 145, 150
	p.Shelf.Spacers = nil
	for h := 30; h <= 60; h++ {
		p.Shelf.Spacers = append(p.Shelf.Spacers, part.Spacer{Height: float64(h) / 10, Count: 20})
	}
	_, err := p.Solve(t.Context())
	assert.True(t, trial.FaultAt(err, "shelf.spacers", contact.ErrRange), err)
	p.Frame.SteererCut = 0 // one that is cut to suit carries no pairs
	_, err = p.Solve(t.Context())
	require.NoError(t, err)
}
