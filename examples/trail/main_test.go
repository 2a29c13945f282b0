package main

import (
	"math"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/examples/internal/golden"
	"github.com/stretchr/testify/assert"
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

// What is printed is sound, and the far end of the stroke is as far from the
// saddle as it was: the distance and the crank add up.
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
		feet := map[contact.Side]float64{}
		for _, step := range golden.FollowSheet(t, c) {
			if step.Name == "foot_height" {
				feet[step.Side] = step.Value
			}
		}
		assert.InDeltaMapValues(t, map[contact.Side]float64{contact.Left: 21, contact.Right: 18}, feet, 1e-9, "the foot that is lifted, and the other")
		p, err := c.Build.Position()
		require.NoError(t, err)
		require.Equal(t, contact.SaddleReference, c.Deviations[0].Site)
		was, _ := q.Target.At(contact.SaddleReference)
		is, _ := c.Deviations[0].Wanted(p)
		l, _ := p.At(contact.FootLeft)
		right, _ := p.At(contact.FootRight)
		height := (l.Z + right.Z) / 2
		assert.InDelta(t, math.Hypot(was.X, was.Z-19.5)+175, math.Hypot(is.X, is.Z-height)+165, 1e-9, "19.5 mm is the mean height of the feet")
	}
}

func TestBadFiles(t *testing.T) { golden.BadFiles(t, example) }

// Ten slips of a tired person: the message names the slip and the member.
func TestSlips(t *testing.T) {
	golden.Slips(t, example, []golden.Slip{
		{Args: []string{"-frame"}, Want: "flag needs an argument: -frame"},
		{Args: []string{"-position", "position.json"}, Want: "flag provided but not defined: -position"},
		{Args: []string{"-request", "shelf.json"}, Want: `/schema "fitgeom/shelf": want "fitgeom/request"`},
		{Flag: "target", Data: positionJSON, Old: "[-196, 0, 712]", New: "[-19.6, 0, 71.2]", Want: "/sites/saddle_reference/at_mm"},
		{Flag: "target", Data: positionJSON, Old: "[446, 318, 694]", New: "[446, 318]", Want: "/sites/grip_left/at_mm"},
		{Flag: "request", Data: requestJSON, Old: `"front_sag_mm": 33`, New: `"front_sag_mm": "33"`, Want: "/wheels/front_sag_mm \"33\": want a number"},
		{Flag: "request", Data: requestJSON, Old: `"rear_radius_mm": 366`, New: `"rear_radius_mm": 36.6`, Want: "/wheels/rear_radius_mm 36.6 mm: want 100 to 450 mm; it looks like centimetres"},
		{Flag: "request", Data: requestJSON, Old: `"limit": 3`, New: `"limit": 3000`, Want: "/limit 3000 builds or sizes: want 1 to 1000"},
		{Flag: "request", Data: requestJSON, Old: `"grip_right"`, New: `"grip_left"`, Want: "keep[2].site grip_left: want each site once"},
		{Flag: "shelf", Data: shelfJSON, Old: `"angle_deg": -6`, New: `"angle_deg": -66`, Want: "/stems/2/angle_deg -66 degrees: want -60 to 60 degrees"},
	})
}
