package region_test

import (
	"context"
	"math/rand/v2"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom/region"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// New stops wherever its context or its budget ends. What is partial has no place that the
// whole has not.
func TestRegionStops(t *testing.T) {
	c := newRegionCase(4)
	c.bounds.HeadFrom, c.bounds.HeadTo = 71, 73.5
	want, err := region.New(t.Context(), c.target, c.bounds, c.keep)
	require.NoError(t, err)
	require.True(t, want.Complete())
	best, _ := want.Best()
	rng := rand.New(rand.NewPCG(5, 15))
	partial := 0
	for c.bounds.Budget.Work = 1000; ; c.bounds.Budget.Work *= 2 {
		c.bounds.Budget.Partial = false
		got, err := region.New(t.Context(), c.target, c.bounds, c.keep)
		if err == nil {
			require.Equal(t, want, got)
			break
		}
		require.ErrorIs(t, err, contact.ErrBudget)
		require.True(t, got.Empty())
		c.bounds.Budget.Partial = true
		if got, err = region.New(t.Context(), c.target, c.bounds, c.keep); err != nil {
			require.ErrorIs(t, err, contact.ErrBudget)
			continue
		}
		if got.Complete() {
			require.Equal(t, want, got)
			continue
		}
		partial++
		assert.Positive(t, got.Area())
		assert.Less(t, got.Area(), want.Area())
		for range 200 {
			at := region.HeadPlace{Reach: best.Reach + 60*(rng.Float64()-0.5), Stack: best.Stack + 60*(rng.Float64()-0.5)}
			require.True(t, want.Holds(at) || !got.Holds(at))
		}
	}
	assert.Positive(t, partial)
	c.bounds.Budget.Work = -1
	for looks := 1; ; looks += 1 + looks/4 {
		ctx := trial.NewEnding(t.Context(), looks)
		got, err := region.New(ctx, c.target, c.bounds, c.keep)
		if err == nil {
			break
		}
		require.ErrorIs(t, err, context.Canceled)
		require.True(t, got.Empty())
		require.EqualValues(t, -1, ctx.Looks.Load(), "nothing is looked at after the end")
	}
}
