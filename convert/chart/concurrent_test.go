package chart_test

import (
	"math/rand/v2"
	"sync"
	"testing"

	"example.com/fitgeom/convert/chart"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A chart and its solution that 8 goroutines use at once say what they say to one.
func TestChartConcurrent(t *testing.T) {
	c := full(randomCore(rand.New(rand.NewPCG(8, 8))))
	done, err := c.Solve()
	require.NoError(t, err)
	all := func() []any {
		again, err := c.Solve()
		v, sigma, _ := done.Get(chart.Wheelbase)
		g, _ := done.Geometry()
		w := chart.Wheels{FrontRadius: 345, RearRadius: 338}
		h, err2 := g.OnWheels(w)
		pitch, ok := g.Pitch(w)
		return []any{again, err, v, sigma, g, h, pitch, ok, err2}
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
