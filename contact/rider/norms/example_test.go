package norms_test

import (
	"errors"
	"fmt"
	"log"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/contact/rider/norms"
)

// What a video from the side shows of an invented rider's knee.
var knee = norms.Reading{
	Variable: rider.KneeFlexion, Where: norms.Least, Value: 27, Sigma: 1,
	Method: norms.Method{Pose: norms.Dynamic, Instrument: norms.Camera2D},
}

// One rider's knee in a video from the side, beside all norms of that angle.
func Example() {
	// The correction was found with the pedal at its lowest. That it holds for the least flexion,
	// a few degrees of crank away, is a judgement of this example.
	to3D := norms.Corrections()[0]
	to3D.Where = norms.Least

	for _, n := range norms.Norms() {
		if n.Variable != knee.Variable || n.Where != knee.Where || n.Kind != norms.Advised {
			continue
		}
		reading := knee
		c, err := n.Compare(reading)
		if errors.Is(err, contact.ErrConflict) {
			fmt.Println(err)
			if reading, err = to3D.Apply(knee); err == nil {
				c, err = n.Compare(reading)
			}
		}
		if err != nil {
			log.Fatal(err)
		}
		is, err := c.By.Real(0.95)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%.1f for %g to %g: outside by %.1f, more than measuring errors: %t\n", reading.Value, n.Low, n.High, c.By.Value, is)
	}
	// Output:
	// 27.0 for 30 to 40: outside by -3.0, more than measuring errors: true
	// method dynamic by camera_2d: want dynamic by cameras_3d as the norm
	// 29.2 for 33 to 43: outside by -3.8, more than measuring errors: true
}
