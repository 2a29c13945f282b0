package part_test

import (
	"errors"
	"fmt"
	"log"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom/part"
)

// A drop bar and its levers. The manufacturer states the bar's width from outside to
// outside: less its tube it is what is wanted here.
func Example() {
	const outside, tube = 443.8, 23.8
	bar := part.Handlebar{
		Name: "bar 420", ClampDiameter: 31.8, RotationRange: 8,
		Drop: part.DropBar{Width: outside - tube, DropsWidth: 440, TopsWidth: 200, Reach: 80, Drop: 125, Hook: 60},
	}
	lever := part.Lever{Name: "lever short", Reach: 35, Rise: 25}
	if err := errors.Join(bar.Validate(), lever.Validate()); err != nil {
		log.Fatal(err)
	}
	fmt.Printf("the hoods are %.1f mm apart, and %.1f mm in front of the clamp\n", bar.Drop.Width, bar.Drop.Reach+lever.Reach)
	fmt.Println("in one piece with its stem:", bar.OnePiece())
	// Output:
	// the hoods are 420.0 mm apart, and 115.0 mm in front of the clamp
	// in one piece with its stem: false
}

// All that is wrong with a part comes back in one error.
func ExampleHandlebar_Validate() {
	err := part.Handlebar{
		Name: "bar 42", ClampDiameter: 3.18,
		Drop: part.DropBar{Width: 42, Reach: 80, Drop: 125}, // a width in centimetres
		Flat: part.FlatBar{Width: 720, Hand: 60},            // two shapes
	}.Validate()
	for _, f := range contact.Faults(err) {
		fmt.Println(f)
	}
	fmt.Println("a wrong unit among them:", errors.Is(err, contact.ErrUnit))
	// Output:
	// clamp_diameter_mm 3.18 mm: want 20 to 45 mm; it looks like centimetres
	// drop.width_mm 42 mm: want 250 to 700 mm; it looks like centimetres
	// drop 2 shapes: want exactly one of drop, flat and base
	// a wrong unit among them: true
}

// The heights that the pads of an aero bar have, and the one to take for a
// height that is wanted.
func ExampleSteps() {
	stack := part.Steps{From: 40, To: 90, Step: 10}
	fmt.Printf("%d heights, from %.0f to %.0f mm\n", stack.Count(), stack.At(0), stack.Last())

	for i := range stack.Count() {
		if !stack.Has(stack.At(i)) {
			fmt.Println("not one of them:", stack.At(i))
		}
	}
	v, ok := stack.Nearest(62, 0, 250)
	fmt.Printf("for 62 mm: %.0f mm, %v\n", v, ok)
	_, ok = stack.Nearest(62, 61, 69)
	fmt.Println("between 61 and 69 mm:", ok)
	fmt.Println("has 60:", stack.Has(60), "has 62:", stack.Has(62))

	free := part.Steps{From: 250, To: 330} // no steps
	v, _ = free.Nearest(290.5, 0, 600)
	fmt.Printf("for 290.5 mm without steps: %.1f mm, count %d\n", v, free.Count())
	// Output:
	// 6 heights, from 40 to 90 mm
	// for 62 mm: 60 mm, true
	// between 61 and 69 mm: false
	// has 60: true has 62: false
	// for 290.5 mm without steps: 290.5 mm, count 0
}

// A set of kinds of parts.
func ExampleKinds() {
	frontEnd := part.Stems | part.Handlebars | part.Levers
	fmt.Println(frontEnd)
	fmt.Println(frontEnd&part.Seatposts != 0, frontEnd&part.Handlebars != 0)
	// Output:
	// stems, handlebars, levers
	// false true
}
