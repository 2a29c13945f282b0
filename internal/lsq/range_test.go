package lsq_test

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"example.com/fitgeom/internal/lsq"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"
)

// A curve is a model of two parameters, its value and derivatives.
type curve func(t, a, b float64) (y, byA, byB float64)

func (c curve) model(ts, ys []float64) lsq.Model {
	return func(x, r, jac []float64) {
		for i, t := range ts {
			y, byA, byB := c(t, x[0], x[1])
			r[i], jac[2*i], jac[2*i+1] = y-ys[i], byA, byB
		}
	}
}

// profile fits a curve to points of one unknown uncertainty, and returns the range of a
// parameter that holds it with a probability, by the F distribution: its half-widths below
// and above.
func profile(t *testing.T, f lsq.Fit, model lsq.Model, at int, probability float64) (low, high float64) {
	t.Helper()
	require.True(t, f.Converged)
	freedom := float64(len(f.R) - 2)
	factor := math.Sqrt(f.Chi2/freedom) * distuv.StudentsT{Sigma: 1, Nu: freedom}.Quantile((1+probability)/2)
	r := lsq.Follow(&f, model, lsq.Span{At: at, Factor: factor, Reach: math.Inf(1)})
	return r.Low, r.High
}

// Data sets of NIST StRD (Misra1a: certified parameters and standard deviations) and of
// D. M. Bates, D. G. Watts, Nonlinear Regression Analysis and Its Applications, 1988
// (Puromycin, treated; the data as in D. C. Montgomery et al., Introduction to Linear
// Regression Analysis, table 12.2). The ranges are computed from these data by another
// program with scipy 1.10.1: those values at which the residual sum of squares is
// 1 + t²/ν times the least, t of Student's distribution.
func TestProfilePublished(t *testing.T) {
	for name, c := range map[string]struct {
		curve    curve
		ts, ys   []float64
		start    [][]float64
		x, sigma []float64 // NaN: not published
		digits   float64   // of these, relative
		sum      float64
		low      []float64
		high     []float64
		last     []float64 // the last digit of these
	}{
		"Misra1a": {
			curve: func(t, a, b float64) (y, byA, byB float64) {
				e := math.Exp(-b * 1e-6 * t) // b in millionths: damping is in the units of x
				return a * (1 - e), 1 - e, a * t * 1e-6 * e
			},
			ts:     []float64{77.6, 114.9, 141.1, 190.8, 239.9, 289.0, 332.8, 378.4, 434.8, 477.3, 536.8, 593.1, 689.1, 760.0},
			ys:     []float64{10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02, 44.82, 50.76, 55.05, 61.01, 66.40, 75.47, 81.78},
			start:  [][]float64{{500, 100}, {250, 500}},
			x:      []float64{2.3894212918e+02, 5.5015643181e+02},
			sigma:  []float64{2.7070075241e+00, 7.2668688436},
			digits: 1e-9,
			sum:    1.2455138894e-01,
			low:    []float64{233.195308, 534.3182679},
			high:   []float64{245.017369, 566.0298973},
			last:   []float64{1e-6, 1e-7},
		},
		"Puromycin": {
			curve: func(t, a, b float64) (y, byA, byB float64) {
				return a * t / (b + t), t / (b + t), -a * t / ((b + t) * (b + t))
			},
			ts:     []float64{0.02, 0.02, 0.06, 0.06, 0.11, 0.11, 0.22, 0.22, 0.56, 0.56, 1.10, 1.10},
			ys:     []float64{76, 47, 97, 107, 123, 139, 159, 152, 191, 201, 207, 200},
			start:  [][]float64{{205, 0.08}},
			x:      []float64{212.683743, 0.0641212817},
			sigma:  []float64{6.947155, 0.008280949},
			digits: 1e-7,
			sum:    10.93365819 * 10.93365819 * 10,
			low:    []float64{197.3019, 0.0469203},
			high:   []float64{229.2891, 0.0861569},
			last:   []float64{1e-4, 1e-7},
		},
		// R's own output of a fit to five points; the range from the same program.
		"Michaelis and Menten": {
			curve: func(t, a, b float64) (y, byA, byB float64) {
				return a * t / (b + t), t / (b + t), -a * t / ((b + t) * (b + t))
			},
			ts:     []float64{2.5, 5, 10, 15, 20},
			ys:     []float64{0.024, 0.036, 0.053, 0.060, 0.064},
			start:  [][]float64{{0.1, 5}},
			x:      []float64{0.085857, 6.561892},
			sigma:  []float64{0.002353, 0.478720},
			digits: 3e-4,
			sum:    0.001035 * 0.001035 * 3,
			low:    []float64{math.NaN(), 5.2152965},
			high:   []float64{math.NaN(), 8.2870272},
			last:   []float64{0, 1e-7},
		},
	} {
		for _, start := range c.start {
			model := c.curve.model(c.ts, c.ys)
			f := lsq.Solve(start, len(c.ts), model)
			require.True(t, f.Converged, name)
			assert.InEpsilon(t, c.sum, f.Chi2, max(c.digits, 1e-9)*5, name)
			s := math.Sqrt(f.Chi2 / float64(len(c.ts)-2))
			for j := range 2 {
				assert.InEpsilon(t, c.x[j], f.X[j], c.digits, name)
				assert.InEpsilon(t, c.sigma[j], s*math.Sqrt(f.Cov.At(j, j)), c.digits, name)
				if math.IsNaN(c.low[j]) {
					continue
				}
				low, high := profile(t, f, model, j, 0.95)
				assert.InDelta(t, c.low[j], low, 0.51*c.last[j], "%s, %d", name, j)
				assert.InDelta(t, c.high[j], high, 0.51*c.last[j], "%s, %d", name, j)
			}
		}
	}
}

