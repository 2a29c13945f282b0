package rider_test

import (
	"testing"

	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/internal/invented"
)

func BenchmarkRegion(b *testing.B) {
	body, p := invented.Rider()
	l := rider.Limits{Body: body, Joints: []rider.Limit{
		{Variable: rider.KneeFlexion, Bound: rider.AtLeast, Angle: 25},
		{Variable: rider.KneeFlexion, Bound: rider.AtMost, Angle: 120},
		{Variable: rider.HipFlexion, Bound: rider.AtMost, Angle: 118},
		{Variable: rider.AnkleDorsiflexion, Bound: rider.AtMost, Angle: 42},
		{Variable: rider.AnkleDorsiflexion, Bound: rider.AtLeast, Angle: -30},
		{Variable: rider.TrunkLean, Bound: rider.AtLeast, Angle: 30},
		{Variable: rider.ShoulderFlexion, Bound: rider.AtMost, Angle: 95},
	}}
	for _, m := range []rider.Moving{rider.SaddlePlace, rider.BarPlace} {
		b.Run(m.String(), func(b *testing.B) {
			for b.Loop() {
				r, err := l.Region(b.Context(), p, rider.Window{Moving: m})
				if err != nil || r.Empty() {
					b.Fatal(err)
				}
			}
		})
	}
}
