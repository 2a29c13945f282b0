package record_test

import (
	"context"
	"fmt"
	"log"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/fitgeom/record"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/invented"
)

// A position of years ago on another frame, and the chance that it is within tolerance there.
func ExampleRecord_Reproduce() {
	p := invented.Position(invented.Build())
	p.Forget(contact.PedalLeft)
	p.Forget(contact.PedalRight)
	r := record.Record{Fix: survey.Fix{Position: p, Covariance: covariance(p, 0.5)}}
	frame := invented.Road54()
	frame.Geometry.Stack = 570
	answer, err := r.Reproduce(context.Background(), solve.Problem{Frame: frame, Shelf: invented.Shelf(), Limit: 1}, solve.Errors{})
	if err != nil {
		log.Fatal(err)
	}
	best := answer.Result.Candidates[0]
	fmt.Printf("holds: %v, %s with %.0f mm of spacers, chance %.2f\n", best.Holds(), best.Build.Stem.Name, best.Build.Settings.Spacers, answer.Chances[0])
	// Output:
	// holds: true, stem 100 -6° with 15 mm of spacers, chance 1.00
}
