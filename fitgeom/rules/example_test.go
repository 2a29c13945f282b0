package rules_test

import (
	"fmt"
	"log"

	"example.com/fitgeom/fitgeom/rules"
	"example.com/fitgeom/internal/invented"
)

// The rules of a race on a day, held against a build.
func ExampleSet_Check() {
	build := invented.Build() // the build of the Example of Build.Position in package fitgeom
	build.Settings.SaddleTilt = -9.5
	build.Handlebar.Drop.Tube, build.Lever.Breadth = 24, 36
	set, ok := rules.InForce(rules.Road, rules.Date{Year: 2026, Month: 6, Day: 7})
	fmt.Printf("known: %v, in force since %s\n", ok, set.From)
	found, err := set.Check(build, rules.Rider{})
	if err != nil {
		log.Fatal(err)
	}
	for _, f := range found {
		switch f.Rule.Figure {
		case rules.SaddleSlope, rules.HandlebarWidth, rules.HoodsInside, rules.FlareSide, rules.LeverTilt:
			fmt.Println(f)
		default: // those of the frame, the wheels and the saddle itself
		}
	}
	// Output:
	// known: true, in force since 2026-01-01
	// slope of the saddle 9.5 degrees: broken by 0.5 degrees, within the margin
	// handlebar between its outer edges 464.0 mm: kept
	// handlebar between its outer edges 464.0 mm: kept
	// between the inner faces of the hoods 384.0 mm: kept
	// flare of the handlebar on each side 10.0 mm: kept
	// lever out of the plane of the bend 0.0 degrees: kept
}
