package chart

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/diff/fd"
)

// randomFrame is numbers about where they usually are.
func randomFrame(rng *rand.Rand) [parameterCount]float64 {
	x := usualFrame
	for k, by := range [parameterCount]float64{60, 40, 3, 3, 20, 25, 20, 10, 12, 12, 3, 40, 50, 50, 40, 40} {
		x[k] += by * (2*rng.Float64() - 1)
	}
	return x
}

// The slopes of each dimension against finite differences (gonum's fd).
func TestDimensionSlopes(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for range 20 {
		x := randomFrame(rng)
		for _, height := range []float64{0, 700} {
			s := newSide(x, height)
			for _, d := range Dimensions() {
				var got [parameterCount]float64
				s.value(d, func(k int, by float64) { got[k] += by })
				for k := range x {
					want := fd.Derivative(func(v float64) float64 {
						y := x
						y[k] = v
						moved := newSide(y, height)
						return moved.value(d, nil)
					}, x[k], &fd.Settings{Formula: fd.Central, Step: 1e-3})
					assert.InDelta(t, want, got[k], 1e-5, "%v by %v", d, parameterNames[k])
				}
			}
		}
	}
}
