package survey_test

import (
	"fmt"
	"log"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
)

// A saddle measured with tape, plumb line and level. The numbers are invented.
func ExampleTapeSurvey_Solve() {
	tape, err := survey.Tape(survey.ClassII, 740, false)
	if err != nil {
		log.Fatal(err)
	}
	held := survey.Uncertainty{Standard: 1} // how well the tape was held, by experience
	sigma := survey.Combine(tape, held).Standard

	reference := survey.At(contact.SaddleReference)
	fix, err := survey.TapeSurvey{Readings: []survey.TapeReading{
		{Kind: survey.Straight, From: survey.BottomBracket, To: reference, Value: 738, Sigma: sigma},
		{Kind: survey.Along, From: reference, To: survey.BottomBracket, Value: 212, Sigma: sigma},
		{Kind: survey.Slope, Value: -1, Sigma: 0.2},
	}}.Solve()
	if err != nil {
		log.Fatal(err)
	}
	at, _ := fix.Position.At(contact.SaddleReference)
	u, _ := fix.Covariance.Sigma(contact.SaddleReference)
	fmt.Printf("%.1f mm forward (± %.1f), %.1f mm up (± %.1f)\n", at.X, u.X, at.Z, u.Z)
	// Output:
	// -212.0 mm forward (± 1.0), 706.9 mm up (± 1.1)
}

// Two readings of one height do not agree, and the error says so.
func ExampleTapeSurvey_Solve_contradiction() {
	reference := survey.At(contact.SaddleReference)
	_, err := survey.TapeSurvey{Readings: []survey.TapeReading{
		{Kind: survey.Along, From: survey.BottomBracket, To: reference, Value: -212, Sigma: 1},
		{Kind: survey.Upright, From: survey.BottomBracket, To: reference, Value: 707, Sigma: 1},
		{Kind: survey.Upright, From: survey.BottomBracket, To: reference, Value: 717, Sigma: 1},
	}}.Solve()
	fmt.Println(err)
	// Output:
	// readings[1] 707 mm: want what the others say, from which it is off by -10 mm
	// readings[2] 717 mm: want what the others say, from which it is off by 10 mm
}

func ExampleUncertainty_Expanded() {
	mean, u, err := survey.Repeated(708.0, 709.5, 708.5, 709.0)
	if err != nil {
		log.Fatal(err)
	}
	half, err := u.Expanded(0.95)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.2f ± %.2f mm\n", mean, half)
	// Output:
	// 708.75 ± 1.03 mm
}
