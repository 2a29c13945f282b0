package main

import (
	"testing"

	"example.com/fitgeom/examples/internal/golden"
)

// Slips of a tired person: the message, or the page, names the slip and the member.
func TestSlips(t *testing.T) {
	golden.Slips(t, example, []golden.Slip{
		{Args: []string{"-tape", "truth.json"}, Want: `truth.json: line 2: /schema "fitgeom/position": want "fitgeom/tape_survey"`},
		{Args: []string{"-truth", "truth.json"}, Want: "-tape: want it beside -truth, since it is of the same bike"},
		{Args: []string{"tape.json"}, Want: `"tape.json": want a flag before it, one of -o, -tape, -truth`},
		{Flag: "tape", Data: tapeJSON, Old: `"value_mm": 935.5`, New: `"value_mm": 935,5`, Want: "/readings/2/value_mm 935,5: want well-formed JSON, with a decimal point in place of the comma"},
		{Flag: "tape", Data: tapeJSON, Old: `"value_mm": -42`, New: `"value_mm": 42`, Want: "readings[3] 42 mm: want agreement with the other readings, from which it differs by 83.44758 mm; perhaps sign reversed: -42"},
		{Flag: "tape", Data: tapeJSON, Old: `"value_mm": 274`, New: `"value_mm": -274`, Want: "readings[0] -274 mm: want agreement with the other readings, from which it differs by -529.3957 mm; perhaps sign reversed: 274"},
		{Flag: "tape", Data: tapeJSON, Old: `"value_mm": 652.5`, New: `"value_mm": 562.5`, Want: "or digits exchanged: 652.5"},
		{Flag: "tape", Data: tapeJSON, Old: "hoods_left", New: "hoods_right", Exchanged: true, Want: "sites.hoods_left.at_mm[1] -196.2926 mm: want it to the left of hoods_right at 196.6659 mm (left and right swapped?)"},
		{Flag: "tape", Data: tapeJSON, Old: "saddle_nose", New: "saddle_rear", Exchanged: true, Want: "sites.saddle_reference.at_mm[0] -187.2805 mm: want it in front of saddle_rear"},
		{Flag: "tape", Data: tapeJSON, Old: `"kind": "direct"`, New: `"kind": "straight"`, Want: `/readings/1/kind "straight": want one of direct, horizontal, vertical, lateral, tilt`},
		{Flag: "tape", Data: tapeJSON, Old: `"ground"`, New: `"bottom_bracket"`, Want: "/readings/0 bottom_bracket to itself: want two different places"},
		{Flag: "tape", Data: tapeJSON, Old: "saddle_nose", New: "sadle_nose", Want: `/readings/3/to "sadle_nose": want bottom_bracket, a contact site`},
		{Flag: "tape", Data: tapeJSON, Old: `"value_mm": 274, "sigma_mm": 1.5`, New: `"value_mm": 274, "sigma_mm": -1.5`, Want: "/readings/0/sigma_mm -1.5 mm: want 0.001 to 100 mm"},
		{Flag: "tape", Data: tapeJSON, Old: `"value_mm": 687.5`, New: `"value_deg": 687.5`, Want: "/readings/1/value_deg unknown name: want value_mm, the unit of what it belongs to"},
	})
}
