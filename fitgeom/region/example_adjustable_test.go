package region_test

import (
	"context"
	"fmt"
	"log"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/region"
	"gonum.org/v1/gonum/spatial/r3"
)

// The hands of an invented rider, found on an adjustable bike, and what parts may hold
// them: stems between 80 and 120 mm.
var (
	hands = contact.New(map[contact.Site]r3.Vec{
		contact.HoodsLeft:  {X: 582.6, Y: 210, Z: 655.9},
		contact.HoodsRight: {X: 582.6, Y: -210, Z: 655.9},
	})
	bounds = region.Bounds{
		HeadFrom: 72, HeadTo: 74,
		StemLength: part.Steps{From: 80, To: 120}, StemAngle: part.Steps{From: -6, To: -6}, StemHeight: 40,
		Up:        part.Steps{From: 15, To: 45}, // headset cap and spacers
		Handlebar: part.Handlebar{ClampDiameter: 31.8, RotationRange: 8, Drop: part.DropBar{Width: 420, Reach: 80, Drop: 125}},
		Lever:     part.Lever{Reach: 35, Rise: 25},
	}
)

// Before any frame is chosen: where may the top of its head tube be?
func Example_adjustableBike() {
	r, err := region.New(context.Background(), hands, bounds, nil)
	if err != nil {
		log.Fatal(err) // all faults of the input, each with its path
	}
	for _, frame := range []struct {
		name string
		region.HeadPlace
	}{
		{"road 52", region.HeadPlace{Stack: 541, Reach: 378}},
		{"road 54", region.HeadPlace{Stack: 560, Reach: 385}},
		{"road 60", region.HeadPlace{Stack: 621, Reach: 404}},
	} {
		at, drawn := r.Place(frame.HeadPlace)
		if !drawn {
			continue // too far from all places that hold
		}
		fmt.Printf("%s: holds %v, %.0f mm from the edge\n", frame.name, at.Holds, at.Distance)
	}
	// Output:
	// road 52: holds true, 11 mm from the edge
	// road 54: holds true, 23 mm from the edge
	// road 60: holds false, -20 mm from the edge
}
