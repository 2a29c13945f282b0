package clearance_test

import (
	"fmt"
	"log"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom/clearance"
	"gonum.org/v1/gonum/spatial/r3"
)

// An invented small frame.
var road50 = chart.Geometry{
	Stack: 530, Reach: 368, HeadAngle: 71.5, SeatAngle: 74.5,
	Axles: chart.Axles{Chainstay: 410, Drop: 72, ForkOffset: 47, FrontRadius: 340, RearRadius: 340},
}

// Does a shorter crank keep the shoe off the front wheel of a small frame?
func Example_cranks() {
	for _, crank := range []float64{172.5, 160} {
		bike := clearance.Bike{
			Position: contact.New(map[contact.Site]r3.Vec{
				contact.PedalLeft: {X: crank, Y: 73},
				contact.FootLeft:  {X: crank, Y: 128, Z: 18},
			}),
			Geometry: road50,
			Bulk: clearance.Bulk{
				FrontTyre: 30, RearTyre: 30,
				Shoe: clearance.Shoe{Toe: 90, Ball: 5, Heel: 190, ToeRadius: 32, BallRadius: 48, HeelRadius: 33, Axis: 35},
			},
		}
		values, err := bike.Values()
		if err != nil {
			log.Fatal(err) // all faults of the input, each with its path
		}
		for _, v := range values {
			if v.Quantity == clearance.ShoeToWheel || v.Quantity == clearance.PedalLean {
				fmt.Printf("crank %.1f: %v %.1f %s\n", crank, v.Quantity, v.Value, v.Quantity.Unit())
			}
		}
	}
	// Output:
	// crank 172.5: shoe_to_wheel -4.5 mm
	// crank 172.5: pedal_lean 25.4 degrees
	// crank 160.0: shoe_to_wheel 7.0 mm
	// crank 160.0: pedal_lean 28.8 degrees
}
