package chart_test

import (
	"fmt"
	"log"

	"example.com/fitgeom/convert/chart"
)

// The chart of an invented frame, as it is printed: without the wheels' radius.
var printed = chart.Chart{
	Rounding:    chart.Rounding{LengthStep: 1, AngleStep: 0.1},
	EqualWheels: true, SeatTubeCentred: true,
	Entries: []chart.Entry{
		{Dimension: chart.Stack, Value: 560},
		{Dimension: chart.Reach, Value: 385},
		{Dimension: chart.HeadAngle, Value: 73},
		{Dimension: chart.SeatAngle, Value: 73.5},
		{Dimension: chart.Chainstay, Value: 410},
		{Dimension: chart.Drop, Value: 70},
		{Dimension: chart.BottomBracketHeight, Value: 270},
		{Dimension: chart.ForkOffset, Value: 45},
	},
}

// What follows from a chart, and what a wider tyre changes of it.
func Example_otherTyres() {
	whole, err := printed.Solve()
	if err != nil {
		log.Fatal(err) // all faults of the input, each with its path
	}
	for _, d := range []chart.Dimension{chart.EffectiveTopTube, chart.FrontCentre, chart.Wheelbase, chart.Trail} {
		v, sigma, known := whole.Get(d)
		fmt.Printf("%v: %.1f ± %.1f mm, known: %v\n", d, v, sigma, known)
	}
	tyre, err := chart.ParseTyre("40-622")
	if err != nil {
		log.Fatal(err)
	}
	radius, err := tyre.Radius()
	if err != nil {
		log.Fatal(err)
	}
	change := chart.Wheels{FrontRadius: radius} // and the rear wheel as it was
	frame, complete := whole.Geometry()
	if !complete {
		log.Fatal("the chart does not say enough")
	}
	before, err := frame.Handling(chart.Wheels{})
	if err != nil {
		log.Fatal(err)
	}
	after, err := frame.Handling(change)
	if err != nil {
		log.Fatal(err)
	}
	by := after.Sub(before)
	fmt.Printf("%v in front: head angle %+.2f degrees, trail %+.1f mm\n", tyre, by.HeadAngle, by.Trail)
	// Output:
	// effective_top_tube: 550.9 ± 0.4 mm, known: true
	// front_centre: 586.1 ± 0.5 mm, known: true
	// wheelbase: 985.8 ± 0.6 mm, known: true
	// trail: 56.9 ± 0.4 mm, known: true
	// 40-622 in front: head angle -0.64 degrees, trail +7.5 mm
}
