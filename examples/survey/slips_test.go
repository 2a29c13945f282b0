package main

import (
	"testing"

	"example.com/fitgeom/examples/internal/golden"
)

// Slips of a tired person: the message, or the page, names the slip and the member.
func TestSlips(t *testing.T) {
	golden.Slips(t, example, []golden.Slip{
		{Args: []string{"-coverage", "99"}, Want: "-coverage: want 0.5 to 0.9999; it looks like per cent"},
		{Args: []string{"-after", "after.json"}, Want: "-before: want it beside -after, since it is of the same bike"},
		{Args: []string{"-before", "before.json", "-after", "before.json"}, Want: "-after before.json: want another file than that of -before"},
		{Args: []string{"-before", "../day/morning.json", "-after", "after.json"}, Want: "../day/morning.json beside after.json: landmarks in common"},
		{Flag: "before", Data: beforeJSON, Old: `"front_radius_mm": 336`, New: `"front_radius_mm": 28`, Want: "/front_radius_mm 28 mm: want 100 to 450 mm"},
		{Flag: "before", Data: beforeJSON, Old: `"front_radius_mm": 336`, New: `"front_radius_mm": 672`, Want: "/front_radius_mm 672 mm: want 100 to 450 mm"},
		{Flag: "before", Data: beforeJSON, Old: `"radius_sigma_mm": 0.5`, New: `"radius_sigma_mm": 0,5`, Want: "/radius_sigma_mm 0,5: want well-formed JSON, with a decimal point in place of the comma"},
		{Flag: "before", Data: beforeJSON, Old: `"unit": "mm"`, New: `"unit": "cm"`, Want: "unit cm: want mm: then the distances are those of a bicycle"},
		{Flag: "before", Data: beforeJSON, Old: "hoods_left", New: "hoods_right", Exchanged: true, Want: "readings.hoods_left on the side of hoods_right: want left and right not exchanged"},
		{Flag: "before", Data: beforeJSON, Old: "_left", New: "_right", Exchanged: true, Want: "readings of a bicycle's mirror image: the instrument's axes are left-handed, or left and right are exchanged in all labels"},
		{Flag: "before", Data: beforeJSON, Old: "saddle_nose", New: "saddle_rear", Exchanged: true, Want: "readings.saddle_nose behind saddle_rear: want the saddle's nose and rear not exchanged"},
		{Flag: "before", Data: beforeJSON, Old: "front_axle", New: "rear_axle", Exchanged: true, Want: "readings.front_axle behind rear_axle: want front and rear not exchanged"},
		{Flag: "before", Data: beforeJSON, Old: "0.9864]", New: "-0.9864]", Want: "up pointing down: want the direction that points up: it is reversed"},
		{Flag: "before", Data: beforeJSON, Old: "bottom_bracket_left", New: "bottom_braket_left", Want: `/readings/0/landmark "bottom_braket_left": want a landmark`},
		{Flag: "before", Data: beforeJSON, Old: "[436.45, 13.7, 1015.44]", New: "[436.45, 13.7, -1015.44]", Args: []string{"-after", "after.json"}, Told: "finding: saddle edge left: reading 11 lies 2031.2 mm from the others and was set aside"},
	})
}
