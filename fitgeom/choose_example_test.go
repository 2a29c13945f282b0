package fitgeom_test

import (
	"fmt"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/exchange"
	"example.com/fitgeom/internal/invented"
)

// Three invented sizes of one family, best first for a rider who sits on the
// middle one now. A broken row is reported and left out.
func ExampleIndex_Rank() {
	sizes, err := exchange.ReadCatalogue(strings.NewReader(`family,size,stack_mm,reach_mm,head_angle_deg,seat_angle_deg,steerer_diameter_mm,max_stack_mm,seat_tube_top_mm,post_diameter_mm
road,52,541,378,72.5,74,28.6,55,480,27.2
road,54,560,385,73,73.5,28.6,55,500,27.2
road,56,0.58,391,73,73.5,28.6,55,520,27.2
road,58,602,398,73.5,73,28.6,55,540,27.2
`))
	for _, f := range contact.Faults(err) {
		fmt.Println("left out:", f)
	}
	index, err := fitgeom.NewIndex(sizes, invented.Shelf())
	if err != nil {
		fmt.Println(err)
		return
	}
	target := invented.Position(invented.Build())
	ranked, err := index.Rank(target, fitgeom.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for i, c := range ranked.Choices {
		b := c.Best.Build
		fmt.Printf("%d. %s %s: holds %v, off by %.2f tolerances, %s, %.0f mm of spacers\n", i+1, c.Size.Family, c.Size.Label, c.Best.Holds, c.Best.Score, b.Stem.Name, b.Settings.Spacers)
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
	// left out: line 4: row 4.stack_mm 0.58 mm: want 300 to 800 mm; it looks like metres
	// 1. road 54: holds true, off by 0.00 tolerances, stem 100 -6°, 15 mm of spacers
	// 2. road 52: holds false, off by 2.60 tolerances, stem 90 0°, 15 mm of spacers
	// 3. road 58: holds false, off by 9.00 tolerances, stem 90 0°, 0 mm of spacers
	// next size down, road 52: does not hold the position
	// next size up, road 58: does not hold the position
}
