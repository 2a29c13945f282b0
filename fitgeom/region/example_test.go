package region_test

import (
	"fmt"

	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/region"
	"example.com/fitgeom/internal/invented"
)

// Where the head tube's top of a frame may be for a rider, and what that says of a
// frame that is too low.
func ExampleNew() {
	shelf := invented.Shelf()
	r, err := region.New(invented.Position(invented.Build()), region.Bounds{
		HeadFrom: 73, HeadTo: 73,
		StemLength: part.Steps{From: 90, To: 110}, StemAngle: part.Steps{From: -6, To: -6}, StemHeight: 40,
		Up:  part.Steps{From: 15, To: 35},
		Bar: shelf.Bars[0], Lever: shelf.Levers[0],
	}, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	best, _ := r.Best()
	fmt.Printf("in the middle: reach %.0f mm, stack %.0f mm; %.0f mm² in all\n", best.Reach, best.Stack, r.Area())
	low, _ := r.Place(region.HeadPlace{Reach: 390, Stack: 520})
	fmt.Printf("reach 390 mm, stack 520 mm: holds %v, %.1f mm from the edge, %.1f mm of spacers and %.1f mm of stem missing\n", low.Holds, low.Distance, low.Spacers, low.Stem)
	// Output:
	// in the middle: reach 383 mm, stack 569 mm; 1478 mm² in all
	// reach 390 mm, stack 520 mm: holds false, -20.7 mm from the edge, 20.8 mm of spacers and 2.2 mm of stem missing
}
