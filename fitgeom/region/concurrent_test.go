package region_test

import (
	"sync"
	"testing"

	"example.com/fitgeom/fitgeom/region"
	"example.com/fitgeom/internal/invented"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A region and a seat that 8 goroutines use at once say what they say to one.
func TestConcurrent(t *testing.T) {
	c := newRegionCase(4)
	r, err := region.New(t.Context(), c.target, c.bounds, c.keep)
	require.NoError(t, err)
	b := invented.Build()
	seat, err := region.NewSeat(invented.Position(b), b.Saddle, 0, nil)
	require.NoError(t, err)
	all := func() []any {
		best, _ := r.Best()
		in, _ := r.Place(best)
		out, _ := r.Place(region.HeadPlace{Reach: best.Reach + 50, Stack: best.Stack})
		lo, hi, _ := seat.Setbacks(73.5)
		from, to, _ := seat.SeatAngles(20)
		return []any{best, in, out, r.Area(), r.Outlines(), r.Holds(best), lo, hi, from, to}
	}
	want := all()
	var group sync.WaitGroup
	for range 8 {
		group.Go(func() {
			for range 5 {
				assert.Equal(t, want, all())
			}
		})
	}
	group.Wait()
}
