package survey_test

import (
	"errors"
	"fmt"
	"log"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"gonum.org/v1/gonum/spatial/r3"
)

// session is what a measuring arm read on an invented bike, which leans and
// whose front does not point along the arm's axes. Each landmark is read once,
// to be short here: read three times or more.
func session() survey.Survey {
	return survey.Survey{
		Readings: []survey.Reading{
			{Landmark: survey.BottomBracketLeft, At: r3.Vec{X: 870.0, Y: 452.0, Z: 271.0}},
			{Landmark: survey.BottomBracketRight, At: r3.Vec{X: 930.0, Y: 348.0, Z: 269.0}},
			{Landmark: survey.RearAxleLeft, At: r3.Vec{X: 515.8, Y: 257.6, Z: 341.2}},
			{Landmark: survey.RearAxleRight, At: r3.Vec{X: 585.7, Y: 136.3, Z: 338.8}},
			{Landmark: survey.FrontAxleLeft, At: r3.Vec{X: 1377.0, Y: 737.5, Z: 340.9}},
			{Landmark: survey.FrontAxleRight, At: r3.Vec{X: 1432.0, Y: 642.2, Z: 339.0}},
			{Landmark: survey.At(contact.SaddleReference), At: r3.Vec{X: 742.6, Y: 295.3, Z: 954.3}},
			{Landmark: survey.At(contact.HoodsLeft), At: r3.Vec{X: 1305.3, Y: 863.2, Z: 929.5}},
			{Landmark: survey.At(contact.HoodsRight), At: r3.Vec{X: 1515.3, Y: 499.5, Z: 922.1}},
		},
		Sigma:       r3.Vec{X: 0.3, Y: 0.3, Z: 0.3},
		FrontRadius: 340, RearRadius: 340,
	}
}

// From points in an arm's axes to contact points in the bike's.
func ExampleSurvey_Solve() {
	arm := survey.Survey{
		Readings: []survey.Reading{ // each read once, to be short: read three times or more
			{Landmark: survey.BottomBracketLeft, At: r3.Vec{X: 870.0, Y: 452.0, Z: 271.0}},
			{Landmark: survey.BottomBracketRight, At: r3.Vec{X: 930.0, Y: 348.0, Z: 269.0}},
			{Landmark: survey.RearAxleLeft, At: r3.Vec{X: 515.8, Y: 257.6, Z: 341.2}},
			{Landmark: survey.RearAxleRight, At: r3.Vec{X: 585.7, Y: 136.3, Z: 338.8}},
			{Landmark: survey.FrontAxleLeft, At: r3.Vec{X: 1377.0, Y: 737.5, Z: 340.9}},
			{Landmark: survey.FrontAxleRight, At: r3.Vec{X: 1432.0, Y: 642.2, Z: 339.0}},
			{Landmark: survey.At(contact.SaddleReference), At: r3.Vec{X: 742.6, Y: 295.3, Z: 954.3}},
			{Landmark: survey.At(contact.HoodsLeft), At: r3.Vec{X: 1305.3, Y: 863.2, Z: 929.5}},
			{Landmark: survey.At(contact.HoodsRight), At: r3.Vec{X: 1515.3, Y: 499.5, Z: 922.1}},
		},
		Sigma:       r3.Vec{X: 0.3, Y: 0.3, Z: 0.3}, // of one reading, mm
		FrontRadius: 340, RearRadius: 340,           // the tyres tell what is level
		Up: r3.Vec{Z: 1}, UpSigma: 0.05, // the arm knows gravity
	}
	fix, err := arm.Solve()
	if err != nil {
		log.Fatal(err)
	}
	for s, at := range fix.Position.All() {
		sigma, _ := fix.Covariance.Sigma(s)
		fmt.Printf("%v: %.0f forward, %.0f (± %.1f) up\n", s, at.X, at.Z, sigma.Z)
	}
	stands, _ := fix.Standing()
	fmt.Printf("leans by %.1f degrees to the right\n", stands.Lean)
	fmt.Println(fix.Findings[0])
	// Output:
	// saddle_reference: -189 forward, 684 (± 0.4) up
	// hoods_left: 583 forward, 656 (± 1.3) up
	// hoods_right: 583 forward, 656 (± 1.3) up
	// leans by 1.0 degrees to the right
	// bottom_bracket_left: read once, so a mistake would not show
}

// The same bike after the saddle went up. The second look goes by the datum of
// the first one, so that its errors cancel.
func ExampleCompare() {
	before, err := session().Solve() // the survey of the Example of Survey.Solve
	if err != nil {
		log.Fatal(err)
	}
	after, err := before.Locate([]survey.Reading{
		{Landmark: survey.At(contact.SaddleReference), At: r3.Vec{X: 741.0, Y: 294.2, Z: 961.3}},
		{Landmark: survey.At(contact.HoodsLeft), At: r3.Vec{X: 1305.6, Y: 863.0, Z: 929.7}},
	})
	if err != nil {
		log.Fatal(err)
	}
	moves, _, err := survey.Compare(before, after, 0.95)
	if err != nil {
		log.Fatal(err)
	}
	for _, m := range moves {
		fmt.Printf("%v: up by %.1f ± %.1f mm; real: %v\n", m.Site, m.By.Z, m.Sigma.Z, m.Real)
	}
	// Output:
	// saddle_reference: up by 7.0 ± 0.4 mm; real: true
	// hoods_left: up by 0.2 ± 0.4 mm; real: false
}

