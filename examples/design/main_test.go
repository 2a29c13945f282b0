package main

import (
	"bytes"
	"math"
	"os"
	"testing"

	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/examples/internal/golden"
	"example.com/fitgeom/fitgeom/exchange"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestFilesAreAsInvented(t *testing.T) {
	if os.Getenv("UPDATE_GOLDEN") != "" {
		catalogue = generate()
	}
	golden.File(t, "catalogue.csv", string(generate()))
	const note = "Invented data: no such rider or part exists."
	golden.Document(t, "position.json", &positionJSON, position(), note)
	golden.Document(t, "shelf.json", &shelfJSON, shelf(), note)
}

func TestPage(t *testing.T) { golden.Page(t, example()) }

// No size holds, large wheels contradict and small ones do not; the design is a frame, and
// the line of the toe's clearance is where it says.
func TestAnswer(t *testing.T) {
	sizes, err := exchange.ReadCatalogue(t.Context(), bytes.NewReader(catalogue))
	require.NoError(t, err)
	a, err := answer(sizes, position(), shelf())
	require.NoError(t, err)
	require.Len(t, a.near, shown)
	for _, n := range a.near {
		assert.False(t, n.Choice.Holds())
	}
	assert.Len(t, a.large.Contradictions, 1)
	assert.True(t, a.small.Holds())
	require.NoError(t, a.small.Geometry().Validate())
	last := math.Inf(-1)
	for _, head := range [...]float64{71, 72, 73} {
		offset, ok, err := a.atToes(head)
		require.NoError(t, err)
		require.True(t, ok)
		assert.Greater(t, offset, last, "a steeper wheel needs more offset")
		last = offset
	}
	trail, spread, ok := a.small.Get(chart.Trail)
	require.True(t, ok)
	assert.True(t, trail >= 52 && trail <= 62)
	assert.Less(t, spread, 0.01, "what is wished does not err with the position")
}

func TestBadFiles(t *testing.T) { golden.BadFiles(t, example) }
