package fitgeom

import (
	"math"
	"testing"
)

// Against package math, in degrees as this package has them.
func TestSincos(t *testing.T) {
	for deg := -180.0; deg <= 180; deg += 0.37 {
		wantSin, wantCos := math.Sincos(deg * math.Pi / 180)
		sin, cos := sincos(deg)
		if math.Abs(sin-wantSin) > 1e-15 || math.Abs(cos-wantCos) > 1e-15 {
			t.Fatal(deg, sin, wantSin, cos, wantCos)
		}
	}
	for deg, want := range map[float64][2]float64{0: {0, 1}, 90: {1, 0}, -90: {-1, 0}, 180: {0, -1}} {
		if sin, cos := sincos(deg); sin != want[0] || cos != want[1] {
			t.Error(deg, sin, cos)
		}
	}
}
