package design_test

import (
	"sync"
	"testing"

	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom/design"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A problem can be asked, and a design be read, by many at once; all get the same.
func TestConcurrent(t *testing.T) {
	p := invention()
	d, err := p.Solve(t.Context())
	require.NoError(t, err)
	var all sync.WaitGroup
	for range 4 {
		all.Go(func() {
			e, err := p.Solve(t.Context())
			assert.NoError(t, err)
			assert.Equal(t, d.Geometry(), e.Geometry())
			_, err = p.Ranges(t.Context())
			assert.NoError(t, err)
			_, err = d.Drawing()
			assert.NoError(t, err)
			v, _, ok := d.Value(design.Subject{Dimension: chart.Stack})
			assert.True(t, ok)
			assert.InDelta(t, e.Geometry().Stack, v, 0)
		})
	}
	all.Wait()
}
