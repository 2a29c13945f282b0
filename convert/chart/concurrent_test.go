package chart_test

import (
	"math/rand/v2"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A chart and its solution that 8 goroutines use at once say what they say to one.
func TestChartConcurrent(t *testing.T) {
	chart := full(randomCore(rand.New(rand.NewPCG(8, 8))))
	done, err := chart.Solve()
	require.NoError(t, err)
	all := func() []any {
		c, err := chart.Solve()
		v, sigma, _ := done.Get(chart.Wheelbase)
		g, _ := done.Geometry()
		h, pitch, err2 := g.OnWheels(345, 338)
		return []any{c, err, v, sigma, g, h, pitch, err2}
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
