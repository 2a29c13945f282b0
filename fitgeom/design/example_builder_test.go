package design_test

import (
	"context"
	"fmt"
	"log"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom/design"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/region"
	"gonum.org/v1/gonum/spatial/r3"
)

// wish is a dimension between two numbers.
func wish(d chart.Dimension, from, to float64) design.Wish {
	return design.Wish{Subject: design.Subject{Dimension: d}, From: from, To: to}
}

// A frame builder has an invented rider's position and parts: which frame puts the stem of
// 100 mm where it belongs, and what of the frame is free?
func Example_builder() {
	target := contact.New(map[contact.Site]r3.Vec{
		contact.SaddleReference: {X: -205, Z: 705},
		contact.HoodsLeft:       {X: 580, Y: 210, Z: 655},
		contact.HoodsRight:      {X: 580, Y: -210, Z: 655},
	})
	target.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: -1})
	problem := design.Problem{
		Target: target,
		Front: region.FrontEnd{
			Up:        27, // a cap of 12 mm and 15 mm of spacers
			Stem:      part.Stem{Name: "stem 100 −6°", Length: 100, Angle: -6, Height: 40, SteererDiameter: 28.6, BarDiameter: 31.8},
			Handlebar: part.Handlebar{Name: "bar 420", ClampDiameter: 31.8, RotationRange: 8, Drop: part.DropBar{Width: 420, Reach: 78, Drop: 125}},
			Lever:     part.Lever{Name: "lever", Reach: 38, Rise: 28},
		},
		Cap:      12,
		Seatpost: part.Seatpost{Name: "seatpost 350", Diameter: 27.2, Length: 350, Setback: 20, MinInsertion: 90, MinExtension: 45},
		Saddle:   part.Saddle{Name: "saddle 270", Length: 270, Station: 130, Height: 48, RailsFrom: 110, RailsTo: 175},
		Wishes: []design.Wish{
			wish(chart.FrontRadius, 340, 340), wish(chart.RearRadius, 340, 340),
			wish(chart.Chainstay, 415, 415), wish(chart.Drop, 70, 70),
			wish(chart.AxleToCrown, 375, 375), wish(chart.ForkOffset, 45, 45), wish(chart.Trail, 58, 64),
			wish(chart.SeatOffset, 0, 0), wish(chart.SeatTubeTop, 480, 520),
		},
	}
	frame, err := problem.Solve(context.Background())
	if err != nil {
		log.Fatal(err) // all faults of the input, each with its path
	}
	fmt.Println("all wishes held:", frame.Holds())
	for _, d := range []chart.Dimension{chart.Stack, chart.Reach, chart.HeadAngle, chart.HeadTube, chart.Wheelbase} {
		v, _, _ := frame.Get(d)
		fmt.Printf("%v %.1f\n", d, v)
	}
	// Output:
	// all wishes held: true
	// stack 562.0
	// reach 380.3
	// head_angle 72.3
	// head_tube 153.4
	// wheelbase 993.2
}
