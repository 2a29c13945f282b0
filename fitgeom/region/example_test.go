package region_test

import (
	"context"
	"fmt"
	"log"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/region"
	"example.com/fitgeom/internal/invented"
	"gonum.org/v1/gonum/spatial/r3"
)

// Where the head tube's top of a frame may be for a rider, what that says of the
// rider's own frame, and of one that is too low.
func ExampleNew() {
	target := contact.New(map[contact.Site]r3.Vec{
		contact.HoodsLeft:  {X: 582.6, Y: 210, Z: 655.9},
		contact.HoodsRight: {X: 582.6, Y: -210, Z: 655.9},
	})
	r, err := region.New(context.Background(), target, region.Bounds{
		HeadFrom: 73, HeadTo: 73,
		StemLength: part.Steps{From: 90, To: 110}, StemAngle: part.Steps{From: -6, To: -6}, StemHeight: 40,
		Up:        part.Steps{From: 15, To: 35}, // headset cap and spacers
		Handlebar: part.Handlebar{ClampDiameter: 31.8, RotationRange: 8, Drop: part.DropBar{Width: 420, Reach: 80, Drop: 125}},
		Lever:     part.Lever{Reach: 35, Rise: 25},
	}, nil)
	if err != nil {
		log.Fatal(err)
	}
	best, _ := r.Best()
	fmt.Printf("in the middle: reach %.0f mm, stack %.0f mm; %.0f mm² in all\n", best.Reach, best.Stack, r.Area())

	for _, at := range []region.HeadPlace{{Reach: 385, Stack: 560}, {Reach: 390, Stack: 520}} {
		p, _ := r.Place(at)
		fmt.Printf("reach %.0f mm, stack %.0f mm: holds %v, %.1f mm from the edge\n", at.Reach, at.Stack, p.Holds, p.Distance)
		if !p.Holds {
			fmt.Printf("%.1f mm of spacers and %.1f mm of stem missing\n", p.Spacers, p.Stem)
		}
	}
	// Output:
	// in the middle: reach 383 mm, stack 569 mm; 1478 mm² in all
	// reach 385 mm, stack 560 mm: holds true, 12.6 mm from the edge
	// reach 390 mm, stack 520 mm: holds false, -20.7 mm from the edge
	// 20.8 mm of spacers and 2.2 mm of stem missing
}

// All that is wrong with the bounds comes back in one error.
func ExampleBounds_Validate() {
	err := region.Bounds{
		HeadFrom: 74, HeadTo: 72,
		StemLength: part.Steps{From: 9, To: 110}, StemHeight: 40,
		Handlebar: part.Handlebar{ClampDiameter: 31.8, Drop: part.DropBar{Width: 420, Reach: 80, Drop: 125}}, // without levers
	}.Validate()
	for _, f := range contact.Faults(err) {
		fmt.Printf("%s: %v\n", f.Path, f.Class)
	}
	// Output:
	// head_to_deg: out of range
	// stem_length_mm.from: out of range
	// lever: missing
}

// Which seat angles and setbacks hold a saddle, both ways.
func ExampleNewSeat() {
	target := contact.New(map[contact.Site]r3.Vec{
		contact.SaddleReference: {X: -188.6, Z: 684.4},
	})
	target.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: -1})
	saddle := part.Saddle{Name: "saddle 270", Length: 270, Station: 130, Height: 48, Dip: 6, RailsFrom: 110, RailsTo: 180}
	seat, err := region.NewSeat(target, saddle, 0, nil)
	if err != nil {
		log.Fatal(err)
	}
	lo, hi, _ := seat.SeatAngles(20)
	fmt.Printf("with a setback of 20 mm: %.1f to %.1f degrees\n", lo, hi)
	lo, hi, _ = seat.Setbacks(hi)
	fmt.Printf("at that end: %.1f to %.1f mm\n", lo, hi)
	// Output:
	// with a setback of 20 mm: 70.9 to 77.0 degrees
	// at that end: 20.0 to 92.7 mm
}

// The frame that a rider is on now, from a position on an adjustable bike. Here
// it is that of a build, so that the build's frame comes back: stack 560 mm, reach 385 mm.
func ExampleFrameNow() {
	position := contact.New(map[contact.Site]r3.Vec{
		contact.SaddleReference: {X: -188.6, Z: 684.4},
		contact.BarClamp:        {X: 468.5, Z: 626.9},
	})
	now, err := region.FrameNow(position, 73, region.FrontEnd{
		Up:   30,                    // cap and spacers
		Stem: invented.Build().Stem, // 100 mm, -6 degrees, 40 mm high
	})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("stack %.1f mm, reach %.1f mm\n", now.Stack, now.Reach)
	// Output:
	// stack 560.0 mm, reach 385.0 mm
}