// The same bike in the axes of another instrument, whose X points to where the
// Y of the first one does.
func ExampleRegister() {
	first, second := session(), session() // the survey of the Example of Survey.Solve
	for i, r := range second.Readings {
		second.Readings[i].At = r3.Vec{X: r.At.Y + 1000, Y: -r.At.X, Z: r.At.Z}
	}
	found, err := survey.Register(second, first)
	if err != nil {
		log.Fatal(err)
	}
	at := found.Motion.Apply(second.Readings[0].At)
	fmt.Printf("%.1f %.1f %.1f, as the first has it\n", at.X, at.Y, at.Z)
	fmt.Println("moved in between:", found.Moved)
	// Output:
	// 870.0 452.0 271.0, as the first has it
	// moved in between: []
}

// All that is wrong with a survey comes back in one error.
func ExampleSurvey_Validate() {
	err := survey.Survey{
		Readings: []survey.Reading{
			{Landmark: "bottom_braket_left", At: r3.Vec{X: 870, Y: 452, Z: 271}},
			{Landmark: survey.BottomBracketRight, At: r3.Vec{X: 930, Y: 348, Z: 269}},
		},
		Sigma:       r3.Vec{X: 0.3, Y: 0.3, Z: 0.3},
		FrontRadius: 34, RearRadius: 340,
	}.Validate()
	for _, f := range contact.Faults(err) {
		fmt.Println(f)
	}
	fmt.Println("a wrong unit among them:", errors.Is(err, contact.ErrUnit))
	// Output:
	// front_radius_mm 34 mm: want 100 to 450 mm; it looks like centimetres
	// readings[0].landmark "bottom_braket_left": want a landmark such as rear_axle_left or hoods_right
	// readings missing: want at least one reading of bottom_bracket_left
	// readings missing: want at least one reading of rear_axle_left
	// readings missing: want at least one reading of rear_axle_right
	// readings missing: want at least one reading of front_axle_left
	// readings missing: want at least one reading of front_axle_right
	// a wrong unit among them: true
}

// A saddle measured with tape, plumb line and level.
func ExampleTapeSurvey_Solve() {
	tape, err := survey.Tape(survey.ClassII, 710, false)
	if err != nil {
		log.Fatal(err)
	}
	held := survey.Uncertainty{Standard: 1} // how well the tape was held, by experience
	both, err := survey.Combine(tape, held)
	if err != nil {
		log.Fatal(err)
	}
	sigma := both.Standard

	reference := survey.At(contact.SaddleReference)
	fix, err := survey.TapeSurvey{Readings: []survey.TapeReading{
		{Kind: survey.Direct, From: survey.BottomBracket, To: reference, Value: 710, Sigma: sigma},
		{Kind: survey.Horizontal, From: reference, To: survey.BottomBracket, Value: 189, Sigma: sigma},
		{Kind: survey.Tilt, Value: -1, Sigma: 0.2},
	}}.Solve()
	if err != nil {
		log.Fatal(err)
	}
	at, _ := fix.Position.At(contact.SaddleReference)
	u, _ := fix.Covariance.Sigma(contact.SaddleReference)
	fmt.Printf("%.1f mm forward (± %.1f), %.1f mm up (± %.1f)\n", at.X, u.X, at.Z, u.Z)
	// Output:
	// -189.0 mm forward (± 1.0), 684.4 mm up (± 1.1)
}

// Two readings of one height do not agree, and the error says so.
func ExampleTapeSurvey_Solve_contradiction() {
	reference := survey.At(contact.SaddleReference)
	_, err := survey.TapeSurvey{Readings: []survey.TapeReading{
		{Kind: survey.Horizontal, From: survey.BottomBracket, To: reference, Value: -189, Sigma: 1},
		{Kind: survey.Vertical, From: survey.BottomBracket, To: reference, Value: 684, Sigma: 1},
		{Kind: survey.Vertical, From: survey.BottomBracket, To: reference, Value: 694, Sigma: 1},
	}}.Solve()
	fmt.Println(errors.Is(err, contact.ErrConflict))
	fmt.Println(err)
	// Output:
	// true
	// readings[1] 684 mm: want agreement with the other readings, from which it differs by -10 mm; perhaps ten off: 694, or nose for reference: vertical from bottom_bracket to saddle_nose
	// readings[2] 694 mm: want agreement with the other readings, from which it differs by 10 mm; perhaps ten off: 684, or nose for reference: vertical from bottom_bracket to saddle_nose
}

// A height that was read four times: its mean, and where the true one is with 95 %.
func ExampleUncertainty_Expanded() {
	mean, u, err := survey.Repeated(684.0, 685.5, 684.5, 685.0)
	if err != nil {
		log.Fatal(err)
	}
	half, err := u.Expanded(0.95)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f ± %.2f mm\n", mean, half)
	// Output:
	// 684.75 ± 1.03 mm
}
