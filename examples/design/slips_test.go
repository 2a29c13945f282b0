package main

import (
	"testing"

	"example.com/fitgeom/examples/internal/golden"
)

// Slips of a tired person: the message, or the page, names the slip and the member.
func TestSlips(t *testing.T) {
	golden.Slips(t, example, []golden.Slip{
		{Args: []string{"-wishes", "position.json"}, Want: "position.json: line 1: \"{\": want the columns wish,from,to"},
		{Args: []string{"-up", "2,5"}, Want: "-up: want 0 to 100 mm, with a decimal point and no comma"},
		{Args: []string{"-target", "../trail/position.json"}, Want: "../trail/position.json: sites.bar_clamp missing"},
		{Flag: "wishes", Data: wishesCSV, Old: "trail,52,62", New: "trail,62,52", Want: "line 5: trail: to 52 mm: want at least 62 mm"},
		{Flag: "wishes", Data: wishesCSV, Old: "head_angle,70,73.5", New: "head_angle,7,73.5", Want: `line 6: from "7": want a number of`},
		{Flag: "wishes", Data: wishesCSV, Old: "head_angle,70,73.5", New: "head_angle,70,73,5", Want: "line 6: 4 cells: want 3, with a decimal point in numbers"},
		{Flag: "wishes", Data: wishesCSV, Old: "fork_offset", New: "rake", Want: `line 7: wish "rake": want a dimension of a chart such as head_angle`},
		{Flag: "wishes", Data: wishesCSV, Old: "rear_radius", New: "front_radius", Want: `line 4: wish "front_radius": want each wish once`},
		{Flag: "wishes", Data: wishesCSV, Old: "front_radius,338,338", New: "front_radius,28,28", Want: `line 3: from "28": want a number of`},
		{Flag: "wishes", Data: wishesCSV, Old: "chainstay,408,415", New: "chainstay,-408,415", Want: `line 11: from "-408": want a number of`},
		{Flag: "wishes", Data: wishesCSV, Old: "chainstay,408,415", New: "chainstay,408 mm,415 mm", Want: `line 11: from "408 mm": want a number`},
		{Flag: "wishes", Data: wishesCSV, Old: "trail,52,62", New: "trail,5.2,6.2", Told: "- trail 5.2 to 6.2 mm; or else"},
		{Args: []string{"-max-under-stem", "20"}, Told: "- stem up 25 mm; or else"},
		{Flag: "request", Data: requestJSON, Old: `"limit": 5`, New: `"limit": 5, "bike": {"stem": "stem 95"}`, Want: `bike.stem "stem 95": want the name of a part on the shelf: "stem 90 −6°"`},
	})
}
