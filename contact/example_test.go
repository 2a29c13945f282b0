package contact_test

import (
	"errors"
	"fmt"
	"log"

	"example.com/fitgeom/contact"
	"gonum.org/v1/gonum/spatial/r3"
)

// A position of an invented rider: some sites are known, the others are not. The
// Examples of all packages of this module are about this position.
func Example() {
	position := contact.New(map[contact.Site]r3.Vec{
		contact.SaddleReference: {X: -188.6, Z: 684.4}, // behind the bottom bracket and above it
		contact.HoodsLeft:       {X: 582.6, Y: 210, Z: 655.9},
		contact.HoodsRight:      {X: 582.6, Y: -210, Z: 655.9},
		contact.PedalLeft:       {X: 172.5, Y: 73}, // cranks of 172.5 mm, a Q factor of 146 mm
		contact.PedalRight:      {X: 172.5, Y: -73},
	})
	position.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: -1}) // nose down
	if err := position.Validate(); err != nil {
		log.Fatal(err)
	}

	for _, s := range []contact.Site{contact.SaddleReference, contact.HoodsLeft, contact.DropsLeft} {
		at, known := position.At(s)
		if !known {
			fmt.Printf("%v: not known\n", s)
			continue
		}
		fmt.Printf("%v: %.1f forward, %.1f to the left, %.1f up\n", s, at.X, at.Y, at.Z)
	}
	// Output:
	// saddle_reference: -188.6 forward, 0.0 to the left, 684.4 up
	// hoods_left: 582.6 forward, 210.0 to the left, 655.9 up
	// drops_left: not known
}

// What changed between two positions, at the sites that both know.
func ExamplePosition_Sub() {
	before := contact.New(map[contact.Site]r3.Vec{
		contact.SaddleReference: {X: -188.6, Z: 684.4},
		contact.HoodsLeft:       {X: 582.6, Y: 210, Z: 655.9},
		contact.HoodsRight:      {X: 582.6, Y: -210, Z: 655.9},
	})
	after := before // a copy
	after.Set(contact.SaddleReference, r3.Vec{X: -190.6, Z: 691.4})
	after.Forget(contact.HoodsRight)

	moved := after.Sub(before)
	for s, by := range moved.All() {
		fmt.Printf("%v: forward by %.1f, up by %.1f mm\n", s, by.X, by.Z)
	}
	if s, distance, ok := moved.Largest(); ok {
		fmt.Printf("most of all %v, by %.1f mm\n", s, distance)
	}
	// Output:
	// saddle_reference: forward by -2.0, up by 7.0 mm
	// hoods_left: forward by 0.0, up by 0.0 mm
	// most of all saddle_reference, by 7.3 mm
}

// Two sessions by tape, each with a standard uncertainty of 1 mm along each axis:
// what moved, and what only seems to.
func ExampleDifference_Judge() {
	before := contact.New(map[contact.Site]r3.Vec{
		contact.SaddleReference: {X: -188.6, Z: 684.4},
		contact.BarClamp:        {X: 468.5, Z: 626.9},
	})
	after := contact.New(map[contact.Site]r3.Vec{
		contact.SaddleReference: {X: -190.6, Z: 691.4},
		contact.BarClamp:        {X: 469.7, Z: 625.5},
	})

	var coords []contact.Coordinate
	for s := range before.All() {
		for _, a := range []contact.Axis{contact.AxisX, contact.AxisY, contact.AxisZ} {
			coords = append(coords, contact.Coordinate{Site: s, Axis: a})
		}
	}
	session, err := contact.NewCovariance(coords, func(i, j int) float64 {
		if i == j {
			return 1 // mm²
		}
		return 0 // no errors in common
	})
	if err != nil {
		log.Fatal(err)
	}

	moves, _, err := after.Sub(before).Judge(session.Add(session), 0.95)
	if err != nil {
		log.Fatal(err)
	}
	for _, m := range moves {
		fmt.Printf("%v: up by %.1f ± %.1f mm; real: %v\n", m.Site, m.By.Z, m.Sigma.Z, m.Real)
	}
	// Output:
	// saddle_reference: up by 7.0 ± 1.4 mm; real: true
	// bar_clamp: up by -1.4 ± 1.4 mm; real: false
}

// All faults of an input come back in one error.
func ExampleFaults() {
	err := contact.New(map[contact.Site]r3.Vec{
		contact.SaddleReference: {X: -0.1886, Z: 0.6844}, // in metres
		contact.HoodsLeft:       {X: 582.6, Y: -210, Z: 655.9},
		contact.HoodsRight:      {X: 582.6, Y: 210, Z: 655.9}, // swapped
	}).Validate()

	fmt.Println("a wrong unit among them:", errors.Is(err, contact.ErrUnit))
	for _, f := range contact.Faults(err) {
		fmt.Printf("%s: %v\n", f.Path, f.Class)
	}
	fmt.Println(err) // for people
	// Output:
	// a wrong unit among them: true
	// sites.saddle_reference.at_mm: wrong unit
	// sites.hoods_left.at_mm[1]: contradiction
	// sites.saddle_reference.at_mm 0.7099108 mm: want 300 to 1300 mm from the bottom bracket; it looks like metres
	// sites.hoods_left.at_mm[1] -210 mm: want it to the left of hoods_right at 210 mm (left and right swapped?)
}

// Names of sites, as documents have them, go both ways.
func ExampleParseSite() {
	site, err := contact.ParseSite("hoods_left")
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(site, "is on the", site.Side(), "and its partner is", site.On(contact.Right))

	_, err = contact.ParseSite("hood_left")
	fmt.Println(errors.Is(err, contact.ErrUnknown))
	// Output:
	// hoods_left is on the left and its partner is hoods_right
	// true
}

// A mirror image, and back again.
func ExamplePosition_Mirror() {
	position := contact.New(map[contact.Site]r3.Vec{
		contact.HoodsLeft:  {X: 582.6, Y: 210, Z: 655.9},
		contact.HoodsRight: {X: 580.6, Y: -212, Z: 655.9},
	})
	mirrored := position.Mirror()
	left, _ := mirrored.At(contact.HoodsLeft)
	fmt.Printf("%.1f %.1f %.1f\n", left.X, left.Y, left.Z)
	fmt.Println(mirrored.Mirror() == position)
	// Output:
	// 580.6 212.0 655.9
	// true
}
