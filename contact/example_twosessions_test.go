package contact_test

import (
	"fmt"
	"log"

	"example.com/fitgeom/contact"
	"gonum.org/v1/gonum/spatial/r3"
)

// An invented rider's saddle and hoods, in spring and in autumn.
var (
	spring = contact.New(map[contact.Site]r3.Vec{
		contact.SaddleReference: {X: -188.6, Z: 684.4}, // behind the bottom bracket, and above it
		contact.HoodsLeft:       {X: 582.6, Y: 210, Z: 655.9},
		contact.HoodsRight:      {X: 582.6, Y: -210, Z: 655.9},
	})
	autumn = contact.New(map[contact.Site]r3.Vec{
		contact.SaddleReference: {X: -190.1, Z: 689.9},
		contact.HoodsLeft:       {X: 583.4, Y: 210, Z: 655.1},
		contact.HoodsRight:      {X: 581.9, Y: -210, Z: 656.5},
	})
)

// byTape is the covariance of a position of which every coordinate was read with a standard
// uncertainty of sigma, in mm, without errors in common.
func byTape(p contact.Position, sigma float64) (contact.Covariance, error) {
	var all []contact.Coordinate
	for s := range p.All() {
		for _, a := range []contact.Axis{contact.AxisX, contact.AxisY, contact.AxisZ} {
			all = append(all, contact.Coordinate{Site: s, Axis: a})
		}
	}
	return contact.NewCovariance(all, func(i, j int) float64 {
		if i == j {
			return sigma * sigma
		}
		return 0
	})
}

// Which of the differences between two sessions are real, and which may be errors of measuring?
func Example_twoSessions() {
	one, err := byTape(spring, 1)
	if err != nil {
		log.Fatal(err)
	}
	two, err := byTape(autumn, 1)
	if err != nil {
		log.Fatal(err)
	}
	moves, _, err := autumn.Sub(spring).Judge(one.Add(two), 0.95)
	if err != nil {
		log.Fatal(err) // all faults of the input, each with its path
	}
	for _, m := range moves {
		fmt.Printf("%v: forward %+.1f, up %+.1f mm; real: %v\n", m.Site, m.By.X, m.By.Z, m.Real)
	}
	// Output:
	// saddle_reference: forward -1.5, up +5.5 mm; real: true
	// hoods_left: forward +0.8, up -0.8 mm; real: false
	// hoods_right: forward -0.7, up +0.6 mm; real: false
}
