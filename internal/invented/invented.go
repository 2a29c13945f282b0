// Package invented is the bike, the parts and the position that tests and
// Examples share, and bikes of other kinds that are drawn. No such rider, bike or
// part exists.
package invented

import (
	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
)

// The frame's side view is the worked example that
// package convert/chart is tested with.

// Road54 is a road frame.
func Road54() fitgeom.Frame {
	return fitgeom.Frame{
		Name: "road 54",
		Geometry: chart.Geometry{
			Stack: 560, Reach: 385, HeadAngle: 73, SeatAngle: 73.5,
			Axles: chart.Axles{Chainstay: 410, Drop: 70, ForkOffset: 45, FrontRadius: 340, RearRadius: 340},
		},
		SteererDiameter:   28.6,
		MaxUnderStem:      55,
		SeatTubeTop:       500,
		SeatpostDiameter:  27.2,
		SeatpostInsertion: 80,
	}
}

// Shelf is a few parts of each kind.
func Shelf() fitgeom.Shelf {
	return fitgeom.Shelf{
		Caps:    []part.HeadsetCap{{Name: "cap 15", Height: 15, SteererDiameter: 28.6}, {Name: "cap 5", Height: 5, SteererDiameter: 28.6}},
		Spacers: []part.Spacer{{Height: 5, Count: 2}, {Height: 10, Count: 1}},
		Stems: []part.Stem{
			{Name: "stem 100 -6°", Length: 100, Angle: -6, Height: 40, SteererDiameter: 28.6, BarDiameter: 31.8, Flippable: true},
			{Name: "stem 110 -17°", Length: 110, Angle: -17, Height: 40, SteererDiameter: 28.6, BarDiameter: 31.8},
			{Name: "stem 90 0°", Length: 90, Height: 40, SteererDiameter: 28.6, BarDiameter: 31.8, Flippable: true},
			{Name: "stem 90 wide", Length: 90, Height: 40, SteererDiameter: 31.8, BarDiameter: 31.8, Flippable: true},
			{Name: "stem 90 slim", Length: 90, Height: 40, SteererDiameter: 28.6, BarDiameter: 25.4, Flippable: true},
		},
		Handlebars: []part.Handlebar{
			{Name: "bar 420", ClampDiameter: 31.8, RotationRange: 8, Drop: part.DropBar{Width: 420, DropsWidth: 440, TopsWidth: 200, Reach: 80, Drop: 125, Hook: 60}},
			{Name: "bar 400", ClampDiameter: 31.8, Drop: part.DropBar{Width: 400, Reach: 70, Drop: 130}},
		},
		Levers: []part.Lever{{Name: "lever short", Reach: 35, Rise: 25}, {Name: "lever long", Reach: 50, Rise: 40}},
		Seatposts: []part.Seatpost{
			{Name: "post 350 setback 20", Diameter: 27.2, Length: 350, Setback: 20, MinInsertion: 100, MinExtension: 45},
			{Name: "post 300 setback 0", Diameter: 27.2, Length: 300, MinInsertion: 70, MinExtension: 45},
			{Name: "post 31.6", Diameter: 31.6, Length: 350, MinInsertion: 70, MinExtension: 45},
		},
		Saddles: []part.Saddle{
			{Name: "saddle 270", Length: 270, Station: 130, Height: 48, Dip: 6, RailsFrom: 110, RailsTo: 180},
			{Name: "saddle 240", Length: 240, Station: 95, Height: 44, Dip: 0, RailsFrom: 80, RailsTo: 150},
		},
		Cranks: []part.Crank{{Name: "crank 172.5", Length: 172.5, QFactor: 146}, {Name: "crank 165", Length: 165, QFactor: 146}},
	}
}

// Build is put together from the first parts of Shelf.
func Build() fitgeom.Build {
	s := Shelf()
	return fitgeom.Build{
		Frame: Road54(), Cap: s.Caps[0], Stem: s.Stems[0], Handlebar: s.Handlebars[0], Lever: s.Levers[0],
		Seatpost: s.Seatposts[0], Saddle: s.Saddles[0], Crank: s.Cranks[0],
		Settings: fitgeom.Settings{Spacers: 15, BarRotation: 2, SeatpostExtension: 170, RailClamp: 150, SaddleTilt: -1},
	}
}

// Position is the position of a build that is sound.
func Position(b fitgeom.Build) contact.Position {
	p, err := b.Position()
	if err != nil {
		panic(err) // fixtures are valid
	}
	return p
}

// Margins is the margins of a build that is sound.
func Margins(b fitgeom.Build) []fitgeom.Margin {
	m, err := b.Margins()
	if err != nil {
		panic(err) // fixtures are valid
	}
	return m
}

// Everything is a build that knows every site but grips.
func Everything() fitgeom.Build {
	b := Build()
	b.Handlebar.AeroDiameter = 31.8
	b.Aero = part.AeroBar{
		Name: "aero", BarDiameter: 31.8, Tilt: part.Steps{To: 15, Step: 5}, PadRise: part.Steps{From: 40, To: 90, Step: 10},
		PadForward: part.Steps{From: -60, To: 0, Step: 15}, PadWidth: part.Steps{From: 160, To: 240, Step: 10},
		Extension: part.Steps{From: 250, To: 330}, ExtensionDrop: 30, ExtensionAngle: 8, ExtensionWidth: 110,
	}
	b.Pedal = part.Pedal{Name: "pedal", FootHeight: 18, FootOffset: 55}
	s := &b.Settings
	s.AeroTilt, s.PadRise, s.PadForward, s.PadWidth, s.Extension, s.LiftLeft = 5, 60, -30, 200, 290, 2
	return b
}
