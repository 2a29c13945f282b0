package rules_test

import (
	"fmt"
	"log"

	"example.com/fitgeom/fitgeom/rules"
	"example.com/fitgeom/internal/invented"
)

// The figures of race rules are data with their edition.
func ExampleRule_Check() {
	build := invented.Build() // the build of the Example of Build.Position in package fitgeom
	build.Settings.SaddleTilt = -12
	for _, r := range rules.Rules() {
		if r.Figure != rules.SaddleSlope {
			continue
		}
		value, within, known, err := r.Check(build)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Println(r)
		fmt.Printf("known: %v, %.1f %s, within: %v\n", known, value, r.Figure.Unit(), within)
	}
	// Output:
	// slope of the saddle at most 9 degrees (UCI regulations, part 1, 1.3.014, clarification guide of about 2016)
	// known: true, 12.0 degrees, within: false
}
