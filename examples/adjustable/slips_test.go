package main

import (
	"testing"

	"example.com/fitgeom/examples/internal/golden"
)

// Slips of a tired person: the message, or the page, names the slip and the member.
func TestSlips(t *testing.T) {
	golden.Slips(t, example, []golden.Slip{
		{Args: []string{"-scales", "catalogue.csv"}, Want: `catalogue.csv: line 1: "family,size,`},
		{Args: []string{"-position", "position.json"}, Want: "flag provided but not defined: -position: want one of -catalogue, -head-angle,"},
		{Args: []string{"-head-angle", "7.3"}, Want: "-head-angle: want 60 to 80 degrees"},
		{Args: []string{"-up", "-30"}, Want: "-up: want 0 to 100 mm"},
		{Flag: "scales", Want: "put: line 1: empty: want the columns scale,moves,way,mm_per_mark,then,now"},
		{Flag: "scales", Data: scalesCSV, Old: "then,now", New: "now,then", Want: `line 1: "scale,moves,way,mm_per_mark,now,then": want the columns scale,moves,way,mm_per_mark,then,now`},
		{Flag: "scales", Data: scalesCSV, Old: ",", New: ";", Want: "line 1: want columns separated by commas"},
		{Flag: "scales", Data: scalesCSV, Old: "28.4,29.6", New: "28,4,29,6", Want: "line 4: 8 cells: want 6, with a decimal point in numbers"},
		{Flag: "scales", Data: scalesCSV, Old: "bar,up,10,", New: "bar,up,-10,", Want: `line 4: mm_per_mark "-10": want a number of 0.01 to 100 mm`},
		{Flag: "scales", Data: scalesCSV, Old: "bar slide", New: "bar post", Want: `line 5: scale "bar post": want each scale once; the first is in line 4`},
		{Flag: "scales", Data: scalesCSV, Old: "412,418", New: "412,41", Want: `line 2: now "41": want a number that moves the saddle by at most 300 mm, and this would by 371 mm`},
		{Flag: "scales", Data: scalesCSV, Old: "40,40.9", New: "40,", Want: `line 5: now "": want a number`},
		{Flag: "target", Data: positionJSON, Old: "hoods_left", New: "hoods_right", Exchanged: true, Want: "/sites/hoods_left/at_mm/1 -210 mm: want it to the left of hoods_right at 210 mm (left and right swapped?)"},
		{Flag: "catalogue", Data: catalogueCSV, Old: "stack_mm", New: "stack_cm", Want: "row 2.stack_cm unknown name"},
	})
}
