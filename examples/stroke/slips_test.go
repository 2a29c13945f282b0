package main

import (
	"testing"

	"example.com/fitgeom/examples/internal/golden"
)

// Slips of a tired person: the message, or the page, names the slip and the member.
func TestSlips(t *testing.T) {
	golden.Slips(t, example, []golden.Slip{
		{Args: []string{"-before", "after.csv", "-after", "before.c3d"}, Want: "after.csv: byte 1 0x69: want 0x50, as C3D files have it"},
		{Args: []string{"-before", "before.c3d", "-after", "before.c3d", "-markers", "markers.csv"}, Want: "before.c3d: line 1: time_s missing: want a column of times"},
		{Args: []string{"-after", "after.csv"}, Want: "-before, -markers: want it beside -after, since it is of the same bike"},
		{Args: []string{"-placement", "0,5"}, Want: "-placement: want 0 to 30 degrees or mm, with a decimal point and no comma"},
		{Flag: "before", Want: "put: byte 0 the end of the file: want a header of 512 bytes"},
		{Flag: "markers", Data: markersCSV, Old: "-420", New: "420", Want: "put beside before.c3d: bike_2 417.5757 mm off: want markers where they are said to be"},
		{Flag: "markers", Data: markersCSV, Old: "bike_2", New: "bike_1", Want: `put: line 4: marker "bike_1": want each marker once`},
		{Flag: "markers", Data: markersCSV, Old: "bike_2", New: "pedal_left", Want: `put: line 4: marker "pedal_left": want a marker on the frame, such as bike_1`},
		{Flag: "markers", Data: markersCSV, Old: "\nbike_3,560,-60,180", New: "", Want: "put beside before.c3d: markers 2: want three or more"},
		{Flag: "markers", Data: markersCSV, Old: "10,40,420", New: "10,5,40,420", Want: "put: line 3: 5 cells: want 4, with a decimal point in numbers"},
		{Flag: "after", Data: afterCSV, Old: "_left", New: "_right", Exchanged: true, Want: "put: pedal_left -149.8292 mm to the left: want a pedal on its own side (left and right swapped?)"},
		{Flag: "after", Data: afterCSV, Old: "heel_left_x_mm", New: "heal_left_x_mm", Want: "put: line 1: heel_left missing: want a column for each of x, y and z"},
		{Flag: "after", Data: afterCSV, Old: "knee_left", New: "hip_left", Exchanged: true, Want: "put: hip_left contradiction: want the marker above or behind knee_left (exchanged, or X backwards?)"},
		{Flag: "after", Data: afterCSV, Old: "pedal_left_x_mm", New: "pedal_left_z_mm", Exchanged: true, Want: "put: pedal_left a circle around x 1958.798 mm, z -1950.003 mm: want one around the origin"},
	})
}
