package lsq_test

import (
	"math"
	"testing"

	"example.com/fitgeom/internal/lsq"
	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/stat/distuv"
)

// mean is the fit of one number to readings of it, of which the last are supposed, all with the
// same standard uncertainty.
func mean(read, supposed int) lsq.Fit {
	return lsq.Solve([]float64{0}, read+supposed, func(x, r, jac []float64) {
		for i := range r {
			r[i], jac[i] = x[0], 1
		}
	})
}

// Half of what holds 95 %: the factor is that of Student's distribution as gonum has it, with the
// degrees of freedom of Welch and Satterthwaite (JCGM 100:2008, G.2b). What is supposed has five,
// so n of it with n readings beside it, each of which makes up half of the variance, 20 n, and n of
// it alone 5 n. The series that the factor comes from (Abramowitz and Stegun 26.7.5) is known to
// the fourth power of what the freedom goes into.
func TestHalfOfWhatHolds95(t *testing.T) {
	for _, c := range []struct {
		read, supposed int
		share, freedom float64
	}{
		{0, 1, 1, 5}, {0, 2, 1, 10}, {0, 4, 1, 20}, {0, 16, 1, 80}, {1, 1, 0.5, 20}, {4, 4, 0.5, 80}, {2, 1, 1. / 3, 45}, {1, 3, 0.75, 80. / 3},
	} {
		f := mean(c.read, c.supposed)
		sigma := 3 / math.Sqrt(float64(c.read+c.supposed)) // of three times the number
		half, share := f.Half95([]float64{3}, c.read)
		factor := distuv.StudentsT{Sigma: 1, Nu: c.freedom}.Quantile(0.975)
		assert.InEpsilon(t, factor*sigma, half, math.Pow(c.freedom, -5)+1e-12, "%+v", c)
		assert.InDelta(t, c.share, share, 1e-12, "%+v", c)
	}
	f := mean(4, 0)
	half, share := f.Half95([]float64{1}, 4)
	assert.InEpsilon(t, 1.959963984540054/2, half, 1e-12, "readings alone: the normal distribution")
	assert.Zero(t, share)
}
