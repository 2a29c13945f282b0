package motion_test

import (
	"math/rand/v2"
	"sync"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/motion"
	"github.com/stretchr/testify/assert"
)

// A recording and its motion that 8 goroutines use at once say what they say to one.
func TestConcurrent(t *testing.T) {
	r := ride{side: contact.Right, seconds: 2, rate: 100, cadence: 85, noise: 1, drop: 0.01}.record(t, rand.New(rand.NewPCG(8, 8)))
	m := analyse(t, r, motion.InSpace)
	all := func() []any {
		own, err := r.Analyse(t.Context(), motion.InSpace)
		drift, err2 := m.PelvisDrift(t.Context())
		return []any{err, numbersOf(t, own, seen...), numbersOf(t, m, seen...), drift, err2}
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
