package main

import (
	"testing"

	"example.com/fitgeom/examples/internal/golden"
)

// Slips of a tired person: the message, or the page, names the slip and the member.
func TestSlips(t *testing.T) {
	golden.Slips(t, example, []golden.Slip{
		{Args: []string{"-one", "five.json", "-five", "one.json"}, Want: "five.json: photographs 5: want one, and several in -five"},
		{Args: []string{"-truth", "tape.json"}, Want: `tape.json: line 2: /schema "fitgeom/tape_survey": want "fitgeom/position"`},
		{Args: []string{"-on", "one.json"}, Want: "flag provided but not defined: -on: want one of -five, -o, -one, -tape, -truth"},
		{Flag: "one", Data: oneJSON, Old: `"equivalent_mm": 71`, New: `"equivalent_mm": 7.1`, Want: "/cameras/0/equivalent_mm 7.1 mm: want 8 to 600 mm"},
		{Flag: "one", Data: oneJSON, Old: `"equivalent_mm": 71`, New: `"equivalent_mm": 17`, Args: []string{"-five", "five.json"}, Want: "cameras[0].focal 1964.6 pixels: want what all else tells"},
		{Flag: "one", Data: oneJSON, Old: `"width_px": 4000, "height_px": 3000`, New: `"width_px": 3000, "height_px": 4000`, Args: []string{"-five", "five.json"}, Want: "front_circle_right at 3237, 1991 pixels: want it within the picture, which is 3000 wide and 4000 high (exchanged?)"},
		{Flag: "one", Data: oneJSON, Old: "saddle_nose", New: "saddle_noze", Want: `/landmark "saddle_noze": want a landmark`},
		{Flag: "one", Data: oneJSON, Old: `"sigma_px": 1.5`, New: `"sigma_px": 1,5`, Want: "/sigma_px 1,5: want well-formed JSON, with a decimal point in place of the comma"},
		{Flag: "one", Data: oneJSON, Old: `"x_px": 1829, "y_px": 725`, New: `"x_px": 725, "y_px": 1829`, Args: []string{"-five", "five.json"}, Told: "the mark of saddle nose lies 1553 pixels from where the others have it and was set aside"},
		{Flag: "five", Data: fiveJSON, Old: `"front_radius_mm"`, New: `"front_radius"`, Want: "/front_radius unknown name"},
		{Args: []string{"-tape", "tape.json"}, Want: "-one: want it beside -tape, since it is of the same bike"},
		{Flag: "five", Data: fiveJSON, Old: "hoods_left", New: "hoods_right", Exchanged: true, Args: []string{"-one", "one.json"}, Want: "sites.hoods_left.at_mm[1] -230.0584 mm: want it to the left of hoods_right"},
		{Flag: "five", Data: fiveJSON, Old: `"crank_mm": 167.3`, New: `"crank_mm": 16.73`, Want: "/crank_mm 16.73 mm: want"},
		{Flag: "tape", Data: tapeJSON, Old: `"value_mm": -159.5`, New: `"value_mm": 159.5`, Want: "sites.saddle_reference.at_mm[0] 159.4644 mm: want -1300 to 100 mm"},
		{Flag: "truth", Data: truthJSON, Old: "drops_left", New: "drops_right", Exchanged: true, Want: "/sites/drops_left/at_mm/1"},
	})
}
