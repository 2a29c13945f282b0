package main

import (
	"testing"

	"example.com/fitgeom/examples/internal/golden"
)

// Slips of a tired person: the message, or the page, names the slip and the member.
func TestSlips(t *testing.T) {
	golden.Slips(t, example, []golden.Slip{
		{Args: []string{"body.json"}, Want: `"body.json": want a flag before it, one of -body, -o, -request, -target`},
		{Args: []string{"-body", "bodies.json"}, Want: "-body: open bodies.json"},
		{Args: []string{"-body", "body.json", "-body", "body.json"}, Want: `-body: want it once, and "body.json" was stated before`},
		{Args: []string{"-body", "position.json", "-target", "body.json"}, Want: `position.json: line 2: /schema "fitgeom/position": want "fitgeom/body"`},
		{Flag: "body", Want: "line 1: document missing: want a JSON object"},
		{Flag: "body", Data: bodyJSON, Old: `"hip_up_mm": 50`, New: `"hip_up_mm": -50`, Want: "/hip_up_mm -50 mm: want 20 to 250 mm"},
		{Flag: "body", Data: bodyJSON, Old: `"angle_deg": 18`, New: `"angle_deg": 180`, Want: "/upper/angle_deg 180 degrees: want 0 to 150 degrees"},
		{Flag: "body", Data: bodyJSON, Old: `"shank_mm"`, New: `"thigh_mm"`, Want: "/left/thigh_mm 420: want each member once"},
		{Flag: "body", Data: bodyJSON, Old: "keep_elbow", New: "keep_elbows", Want: `/upper/keep "keep_elbows": want one of keep_elbow, keep_trunk`},
		{Flag: "body", Data: bodyJSON, Old: `"shank_mm": 420`, New: `"shank_mm": 620`, Told: "body.left.thigh_mm: thigh over shank 0.6694, usual are 0.75 to 1.35"},
		{Flag: "target", Data: positionJSON, Old: "hoods_left", New: "hoods_right", Exchanged: true, Want: "/sites/hoods_left/at_mm/1 -208 mm: want it to the left of hoods_right at 208 mm (left and right swapped?)"},
		{Flag: "target", Data: positionJSON, Old: "[-208, 0, 703]", New: "[208, 0, 703]", Want: "/sites/saddle_reference/at_mm/0 208 mm: want -1300 to 100 mm"},
		{Flag: "target", Data: positionJSON, Old: "[-208, 0, 703]", New: "[-8.2, 0, 27.7]", Want: "/sites/saddle_reference/at_mm 28.88823 mm: want 300 to 1300 mm from the bottom bracket; it looks like inches"},
		{Flag: "target", Data: positionJSON, Old: "[548, 208, 650]", New: "[548, 208,5, 650]", Want: "/sites/hoods_left/at_mm an array of 4: want an array of 3, with decimal points in place of commas in numbers"},
	})
}
