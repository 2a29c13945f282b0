package invented

import (
	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"gonum.org/v1/gonum/spatial/r3"
)

// Rider is a body, with trunk and arms, and a position for it.
func Rider() (rider.Body, contact.Position) {
	leg := rider.Leg{
		Thigh: 408, Shank: 416, AnkleHeight: 73, AnkleBehind: 125,
		Ankle: rider.Ankle{Given: rider.SolePitch, Profile: []float64{-20}}, // the toe stays down by 20 degrees,
	}
	b := rider.Body{
		Left: leg, Right: leg, HipForward: 60, HipUp: 50,
		Upper: rider.Upper{
			Trunk: 510, UpperArm: 320, Forearm: 260, WristBack: 30, WristUp: 40,
			Grip: contact.HoodsLeft, Keep: rider.KeepElbow, Angle: 20,
		},
	}
	p := contact.New(map[contact.Site]r3.Vec{
		contact.SaddleReference: {X: -205, Z: 705},
		contact.SaddleNose:      {X: -65, Z: 706},
		contact.SaddleRear:      {X: -335, Z: 712},
		contact.HoodsLeft:       {X: 540, Y: 205, Z: 660},
		contact.HoodsRight:      {X: 540, Y: -205, Z: 660},
		contact.PedalLeft:       {X: 172.5, Y: 74},
		contact.PedalRight:      {X: 172.5, Y: -74},
		contact.FootLeft:        {X: 172.5, Y: 125, Z: 20}, // crank 172.5 mm, sole 20 mm above the spindle,
		contact.FootRight:       {X: 172.5, Y: -125, Z: 20},
	})
	return b, p
}
