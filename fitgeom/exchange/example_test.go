package exchange_test

import (
	"bytes"
	"fmt"
	"os"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/exchange"
	"gonum.org/v1/gonum/spatial/r3"
)

// A position as it goes from one program to another.
func Example() {
	position := contact.New(map[contact.Site]r3.Vec{
		contact.SaddleReference: {X: -208, Z: 706},
		contact.HoodsLeft:       {X: 580, Y: 212, Z: 637},
	})
	position.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: -1.2})

	var file bytes.Buffer
	if err := exchange.Write(&file, position, "Invented data."); err != nil {
		fmt.Println(err)
		return
	}
	fmt.Print(file.String())

	again, note, err := exchange.Read[contact.Position](&file)
	fmt.Println(again == position, note, err)
	// Output:
	// {
	//   "schema": "fitgeom/position",
	//   "version": 1,
	//   "note": "Invented data.",
	//   "sites": {
	//     "saddle_reference": {"at_mm": [-208, 0, 706], "attitude": {"tilt_deg": -1.2}},
	//     "hoods_left": {"at_mm": [580, 212, 637]}
	//   }
	// }
	// true Invented data. <nil>
}

// All faults of a document, each with its line and a JSON pointer.
func ExampleRead_faults() {
	_, _, err := exchange.Read[fitgeom.Frame](strings.NewReader(`{
  "schema": "fitgeom/frame",
  "version": 1,
  "name": "road 54",
  "geometry": {
    "stack_mm": 55.6, "reach_mm": "382", "head_angle_deg": 73, "seat_angle_deg": 73.5
  },
  "steerer_diameter_mm": 28.6,
  "maxstack_mm": 45,
  "seat_tube_top_mm": 505,
  "post_diameter_mm": 272,
  "post_insertion_mm": 80
}`))
	for _, f := range contact.Faults(err) {
		fmt.Println(f)
	}
	// Output:
	// line 6: /geometry/reach_mm "382": want a number
	// line 9: /maxstack_mm unknown name: want one of schema, version, note, name, geometry, steerer_diameter_mm, max_stack_mm, steerer_cut_mm, seat_tube_top_mm, post_diameter_mm, post_insertion_mm, post_depth_mm, max_front_radius_mm, max_rear_radius_mm
	// line 1: /max_stack_mm missing: want a number
	// line 6: /geometry/stack_mm 55.6 mm: want 300 to 800 mm; it looks like centimetres
	// line 11: /post_diameter_mm 272 mm: want 20 to 45 mm
}

// A program that takes several kinds looks first.
func ExampleKind() {
	data := []byte(`{"schema": "fitgeom/frame", "version": 2}`)
	schema, version, err := exchange.Kind(data)
	fmt.Println(schema, version, err)
	_, _, err = exchange.Read[fitgeom.Frame](bytes.NewReader(data))
	fmt.Println(err)
	// Output:
	// fitgeom/frame 2 <nil>
	// line 1: /version 2: want at most 1, the newest that this library reads
}

// A list of points from a spreadsheet.
func ExampleReadPoints() {
	position, err := exchange.ReadPoints[contact.Position](strings.NewReader(`name,x_mm,y_mm,z_mm
saddle_reference,-208,0,706
hoods_left,580,212,637
`))
	if err != nil {
		fmt.Println(err)
		return
	}
	for s, at := range position.All() {
		fmt.Println(s, at.X, at.Y, at.Z)
	}
	if err := exchange.WritePoints(os.Stdout, position); err != nil {
		fmt.Println(err)
	}
	// Output:
	// saddle_reference -208 0 706
	// hoods_left 580 212 637
	// name,x_mm,y_mm,z_mm
	// saddle_reference,-208,0,706
	// hoods_left,580,212,637
}
