package lsq_test

import (
	"math"
	"slices"
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

// One reading of a sum of four numbers leaves three directions free, in echelon form: each has a
// coordinate that is 1 in it and 0 in all others, and none changes the sum.
func TestFreeDirectionsAreInEchelonForm(t *testing.T) {
	f := lsq.Solve([]float64{1, 2, 3, 4}, 1, func(x, r, jac []float64) {
		r[0] = x[0] + 2*x[1] + 3*x[2] - x[3] - 5
		copy(jac, []float64{1, 2, 3, -1})
	})
	assert.Len(t, f.Free, 3)
	for i, way := range f.Free {
		assert.InDelta(t, 0, way[0]+2*way[1]+3*way[2]-way[3], 1e-9)
		own := slices.ContainsFunc([]int{0, 1, 2, 3}, func(j int) bool {
			for k, other := range f.Free {
				if want := map[bool]float64{true: 1}[k == i]; other[j] != want {
					return false
				}
			}
			return true
		})
		assert.True(t, own, "direction %d of %v has no coordinate of its own", i, f.Free)
	}
}

// A range of y = exp(x − 100), read as 2 with a standard uncertainty of 0.5, by hand: it ends where
// y is off by as much as the factor says, at 100 + ln(2 ± 0.5 factor). The reach is counted from
// the fit, wherever that is.
func TestReachIsFromTheFit(t *testing.T) {
	model := func(x, r, jac []float64) {
		y := math.Exp(x[0] - 100)
		r[0], jac[0] = (y-2)/0.5, y/0.5
	}
	f := lsq.Solve([]float64{100}, 1, model)
	assert.InDelta(t, 100+math.Ln2, f.X[0], 1e-9)
	low, high := 100+math.Log(1), 100+math.Log(3)
	r := f.Ranges(model, []lsq.Span{{Factor: 2, Reach: 10}})[0]
	assert.True(t, r.Likelihood)
	assert.InEpsilon(t, low, r.Low, 1e-4)
	assert.InEpsilon(t, high, r.High, 1e-4)
	r = f.Ranges(model, []lsq.Span{{Factor: 2, Reach: 0.5}})[0]
	assert.True(t, math.IsInf(r.Low, -1), "0.69 away")
	assert.InEpsilon(t, high, r.High, 1e-4, "0.41 away")
	r = f.Ranges(model, []lsq.Span{{Factor: 2, Reach: 0.2}})[0]
	assert.True(t, math.IsInf(r.Low, -1) && math.IsInf(r.High, 1))
}
