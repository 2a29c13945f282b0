package exchange_test

import (
	"bytes"
	"context"
	"fmt"
	"log"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/fitgeom/exchange"
)

// received is what another program sent: an invented position.
const received = `{
  "schema": "fitgeom/position",
  "version": "1.0",
  "note": "Invented data.",
  "sites": {
    "saddle_reference": {"at_mm": [-205, 0, 705], "attitude": {"tilt_deg": -1}},
    "hoods_left": {"at_mm": [580, 210, 655]},
    "hoods_right": {"at_mm": [580, -210, 655]}
  }
}`

// A position comes in as a document, and goes out as the numbers of a set-up sheet.
func Example_handOver() {
	position, note, err := exchange.Read[contact.Position](context.Background(), bytes.NewBufferString(received))
	if err != nil {
		log.Fatal(err) // every fault, each with its line
	}
	sheet, err := convert.NewSheet(position, convert.Basis{}, convert.SaddleSetback, convert.BarDropHoods)
	if err != nil {
		log.Fatal(err)
	}
	var out bytes.Buffer
	if err := exchange.Write(context.Background(), &out, sheet, note); err != nil {
		log.Fatal(err)
	}
	fmt.Print(out.String())
	// Output:
	// {
	//   "schema": "fitgeom/sheet",
	//   "version": "1.0",
	//   "note": "Invented data.",
	//   "mirrored": false,
	//   "entries": [
	//     {"measure": "saddle_setback", "value_mm": 205},
	//     {"measure": "bar_drop_hoods", "value_mm": 50}
	//   ]
	// }
}
