package read_test

import (
	"context"
	"fmt"
	"log"

	"example.com/fitgeom/contact/motion"
	"example.com/fitgeom/contact/motion/read"
)

// A table as invented cameras write it, in centimetres, and what its labels stand for. In its
// second row the ankle was not seen.
const written = `time_s,LK.x,LK.y,LK.z,LA.x,LA.y,LA.z
0.00,24.1,12.0,56.1,6.2,12.0,13.4
0.02,24.3,12.0,56.0,,,
0.04,24.6,12.0,55.8,6.6,12.0,13.1
`

var labels = map[string]motion.Marker{"LK": motion.KneeLeft, "LA": motion.AnkleLeft}

// Somebody's table becomes a recording in mm.
func Example_table() {
	recording, err := read.Table(context.Background(), []byte(written), read.Format{Labels: labels, Unit: "cm"})
	if err != nil {
		log.Fatal(err) // every fault, each with its line
	}
	for i, t := range recording.Times {
		ankle := recording.Markers[motion.AnkleLeft][i]
		fmt.Printf("after %.2f s: knee %.0f mm up, ankle seen: %v\n", t, recording.Markers[motion.KneeLeft][i].At.Z, ankle.Seen)
	}
	// Output:
	// after 0.00 s: knee 561 mm up, ankle seen: true
	// after 0.02 s: knee 560 mm up, ankle seen: false
	// after 0.04 s: knee 558 mm up, ankle seen: true
}
