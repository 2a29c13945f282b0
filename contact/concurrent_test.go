package contact_test

import (
	"sync"
	"testing"

	"example.com/fitgeom/contact"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A covariance and a difference that 8 goroutines use at once say what they say to one.
func TestConcurrent(t *testing.T) {
	p := fuzzedPosition()
	c, err := contact.NewCovariance(coordinates(contact.HoodsLeft), func(i, j int) float64 {
		if i == j {
			return 2
		}
		return 1
	})
	require.NoError(t, err)
	d := p.Sub(p.Mirror())
	all := func() []any {
		moves, turns, err := d.Judge(c, 0.95)
		sum := c.Add(c)
		v, _ := sum.Sigma(contact.HoodsLeft)
		s := []contact.Derivative{{Coordinate: contact.Coordinate{Site: contact.HoodsLeft}, By: 2}}
		w, err2 := sum.Between(s, s)
		site, far, _ := d.Largest()
		return []any{moves, turns, err, v, w, err2, site, far, c.Coordinates(), p.Validate()}
	}
	want := all()
	var group sync.WaitGroup
	for range 8 {
		group.Go(func() {
			for range 20 {
				assert.Equal(t, want, all())
			}
		})
	}
	group.Wait()
}
