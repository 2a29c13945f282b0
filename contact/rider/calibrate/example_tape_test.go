package calibrate_test

import (
	"context"
	"fmt"
	"log"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/contact/rider/calibrate"
	"gonum.org/v1/gonum/spatial/r3"
)

// known prints a number of a body, with its uncertainty.
func known(result calibrate.Result, of rider.Dimension, side contact.Side, value float64) {
	n := rider.Number{Of: of, Side: side}
	sigma, _ := result.Covariance.Sigma(n)
	fmt.Printf("%v: %.0f ± %.0f mm\n", n, value, sigma)
}

// A body by a tape alone, and by the table for a stature where no tape was laid. The ankle
// is the caller's: no tape tells it.
func Example() {
	evidence := calibrate.Evidence{
		Position: contact.New(map[contact.Site]r3.Vec{
			contact.SaddleReference: {X: -205, Z: 705},
			contact.FootLeft:        {X: 172.5, Y: 125, Z: 20},
			contact.FootRight:       {X: 172.5, Y: -125, Z: 20},
		}),
		Stature: 1760, Table: rider.ANSURMen,
		Ankle: rider.Ankle{Given: rider.SolePitch, Profile: []float64{-20}},
		Readings: []calibrate.Reading{
			{Of: calibrate.Inseam, Value: 845},
			{Of: calibrate.KneeHeight, Value: 508},
			{Of: calibrate.TrochanterOverSaddle, Value: 78},
			{Of: calibrate.TrochanterForward, Value: 15},
		},
	}
	result, err := evidence.Body(context.Background())
	if err != nil {
		log.Fatal(err)
	}
	known(result, rider.BodyThigh, contact.Left, result.Body.Left.Thigh)
	known(result, rider.BodyShank, contact.Left, result.Body.Left.Shank)
	known(result, rider.BodyHipUp, contact.Centre, result.Body.HipUp)

	// What that is worth for a saddle height.
	saddle, err := result.Body.SaddleSlopes(evidence.Position, contact.Left, 35, 73.5)
	if err != nil {
		log.Fatal(err)
	}
	sigma, err := saddle.Slopes.Sigma(contact.Covariance{}, result.Covariance)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("for 35 degrees the saddle moves by %.0f ± %.0f mm\n", saddle.Value, sigma)
	// Output:
	// left.thigh: 401 ± 17 mm
	// left.shank: 416 ± 14 mm
	// hip_up: 78 ± 10 mm
	// for 35 degrees the saddle moves by -39 ± 28 mm
}
