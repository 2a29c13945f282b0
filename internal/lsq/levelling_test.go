package lsq_test

import (
	"testing"

	"example.com/fitgeom/internal/lsq"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A levelling network of four points, of which A is 0. Formulas: W. Baarda (1968), as a
// surveying program's manual has them (Calculation Procedures for Data Snooping): w is the
// residual over its standard uncertainty after the fit, 4.1321480 σ/√r the least error that
// is found (1 in 1,000 false alarms, power 0.8). The numbers were computed with scipy
// 1.10.1 from the normal equations.
func TestLevellingNetwork(t *testing.T) {
	from := [...][2]int{{0, 1}, {0, 2}, {1, 2}, {1, 3}, {2, 3}, {0, 3}}
	sigma := [...]float64{2, 2, 2, 3, 3, 3} // mm
	solve := func(observed [6]float64) lsq.Fit {
		fit := lsq.Solve(make([]float64, 3), len(observed), func(x, r, jac []float64) {
			for i, k := range from {
				r[i] = -observed[i] / sigma[i]
				for j, sign := range [...]float64{-1, 1} {
					if p := k[j] - 1; p >= 0 {
						r[i] += sign * x[p] / sigma[i]
						jac[3*i+p] = sign / sigma[i]
					}
				}
			}
		})
		require.True(t, fit.Converged)
		return fit
	}
	observed := [6]float64{12347, 7889, -4454, 7776, 12234, 20123} // mm
	fit := solve(observed)
	for i, want := range [...]float64{12345.83871, 7890.16129, 20123} {
		assert.InDelta(t, want, fit.X[i], 5e-6)
	}
	for i, want := range [...]float64{-0.8966, 0.8966, -1.2952, 0.5080, -0.5080, 0} {
		assert.InDelta(t, want, fit.Studentized(i), 5e-5)
		r := [...]float64{0.41935484, 0.58064516}[i/3]
		assert.InDelta(t, r, 1-fit.Leverage(i), 5e-9)
	}
	observed[3] += 20
	fit = solve(observed)
	for i, want := range [...]float64{-2.889, 0.897, 0.697, -4.572, 2.032, 2.540} {
		assert.InDelta(t, want, fit.Studentized(i), 5e-4)
	}
	assert.InDelta(t, 22.3226, fit.Chi2, 5e-5)
	// What is wrong with an observation, as the others have it, needs no second fit.
	assert.InDelta(t, -18, fit.R[3]*sigma[3]/(1-fit.Leverage(3)), 1e-9)
}
