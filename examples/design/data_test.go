package main

import (
	"bytes"
	"fmt"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"gonum.org/v1/gonum/spatial/r3"
)

// Everything here is invented: no such rider, part or frame exists.

// position is that of a rider with long legs and a short trunk, as an adjustable bike found it.
func position() contact.Position {
	p := contact.New(map[contact.Site]r3.Vec{
		contact.SaddleReference: {X: -168, Z: 668},
		contact.HoodsLeft:       {X: 496, Y: 195, Z: 636},
		contact.HoodsRight:      {X: 496, Y: -195, Z: 636},
		contact.PedalLeft:       {X: 165, Y: 73},
		contact.PedalRight:      {X: 165, Y: -73},
	})
	p.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: -1})
	return p
}

// shelf is the rider's parts, and stems that could be bought.
func shelf() fitgeom.Shelf {
	s := fitgeom.Shelf{
		Caps:       []part.HeadsetCap{{Name: "cap 8", Height: 8, SteererDiameter: 28.6}},
		Spacers:    []part.Spacer{{Height: 2.5, Count: 2}, {Height: 5, Count: 2}, {Height: 10, Count: 2}},
		Handlebars: []part.Handlebar{{Name: "bar 380", ClampDiameter: 31.8, RotationRange: 4, Drop: part.DropBar{Width: 380, Reach: 70, Drop: 120}}},
		Levers:     []part.Lever{{Name: "lever", Reach: 33, Rise: 26}},
		Seatposts:  []part.Seatpost{{Name: "seatpost 27.2", Diameter: 27.2, Length: 350, Setback: 0, MinInsertion: 100, MinExtension: 45}},
		Saddles:    []part.Saddle{{Name: "saddle 245", Length: 245, Station: 112, Height: 46, RailsFrom: 95, RailsTo: 165}},
		Cranks:     []part.Crank{{Name: "crank 165", Length: 165, QFactor: 146}},
	}
	for _, length := range [...]float64{90, 80, 100, 110} {
		s.Stems = append(s.Stems, part.Stem{
			Name: fmt.Sprintf("stem %v −6°", length), Length: length, Angle: -6, Height: 40, SteererDiameter: 28.6, BarDiameter: 31.8, Flippable: true,
		})
	}
	return s
}

// generate writes a catalogue of 24 sizes in 4 families, on wheels of 622 mm.
func generate() []byte {
	var b bytes.Buffer
	b.WriteString("# Invented: no such frames exist. Written by the test of examples/design.\n")
	b.WriteString("family,size,stack_mm,reach_mm,head_angle_deg,seat_angle_deg,chainstay_mm,bb_drop_mm,fork_offset_mm,front_radius_mm,rear_radius_mm," +
		"steerer_diameter_mm,max_under_stem_mm,seat_tube_top_mm,seatpost_diameter_mm,seatpost_insertion_mm\n")
	for f := range 4 {
		for size := range 6 {
			a, s := float64(f), float64(size)
			fmt.Fprintf(&b, "road %c,%d,%.0f,%.0f,%.1f,%.1f,412,72,%.0f,338,338,28.6,40,%.0f,27.2,80\n",
				'a'+f, 47+2*size, 508+8*a+17*s, 366+3*a+6*s, 71+0.3*s, 75-0.2*s, 47-s/2, 430+20*s)
		}
	}
	return b.Bytes()
}
