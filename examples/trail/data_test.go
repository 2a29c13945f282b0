package main

import (
	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/request"
	"gonum.org/v1/gonum/spatial/r3"
)

// Everything here is invented: no such bike, rider or part exists.

// position is how the rider sits and holds the bar on the old bike, as it stands
// level under the rider's weight. Its cranks are 175 mm long.
func position() contact.Position {
	p := contact.New(map[contact.Site]r3.Vec{
		contact.SaddleReference: {X: -196, Z: 712},
		contact.GripLeft:        {X: 446, Y: 318, Z: 694},
		contact.GripRight:       {X: 446, Y: -318, Z: 694},
		contact.PedalLeft:       {X: 175, Y: 87},
		contact.PedalRight:      {X: 175, Y: -87},
		contact.FootLeft:        {X: 175, Y: 142, Z: 21},
		contact.FootRight:       {X: 175, Y: -142, Z: 18}, // 3 mm less: a lift under the left foot is wanted
	})
	p.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: -2})
	return p
}

// frame is drawn with fork and shock at full length.
func frame() fitgeom.Frame {
	return fitgeom.Frame{
		Name: "trail M",
		Geometry: chart.Geometry{
			Stack: 618, Reach: 442, HeadAngle: 66, SeatAngle: 74,
			Axles: chart.Axles{Chainstay: 438, Drop: 35, ForkOffset: 44, FrontRadius: 370, RearRadius: 370},
		},
		SteererDiameter: 28.6, MaxUnderStem: 45, SteererCut: 62,
		SeatTubeTop: 430, SeatpostDiameter: 31.6, SeatpostInsertion: 90, SeatpostDepth: 260,
		MaxFrontRadius: 374, MaxRearRadius: 372,
	}
}

func shelf() fitgeom.Shelf {
	stem := func(name string, length, angle float64) part.Stem {
		return part.Stem{Name: name, Length: length, Angle: angle, Height: 40, SteererDiameter: 28.6, BarDiameter: 35, Flippable: true}
	}
	bar := func(name string, clamp, width, rise float64) part.Handlebar {
		return part.Handlebar{Name: name, ClampDiameter: clamp, RotationRange: 6, Flat: part.FlatBar{
			Width: width, Centre: 110, Rise: rise, Backsweep: 8, Upsweep: 5, Hand: 62,
		}}
	}
	return fitgeom.Shelf{
		Caps:       []part.HeadsetCap{{Name: "cap 6", Height: 6, SteererDiameter: 28.6}},
		Spacers:    []part.Spacer{{Height: 2.5, Count: 2}, {Height: 5, Count: 2}, {Height: 10, Count: 3}},
		Stems:      []part.Stem{stem("stem 40 0°", 40, 0), stem("stem 50 0°", 50, 0), stem("stem 60 −6°", 60, -6)},
		Handlebars: []part.Handlebar{bar("riser 780 × 20", 35, 780, 20), bar("riser 760 × 35", 35, 760, 35), bar("old bar 740 × 10", 31.8, 740, 10)},
		Shims:      []part.Shim{{Name: "bar shim", Inner: 31.8, Outer: 35}, {Name: "seatpost shim", Inner: 30.9, Outer: 31.6}},
		Seatposts: []part.Seatpost{
			{Name: "dropper 150", Diameter: 31.6, Length: 452, MinInsertion: 110, MinExtension: 212, Travel: 150},
			{Name: "dropper 125, thin", Diameter: 30.9, Length: 410, MinInsertion: 100, MinExtension: 186, Travel: 125},
		},
		Saddles: []part.Saddle{{Name: "saddle 265", Length: 265, Station: 118, Height: 47, Dip: 4, RailsFrom: 105, RailsTo: 172}},
		Cranks:  []part.Crank{{Name: "crank 165", Length: 165, QFactor: 174}},
		Pedals:  []part.Pedal{{Name: "pedals and shoes", FootHeight: 18, FootOffset: 55}},
		CleatShims: []part.Spacer{
			{Height: 1, Count: 2}, {Height: 3, Count: 1},
		},
	}
}

// asked is what the rider asks for: saddle, grips and feet. The cranks are to be shorter, so that
// their length is not asked for. The bike sags by a quarter of the travel in front, and by a
// little more at the rear, where the tyre is smaller.
func asked() request.Request {
	return request.Request{
		Keep: []fitgeom.Keep{
			{Site: contact.SaddleReference, Tolerance: r3.Vec{X: 3, Z: 3}},
			{Site: contact.GripLeft, Tolerance: r3.Vec{X: 5, Y: 15, Z: 5}},
			{Site: contact.GripRight, Tolerance: r3.Vec{X: 5, Y: 15, Z: 5}},
			{Site: contact.FootLeft, Tolerance: r3.Vec{Y: 5, Z: 1}},
			{Site: contact.FootRight, Tolerance: r3.Vec{Y: 5, Z: 1}},
		},
		Wheels: chart.Wheels{FrontSag: 33, RearSag: 38, RearRadius: 366}, Limit: 3,
	}
}
