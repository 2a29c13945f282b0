package rank_test

import (
	"context"
	"slices"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/rank"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/invented"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A context that has ended is an error that wraps its own, and nothing is done.
func TestEnded(t *testing.T) {
	sizes := inventedSizes(3, 0.5, 1)
	x, err := rank.NewIndex(t.Context(), sizes)
	require.NoError(t, err)
	p := solve.Problem{Target: usual(1), Shelf: invented.Shelf()}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	none, err := rank.NewIndex(ctx, sizes)
	assert.Nil(t, none)
	require.ErrorIs(t, err, context.Canceled)
	_, err = x.Rank(ctx, p)
	require.ErrorIs(t, err, context.Canceled)
	_, err = x.Neighbours(ctx, p, 0)
	require.ErrorIs(t, err, context.Canceled)
	_, err = x.Sensitivities(ctx, p, chart.Rounding{})
	require.ErrorIs(t, err, context.Canceled)
	n := 0
	for _, err := range x.RankEach(ctx, slices.Values([]contact.Position{p.Target, p.Target}), p) {
		require.ErrorIs(t, err, context.Canceled)
		n++
	}
	assert.Equal(t, 1, n)
}

// Rank stops wherever its context or its budget ends: what it has then was searched to the
// end, and what it lacks is no better than the bound tells.
func TestRankStops(t *testing.T) {
	x, err := rank.NewIndex(t.Context(), inventedSizes(60, 0.1, 2))
	require.NoError(t, err)
	cut, bounded := 0, 0
	for name, p := range map[string]solve.Problem{
		"held":    {Target: usual(1), Shelf: chooseShelf()},
		"high":    {Target: high(usual(3)), Shelf: chooseShelf()},
		"beyond":  {Target: high(high(high(usual(3)))), Shelf: chooseShelf()},
		"wheels":  {Target: usual(1), Shelf: chooseShelf(), Wheels: chart.Wheels{FrontRadius: 345, RearRadius: 338}},
		"coarse":  {Target: usual(2), Shelf: chooseShelf(), Grain: 2},
		"on bike": {Target: usual(2), Shelf: chooseShelf(), Bike: invented.Build()},
	} {
		p.Limit = 4
		want, err := x.Rank(t.Context(), p)
		require.NoError(t, err)
		require.True(t, want.Complete)
		require.Zero(t, want.Bound)
		whole := p
		whole.Limit = x.Len()
		all, err := x.Rank(t.Context(), whole)
		require.NoError(t, err)
		best := map[int]fitgeom.Candidate{}
		for _, c := range all.Choices {
			best[c.Place] = c.Best
		}
		check := func(got rank.Ranking) {
			require.False(t, got.Complete, name)
			require.NotEmpty(t, got.Choices, name)
			found := map[int]bool{}
			for _, c := range got.Choices {
				require.Equal(t, best[c.Place], c.Best, name)
				found[c.Place] = true
			}
			for _, c := range want.Choices {
				if !found[c.Place] {
					require.GreaterOrEqual(t, c.Best.Distance(), got.Bound, name)
				}
			}
			if cut++; got.Bound > 0 {
				bounded++
			}
		}
		for p.Budget.Work = 100; ; p.Budget.Work += p.Budget.Work / 32 {
			p.Budget.Partial = false
			got, err := x.Rank(t.Context(), p)
			if err == nil {
				require.Equal(t, want, got, name)
				break
			}
			require.ErrorIs(t, err, contact.ErrBudget, name)
			require.Zero(t, got, name)
			p.Budget.Partial = true
			if got, err = x.Rank(t.Context(), p); err != nil {
				require.ErrorIs(t, err, contact.ErrBudget, name)
				continue
			}
			check(got)
		}
		p.Budget.Work = -1
		for looks := 1; ; looks += 1 + looks/8 {
			ctx := trial.NewEnding(t.Context(), looks)
			got, err := x.Rank(ctx, p)
			if err == nil {
				require.Equal(t, want, got, name)
				break
			}
			require.ErrorIs(t, err, context.Canceled, name)
			require.EqualValues(t, -1, ctx.Looks.Load(), name)
			if got.Choices != nil {
				check(got)
			}
		}
	}
	assert.Positive(t, bounded)
	assert.Greater(t, cut, bounded)
}

// The other questions, and the index, end or answer in full.
func TestOthersStop(t *testing.T) {
	x, err := rank.NewIndex(t.Context(), inventedSizes(40, 0.1, 2))
	require.NoError(t, err)
	many := inventedSizes(400, 0.1, 2)
	p := solve.Problem{Target: usual(1), Shelf: chooseShelf(), Limit: 4}
	for name, ask := range map[string]func(context.Context, solve.Problem) (any, error){
		"index": func(ctx context.Context, _ solve.Problem) (any, error) {
			return rank.NewIndex(ctx, many)
		},
		"neighbours": func(ctx context.Context, p solve.Problem) (any, error) {
			return x.Neighbours(ctx, p, 5)
		},
		"sensitivities": func(ctx context.Context, p solve.Problem) (any, error) {
			return x.Sensitivities(ctx, p, chart.Rounding{LengthStep: 1, AngleStep: 0.5})
		},
	} {
		want, err := ask(t.Context(), p)
		require.NoError(t, err)
		stopped := 0
		for looks := 1; ; looks += 1 + looks/8 {
			ctx := trial.NewEnding(t.Context(), looks)
			got, err := ask(ctx, p)
			if err == nil {
				require.Equal(t, want, got, name)
				break
			}
			require.ErrorIs(t, err, context.Canceled, name)
			require.Empty(t, got, name)
			require.EqualValues(t, -1, ctx.Looks.Load(), name)
			stopped++
		}
		require.Positive(t, stopped, name)
		if name == "index" {
			continue // its work is in proportion to its sizes
		}
		on := p
		for on.Budget.Work = 100; ; on.Budget.Work *= 2 {
			got, err := ask(t.Context(), on)
			if err == nil {
				require.Equal(t, want, got, name)
				break
			}
			require.ErrorIs(t, err, contact.ErrBudget, name)
			require.Empty(t, got, name)
		}
	}
}
