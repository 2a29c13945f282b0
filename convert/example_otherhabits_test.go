package convert_test

import (
	"fmt"
	"log"

	"example.com/fitgeom/convert"
)

// A sheet from an invented fitter, who measures the saddle along the seat tube and the bar from
// the saddle.
var received = convert.Sheet{
	Basis: convert.Basis{SeatAngle: 73.5, Mirrored: true},
	Entries: []convert.Entry{
		{Measure: convert.SaddleHeightSeatTube, Value: 714, Sigma: 1},
		{Measure: convert.SaddleSetback, Value: 188.6, Sigma: 1},
		{Measure: convert.SaddleTilt, Value: -1, Sigma: 0.2},
		{Measure: convert.BarDropHoods, Value: 28.5, Sigma: 1},
		{Measure: convert.ReachHoodsHorizontal, Value: 771, Sigma: 1},
		{Measure: convert.HoodsWidth, Value: 420, Sigma: 1},
	},
}

// Another fitter wants the same position in numbers from the bottom bracket.
func Example_otherHabits() {
	solution, err := received.Solve()
	if err != nil {
		log.Fatal(err) // all faults of the input, each with its path
	}
	sheet, err := convert.NewSheet(solution.Position, convert.Basis{},
		convert.SaddleHeightVertical, convert.SaddleSetback, convert.HoodsStack, convert.HoodsReach)
	if err != nil {
		log.Fatal(err)
	}
	for _, e := range sheet.Entries {
		d := e.Measure.Definition()
		fmt.Printf("%v: %.1f %s, from %s to %s\n", e.Measure, e.Value, d.Unit, d.From, d.To)
	}
	// Output:
	// saddle_height_vertical: 684.3 mm, from bottom bracket centre to saddle reference (80 mm wide)
	// saddle_setback: 188.6 mm, from bottom bracket centre to saddle reference (80 mm wide)
	// hoods_stack: 655.8 mm, from bottom bracket centre to hoods
	// hoods_reach: 582.4 mm, from bottom bracket centre to hoods
}
