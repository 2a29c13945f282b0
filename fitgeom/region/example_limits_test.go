package region_test

import (
	"context"
	"fmt"
	"log"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/region"
	"gonum.org/v1/gonum/spatial/r3"
)

// Which frames hold an invented rider's hands to 5 mm, and which of them so that the right hip, of
// which an assessment found that it flexes no further, is within its limit.
func Example_limits() {
	target := contact.New(map[contact.Site]r3.Vec{
		contact.SaddleReference: {X: -205, Z: 705},
		contact.FootLeft:        {X: 172.5, Y: 125, Z: 20},
		contact.FootRight:       {X: 172.5, Y: -125, Z: 20},
		contact.HoodsLeft:       {X: 540, Y: 210, Z: 660},
		contact.HoodsRight:      {X: 540, Y: -210, Z: 660},
	})
	leg := rider.Leg{Thigh: 408, Shank: 416, AnkleHeight: 73, AnkleBehind: 125, Ankle: rider.Ankle{Given: rider.SolePitch, Profile: []float64{-20}}}
	body := rider.Body{Left: leg, Right: leg, HipForward: 60, HipUp: 50, Upper: rider.Upper{
		Trunk: 510, UpperArm: 320, Forearm: 260, WristBack: 30, WristUp: 40, Grip: contact.HoodsLeft, Keep: rider.KeepElbow, Angle: 20,
	}}
	bounds := region.Bounds{
		HeadFrom: 73, HeadTo: 73,
		StemLength: part.Steps{From: 80, To: 110}, StemAngle: part.Steps{From: -6, To: -6}, StemHeight: 40,
		Up:        part.Steps{From: 15, To: 35},
		Handlebar: part.Handlebar{ClampDiameter: 31.8, RotationRange: 4, Drop: part.DropBar{Width: 420, Reach: 80, Drop: 125}},
		Lever:     part.Lever{Reach: 35, Rise: 25},
	}
	keep := []fitgeom.Keep{{Site: contact.HoodsLeft, Tolerance: r3.Vec{X: 5, Z: 5}}, {Site: contact.HoodsRight, Tolerance: r3.Vec{X: 5, Z: 5}}}
	at := region.HeadPlace{Reach: 356, Stack: 558}
	for _, most := range []float64{170, 108.5, 108} {
		bounds.Limits = rider.Limits{Body: body, Joints: []rider.Limit{
			{Variable: rider.HipFlexion, Side: contact.Right, Bound: rider.AtMost, Angle: most, Source: "passive, lying"},
		}}
		r, err := region.New(context.Background(), target, bounds, keep)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("hip at most %g degrees: %.0f mm², this frame %v\n", most, r.Area(), r.Holds(at))
	}
	// Output:
	// hip at most 170 degrees: 2013 mm², this frame true
	// hip at most 108.5 degrees: 1813 mm², this frame true
	// hip at most 108 degrees: 1337 mm², this frame false
}
