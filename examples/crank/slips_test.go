package main

import (
	"testing"

	"example.com/fitgeom/examples/internal/golden"
)

// Slips of a tired person: the message, or the page, names the slip and the member.
func TestSlips(t *testing.T) {
	golden.Slips(t, example, []golden.Slip{
		{Args: []string{"-crank", "16.5"}, Want: "-crank: want 100 to 220 mm; it looks like centimetres"},
		{Args: []string{"-crank", "167,5"}, Want: "-crank: want 100 to 220 mm, with a decimal point and no comma"},
		{Args: []string{"-crank", "73.5", "-seat-angle", "165"}, Want: `"73.5" for flag -crank: want 100 to 220 mm`},
		{Args: []string{"-seat-angle", "7.35"}, Want: "-seat-angle: want 60 to 90 degrees"},
		{Args: []string{"-o", "main.go"}, Want: "-o main.go: want a folder, and this is a file"},
		{Args: []string{"-o", "main.go/nowhere"}, Want: "-o main.go/nowhere: mkdir main.go: not a directory"},
		{Args: []string{"-target", "body.json"}, Want: `body.json: line 2: /schema "fitgeom/body": want a document that tells a position`},
		{Flag: "target", Data: positionJSON, Old: `"foot_right"`, New: `"feet_right"`, Want: `/sites/feet_right "feet_right": want a name`},
		{Flag: "target", Data: positionJSON, Old: `"foot_right": {"at_mm": [175, -128, 22]}`, New: `"pedal_right": {"at_mm": [175, -74, 0]}`, Want: "put: sites.foot_right missing: want its point"},
		{Flag: "target", Data: positionJSON, Old: "[175, -128, 22]", New: "[17.5, -128, 22]", Want: "/sites/foot_right/at_mm/0 17.5 mm: want 50 to 250 mm, the crank length; it looks like centimetres"},
		{Flag: "target", Data: positionJSON, Old: "[-208, 0, 703]", New: "[-703, 0, 208]", Told: "sites.saddle_reference.at_mm[0]: saddle behind the bottom bracket over above it 3.38, usual are -0.5 to 0.8"},
		{Flag: "body", Data: bodyJSON, Old: `"thigh_mm": 415`, New: `"thigh_mm": 16.3`, Want: "/left/thigh_mm 16.3 mm: want 200 to 700 mm; it looks like inches"},
		{Flag: "body", Data: bodyJSON, Old: `"trunk_mm": 505`, New: `"trunk_mm": 505,5`, Want: "/upper/trunk_mm 505,5: want well-formed JSON, with a decimal point in place of the comma"},
		{Flag: "body", Data: bodyJSON, Old: `"forearm_mm"`, New: `"upper_arm_mm"`, Exchanged: true, Told: "body.upper.forearm_mm: forearm over upper arm 1.24, usual are 0.6 to 1"},
	})
}
