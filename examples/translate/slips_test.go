package main

import (
	"testing"

	"example.com/fitgeom/examples/internal/golden"
)

// Slips of a tired person: the message, or the page, names the slip and the member.
func TestSlips(t *testing.T) {
	golden.Slips(t, example, []golden.Slip{
		{Args: []string{"-sheet", "chart.json", "-chart", "sheet.json"}, Want: `chart.json: line 2: /schema "fitgeom/chart": want "fitgeom/sheet"`},
		{Args: []string{"-sheet", ""}, Want: "-sheet: want a name, and this is empty"},
		{Flag: "sheet", Data: sheetJSON, Old: `"saddle_height", "value_mm": 738`, New: `"saddle_height", "value_mm": 29`, Want: "entries[0].value_mm 29 mm: want 300 to 1300 mm; it looks like inches"},
		{Flag: "sheet", Data: sheetJSON, Old: `"saddle_height", "value_mm": 738`, New: `"saddle_height", "value_mm": 783`, Told: "saddle height 783.0: the others say 737.6 ± 3.4. It may be digits exchanged: 738."},
		{Flag: "sheet", Data: sheetJSON, Old: "172.5", New: "172,5", Want: "/entries/13/value_mm 172,5: want well-formed JSON, with a decimal point in place of the comma"},
		{Flag: "sheet", Data: sheetJSON, Old: `"value_deg": -1.5, "sigma_deg"`, New: `"value_mm": -1.5, "sigma_mm"`, Want: "/entries/4/value_mm unknown name: want value_deg, the unit of what it belongs to"},
		{Flag: "sheet", Data: sheetJSON, Old: `"saddle_setback",`, New: `"saddle_setback_nose",`, Exchanged: true, Want: "position.sites.saddle_nose.at_mm[0] -209.0551 mm: want it in front of saddle_reference"},
		{Flag: "sheet", Data: sheetJSON, Old: `"hoods_width", "value_mm": 418`, New: `"hoods_width", "value_mm": -418`, Want: "entries[12].value_mm -418 mm: want 100 to 900 mm"},
		{Flag: "sheet", Data: sheetJSON, Old: `"hoods_width", "value_mm": 418`, New: `"hoods_width", "value_mm": 209`, Told: "sites.hoods_left.at_mm[1]: distance of the hoods from each other 209 mm, usual are 280 to 560 mm"},
		{Flag: "sheet", Data: sheetJSON, Old: `"crank_length", "value_mm": 172.5`, New: `"crank_length", "value_mm": 127.5`, Told: "sites.pedal_left.at_mm[0]: crank length 127.5 mm, usual are 130 to 200 mm"},
		{Flag: "sheet", Data: sheetJSON, Old: `"seat_angle_deg": 73.5`, New: `"seat_angle_deg": 7.35`, Want: "/seat_angle_deg 7.35 degrees: want 50 to 90 degrees"},
		{Flag: "chart", Data: chartJSON, Old: `"head_angle", "value_deg"`, New: `"head_angle", "value_mm"`, Want: "/entries/3/value_mm unknown name: want value_deg"},
		{Flag: "chart", Data: chartJSON, Old: `"drop", "value_mm": 70`, New: `"drop", "value_mm": -70`, Told: "drop -70.0: the others say 69.3 ± 1.3. It may be sign reversed: 70."},
		{Flag: "chart", Data: chartJSON, Old: `"front_centre_horizontal"`, New: `"front_centre"`, Want: "/entries/13/value_mm 595 and 591: want one value for front_centre"},
		{Flag: "chart", Data: chartJSON, Old: `"wheelbase"`, New: `"wheel_base"`, Want: `/entries/14/dimension "wheel_base": want a name`},
	})
}
