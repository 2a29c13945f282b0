package main

import (
	"testing"

	"example.com/fitgeom/examples/internal/golden"
)

// Slips of a tired person: the message, or the page, names the slip and the member.
func TestSlips(t *testing.T) {
	golden.Slips(t, example, []golden.Slip{
		{Args: []string{"-evening", "evening.json"}, Want: "-morning, -rebuilt: want it beside -evening, since it is of the same bike"},
		{Args: []string{"-morning", "morning.json", "-evening", "evening.json", "-rebuilt", "evening.json"}, Want: "-rebuilt evening.json: want another file than that of -evening"},
		{Args: []string{"-evening", "../photograph/tape.json"}, Want: `/schema "fitgeom/tape_survey": want "fitgeom/survey"`},
		{Args: []string{"-coverage", "99%"}, Want: "-coverage: want 0.5 to 0.9999, as a number without its unit"},
		{Flag: "morning", Data: morningJSON, Old: `"front_radius_mm": 338`, New: `"front_radius_mm": 25`, Want: "/front_radius_mm 25 mm: want 100 to 450 mm"},
		{Flag: "rebuilt", Data: rebuiltJSON, Old: "pedal_left", New: "pedal_right", Exchanged: true, Want: "readings.pedal_left on the side of pedal_right: want left and right not exchanged"},
		{Flag: "evening", Data: eveningJSON, Old: `"up"`, New: `"upp"`, Want: "/upp unknown name: want one of"},
		{Flag: "catalogue", Data: catalogueCSV, Old: "stack_mm", New: "reach_mm", Exchanged: true, Want: "row 2.reach_mm 508 mm: want hardly more than the stack, 372 mm (exchanged?)"},
		{Flag: "catalogue", Data: catalogueCSV, Old: ",", New: ";", Want: "want columns separated by commas"},
		{Flag: "catalogue", Data: catalogueCSV, Old: "road,50,525,", New: "road,50,52.5,", Told: "row 3.stack_mm 52.5 mm: want 300 to 800 mm; it looks like centimetres"},
		{Flag: "catalogue", Data: catalogueCSV, Old: "road,50,525,377,71.8,", New: "road,50,525,377,71,8,", Told: "row 3 17 cells: want 16"},
		{Flag: "shelf", Data: shelfJSON, Old: `"setback_mm": 20`, New: `"setback_mm": 200`, Want: "/seatposts/1/setback_mm 200 mm: want"},
		{Flag: "request", Data: requestJSON, Old: `"limit": 5`, New: `"limit": 5, "target": {"position": {"sites": {"saddle_reference": {"at_mm": [-200, 0, 700]}}}}`, Want: "target position: want none, since the position is what -evening has"},
		{Flag: "request", Data: requestJSON, Old: `"limit": 5`, New: `"limit": 5, "keep": [{"site": "saddle_reference", "tolerance_mm": [-2, 0, 2]}]`, Want: "/keep/0/tolerance_mm/0 -2 mm: want 0.001 to 1000 mm"},
		{Flag: "request", Data: requestJSON, Old: `"limit": 5`, New: `"limit": 5, "keep": [{"site": "saddle_reference", "tolerance_mm": [2, 0, 2]}, {"site": "pad_left", "tolerance_mm": [2, 0, 2]}]`, Want: "evening.json: sites.pad_left missing: want it to be known"},
	})
}
