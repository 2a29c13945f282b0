package fitgeom_test

import (
	"math"
	"testing"
	"time"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/internal/invented"
)

// reportSincos reports how many math.Sincos an operation takes the time of. Both are
// timed in turn in the same run, and the best rounds count, since machines differ and
// are shared.
func reportSincos(b *testing.B, op func()) {
	b.StopTimer()
	const rounds = 1 << 12
	ours, sincos, sum := math.Inf(1), math.Inf(1), 0.0
	for range 50 {
		start := time.Now()
		for range rounds {
			op()
		}
		ours = min(ours, time.Since(start).Seconds())
		start = time.Now()
		for i := range rounds {
			sin, cos := math.Sincos(float64(i) * 1e-3)
			sum += sin * cos
		}
		sincos = min(sincos, time.Since(start).Seconds())
	}
	if math.IsNaN(sum) {
		b.Fatal(sum)
	}
	b.ReportMetric(ours/sincos, "sincos/op")
}

func BenchmarkBuildPosition(b *testing.B) {
	build := invented.Everything()
	var p contact.Position
	b.ReportAllocs()
	for b.Loop() {
		p, _ = build.Position()
	}
	reportSincos(b, func() { p, _ = build.Position() })
	_ = p
}

// The same with every direction set: a flared bar with swept tops, levers moved and turned,
// cleats and wedges.
func BenchmarkBuildPositionDirections(b *testing.B) {
	build := invented.Everything()
	d := &build.Handlebar.Drop
	d.DropsWidth, d.Flare, d.TopsBacksweep, d.TopsUpsweep, d.TopsCentre = 0, 12, 8, 4, 60
	d.BendRadius, d.BendBelow = 60, 45
	build.Lever.Slope, build.Lever.Offset = 8, 4
	s := &build.Settings
	s.LeverUp, s.LeverIn = 6, 5
	s.CleatLeft = fitgeom.Cleat{Back: 8, In: 2, ToesOut: 4, Wedge: 1}
	s.CleatRight = fitgeom.Cleat{Back: 6, In: -2, ToesOut: 6, Wedge: -1}
	p, err := build.Position()
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		p, _ = build.Position()
	}
	reportSincos(b, func() { p, _ = build.Position() })
	_ = p
}

func BenchmarkBuildValidate(b *testing.B) {
	build := invented.Everything()
	var err error
	b.ReportAllocs()
	for b.Loop() {
		err = build.Validate()
	}
	reportSincos(b, func() { err = build.Validate() })
	if err != nil {
		b.Fatal(err)
	}
}
