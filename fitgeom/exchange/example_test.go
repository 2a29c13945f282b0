package exchange_test

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"log"
	"os"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/exchange"
	"example.com/fitgeom/internal/invented"
	"gonum.org/v1/gonum/spatial/r3"
)

// A position as it goes from one program to another, and back.
func Example() {
	position := contact.New(map[contact.Site]r3.Vec{
		contact.SaddleReference: {X: -188.6, Z: 684.4},
		contact.HoodsLeft:       {X: 582.6, Y: 210, Z: 655.9},
	})
	position.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: -1})

	var file bytes.Buffer
	if err := exchange.Write(context.Background(), &file, position, "Invented data."); err != nil {
		log.Fatal(err)
	}
	fmt.Print(file.String())

	again, note, err := exchange.Read[contact.Position](context.Background(), &file)
	fmt.Println(again == position, note, err)
	// Output:
	// {
	//   "schema": "fitgeom/position",
	//   "version": "1.0",
	//   "note": "Invented data.",
	//   "sites": {
	//     "saddle_reference": {"at_mm": [-188.6, 0, 684.4], "attitude": {"tilt_deg": -1}},
	//     "hoods_left": {"at_mm": [582.6, 210, 655.9]}
	//   }
	// }
	// true Invented data. <nil>
}

// A build with all its parts, and back.
func ExampleRead() {
	build := invented.Build() // the build of the Example of fitgeom.Build.Position
	var file bytes.Buffer
	if err := exchange.Write(context.Background(), &file, build, ""); err != nil {
		log.Fatal(err)
	}
	again, _, err := exchange.Read[fitgeom.Build](context.Background(), &file)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(again == build, again.Stem.Name)
	// Output:
	// true stem 100 -6°
}

// Nothing that Read would refuse is written.
func ExampleWrite_faults() {
	build := invented.Build() // the build of the Example of fitgeom.Build.Position
	build.Stem.Length = 10
	build.Seatpost.Setback = 200
	var file bytes.Buffer
	err := exchange.Write(context.Background(), &file, build, "")
	for _, f := range contact.Faults(err) {
		fmt.Println(f)
	}
	fmt.Println("bytes written:", file.Len())
	// Output:
	// /stem/length_mm 10 mm: want 20 to 180 mm; it looks like centimetres
	// /seatpost/setback_mm 200 mm: want -60 to 80 mm
	// bytes written: 0
}

// All faults of a document, each with its line and a JSON pointer.
func ExampleRead_faults() {
	_, _, err := exchange.Read[fitgeom.Frame](context.Background(), strings.NewReader(`{
  "schema": "fitgeom/frame",
  "version": "1.0",
  "name": "road 54",
  "geometry": {
    "stack_mm": 56, "reach_mm": "385", "head_angle_deg": 73, "seat_angle_deg": 73.5
  },
  "steerer_diameter_mm": 28.6,
  "maxstack_mm": 55,
  "seat_tube_top_mm": 500,
  "seatpost_diameter_mm": 272,
  "seatpost_insertion_mm": 80
}`))
	fmt.Println("a wrong unit among them:", errors.Is(err, contact.ErrUnit))
	for _, f := range contact.Faults(err) {
		fmt.Printf("line %d, %s: %v\n", f.Line, f.Path, f.Class)
	}
	// Output:
	// a wrong unit among them: true
	// line 6, /geometry/reach_mm: out of range
	// line 9, /maxstack_mm: unknown name
	// line 1, /max_under_stem_mm: missing
	// line 6, /geometry/stack_mm: wrong unit
	// line 11, /seatpost_diameter_mm: wrong unit
}

// Keys and data of one's own travel beside the values, at any object.
func ExampleReadDocument() {
	file := strings.NewReader(`{
  "schema": "fitgeom/positions",
  "version": "1.0",
  "id": "visit 12",
  "positions": [
    {"id": "rider 7", "meta": {"bike": "road 54"}, "sites": {"saddle_reference": {"at_mm": [-188.6, 0, 684.4]}}}
  ]
}`)
	doc, err := exchange.ReadDocument[[]contact.Position](context.Background(), file, exchange.Reading{})
	if err != nil {
		log.Fatal(err)
	}
	rider := doc.Items["/positions/0"]
	var mine struct{ Bike string }
	if err := json.Unmarshal(rider.Meta, &mine); err != nil {
		log.Fatal(err)
	}
	fmt.Println(doc.ID, "·", rider.ID, "·", mine.Bike)

	doc.ID = "visit 13" // all else is written as it was
	if err := exchange.WriteDocument(context.Background(), os.Stdout, doc); err != nil {
		log.Fatal(err)
	}
	// Output:
	// visit 12 · rider 7 · road 54
	// {
	//   "schema": "fitgeom/positions",
	//   "version": "1.0",
	//   "id": "visit 13",
	//   "positions": [
	//     {
	//       "id": "rider 7",
	//       "meta": {"bike":"road 54"},
	//       "sites": {"saddle_reference": {"at_mm": [-188.6, 0, 684.4]}}
	//     }
	//   ]
	// }
}

