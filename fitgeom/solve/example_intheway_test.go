package solve_test

import (
	"context"
	"fmt"
	"log"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/solve"
	"gonum.org/v1/gonum/spatial/r3"
)

// An invented frame, and invented parts of a shop.
var (
	road54 = fitgeom.Frame{
		Name:            "road 54",
		Geometry:        chart.Geometry{Stack: 555, Reach: 383, HeadAngle: 72.5, SeatAngle: 73.5},
		SteererDiameter: 28.6, MaxUnderStem: 50,
		SeatTubeTop: 490, SeatpostDiameter: 27.2, SeatpostInsertion: 80,
	}
	shop = fitgeom.Shelf{
		Caps:    []part.HeadsetCap{{Name: "cap 12", Height: 12, SteererDiameter: 28.6}},
		Spacers: []part.Spacer{{Height: 5, Count: 2}, {Height: 10, Count: 2}},
		Stems: []part.Stem{
			{Name: "stem 90 −6°", Length: 90, Angle: -6, Height: 40, SteererDiameter: 28.6, BarDiameter: 31.8},
			{Name: "stem 110 −6°", Length: 110, Angle: -6, Height: 40, SteererDiameter: 28.6, BarDiameter: 31.8},
		},
		Handlebars: []part.Handlebar{{Name: "bar 420", ClampDiameter: 31.8, RotationRange: 8, Drop: part.DropBar{Width: 420, Reach: 78, Drop: 125}}},
		Levers:     []part.Lever{{Name: "lever", Reach: 38, Rise: 28}},
		Seatposts:  []part.Seatpost{{Name: "seatpost 350", Diameter: 27.2, Length: 350, Setback: 20, MinInsertion: 90, MinExtension: 45}},
		Saddles:    []part.Saddle{{Name: "saddle 270", Length: 270, Station: 130, Height: 48, RailsFrom: 110, RailsTo: 175}},
		Cranks:     []part.Crank{{Name: "crank 170", Length: 170, QFactor: 146}},
	}
)

// Can these parts hold the position on this frame? If not, what is in the way, and what would
// free it?
func Example_inTheWay() {
	target := contact.New(map[contact.Site]r3.Vec{
		contact.SaddleReference: {X: -205, Z: 705},
		contact.HoodsLeft:       {X: 580, Y: 210, Z: 655},
		contact.HoodsRight:      {X: 580, Y: -210, Z: 655},
	})
	target.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: -1})

	problem := solve.Problem{Target: target, Frame: road54, Shelf: shop}
	result, err := problem.Solve(context.Background())
	if err != nil {
		log.Fatal(err) // all faults of the input, each with its path
	}
	best := result.Candidates[0]
	fmt.Printf("holds: %v, at %.1f times the tolerance\n", best.Holds(), best.Score())
	obstacles, err := problem.Explain(context.Background(), best)
	if err != nil {
		log.Fatal(err)
	}
	for _, o := range obstacles {
		fmt.Println("in the way:", o)
	}
	// Output:
	// holds: false, at 4.4 times the tolerance
	// in the way: caps, stems, handlebars, levers, aero bars: a longer stem by 6.7 mm
}
