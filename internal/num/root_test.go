package num_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.com/fitgeom/internal/num"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Zeros that are known, from brackets of any size on either side.
func TestRoot(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 8))
	for name, c := range map[string]struct {
		f  func(x, zero float64) float64
		by float64 // how near
	}{
		"line":   {func(x, zero float64) float64 { return 3 * (x - zero) }, 1e-12},
		"falls":  {func(x, zero float64) float64 { return zero - x }, 1e-12},
		"cubic":  {func(x, zero float64) float64 { d := x - zero; return d * (1 + d*d) }, 1e-12},
		"steep":  {func(x, zero float64) float64 { return math.Exp(x-zero) - 1 }, 1e-12},
		"bent":   {func(x, zero float64) float64 { return math.Atan(x - zero) }, 1e-12},
		"sine":   {func(x, zero float64) float64 { return math.Sin((x - zero) / 20) }, 1e-12},
		"broken": {func(x, zero float64) float64 { return (x - zero) * (2 + math.Copysign(1, x-zero)) }, 1e-12},
	} {
		for range 50 {
			zero := 10 * rng.NormFloat64()
			lo, hi := zero-10*rng.Float64(), zero+10*rng.Float64()
			calls := 0
			f := func(x float64) float64 {
				calls++
				require.True(t, x >= lo && x <= hi, "%s: %v leaves the bracket", name, x)
				return c.f(x, zero)
			}
			got := num.Root(f, lo, c.f(lo, zero), hi, c.f(hi, zero))
			assert.InDelta(t, zero, got, c.by, name)
			assert.LessOrEqual(t, calls, 100, name)
			assert.InDelta(t, zero, num.Root(f, hi, c.f(hi, zero), lo, c.f(lo, zero)), c.by, name+", the other way round")
		}
	}
	never := func(float64) float64 { t.Error("asked"); return 0 }
	assert.Equal(t, 2., num.Root(never, 2, 0, 5, 1), "the first end is it")
	assert.Equal(t, 5., num.Root(never, 2, -1, 5, 0), "the other end is it")
	assert.Equal(t, 3., num.Root(never, 3, -1, 3, 1), "no room")
}

// By hand: of 0 to 8 and up to 5, halves are 4 (in), 6 (out), 5 (in).
func TestBisect(t *testing.T) {
	upTo := func(x float64) bool { return x <= 5 }
	in, out := num.Bisect(0, 8, 3, upTo)
	assert.Equal(t, [2]float64{5, 6}, [2]float64{in, out})
	in, out = num.Bisect(0, 8, 0, upTo)
	assert.Equal(t, [2]float64{0, 8}, [2]float64{in, out})
	in, _ = num.Bisect(9, 1, 60, func(x float64) bool { return x > 2 })
	assert.InDelta(t, 2, in, 1e-12, "downwards")
}
