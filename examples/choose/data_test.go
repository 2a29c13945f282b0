package main

import (
	"fmt"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"gonum.org/v1/gonum/spatial/r3"
)

// invented is a position that nobody rides.
func invented() contact.Position {
	p := contact.New(map[contact.Site]r3.Vec{
		contact.SaddleReference: {X: -203, Z: 701},
		contact.HoodsLeft:       {X: 572, Y: 210, Z: 641},
		contact.HoodsRight:      {X: 572, Y: -210, Z: 641},
		contact.PedalLeft:       {X: 172.5, Y: 73},
		contact.PedalRight:      {X: 172.5, Y: -73},
	})
	p.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: -1})
	return p
}

// shelf is parts that nobody sells.
func shelf() fitgeom.Shelf {
	s := fitgeom.Shelf{
		Caps:       []part.HeadsetCap{{Name: "cap 10", Height: 10, SteererDiameter: 28.6}},
		Spacers:    []part.Spacer{{Height: 2.5, Count: 1}, {Height: 5, Count: 2}, {Height: 10, Count: 2}},
		Handlebars: []part.Handlebar{{Name: "bar 420", ClampDiameter: 31.8, RotationRange: 5, Drop: part.DropBar{Width: 420, Reach: 80, Drop: 125}}},
		Levers:     []part.Lever{{Name: "lever", Reach: 35, Rise: 25}},
		Saddles:    []part.Saddle{{Name: "saddle 255", Length: 255, Station: 115, Height: 46, RailsFrom: 95, RailsTo: 165}},
		Cranks:     []part.Crank{{Name: "crank 172.5", Length: 172.5, QFactor: 146}},
	}
	for _, angle := range []float64{-6, -12} {
		for length := 80.; length <= 120; length += 10 {
			s.Stems = append(s.Stems, part.Stem{
				Name: fmt.Sprintf("stem %v %v°", length, strings.ReplaceAll(fmt.Sprint(angle), "-", "−")), Length: length, Angle: angle,
				Height: 40, SteererDiameter: 28.6, BarDiameter: 31.8, Flippable: true,
			})
		}
	}
	for _, diameter := range []float64{27.2, 31.6} {
		for _, setback := range []float64{0, 20} {
			s.Seatposts = append(s.Seatposts, part.Seatpost{
				Name: fmt.Sprintf("seatpost %v, setback %v", diameter, setback), Diameter: diameter, Length: 350, Setback: setback, MinInsertion: 100, MinExtension: 45,
			})
		}
	}
	return s
}
