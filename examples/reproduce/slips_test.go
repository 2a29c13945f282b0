package main

import (
	"testing"

	"example.com/fitgeom/examples/internal/golden"
)

// Slips of a tired person: the message, or the page, names the slip and the member.
func TestSlips(t *testing.T) {
	golden.Slips(t, example, []golden.Slip{
		{Args: []string{"survey.json"}, Want: `"survey.json": want a flag before it`},
		{Args: []string{"-frame", "frame.json", "-frame", "frame.json"}, Want: `-frame: want it once, and "frame.json" was stated before`},
		{Args: []string{"-frame="}, Want: "-frame: want a name, and this is empty"},
		{Args: []string{"-frame", "shelf.json"}, Want: `shelf.json: line 2: /schema "fitgeom/shelf": want "fitgeom/frame"`},
		{Flag: "frame", Data: frameJSON, Old: `"stack_mm"`, New: `"reach_mm"`, Exchanged: true, Want: "/geometry/reach_mm 556 mm: want hardly more than the stack, 382 mm (exchanged?)"},
		{Flag: "frame", Data: frameJSON, Old: `"steerer_diameter_mm": 28.6`, New: `"steerer_diameter_mm": 1.125`, Want: "/steerer_diameter_mm 1.125 mm: want 20 to 45 mm; it looks like inches"},
		{Flag: "frame", Data: frameJSON, Old: `"head_angle_deg": 73,`, New: `"head_angle_deg": 73,5,`, Want: "/geometry/head_angle_deg 73,5: want well-formed JSON, with a decimal point in place of the comma"},
		{Flag: "shelf", Data: shelfJSON, Old: `"rails_from_mm"`, New: `"rails_to_mm"`, Exchanged: true, Want: "/saddles/0/rails_to_mm 115 mm: want 185 to 300 mm"},
		{Flag: "shelf", Data: shelfJSON, Old: `"length_mm": 100`, New: `"length_mm": 10.0`, Want: "/stems/1/length_mm 10 mm: want 20 to 180 mm; it looks like centimetres"},
		{Flag: "shelf", Data: shelfJSON, Old: `"min_insertion_mm": 100`, New: `"min_insertion_mm": -100`, Want: "/seatposts/0/min_insertion_mm -100 mm: want"},
		{Flag: "target", Data: surveyJSON, Old: `"front_radius_mm": 342`, New: `"front_radius_mm": 42`, Want: "/front_radius_mm 42 mm: want 100 to 450 mm"},
		{Flag: "request", Data: requestJSON, Old: `"limit": 3`, New: `"limit": 3, "rules": {"discipline": "road", "on": "2026-06-31"}`, Want: `/rules/on "2026-06-31": want a day of the calendar`},
		{Flag: "request", Data: requestJSON, Old: `"limit": 3`, New: `"limit": 3, "rider": {"height_mm": 1.83}`, Want: "/rider/height_mm 1.83 mm: want 500 to 2500 mm; it looks like metres"},
		{Flag: "request", Data: requestJSON, Old: `"limit": 3`, New: `"limit": 3, "keep": [{"site": "hoods_left", "tolerance_mm": [0, 0, 0]}]`, Want: "/keep/0/tolerance_mm missing: want one for a coordinate at least"},
	})
}
