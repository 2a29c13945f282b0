package rank_test

import (
	"context"
	"slices"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom/rank"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/invented"
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
