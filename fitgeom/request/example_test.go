package request_test

import (
	"context"
	"fmt"
	"log"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/request"
	"example.com/fitgeom/internal/invented"
	"gonum.org/v1/gonum/spatial/r3"
)

// A fitter has a sheet of numbers, a frame and a shelf of parts.
func Example() {
	r := request.Request{
		Target: request.Target{Sheet: convert.Sheet{
			Basis: convert.Basis{Mirrored: true},
			Entries: []convert.Entry{
				{Measure: convert.SaddleHeightVertical, Value: 685, Sigma: 1},
				{Measure: convert.SaddleSetback, Value: 190, Sigma: 1},
				{Measure: convert.SaddleTilt, Value: -1, Sigma: 0.2},
				{Measure: convert.HoodsStack, Value: 655, Sigma: 1},
				{Measure: convert.HoodsReach, Value: 582, Sigma: 1},
				{Measure: convert.HoodsWidth, Value: 420, Sigma: 1},
			},
		}},
		Frame: invented.Road54(), // the frame and the shelf of the examples of package fitgeom
		Shelf: invented.Shelf(),
		Keep: []fitgeom.Keep{
			{Site: contact.SaddleReference, Tolerance: r3.Vec{X: 3, Z: 3}},
			{Site: contact.HoodsLeft, Tolerance: r3.Vec{X: 3, Z: 3}},
		},
		Limit: 1,
	}
	p, err := r.Problem()
	if err != nil {
		log.Fatal(err)
	}
	found, err := p.Solve(context.Background())
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(found.Holds(), found.Candidates[0].Build.Stem.Name)
	for _, d := range r.Defaults(p.Target)[:2] {
		fmt.Println("not stated:", d.Says)
	}
	// Output:
	// true stem 100 -6°
	// not stated: with other cranks the saddle moves, so that the foot at the far end of its stroke is as far from it as before
	// not stated: the bike stands as its chart draws it, on its own tyres and without sag
}

// All that is wrong with a request comes together.
func ExampleRequest_Problem() {
	r := request.Request{Frame: invented.Road54(), Limit: 5000}
	r.Frame.Geometry.Stack = 55.6
	_, err := r.Problem()
	for _, f := range contact.Faults(err) {
		fmt.Println(f)
	}
	// Output:
	// limit 5000 builds or sizes: want 1 to 1000 builds or sizes
	// frame.geometry.stack_mm 55.6 mm: want 300 to 800 mm; it looks like centimetres
	// target missing: want a position, survey, tape_survey, sheet or fix
	// shelf missing: want the parts that may be used
}
