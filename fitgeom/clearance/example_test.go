package clearance_test

import (
	"fmt"
	"log"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom/clearance"
	"gonum.org/v1/gonum/spatial/r3"
)

// A rider's feet on two sizes of a frame, before one of them is bought: does the shoe meet
// the front wheel, and what would a standard say? Only what the position and the chart say
// is known; the shoe is the rider's, all else is usual.
func Example() {
	position := contact.New(map[contact.Site]r3.Vec{
		contact.PedalLeft:  {X: 172.5, Y: 73},
		contact.FootLeft:   {X: 172.5, Y: 128, Z: 18},
		contact.PedalRight: {X: 172.5, Y: -73},
		contact.FootRight:  {X: 172.5, Y: -125, Z: 18},
	})
	position.SetAttitude(contact.FootRight, contact.Attitude{Yaw: 6}) // the right toe turned in
	shoe := clearance.Shoe{Toe: 95, Ball: 5, Heel: 200, ToeRadius: 32, BallRadius: 50, HeelRadius: 35, Axis: 35}

	for _, frame := range []struct {
		name  string
		reach float64
	}{{"road 50", 368}, {"road 54", 385}} {
		bike := clearance.Bike{
			Position: position,
			Geometry: chart.Geometry{
				Stack: 560, Reach: frame.reach, HeadAngle: 73, SeatAngle: 73.5,
				Axles: chart.Axles{Chainstay: 410, Drop: 70, ForkOffset: 45, FrontRadius: 340, RearRadius: 340},
			},
			Bulk: clearance.Bulk{FrontTyre: 32, RearTyre: 32, Shoe: shoe},
			Uncertainty: clearance.Uncertainty{
				Geometry: chart.Geometry{Reach: 0.3, Stack: 0.3, HeadAngle: 0.15}, // a rounded chart
				Bulk:     clearance.Bulk{Shoe: clearance.Shoe{Toe: 3}},
			},
		}
		values, err := bike.Values()
		if err != nil {
			log.Fatal(err)
		}
		fmt.Println(frame.name)
		for _, v := range values {
			switch v.Quantity {
			case clearance.ShoeToWheel, clearance.ShoeSteering, clearance.ToePlan, clearance.PedalLean:
				fmt.Printf("  %v, %v: %.1f ± %.1f %s\n", v.Quantity, v.Side, v.Value, v.Sigma, v.Quantity.Unit())
			}
		}
	}
	// Output:
	// road 50
	//   shoe_to_wheel, left: -14.8 ± 3.0 mm
	//   shoe_to_wheel, right: -18.3 ± 3.2 mm
	//   shoe_steering, left: 18.0 ± 0.4 degrees
	//   shoe_steering, right: 15.7 ± 0.4 degrees
	//   toe_plan, left: 81.8 ± 1.5 mm
	//   toe_plan, right: 80.4 ± 1.5 mm
	//   pedal_lean, left: 26.0 ± 0.0 degrees
	//   pedal_lean, right: 26.0 ± 0.0 degrees
	// road 54
	//   shoe_to_wheel, left: 0.8 ± 3.1 mm
	//   shoe_to_wheel, right: -2.5 ± 3.2 mm
	//   shoe_steering, right: 19.2 ± 1.7 degrees
	//   toe_plan, left: 98.8 ± 1.5 mm
	//   toe_plan, right: 97.4 ± 1.5 mm
	//   pedal_lean, left: 26.0 ± 0.0 degrees
	//   pedal_lean, right: 26.0 ± 0.0 degrees
}
