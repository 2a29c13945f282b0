package clearance_test

import (
	"math"
	"testing"
	"time"

	"example.com/fitgeom/fitgeom/clearance"
	"example.com/fitgeom/internal/invented"
)

var kept float64

// All clearances of one position on one frame, both sides, with a shoe that meets the wheel,
// which takes longest. Beside the time stands how many math.Sincos that is: both are timed
// in turn in the same run, and the best rounds count, since machines differ and are shared.
func BenchmarkClearance(b *testing.B) {
	build := invented.Everything()
	build.Frame.Geometry.Reach -= 20
	bike := clearance.Bike{Position: invented.Position(build), Geometry: build.Frame.Geometry}
	all := func() {
		values, err := bike.Values()
		if err != nil {
			b.Fatal(err)
		}
		kept += values[0].Value
	}
	b.ReportAllocs()
	for b.Loop() {
		all()
	}
	b.StopTimer()
	const each, angles = 10, 20000
	ours, sincos := math.Inf(1), math.Inf(1)
	for range 200 {
		start := time.Now()
		for range each {
			all()
		}
		ours = min(ours, time.Since(start).Seconds()/each)
		start = time.Now()
		for i := range angles {
			sin, cos := math.Sincos(float64(i) * 1e-3)
			kept += sin * cos
		}
		sincos = min(sincos, time.Since(start).Seconds()/angles)
	}
	b.ReportMetric(ours/sincos, "sincos/op")
}
