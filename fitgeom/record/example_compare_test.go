package record_test

import (
	"fmt"
	"log"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/record"
	"example.com/fitgeom/fitgeom/rules"
	"gonum.org/v1/gonum/spatial/r3"
)

// Two records of one rider, two years apart: the hoods went up, and the saddle is another one,
// so that nobody should trust that it stayed where it was.
func ExampleCompare() {
	p := contact.New(map[contact.Site]r3.Vec{
		contact.SaddleReference: {X: -208, Z: 706},
		contact.HoodsLeft:       {X: 580, Y: 212, Z: 637},
		contact.HoodsRight:      {X: 581, Y: -210, Z: 636},
	})
	before := record.Record{
		Date: rules.Date{Year: 2024, Month: 3, Day: 1},
		Fix:  survey.Fix{Position: p, Covariance: read(p)},
		Bike: record.Bike{Saddle: part.Saddle{Name: "saddle 270", Length: 270, Station: 130, Height: 48, RailsFrom: 110, RailsTo: 180}},
	}
	after := before
	after.Date.Year = 2026
	after.Fix.Position = p.Moved(r3.Vec{Z: 12}, contact.HoodsLeft, contact.HoodsRight)
	after.Bike.Saddle.Name = "saddle 240"
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
	// another saddle: saddle_reference
}

// read is the covariance of points that were each read by themselves, to 1.5 mm.
func read(p contact.Position) contact.Covariance {
	var all []contact.Coordinate
	for s := range p.All() {
		for _, a := range []contact.Axis{contact.AxisX, contact.AxisY, contact.AxisZ} {
			all = append(all, contact.Coordinate{Site: s, Axis: a})
		}
	}
	c, err := contact.NewCovariance(all, func(i, j int) float64 {
		if i == j {
			return 1.5 * 1.5
		}
		return 0
	})
	if err != nil {
		log.Fatal(err)
	}
	return c
}
