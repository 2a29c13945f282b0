package convert_test

import (
	"fmt"
	"log"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert"
	"gonum.org/v1/gonum/spatial/r3"
)

// One position in the numbers of a set-up sheet. The rider is invented.
func ExampleNewSheet() {
	p := contact.New(map[contact.Site]r3.Vec{
		contact.SaddleReference: {X: -210, Z: 720},
		contact.BarClamp:        {X: 480, Z: 640},
	})
	sheet, err := convert.NewSheet(p, convert.Basis{}, convert.SaddleHeight, convert.SaddleSetback, convert.BarDropClamp, convert.ReachClamp)
	if err != nil {
		log.Fatal(err)
	}
	for _, r := range sheet {
		fmt.Printf("%s %.1f %s\n", r.Measure, r.Value, r.Measure.Definition().Unit)
	}
	// Output:
	// saddle_height 750.0 mm
	// saddle_setback 210.0 mm
	// bar_drop_clamp 80.0 mm
	// reach_clamp 694.6 mm
}

// A sheet in which one number does not agree with the others.
func ExampleSheet_Solve() {
	sheet := convert.Sheet{
		{Measure: convert.SaddleHeightVertical, Value: 720, Sigma: 1},
		{Measure: convert.SaddleSetback, Value: 210, Sigma: 1},
		{Measure: convert.SaddleHeight, Value: 750, Sigma: 1},
		{Measure: convert.BarStack, Value: 640, Sigma: 1},
		{Measure: convert.BarDropClamp, Value: 80, Sigma: 1},
		{Measure: convert.BarReach, Value: 480, Sigma: 1},
		{Measure: convert.ReachClampLevel, Value: 670, Sigma: 1}, // 690 misread
		{Measure: convert.ReachClamp, Value: 694.6, Sigma: 1},
	}
	sol, err := sheet.Solve(convert.Basis{}, convert.Options{Mirrored: true})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println("consistent:", sol.Consistent)
	worst := sol.Suspects[0]
	fmt.Printf("look first at %s: %.0f mm against what the others say\n", sheet[worst].Measure, sol.Checks[worst].Against)
	// Output:
	// consistent: false
	// look first at reach_clamp_level: -20 mm against what the others say
}

// Too few measures: the solution says what is free and what would settle it.
func ExampleFreedom() {
	sol, err := convert.Sheet{
		{Measure: convert.BarStack, Value: 640, Sigma: 1},
	}.Solve(convert.Basis{}, convert.Options{})
	if err != nil {
		log.Fatal(err)
	}
	for _, f := range sol.Free {
		fmt.Println(f)
	}
	// Output:
	// bar_clamp.x is free; one of these settles it: bar_reach
}

// A chart with a misprint, 54 for 45. The frame is invented.
func ExampleChart_Complete() {
	chart := convert.Chart{
		LengthStep: 1, AngleStep: 0.1, EqualWheels: true, SeatTubeCentred: true,
		Stated: []convert.Stated{
			{Dimension: convert.DimStack, Value: 572},
			{Dimension: convert.DimReach, Value: 388},
			{Dimension: convert.DimEffectiveTopTube, Value: 558},
			{Dimension: convert.DimHeadAngle, Value: 72.8},
			{Dimension: convert.DimSeatAngle, Value: 73.5},
			{Dimension: convert.DimForkOffset, Value: 54},
			{Dimension: convert.DimChainstay, Value: 412},
			{Dimension: convert.DimDrop, Value: 70},
			{Dimension: convert.DimBottomBracketHeight, Value: 270},
			{Dimension: convert.DimFrontCentre, Value: 595},
			{Dimension: convert.DimWheelbase, Value: 997},
			{Dimension: convert.DimTrail, Value: 58},
		},
	}
	done, err := chart.Complete()
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println("consistent:", done.Consistent)
	worst := done.Suspects[0]
	fmt.Printf("%s is %.0f, the others say %.0f\n", chart.Stated[worst].Dimension, chart.Stated[worst].Value, chart.Stated[worst].Value-done.Checks[worst].Against)
	// Output:
	// consistent: false
	// fork_offset is 54, the others say 45
}

func ExampleTrail() {
	trail, err := convert.Trail(73, 45, 336)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f mm\n", trail)
	_, err = convert.Trail(7.3, 45, 33.6)
	fmt.Println(err)
	// Output:
	// 55.7 mm
	// head_angle 7.3 degrees: want 50 to 90 degrees
	// radius 33.6 mm: want 100 to 450 mm; it looks like centimetres
}
