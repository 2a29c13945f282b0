package rank_test

import (
	"context"
	"fmt"
	"log"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/exchange"
	"example.com/fitgeom/fitgeom/rank"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/invented"
)

// sizes are three sizes of the family that the frame of the Examples is of.
const sizes = `family,size,stack_mm,reach_mm,head_angle_deg,seat_angle_deg,steerer_diameter_mm,max_under_stem_mm,seat_tube_top_mm,seatpost_diameter_mm
road,52,541,378,72.5,74,28.6,55,480,27.2
road,54,560,385,73,73.5,28.6,55,500,27.2
road,58,602,398,73.5,73,28.6,55,540,27.2
`

// Three sizes of one family, best first for a rider who sits on the middle one
// now. A broken row is reported and left out.
func ExampleIndex_Rank() {
	catalogue, err := exchange.ReadCatalogue(context.Background(), strings.NewReader(`family,size,stack_mm,reach_mm,head_angle_deg,seat_angle_deg,steerer_diameter_mm,max_under_stem_mm,seat_tube_top_mm,seatpost_diameter_mm
road,52,541,378,72.5,74,28.6,55,480,27.2
road,54,560,385,73,73.5,28.6,55,500,27.2
road,56,0.58,391,73,73.5,28.6,55,520,27.2
road,58,602,398,73.5,73,28.6,55,540,27.2
`))
	for _, f := range contact.Faults(err) {
		fmt.Println("left out:", f)
	}
	index, err := rank.NewIndex(context.Background(), catalogue)
	if err != nil {
		log.Fatal(err)
	}
	// Position and shelf of the Example of Problem.Solve in package solve.
	ranked, err := index.Rank(context.Background(), solve.Problem{Target: invented.Position(invented.Build()), Shelf: invented.Shelf()})
	if err != nil {
		log.Fatal(err)
	}
	for i, c := range ranked.Choices {
		b := c.Best.Build
		fmt.Printf("%d. %s %s: holds %v, off by %.2f tolerances, %s, %.0f mm of spacers\n", i+1, c.Size.Family, c.Size.Label, c.Best.Holds(), c.Best.Distance(), b.Stem.Name, b.Settings.Spacers)
	}
	// Output:
	// left out: line 4: row 4.stack_mm 0.58 mm: want 300 to 800 mm; it looks like metres
	// 1. road 54: holds true, off by 0.00 tolerances, stem 100 -6°, 15 mm of spacers
	// 2. road 52: holds false, off by 2.60 tolerances, stem 90 0°, 15 mm of spacers
	// 3. road 58: holds false, off by 9.00 tolerances, stem 90 0°, 0 mm of spacers
}

// How the next sizes compare with the best one.
func ExampleIndex_Neighbours() {
	catalogue, err := exchange.ReadCatalogue(context.Background(), strings.NewReader(sizes)) // the sound ones of the Example of Index.Rank
	if err != nil {
		log.Fatal(err)
	}
	index, err := rank.NewIndex(context.Background(), catalogue)
	if err != nil {
		log.Fatal(err)
	}
	// Position and shelf of the Example of Problem.Solve in package solve.
	p := solve.Problem{Target: invented.Position(invented.Build()), Shelf: invented.Shelf(), Limit: 1}
	ranked, err := index.Rank(context.Background(), p)
	if err != nil {
		log.Fatal(err)
	}
	neighbours, err := index.Neighbours(context.Background(), p, ranked.Choices[0].Place)
	if err != nil {
		log.Fatal(err)
	}
	for _, n := range neighbours {
		fmt.Println(n)
	}
	// Output:
	// next size down, road 52: does not hold the position
	// next size up, road 58: does not hold the position
}

// What it does to a ranking that charts are rounded to 1 mm and 0.5 degrees.
func ExampleIndex_Sensitivities() {
	catalogue, err := exchange.ReadCatalogue(context.Background(), strings.NewReader(sizes)) // the sound ones of the Example of Index.Rank
	if err != nil {
		log.Fatal(err)
	}
	index, err := rank.NewIndex(context.Background(), catalogue)
	if err != nil {
		log.Fatal(err)
	}
	// Position and shelf of the Example of Problem.Solve in package solve.
	p := solve.Problem{Target: invented.Position(invented.Build()), Shelf: invented.Shelf()}
	all, err := index.Sensitivities(context.Background(), p, chart.Rounding{LengthStep: 1, AngleStep: 0.5})
	if err != nil {
		log.Fatal(err)
	}
	for _, s := range all {
		size := catalogue[s.Place]
		fmt.Printf("%s %s: off by %.2f to %.2f tolerances, holds always %v, ever %v\n", size.Family, size.Label, s.Least, s.Most, s.Always, s.Ever)
	}
	// Output:
	// road 54: off by 0.00 to 0.57 tolerances, holds always true, ever true
	// road 52: off by 2.00 to 2.94 tolerances, holds always false, ever false
	// road 58: off by 8.49 to 9.52 tolerances, holds always false, ever false
}

// A size that is broken does not stop an index from being made.
func ExampleNewIndex_faults() {
	frame := invented.Road54() // the frame of the Example of Build.Position in package fitgeom
	broken := frame
	broken.Geometry.Stack = 56
	index, err := rank.NewIndex(context.Background(), []fitgeom.Size{
		{Family: "road", Label: "54", Frame: frame},
		{Family: "road", Frame: broken},
	})
	for _, f := range contact.Faults(err) {
		fmt.Printf("%s: %v\n", f.Path, f.Class)
	}
	fmt.Println("frames:", index.Len())
	// Output:
	// sizes[1].label: missing
	// sizes[1].frame.geometry.stack_mm: wrong unit
	// frames: 1
}
