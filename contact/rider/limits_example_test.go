package rider_test

import (
	"fmt"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/internal/invented"
)

// Where the saddle and the bar may be with what an assessment found.
func ExampleLimits_Range() {
	body, position := invented.Rider()
	limits := rider.Limits{Body: body, Joints: []rider.Limit{
		{Variable: rider.KneeFlexion, Bound: rider.AtLeast, Angle: 25},
		{Variable: rider.KneeFlexion, Side: contact.Left, Bound: rider.AtMost, Angle: 115},
		{Variable: rider.HipFlexion, Side: contact.Right, Bound: rider.AtMost, Angle: 112, Source: "passive, lying"},
	}}
	for _, a := range []rider.Adjustment{rider.SaddleHeight, rider.BarDrop} {
		intervals, err := limits.Range(position, rider.Way{Adjustment: a})
		if err != nil {
			fmt.Println(err)
			return
		}
		for _, one := range intervals {
			for _, e := range []rider.Edge{one.From, one.To} {
				fmt.Printf("%v %+.1f mm", a, e.At)
				if e.Place >= 0 {
					fmt.Printf(", crank at %.0f degrees: %v", e.CrankAngle, limits.Joints[e.Place])
				}
				fmt.Println()
			}
		}
	}
	// Output:
	// saddle_height -12.4 mm, crank at 354 degrees: left knee_flexion at most 115 degrees
	// saddle_height +4.3 mm, crank at 175 degrees: knee_flexion at least 25 degrees
	// bar_drop -100.0 mm
	// bar_drop +36.0 mm, crank at 34 degrees: right hip_flexion at most 112 degrees (passive, lying)
}
