package num_test

import (
	"math"
	"testing"

	"example.com/fitgeom/internal/num"
	"github.com/stretchr/testify/assert"
)

func TestSincosExactAtQuarters(t *testing.T) {
	for i, want := range [][2]float64{{0, 1}, {1, 0}, {0, -1}, {-1, 0}} {
		for turns := -2; turns <= 2; turns++ {
			s, c := num.Sincos(float64(90*i + 360*turns))
			assert.Equal(t, want, [2]float64{s, c}, "%d quarter, %d turns", i, turns)
		}
	}
}

func TestSincosAgreesWithMath(t *testing.T) {
	for deg := -359.0; deg < 360; deg += 7 {
		s, c := num.Sincos(deg)
		assert.InDelta(t, math.Sin(deg*math.Pi/180), s, 1e-15)
		assert.InDelta(t, math.Cos(deg*math.Pi/180), c, 1e-15)
	}
}

func TestMistaken(t *testing.T) {
	for v, want := range map[float64]string{
		0.73: "metres", 73: "centimetres", 28.7: "inches", 0: "", 2e5: "",
		7300: "millimetres taken for centimetres", 20_000: "millimetres taken for inches", 730_000: "millimetres taken for metres", -0.73: "",
	} {
		assert.Equal(t, want, num.Mistaken(v, 300, 1300), "%v", v)
	}
	assert.Empty(t, num.Mistaken(math.NaN(), 300, 1300))
}

func TestFinite(t *testing.T) {
	assert.True(t, num.Finite(1, -2, 0))
	assert.False(t, num.Finite(1, math.NaN()))
	assert.False(t, num.Finite(math.Inf(-1)))
}

// Against package math.
func TestSincos(t *testing.T) {
	for deg := -180.0; deg <= 180; deg += 0.37 {
		wantSin, wantCos := math.Sincos(deg * math.Pi / 180)
		sin, cos := num.Sincos(deg)
		if math.Abs(sin-wantSin) > 1e-15 || math.Abs(cos-wantCos) > 1e-15 {
			t.Fatal(deg, sin, wantSin, cos, wantCos)
		}
	}
	for deg, want := range map[float64][2]float64{0: {0, 1}, 90: {1, 0}, -90: {-1, 0}, 180: {0, -1}} {
		if sin, cos := num.Sincos(deg); sin != want[0] || cos != want[1] {
			t.Error(deg, sin, cos)
		}
	}
}