// The first example of lmfit's documentation, Calculation of confidence intervals: 100
// points of 1/(0.1·x) + 2 with noise of numpy's RandomState(0). Half-widths at 1, 2 and 3
// standard deviations as printed there.
func TestProfileOfLmfit(t *testing.T) {
	file, err := os.Open("testdata/lmfit_basic.csv")
	require.NoError(t, err)
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 101)
	var ts, ys []float64
	for _, row := range rows[1:] {
		for k, to := range []*[]float64{&ts, &ys} {
			v, err := strconv.ParseFloat(row[k], 64)
			require.NoError(t, err)
			*to = append(*to, v)
		}
	}
	model := curve(func(t, a, b float64) (y, byA, byB float64) { return 1/(a*t) + b, -1 / (a * a * t), 1 }).model(ts, ys)
	f := lsq.Solve([]float64{0.1, 1}, len(ts), model)
	assert.InDelta(t, 0.09943896, f.X[0], 5e-9)
	assert.InDelta(t, 1.98476942, f.X[1], 5e-9)
	for k, want := range [][2][2]float64{
		{{0.00019, 0.00019}, {0.01229, 0.01229}},
		{{0.00039, 0.00039}, {0.02477, 0.02477}},
		{{0.00059, 0.00060}, {0.03764, 0.03764}},
	} {
		probability := math.Erf(float64(k+1) / math.Sqrt2)
		for j := range 2 {
			low, high := profile(t, f, model, j, probability)
			assert.InDelta(t, want[j][0], f.X[j]-low, 5.001e-6, "%d, %d", j, k+1)
			assert.InDelta(t, want[j][1], high-f.X[j], 5.001e-6, "%d, %d", j, k+1)
		}
	}
}

// A bar that is as high as the saddle, told by a level and a straight distance: against
// the least sum of squares on a fine grid of the other coordinate.
func TestRangesAtATurningPoint(t *testing.T) {
	const sigma, straight, reach = 1.5, 660, 300
	square := func(level, x, z float64) float64 {
		a, b := (x-level)/sigma, (math.Hypot(x, z)-straight)/sigma
		return a*a + b*b
	}
	for _, level := range []float64{600, 640, 650, 657, 659, 660, 660.5, 662, 663} {
		model := func(x, r, jac []float64) {
			d := math.Hypot(x[0], x[1])
			r[0], jac[0] = (x[0]-level)/sigma, 1/sigma
			r[1], jac[2], jac[3] = (d-straight)/sigma, x[0]/d/sigma, x[1]/d/sigma
		}
		f := lsq.Solve([]float64{640, -60}, 2, model)
		// An end of a range is where the best of the other coordinate is just good enough.
		end := func(at int, sign float64) float64 {
			least := func(v float64) float64 {
				best := math.Inf(1)
				for k := -4000.; k <= 4000; k++ {
					if at == 0 {
						best = min(best, square(level, v, k/10))
					} else {
						best = min(best, square(level, 630+k/100, v))
					}
				}
				return best
			}
			in, out := 0., float64(reach)
			for range 24 {
				if half := (in + out) / 2; least(f.X[at]+sign*half) <= f.Chi2+3.8416 {
					in = half
				} else {
					out = half
				}
			}
			return f.X[at] + sign*in
		}
		r := f.Ranges(model, []lsq.Span{{At: 0, Factor: 1.96, Reach: reach}, {At: 1, Factor: 1.96, Reach: reach}})
		for at := range 2 {
			low, high := end(at, -1), end(at, 1)
			by := 0.02 * (high - low)
			assert.InDelta(t, low, r[at].Low, by, "%v: %d", level, at)
			assert.InDelta(t, high, r[at].High, by, "%v: %d", level, at)
		}
	}
}
