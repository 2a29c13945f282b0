package main

import (
	"bytes"
	"math"
	"os"
	"testing"

	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/examples/internal/golden"
	"example.com/fitgeom/fitgeom/exchange"
	"example.com/fitgeom/fitgeom/request"
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
	golden.Document(t, "request.json", &requestJSON, request.Request{Limit: 5}, "Invented: no such rider asked for this.")
}

func TestPage(t *testing.T) { golden.Page(t, example()) }

// No size holds, large wheels contradict and small ones do not; the design is a frame, and
// the line of the toe's clearance is where it says.
func TestAnswer(t *testing.T) {
	sizes, err := exchange.ReadCatalogue(t.Context(), bytes.NewReader(catalogue))
	require.NoError(t, err)
	in := input{up: 25, under: 45, standAt: 60, sigma: 1.5}
	in.asked.Request = request.Request{Target: request.Target{Position: position()}, Sizes: sizes, Shelf: shelf(), Limit: 5}
	in.asked.Problem, err = in.asked.Request.Problem()
	require.NoError(t, err)
	in.wishes, err = readWishes(wishesCSV)
	require.NoError(t, err)
	in.instead, err = readWishes(insteadCSV)
	require.NoError(t, err)
	a, err := in.answer()
	require.NoError(t, err)
	require.Len(t, a.near, 5)
	for _, n := range a.near {
		assert.False(t, n.Choice.Holds())
	}
	assert.Len(t, a.first.Contradictions, 1)
	assert.True(t, a.design.Holds())
	require.NoError(t, a.design.Geometry().Validate())
	last := math.Inf(-1)
	for _, head := range [...]float64{71, 72, 73} {
		offset, ok, err := a.atToes(head, 89)
		require.NoError(t, err)
		require.True(t, ok)
		assert.Greater(t, offset, last, "a steeper wheel needs more offset")
		last = offset
	}
	trail, spread, ok := a.design.Get(chart.Trail)
	require.True(t, ok)
	assert.True(t, trail >= 52 && trail <= 62)
	assert.Less(t, spread, 0.01, "what is wished does not err with the position")
}

func TestBadFiles(t *testing.T) { golden.BadFiles(t, example) }
