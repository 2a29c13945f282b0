package num_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.com/fitgeom/internal/num"
	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/spatial/r3"
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
		0.73: "metres", 73: "centimetres", 28.7: "inches", 40: "centimetres or inches", 0: "", 2e5: "",
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

func TestTurn(t *testing.T) {
	for deg, want := range map[float64]float64{0: 0, 359: 359, 360: 0, 725: 5, -1: 359, -360: 0, -725: 355, -1e-20: 0} {
		assert.Equal(t, want, num.Turn(deg), "%v", deg)
	}
}

// Turned turns about the Y axis: against gonum's rotation, which goes the other
// way about it.
func TestTurned(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	for range 100 {
		v := r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()}
		deg := 720*rng.Float64() - 360
		sin, cos := num.Sincos(deg)
		got := num.Turned(v, sin, cos)
		want := r3.NewRotation(-deg*num.Rad, r3.Vec{Y: 1}).Rotate(v)
		assert.InDelta(t, 0, r3.Norm(r3.Sub(got, want)), 1e-12)
		assert.Equal(t, v.Y, got.Y)
		back := num.Turned(got, -sin, cos)
		assert.InDelta(t, 0, r3.Norm(r3.Sub(back, v)), 1e-12)
	}
	assert.Equal(t, r3.Vec{Y: 2, Z: 1}, num.Turned(r3.Vec{X: 1, Y: 2}, 1, 0), "what points forward points up: nose-up")
}

func TestBeyond(t *testing.T) {
	assert.False(t, num.Beyond(1e9, 0), "no tolerance: not asked for")
	assert.False(t, num.Beyond(2, 2))
	assert.False(t, num.Beyond(-2*(1+num.Leeway/2), 2), "rounding")
	assert.True(t, num.Beyond(-2*(1+2*num.Leeway), 2))
	assert.True(t, num.Beyond(2.001, 2))
	assert.True(t, num.Beyond(math.NaN(), 2), "not known to be within")
	assert.True(t, num.Beyond(1, math.NaN()))
	assert.True(t, num.Beyond(math.Inf(-1), 2))
}

func TestTextAndSpan(t *testing.T) {
	assert.Equal(t, "709.9108 mm", num.Text(709.91081, "mm"))
	assert.Equal(t, "7", num.Text(7, ""))
	assert.Equal(t, "300 to 1300 mm", num.Span(300, 1300, "mm"))
}
