package rank_test

import (
	"math"
	"testing"

	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/rank"
	"example.com/fitgeom/fitgeom/solve"
	"github.com/stretchr/testify/require"
)

// Any number of workers, and any shards put together, give the answer of one worker on the whole
// catalogue.
func TestWorkersAndShards(t *testing.T) {
	sizes := inventedSizes(300, 0.1, 20)
	whole, err := rank.NewIndex(t.Context(), sizes)
	require.NoError(t, err)
	var shards []*rank.Index
	ends := []int{0, 75, 76, 210, 300}
	for i, to := range ends[1:] {
		x, err := rank.NewIndex(t.Context(), sizes[ends[i]:to])
		require.NoError(t, err)
		shards = append(shards, x)
	}
	for seed := range uint64(6) {
		p := solve.Problem{Target: riderAt(seed), Shelf: chooseShelf(), Limit: 15}
		want, err := whole.Rank(t.Context(), p)
		require.NoError(t, err)
		for _, n := range []int{2, 5} {
			p.Workers = n
			got, err := whole.Rank(t.Context(), p)
			require.NoError(t, err)
			got.Scored = want.Scored
			require.Equal(t, want, got)
		}
		var parts []rank.Ranking
		for _, x := range shards {
			r, err := x.Rank(t.Context(), p)
			require.NoError(t, err)
			parts = append(parts, r)
		}
		got := rank.Merge(p, parts...)
		require.Equal(t, want.Tied, got.Tied)
		require.True(t, got.Complete)
		require.Len(t, got.Choices, len(want.Choices))
		for i, c := range got.Choices {
			c.Place, c.Shard = c.Place+ends[c.Shard], 0
			require.Equal(t, want.Choices[i], c)
		}
	}
}

// Rankings that were cut short have the bound of the one that knows least; a problem that asks for
// nothing gets nothing.
func TestMergeOdd(t *testing.T) {
	require.Zero(t, rank.Merge(solve.Problem{}, rank.Ranking{Bound: 0}, rank.Ranking{Bound: 5}).Bound)
	require.InDelta(t, 3, rank.Merge(solve.Problem{}, rank.Ranking{Bound: 3}, rank.Ranking{Bound: 5}, rank.Ranking{Complete: true}).Bound, 0)
	require.Empty(t, rank.Merge(solve.Problem{Limit: -1}, rank.Ranking{Choices: make([]rank.Choice, 3)}).Choices)
	require.True(t, rank.Merge(solve.Problem{}).Complete)
}

// Sizes that differ by next to nothing make an index.
func TestIndexOfNearlyAlike(t *testing.T) {
	var sizes []fitgeom.Size
	for _, s := range inventedSizes(9, 0.5, 1) {
		s.Frame = inventedSizes(1, 0.5, 1)[0].Frame
		s.Frame.MaxUnderStem = 0
		if len(sizes) == 0 {
			s.Frame.MaxUnderStem = math.SmallestNonzeroFloat64
		}
		sizes = append(sizes, s)
	}
	x, err := rank.NewIndex(t.Context(), sizes)
	require.NoError(t, err)
	require.Equal(t, 9, x.Len())
}
