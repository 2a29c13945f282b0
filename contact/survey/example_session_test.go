package survey_test

import (
	"fmt"
	"log"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"gonum.org/v1/gonum/spatial/r3"
)

// What a measuring arm read on an invented bike, in the arm's own axes. Each landmark is read
// once, to be short here: read three times or more.
var readings = []survey.Reading{
	{Landmark: survey.BottomBracketLeft, At: r3.Vec{X: 870.0, Y: 452.0, Z: 271.0}},
	{Landmark: survey.BottomBracketRight, At: r3.Vec{X: 930.0, Y: 348.0, Z: 269.0}},
	{Landmark: survey.RearAxleLeft, At: r3.Vec{X: 515.8, Y: 257.6, Z: 341.2}},
	{Landmark: survey.RearAxleRight, At: r3.Vec{X: 585.7, Y: 136.3, Z: 338.8}},
	{Landmark: survey.FrontAxleLeft, At: r3.Vec{X: 1377.0, Y: 737.5, Z: 340.9}},
	{Landmark: survey.FrontAxleRight, At: r3.Vec{X: 1432.0, Y: 642.2, Z: 339.0}},
	{Landmark: survey.At(contact.SaddleReference), At: r3.Vec{X: 742.6, Y: 295.3, Z: 954.3}},
	{Landmark: survey.At(contact.HoodsLeft), At: r3.Vec{X: 1305.3, Y: 863.2, Z: 929.5}},
	{Landmark: survey.At(contact.HoodsRight), At: r3.Vec{X: 1515.3, Y: 499.5, Z: 922.1}},
}

// Readings of an instrument that stands anywhere become contact points in the bike's axes, each
// with its uncertainty; and the survey says what a person should know of it.
func Example_session() {
	fix, err := survey.Survey{
		Readings:    readings,
		Sigma:       r3.Vec{X: 0.3, Y: 0.3, Z: 0.3},
		FrontRadius: 340, RearRadius: 340,
	}.Solve()
	if err != nil {
		log.Fatal(err) // all faults of the input, each with its path
	}
	for s, at := range fix.Position.All() {
		sigma, _ := fix.Covariance.Sigma(s)
		fmt.Printf("%v: %.0f ± %.1f forward, %.0f ± %.1f up\n", s, at.X, sigma.X, at.Z, sigma.Z)
	}
	for i, f := range fix.Findings {
		if i < 2 {
			fmt.Println(f)
		}
	}
	// Output:
	// saddle_reference: -189 ± 0.4 forward, 684 ± 0.4 up
	// hoods_left: 583 ± 2.0 forward, 656 ± 1.3 up
	// hoods_right: 583 ± 2.0 forward, 656 ± 1.3 up
	// bottom_bracket_left: read once, so a mistake would not show
	// bottom_bracket_right: read once, so a mistake would not show
}
