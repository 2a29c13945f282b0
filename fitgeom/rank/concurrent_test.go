package rank_test

import (
	"slices"
	"sync"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom/rank"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// An index, a shelf and a candidate that 8 goroutines use at once say what they
// say to one; a ranking of many positions that one of them stops does not stop others.
func TestConcurrentUse(t *testing.T) {
	sizes, shelf, target := inventedSizes(6, 0.5, 2), chooseShelf(), riderAt(3)
	x, err := rank.NewIndex(t.Context(), sizes)
	require.NoError(t, err)
	p := solve.Problem{Target: target, Shelf: shelf, Limit: 2}
	on := p
	on.Frame = sizes[0].Frame
	r, err := on.Solve(t.Context())
	require.NoError(t, err)
	c := r.Candidates[0]
	cov := trial.Independent(t, 1, contact.Sites()...)
	all := func() []any {
		ranked, err := x.Rank(t.Context(), p)
		near, err2 := x.Neighbours(t.Context(), p, 1)
		why, err3 := on.Explain(t.Context(), c)
		steps, err4 := solve.SetUp(c, convert.Basis{SeatAngle: 73})
		chance, err5 := on.Chance(t.Context(), c, solve.Errors{Target: cov, Rounding: chart.Rounding{LengthStep: 1}})
		margins, err6 := c.Build.Margins()
		out := []any{ranked, near, err, err2, why, err3, steps, err4, chance, err5, margins, err6, on.Verify(c)}
		for one, err := range x.RankEach(t.Context(), slices.Values([]contact.Position{target, target}), p) {
			out = append(out, one, err)
			break
		}
		return out
	}
	want := all()
	var group sync.WaitGroup
	for range 8 {
		group.Go(func() { assert.Equal(t, want, all()) })
	}
	group.Wait()
}
