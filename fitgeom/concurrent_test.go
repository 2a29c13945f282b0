package fitgeom_test

import (
	"slices"
	"sync"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/fitgeom"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// An index, a shelf and a candidate that 8 goroutines use at once say what they
// say to one; a ranking of many positions that one of them stops does not stop others.
func TestConcurrentUse(t *testing.T) {
	sizes, shelf, target := inventedSizes(6, 0.5, 2), chooseShelf(), riderAt(3)
	x, err := fitgeom.NewIndex(sizes, shelf)
	require.NoError(t, err)
	opt := fitgeom.Options{Limit: 2}
	r, err := fitgeom.Reproduce(target, sizes[0].Frame, shelf, opt)
	require.NoError(t, err)
	c := r.Candidates[0]
	cov := independent(t, 1, contact.Sites()...)
	all := func() []any {
		ranked, err := x.Rank(target, opt)
		near, err2 := x.Neighbours(target, opt, 1)
		why, err3 := fitgeom.Explain(target, sizes[0].Frame, shelf, opt, c)
		steps, err4 := fitgeom.SetUp(c, convert.Basis{SeatAngle: 73})
		chance, err5 := fitgeom.Chance(target, opt, c, cov, fitgeom.Rounding{LengthStep: 1})
		margins, err6 := c.Build.Margins()
		out := []any{ranked, near, err, err2, why, err3, steps, err4, chance, err5, margins, err6, fitgeom.Verify(target, sizes[0].Frame, shelf, opt, c)}
		for one, err := range x.RankEach(slices.Values([]contact.Position{target, target}), opt) {
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
