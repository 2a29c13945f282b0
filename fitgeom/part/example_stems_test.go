package part_test

import (
	"fmt"
	"log"

	"example.com/fitgeom/fitgeom/part"
)

// Invented stems of a shop.
var inStock = []part.Stem{
	{Name: "stem 90 +6°", Length: 90, Angle: 6},
	{Name: "stem 100 −6°", Length: 100, Angle: -6},
	{Name: "stem 110 −17°", Length: 110, Angle: -17},
}

// How far apart do the bars stand with each of these stems, on a head angle of 73 degrees, and
// which stem would bring the bar 15 mm further forward at the height of the first?
func Example_stems() {
	for _, stem := range inStock {
		offset, err := stem.Offset(73)
		if err != nil {
			log.Fatal(err) // all faults of the input, each with its path
		}
		fmt.Printf("%s: %.1f mm forward, %.1f mm up\n", stem.Name, offset.Run, offset.Rise)
	}
	wanted, err := inStock[0].Offset(73)
	if err != nil {
		log.Fatal(err)
	}
	wanted.Run += 15
	stem, err := wanted.Stem()
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("wanted: %.0f mm, %+.1f degrees\n", stem.Length, stem.Angle)
	// Output:
	// stem 90 +6°: 82.8 mm forward, 35.2 mm up
	// stem 100 −6°: 98.2 mm forward, 19.1 mm up
	// stem 110 −17°: 110.0 mm forward, 0.0 mm up
	// wanted: 104 mm, +2.8 degrees
}
