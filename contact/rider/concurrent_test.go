package rider_test

import (
	"sync"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/internal/invented"
	"github.com/stretchr/testify/assert"
)

// A chain and a body that 8 goroutines use at once say what they say to one.
func TestConcurrent(t *testing.T) {
	b, p := invented.Rider()
	b.Left.Ankle.Profile = []float64{-20, -10, -22, -30}
	c := chain(t, b, p)
	all := func() []any {
		at, err := c.At(contact.Left, 77)
		stroke := make([]rider.Posture, 12)
		err2 := c.Stroke(contact.Right, stroke)
		far, err3 := c.FarEnd(contact.Left)
		span, _ := c.Span(rider.HipFlexion, contact.Left)
		upper, _ := c.Upper()
		by, after, err4 := b.RaiseSaddle(p, contact.Right, 35, 74)
		changes, err5 := b.Compare(p, after)
		return []any{at, err, stroke, err2, far, err3, span, upper, by, err4, changes, err5}
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
