package convert_test

import (
	"errors"
	"fmt"
	"log"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/internal/invented"
	"gonum.org/v1/gonum/spatial/r3"
)

// One position in the numbers of a set-up sheet, and back from the sheet to the
// position. The rider is invented.
func Example() {
	position := contact.New(map[contact.Site]r3.Vec{
		contact.SaddleReference: {X: -188.6, Z: 684.4},
		contact.BarClamp:        {X: 468.5, Z: 626.9},
	})
	sheet, err := convert.NewSheet(position, convert.Basis{},
		convert.SaddleHeight, convert.SaddleSetback, convert.BarDropClamp, convert.ReachClampHorizontal)
	if err != nil {
		log.Fatal(err)
	}
	for i, e := range sheet.Entries {
		fmt.Printf("%s %.1f %s\n", e.Measure, e.Value, e.Measure.Definition().Unit)
		sheet.Entries[i].Sigma = 1 // how well it is known, for the way back
	}

	back, err := sheet.Solve()
	if err != nil {
		log.Fatal(err)
	}
	for s, at := range back.Position.All() {
		fmt.Printf("%s %.1f forward, %.1f up\n", s, at.X, at.Z)
	}
	// Output:
	// saddle_height 709.9 mm
	// saddle_setback 188.6 mm
	// bar_drop_clamp 57.5 mm
	// reach_clamp_horizontal 657.1 mm
	// saddle_reference -188.6 forward, 684.4 up
	// bar_clamp 468.5 forward, 626.9 up
}

// Along the seat tube, from the ground, of one side: what a measure needs to know
// besides the position stands in the Basis.
func ExampleNewSheet() {
	position := invented.Position(invented.Build()) // the position of package contact's Example
	sheet, err := convert.NewSheet(position,
		convert.Basis{SeatAngle: 73.5, BottomBracketHeight: 270, Side: contact.Left},
		convert.SaddleHeightSeatTube, convert.SaddleHeightGround, convert.ReachHoods, convert.HoodsWidth)
	if err != nil {
		log.Fatal(err)
	}
	for _, e := range sheet.Entries {
		d := e.Measure.Definition()
		fmt.Printf("%s %.1f %s, from %s to %s, %s\n", e.Measure, e.Value, d.Unit, d.From, d.To, d.Along)
	}
	// Output:
	// saddle_height_seat_tube 714.0 mm, from bottom bracket centre to saddle top, where the line meets it, seat tube
	// saddle_height_ground 954.4 mm, from ground to saddle reference (80 mm wide), vertical
	// reach_hoods 799.8 mm, from saddle reference (80 mm wide) to hoods, direct
	// hoods_width 420.0 mm, from right hoods to left hoods, lateral
}

// All that is not known comes back in one error.
func ExampleNewSheet_faults() {
	position := contact.New(map[contact.Site]r3.Vec{
		contact.SaddleReference: {X: -188.6, Z: 684.4},
	})
	_, err := convert.NewSheet(position, convert.Basis{},
		convert.SaddleHeightSeatTube, convert.BarDropHoods)
	fmt.Println("missing:", errors.Is(err, contact.ErrMissing))
	for _, f := range contact.Faults(err) {
		fmt.Printf("%s: want %s\n", f.Path, f.Want)
	}
	// Output:
	// missing: true
	// saddle_height_seat_tube: want the tilt of the saddle to be known
	// saddle_height_seat_tube: want a seat angle
	// bar_drop_hoods: want hoods_left to be known
	// bar_drop_hoods: want hoods_right to be known
}

// A sheet in which one number does not agree with the others.
func ExampleSheet_Solve() {
	sheet := convert.Sheet{Entries: []convert.Entry{
		{Measure: convert.SaddleHeightVertical, Value: 684, Sigma: 1},
		{Measure: convert.SaddleSetback, Value: 189, Sigma: 1},
		{Measure: convert.SaddleHeight, Value: 710, Sigma: 1},
		{Measure: convert.BarStack, Value: 627, Sigma: 1},
		{Measure: convert.BarDropClamp, Value: 57, Sigma: 1},
		{Measure: convert.BarReach, Value: 469, Sigma: 1},
		{Measure: convert.ReachClampHorizontal, Value: 675, Sigma: 1}, // was 657
		{Measure: convert.ReachClamp, Value: 660, Sigma: 1},
	}}
	sol, err := sheet.Solve()
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println("consistent:", sol.Consistent)
	for _, s := range sol.Suspects { // any one of them could be wrong
		fmt.Printf("%s: %.1f mm against what the others say; perhaps %v\n", sheet.Entries[s.Reading].Measure, s.Against, s.Slips)
	}
	// Output:
	// consistent: false
	// reach_clamp_horizontal: 17.3 mm against what the others say; perhaps [digits exchanged: 657]
}

// Too few measures: the solution says what is free and what would settle it.
func ExampleFreedom() {
	sheet := convert.Sheet{Entries: []convert.Entry{
		{Measure: convert.BarStack, Value: 627, Sigma: 1},
	}}
	sol, err := sheet.Solve()
	if err != nil {
		log.Fatal(err)
	}
	for _, f := range sol.Free {
		fmt.Println(f)
	}
	// Output:
	// bar_clamp.x is free; one of these settles it: bar_reach
}
