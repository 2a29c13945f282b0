package read_test

import (
	"context"
	"fmt"
	"log"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/motion"
	"example.com/fitgeom/contact/motion/read"
)

// A table with the labels of somebody's cameras, in centimetres; one sample is no number.
func ExampleTable() {
	text := "time_s,LK.x,LK.y,LK.z\n0,24.1,12,56.1\n0.02,24.3,12,5 6.0\n"
	as := read.Format{Labels: map[string]motion.Marker{"LK": motion.KneeLeft}, Unit: "cm"}
	_, err := read.Table(context.Background(), []byte(text), as)
	for _, f := range contact.Faults(err) {
		fmt.Println(f)
	}
	text = "time_s,LK.x,LK.y,LK.z\n0,24.1,12,56.1\n0.02,24.3,12,56.0\n"
	r, err := read.Table(context.Background(), []byte(text), as)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f mm in front\n", r.Markers[motion.KneeLeft][1].At.X)
	// Output:
	// line 3: LK.z "5 6.0": want a number
	// 243.0 mm in front
}