// A chart as a manufacturer has it and a spreadsheet saves it.
func ExampleReadSpreadsheet() {
	doc, found, err := exchange.ReadSpreadsheet(context.Background(), strings.NewReader(`Road bikes;;;;;;
Model;Size;Stack (mm);Reach (mm);Head tube angle;Seat tube angle;Stock number
road;54;556;382;73°;73,5°;4711
road;56;575,5;390;73,2°;73,2°;4712
`), exchange.Dialect{})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%q %q, names in row %d\n", found.Comma, found.Decimal, found.HeaderRow)
	for i, s := range doc.Value {
		fmt.Println(s.Frame.Name, s.Frame.Geometry.Stack, string(doc.Items[fmt.Sprintf("/sizes/%d", i)].Meta))
	}
	fmt.Printf("assumed: %+v\n", doc.Value[0].Frame.Assumed)
	// Output:
	// ';' ',', names in row 2
	// road 54 556 {"Stock number":"4711"}
	// road 56 575.5 {"Stock number":"4712"}
	// assumed: {SteererDiameter:true MaxUnderStem:true SeatTubeTop:true SeatpostDiameter:true}
}

// A program that takes several kinds looks first.
func ExampleKind() {
	data := []byte(`{"schema": "fitgeom/frame", "version": "2.0"}`)
	schema, version, err := exchange.Kind(context.Background(), data)
	fmt.Println(schema, version, err)
	_, _, err = exchange.Read[fitgeom.Frame](context.Background(), bytes.NewReader(data))
	fmt.Println(err)
	// Output:
	// fitgeom/frame 2.0 <nil>
	// line 1: /version 2.0: want at most 1.0, the newest that this library reads
}

// A list of points from a spreadsheet.
func ExampleReadPoints() {
	position, err := exchange.ReadPoints[contact.Position](context.Background(), strings.NewReader(`name,x_mm,y_mm,z_mm
saddle_reference,-188.6,0,684.4
hoods_left,582.6,210,655.9
`))
	if err != nil {
		log.Fatal(err)
	}
	for s, at := range position.All() {
		fmt.Println(s, at.X, at.Y, at.Z)
	}
	if err := exchange.WritePoints(context.Background(), os.Stdout, position); err != nil {
		log.Fatal(err)
	}
	// Output:
	// saddle_reference -188.6 0 684.4
	// hoods_left 582.6 210 655.9
	// name,x_mm,y_mm,z_mm
	// saddle_reference,-188.6,0,684.4
	// hoods_left,582.6,210,655.9
}

// Sizes of frames from a spreadsheet. A broken row is reported, and the sound
// ones are there all the same; an empty cell is what is not stated.
func ExampleReadCatalogue() {
	sizes, err := exchange.ReadCatalogue(context.Background(), strings.NewReader(`family,size,stack_mm,reach_mm,head_angle_deg,seat_angle_deg,steerer_diameter_mm,max_under_stem_mm,seat_tube_top_mm,seatpost_diameter_mm,seatpost_insertion_mm
road,52,541,378,72.5,74,28.6,55,480,27.2,
road,54,560,385,73,73.5,28.6,55,500,27.2,80
road,56,0.58,391,73,73.5,28.6,55,520,27.2,80
`))
	for _, f := range contact.Faults(err) {
		fmt.Println(f)
	}
	for _, s := range sizes {
		fmt.Printf("row %d: %s, reach %.0f mm\n", s.Row, s.Frame.Name, s.Frame.Geometry.Reach)
	}
	if err := exchange.WriteCatalogue(context.Background(), os.Stdout, sizes); err != nil {
		log.Fatal(err)
	}
	// Output:
	// line 4: row 4.stack_mm 0.58 mm: want 300 to 800 mm; it looks like metres
	// row 2: road 52, reach 378 mm
	// row 3: road 54, reach 385 mm
	// family,size,stack_mm,reach_mm,head_angle_deg,seat_angle_deg,steerer_diameter_mm,max_under_stem_mm,seat_tube_top_mm,seatpost_diameter_mm,seatpost_insertion_mm
	// road,52,541,378,72.5,74,28.6,55,480,27.2,
	// road,54,560,385,73,73.5,28.6,55,500,27.2,80
}
