package main

import (
	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/request"
	"example.com/fitgeom/fitgeom/rules"
	"gonum.org/v1/gonum/spatial/r3"
)

// Everything here is invented: no such bike, rider or part exists.

// position is where the rider's forearms, hands and saddle are on the old bike.
func position() contact.Position {
	p := contact.New(map[contact.Site]r3.Vec{
		contact.SaddleReference: {X: -168, Z: 742},
		contact.SaddleNose:      {X: -58, Z: 742},
		contact.PadLeft:         {X: 421, Y: 88, Z: 672},
		contact.PadRight:        {X: 421, Y: -88, Z: 672},
		contact.ExtensionLeft:   {X: 726, Y: 55, Z: 756},
		contact.ExtensionRight:  {X: 726, Y: -55, Z: 756},
		contact.PedalLeft:       {X: 165, Y: 73},
		contact.PedalRight:      {X: 165, Y: -73},
	})
	p.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: -2})
	return p
}

func frame() fitgeom.Frame {
	return fitgeom.Frame{
		Name: "time trial M",
		Geometry: chart.Geometry{
			Stack: 505, Reach: 415, HeadAngle: 72.5, SeatAngle: 77.5,
			Axles: chart.Axles{Chainstay: 405, Drop: 74, ForkOffset: 43, FrontRadius: 336, RearRadius: 336},
		},
		SteererDiameter: 28.6, MaxUnderStem: 40, SeatTubeTop: 520, SeatpostDiameter: 27.2, SeatpostInsertion: 80,
	}
}

func shelf() fitgeom.Shelf {
	stem := func(name string, length, angle float64) part.Stem {
		return part.Stem{Name: name, Length: length, Angle: angle, Height: 40, SteererDiameter: 28.6, BarDiameter: 31.8, Flippable: true}
	}
	aero := func(name string, angle float64) part.AeroBar {
		return part.AeroBar{
			Name: name, BarDiameter: 31.8,
			Tilt: part.Steps{To: 10, Step: 5}, PadRise: part.Steps{From: 45, To: 95, Step: 10},
			PadForward: part.Steps{From: -80, To: -20, Step: 10}, PadWidth: part.Steps{From: 140, To: 220, Step: 8},
			Extension: part.Steps{From: 200, To: 300}, ExtensionDrop: 40, ExtensionAngle: angle, ExtensionWidth: 110,
		}
	}
	return fitgeom.Shelf{
		Caps:    []part.HeadsetCap{{Name: "cap 5", Height: 5, SteererDiameter: 28.6}, {Name: "cap 15", Height: 15, SteererDiameter: 28.6}},
		Spacers: []part.Spacer{{Height: 2.5, Count: 1}, {Height: 5, Count: 1}, {Height: 10, Count: 2}},
		Stems:   []part.Stem{stem("stem 70 −17°", 70, -17), stem("stem 80 −17°", 80, -17), stem("stem 90 −6°", 90, -6)},
		Handlebars: []part.Handlebar{
			{Name: "base bar 400", ClampDiameter: 31.8, AeroDiameter: 31.8, RotationRange: 3, Base: part.BaseBar{Width: 400, Reach: 170, Rise: -40}},
			{
				Name: "base bar with stem 85", AeroDiameter: 31.8, DrawnAt: 72.5, Base: part.BaseBar{Width: 390, Reach: 175, Rise: -30},
				Stem: part.Stem{Length: 85, Angle: -17, Height: 45, SteererDiameter: 28.6},
			},
		},
		AeroBars:  []part.AeroBar{aero("aero bar bent 15°", 15), aero("aero bar bent 25°", 25)},
		Seatposts: []part.Seatpost{{Name: "seatpost 380", Diameter: 27.2, Length: 380, MinInsertion: 100, MinExtension: 50}, {Name: "seatpost 380 forward 20", Diameter: 27.2, Length: 380, Setback: -20, MinInsertion: 100, MinExtension: 50}},
		Saddles:   []part.Saddle{{Name: "saddle 245", Length: 245, Station: 110, Height: 50, RailsFrom: 95, RailsTo: 165}},
		Cranks:    []part.Crank{{Name: "crank 165", Length: 165, QFactor: 146}},
	}
}

// asked is what the rider asks for: saddle, pads and tips; the hands on the base bar may be where they come to be.
func asked() request.Request {
	return request.Request{
		Keep: []fitgeom.Keep{
			{Site: contact.SaddleReference, Tolerance: r3.Vec{X: 4, Z: 4}},
			{Site: contact.PadLeft, Tolerance: r3.Vec{X: 5, Y: 5, Z: 5}},
			{Site: contact.PadRight, Tolerance: r3.Vec{X: 5, Y: 5, Z: 5}},
			{Site: contact.ExtensionLeft, Tolerance: r3.Vec{X: 8, Y: 8, Z: 8}},
			{Site: contact.ExtensionRight, Tolerance: r3.Vec{X: 8, Y: 8, Z: 8}},
		},
		Bike:  request.Bike{Crank: "crank 165", Saddle: "saddle 245", Seatpost: "seatpost 380"},
		Rules: request.Race{Discipline: rules.TimeTrial, On: rules.Date{Year: 2026, Month: 6, Day: 7}}, Rider: rules.Rider{Height: 1830}, Limit: 3,
	}
}
