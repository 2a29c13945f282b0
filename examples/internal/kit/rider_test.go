package kit

import (
	"testing"

	"example.com/fitgeom/contact"
	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/spatial/r3"
)

// Feet are put on pedals only where neither is known.
func TestStand(t *testing.T) {
	var p contact.Position
	assert.False(t, stand(&p), "there are no pedals")
	p.Set(contact.PedalLeft, r3.Vec{X: 170, Y: 73})
	p.Set(contact.PedalRight, r3.Vec{X: 170, Y: -73})
	one := p
	assert.True(t, stand(&p))
	left, _ := p.At(contact.FootLeft)
	right, _ := p.At(contact.FootRight)
	// As usual places have them: 120 - 74 mm outside of the pedals, and 20 above (package contact:
	// common practice, no source).
	assert.Equal(t, [2]r3.Vec{{X: 170, Y: 119, Z: 20}, {X: 170, Y: -119, Z: 20}}, [2]r3.Vec{left, right})
	assert.False(t, stand(&p))
	one.Set(contact.FootLeft, r3.Vec{X: 170, Y: 120})
	assert.False(t, stand(&one), "the other is missing")
}
