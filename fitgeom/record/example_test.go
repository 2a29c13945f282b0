package record_test

import (
	"context"
	"fmt"
	"log"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/record"
	"example.com/fitgeom/fitgeom/rules"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/invented"
)

// Two records of one rider, two years apart: the hoods went up, and the saddle is another
// one.
func ExampleCompare() {
	p := invented.Position(invented.Build()) // a position of an invented bike
	before := record.Record{
		Date: rules.Date{Year: 2024, Month: 3, Day: 1}, Fix: survey.Fix{Position: p, Covariance: covariance(p, 1)},
		Bike: record.Bike{Saddle: part.Saddle{Name: "saddle 270", Length: 270, Station: 130, Height: 48, RailsFrom: 110, RailsTo: 180}},
	}
	after := before
	after.Date.Year = 2026
	after.Bike.Saddle.Name = "saddle 240"
	for _, s := range []contact.Site{contact.HoodsLeft, contact.HoodsRight} {
		at, _ := p.At(s)
		at.Z += 12
		after.Fix.Position.Set(s, at)
	}
	d, err := record.Compare(before, after, 0.99)
	if err != nil {
		log.Fatal(err)
	}
	for _, m := range d.Moves {
		if m.Real {
			fmt.Printf("%v moved up by %.0f mm\n", m.Site, m.By.Z)
		}
	}
	for _, w := range d.Warnings {
		fmt.Println(w)
	}
	// Output:
	// hoods_left moved up by 12 mm
	// hoods_right moved up by 12 mm
	// another saddle: saddle_reference, saddle_nose, saddle_rear
}

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
