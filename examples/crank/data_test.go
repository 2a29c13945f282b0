package main

import (
	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"gonum.org/v1/gonum/spatial/r3"
)

// invented is a rider and a bike that do not exist.
func invented() (rider.Body, contact.Position) {
	leg := rider.Leg{
		Thigh: 415, Shank: 420, AnkleHeight: 75, AnkleBehind: 128,
		// The toe points down all the way, most with the crank level behind. The joint then works
		// over the 24 degrees that riders of Ericson, Nisell, Németh (1988) did (quoted by
		// others): from 2 degrees of plantarflexion to 22 of dorsiflexion.
		Ankle: rider.Ankle{Given: rider.SolePitch, Profile: []float64{-26, -16, -9, -6, -5, -6, -14, -26, -36, -42, -42, -36}},
	}
	body := rider.Body{
		Left: leg, Right: leg, HipForward: 60, HipUp: 50,
		Upper: rider.Upper{
			Trunk: 505, UpperArm: 325, Forearm: 262, WristBack: 30, WristUp: 40,
			Grip: contact.HoodsLeft, Keep: rider.KeepElbow, Angle: 18,
		},
	}
	return body, contact.New(map[contact.Site]r3.Vec{
		contact.SaddleReference: {X: -208, Z: 703},
		contact.HoodsLeft:       {X: 548, Y: 208, Z: 650},
		contact.HoodsRight:      {X: 548, Y: -208, Z: 650},
		contact.FootLeft:        {X: 175, Y: 128, Z: 22}, // 175 mm is the old crank
		contact.FootRight:       {X: 175, Y: -128, Z: 22},
	})
}
