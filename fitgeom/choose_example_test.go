package fitgeom_test

import (
	"fmt"
	"strings"

	"example.com/fitgeom/fitgeom/part"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
)

// Three invented sizes of one family, best first for a rider who sits on the
// middle one now. A broken row is reported and left out.
func ExampleIndex_Rank() {
	sizes, err := fitgeom.ReadCatalogue(strings.NewReader(`family,size,stack_mm,reach_mm,head_angle_deg,seat_angle_deg,steerer_diameter_mm,max_stack_mm,seat_tube_top_mm,post_diameter_mm
road,52,541,378,72.5,74,28.6,55,480,27.2
road,54,560,385,73,73.5,28.6,55,500,27.2
road,56,0.58,391,73,73.5,28.6,55,520,27.2
road,58,602,398,73.5,73,28.6,55,540,27.2
`))
	for _, f := range contact.Faults(err) {
		fmt.Println("left out:", f)
	}
	index, err := fitgeom.NewIndex(sizes, smallShelf())
	if err != nil {
		fmt.Println(err)
		return
	}
	target := position(aBuild())
	ranked, err := index.Rank(target, fitgeom.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for i, c := range ranked.Choices {
		b := c.Best.Build
		fmt.Printf("%d. %s %s: holds %v, off by %.2f tolerances, %s, %.0f mm of spacers\n", i+1, c.Size.Family, c.Size.Label, c.Holds(), c.Best.Score, b.Stem.Name, b.Settings.Spacers)
	}
	neighbours, err := index.Neighbours(target, fitgeom.Options{}, ranked.Choices[0].Place)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, n := range neighbours {
		fmt.Println(n)
	}
	// Output:
	// left out: row 4.frame.geometry.stack 0.58 mm: want 300 to 800 mm; it looks like metres
	// 1. road 54: holds true, off by 0.00 tolerances, stem 100 -6°, 15 mm of spacers
	// 2. road 52: holds false, off by 2.60 tolerances, stem 90 0°, 15 mm of spacers
	// 3. road 58: holds false, off by 9.00 tolerances, stem 90 0°, 0 mm of spacers
	// next size down, road 52: does not hold the position
	// next size up, road 58: does not hold the position
}

// Where the head tube's top of a frame may be for a rider, and what that says of a
// frame that is too low.
func ExampleNewRegion() {
	shelf := smallShelf()
	region, err := fitgeom.NewRegion(position(aBuild()), fitgeom.FrontBounds{
		HeadFrom: 73, HeadTo: 73,
		StemLength: part.Steps{From: 90, To: 110}, StemAngle: part.Steps{From: -6, To: -6}, StemHeight: 40,
		Up:  part.Steps{From: 15, To: 35},
		Bar: shelf.Bars[0], Lever: shelf.Levers[0],
	}, nil)
	if err != nil {
		fmt.Println(err)
		return
	}
	best, _ := region.Best()
	fmt.Printf("in the middle: reach %.0f mm, stack %.0f mm; %.0f mm² in all\n", best.Reach, best.Stack, region.Area())
	low, _ := region.Place(fitgeom.HeadPlace{Reach: 390, Stack: 520})
	fmt.Printf("reach 390 mm, stack 520 mm: holds %v, %.1f mm from the edge, %.1f mm of spacers and %.1f mm of stem missing\n", low.Holds, low.Distance, low.Spacers, low.Stem)
	// Output:
	// in the middle: reach 383 mm, stack 569 mm; 1478 mm² in all
	// reach 390 mm, stack 520 mm: holds false, -20.7 mm from the edge, 20.8 mm of spacers and 2.2 mm of stem missing
}
