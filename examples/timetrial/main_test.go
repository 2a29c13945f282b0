package main

import (
	"testing"

	"example.com/fitgeom/examples/internal/golden"
	"github.com/stretchr/testify/require"
)

func TestFilesAreAsInvented(t *testing.T) {
	const note = "Invented data: no such bike, rider or part exists."
	golden.Document(t, "position.json", &positionJSON, position(), note)
	golden.Document(t, "frame.json", &frameJSON, frame(), note)
	golden.Document(t, "shelf.json", &shelfJSON, shelf(), note)
	golden.Document(t, "request.json", &requestJSON, asked(), "Invented: no such rider asked for this.")
}

func TestPage(t *testing.T) { golden.Page(t, example()) }

func TestBuildsAreSound(t *testing.T) {
	ask := asked()
	ask.Target.Position, ask.Frame, ask.Shelf = position(), frame(), shelf()
	q, err := ask.Problem()
	require.NoError(t, err)
	r, err := q.Solve(t.Context())
	require.NoError(t, err)
	require.True(t, r.Holds())
	for _, c := range r.Candidates {
		require.NoError(t, q.Verify(c))
		golden.FollowSheet(t, c)
	}
}

func TestBadFiles(t *testing.T) { golden.BadFiles(t, example) }

// Ten slips of a tired person: the message names the slip and the member.
func TestSlips(t *testing.T) {
	golden.Slips(t, example, []golden.Slip{
		{Args: []string{"position.json"}, Want: `"position.json": want a flag before it`},
		{Args: []string{"-target", "shelf.json"}, Want: `/schema "fitgeom/shelf": want a document that tells a position`},
		{Flag: "frame", Data: frameJSON, Old: `"stack_mm": 505`, New: `"stack_mm": 50.5`, Want: "/geometry/stack_mm 50.5 mm: want 300 to 800 mm; it looks like centimetres"},
		{Flag: "frame", Data: frameJSON, Old: "72.5", New: "72,5", Want: "well-formed JSON"},
		{Flag: "frame", Data: frameJSON, Old: `"reach_mm"`, New: `"reach"`, Want: "/geometry/reach unknown name"},
		{Flag: "target", Data: positionJSON, Old: "[421, 88, 672]", New: "[421, -88, 672]", Want: "/sites/pad_left/at_mm/1"},
		{Flag: "target", Data: positionJSON, Old: `"pad_left"`, New: `"pads_left"`, Want: `/sites/pads_left "pads_left"`},
		{Flag: "request", Data: requestJSON, Old: "crank 165", New: "crank 165 mm", Want: `bike.crank "crank 165 mm": want the name of a part on the shelf: "crank 165"`},
		{Flag: "request", Data: requestJSON, Old: "2026-06-07", New: "07.06.2026", Want: `/rules/on "07.06.2026": want a day of the calendar as in 2026-01-01`},
		{Flag: "request", Data: requestJSON, Old: "1830", New: "183", Want: "/rider/height_mm 183 mm: want 500 to 2500 mm; it looks like centimetres"},
		{Flag: "shelf", Data: shelfJSON, Old: `"length_mm": 245`, New: `"length_mm": 24.5`, Want: "/saddles/0/length_mm 24.5 mm: want 180 to 340 mm; it looks like centimetres"},
	})
}
