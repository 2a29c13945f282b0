package rider_test

import (
	"fmt"
	"log"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"gonum.org/v1/gonum/spatial/r3"
)

// An invented rider on a road bike, and the rider's arms.
var (
	onRoad = contact.New(map[contact.Site]r3.Vec{
		contact.SaddleReference: {X: -188.6, Z: 684.4},
		contact.HoodsLeft:       {X: 582.6, Y: 210, Z: 655.9},
		contact.HoodsRight:      {X: 582.6, Y: -210, Z: 655.9},
		contact.FootLeft:        {X: 172.5, Y: 128, Z: 20},
	})
	arms = rider.Upper{
		Trunk: 510, UpperArm: 320, Forearm: 260, WristBack: 30, WristUp: 40,
		Grip: contact.HoodsLeft, Keep: rider.KeepElbow, Angle: 20,
	}
)

// From road to time trial with hip, knee and ankle as they are: the body turns forward, the elbows
// bend, and the saddle follows.
func Example_toTimeTrial() {
	body := rider.Body{
		Left: rider.Leg{
			Thigh: 408, Shank: 416, AnkleHeight: 73, AnkleBehind: 125,
			Ankle: rider.Ankle{Given: rider.Dorsiflexion, Profile: []float64{10}},
		},
		HipForward: 60, HipUp: 50, Upper: arms,
	}
	aero := arms
	aero.Grip, aero.Angle = contact.ExtensionLeft, 75
	turned, err := body.OtherBike(onRoad, rider.OtherBike{Turn: 18, Arms: aero, ShoulderFlexion: 70, Width: 110})
	if err != nil {
		log.Fatal(err) // all faults of the input, each with its path
	}
	for _, s := range []contact.Site{contact.SaddleReference, contact.ExtensionLeft} {
		at, _ := turned.Position.At(s)
		fmt.Printf("%v: %.0f forward, %.0f up\n", s, at.X, at.Z)
	}
	for _, c := range turned.Kept {
		fmt.Printf("%v: most %.1f, and %.1f before\n", c.Variable, c.After.Most, c.Before.Most)
	}
	// Output:
	// saddle_reference: 45 forward, 688 up
	// extension_left: 895 forward, 665 up
	// knee_flexion: most 119.1, and 119.1 before
	// hip_flexion: most 112.6, and 112.6 before
	// ankle_dorsiflexion: most 10.0, and 10.0 before
	// trunk_lean: most 33.8, and 51.8 before
	// shoulder_flexion: most 70.0, and 69.1 before
	// elbow_flexion: most 75.0, and 20.0 before
}
