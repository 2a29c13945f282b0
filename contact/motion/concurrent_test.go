package motion_test

import (
	"sync"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/motion"
	"github.com/stretchr/testify/assert"
)

// A recording and its motion that 8 goroutines use at once say what they say to one.
func TestConcurrent(t *testing.T) {
	r := ride{side: contact.Right, seconds: 2, rate: 100, cadence: 85, noise: 1, drop: 0.01}.record(t, fresh(8))
	m := analyse(t, r, motion.InSpace)
	c := curve(t, m, motion.KneeFlexion, contact.Right)
	all := func() []any {
		own, err := r.Analyse(t.Context(), motion.Settings{})
		return []any{err, numbersOf(t, own, contact.Right, seen...), numbersOf(t, m, contact.Right, seen...), m.Quality(), c.Range()}
	}
	want := all()
	var group sync.WaitGroup
	for range 8 {
		group.Go(func() {
			for range 3 {
				assert.Equal(t, want, all())
			}
		})
	}
	group.Wait()
}
