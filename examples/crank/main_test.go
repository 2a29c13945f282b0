package main

import (
	"bytes"
	"strings"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/examples/internal/golden"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

func TestFilesAreAsInvented(t *testing.T) {
	const note = "Invented data: no such bike and no such rider exist."
	body, before := invented()
	golden.Document(t, "body.json", &bodyJSON, body, note)
	golden.Document(t, "position.json", &positionJSON, before, note)
}

func TestPage(t *testing.T) { golden.Page(t, example()) }

// What the program says must be so by plain geometry: with the saddle kept, the
// far end comes nearer by about the difference of the cranks, so that the knee
// is flexed more there and less at the top; with the saddle moved, the far end
// is as it was.
func TestVariants(t *testing.T) {
	body, before := invented()
	changed, err := compare(body, before, 165, 73.5)
	require.NoError(t, err)
	assert.InDelta(t, 10, changed.up, 0.5)
	v := changed.variants
	var spans [3]rider.Span
	for i := range v {
		c, err := rider.NewChain(body, v[i].position)
		require.NoError(t, err)
		spans[i], _ = c.Span(rider.KneeFlexion, contact.Left)
		assert.Zero(t, spans[i].Gap)
	}
	assert.Greater(t, spans[1].Least, spans[0].Least+2)
	assert.Less(t, spans[1].Most, spans[0].Most)
	assert.InDelta(t, spans[0].Least, spans[2].Least, 1e-9)
	assert.Less(t, spans[2].Most, spans[1].Most)
}

// The ankle does what riders' ankles do: 24 degrees, from -2 to 22 (M. O. Ericson, R.
// Nisell, G. Németh 1988, six riders, quoted by others).
func TestAnkle(t *testing.T) {
	body, before := invented()
	c, err := rider.NewChain(body, before)
	require.NoError(t, err)
	s, err := c.Span(rider.AnkleDorsiflexion, contact.Left)
	require.NoError(t, err)
	assert.InDelta(t, -2, s.Least, 0.5)
	assert.InDelta(t, 22, s.Most, 0.5)
}

// The crank that is there already changes nothing.
func TestSameCrank(t *testing.T) {
	body, before := invented()
	c, err := compare(body, before, 175, 73.5)
	require.NoError(t, err)
	assert.InDelta(t, 0, c.up, 1e-9)
}

// Another rider, of whom the right leg alone is known, on a bike with pedals: hip and
// left leg do not appear, and what the page says of the leg is as with both.
func TestOtherFiles(t *testing.T) {
	body, before := invented()
	both, err := compare(body, before, 165, 73.5)
	require.NoError(t, err)
	body.Left, body.Upper = rider.Leg{}, rider.Upper{}
	before.Forget(contact.FootLeft)
	before.Set(contact.PedalRight, r3.Vec{X: 175, Y: -74})
	one, err := compare(body, before, 165, 73.5)
	require.NoError(t, err)
	assert.Equal(t, both.up, one.up)
	assert.Equal(t, contact.Right, one.side)
	pedal, _ := one.variants[2].position.At(contact.PedalRight)
	assert.Equal(t, r3.Vec{X: 165, Y: -74}, pedal)
	_, ok := one.variants[2].position.At(contact.FootLeft)
	assert.False(t, ok)

	bodyFile, positionFile := golden.PutDocument(t, body), golden.PutDocument(t, before)
	var b bytes.Buffer
	require.NoError(t, example().Run([]string{"-body", bodyFile, "-target", positionFile}, &b))
	for _, absent := range []string{"hip_flexion", "hip flexion", "left", "invented"} {
		assert.NotContains(t, b.String(), absent)
	}
	for _, same := range []string{"| knee flexion       |          28.2 |  33.3 |", "of the right\nknee."} {
		assert.Contains(t, b.String(), same)
	}

	// Legs that differ have a row each.
	body, before = invented()
	body.Right.Thigh -= 5
	b.Reset()
	require.NoError(t, example().Run([]string{"-body", golden.PutDocument(t, body)}, &b))
	assert.Equal(t, 2, strings.Count(b.String(), "| knee flexion (right)"))
	// And a flag that says another line.
	c, err := compare(body, before, 165, 90)
	require.NoError(t, err)
	was, _ := before.At(contact.SaddleReference)
	is, _ := c.variants[2].position.At(contact.SaddleReference)
	assert.InDelta(t, was.X, is.X, 1e-9)
}

func TestBadFiles(t *testing.T) { golden.BadFiles(t, example) }
