package contact_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"example.com/fitgeom/contact"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// JCGM 101:2008, 9.4, comparison loss in microwave power: shortest 95 % intervals of a
// squared distance, × 1e-6. Without a correlation they are exact (non-central χ² of two
// degrees of freedom, recomputed); the document's own, by Monte Carlo, are [0, 150],
// [0, 367] and [1590, 3543] (from memory). With one they come from 4,000,000 draws.
func TestJCGM101ShortestInterval(t *testing.T) {
	const u2 = 0.005 * 0.005
	for _, c := range []struct{ r, x1, low, high, tol float64 }{
		{0, 0, 0, 149.787, 1e-3},
		{0, 0.010, 0, 366.005, 1e-3},
		{0, 0.050, 1593.57, 3548.57, 1e-2},
		{0.9, 0, 0, 185.3, 0.3},
		{0.9, 0.010, 12.3, 397.7, 1},
		{0.9, 0.050, 1623, 3552, 5},
	} {
		m := moved(t, r3.Vec{X: c.x1}, [][]float64{{u2}, {c.r * u2, u2}, {0, 0, 0}}, 0.95)
		low, high, err := m.DistanceInterval(0.95)
		require.NoError(t, err)
		assert.InDelta(t, c.low, low*low*1e6, c.tol, "%v", c)
		assert.InDelta(t, c.high, high*high*1e6, c.tol, "%v", c)
	}
}

// JCGM 102:2011, 9.3, tables 6 and 7: the magnitude of a point near the origin. By Rice's
// distribution where nothing is correlated; the document has 0.013 ± 0.007 and 0.012 ±
// 0.008, as an open-source program's tests quote it. At 0, Rayleigh's: σ√(π/2), σ√(2 - π/2).
func TestJCGM102DistanceMean(t *testing.T) {
	for _, c := range []struct{ r, x, mean, sigma, tol float64 }{
		{0, 0, 0.01 * math.Sqrt(math.Pi/2), 0.01 * math.Sqrt(2-math.Pi/2), 1e-12},
		{0, 0.001, 0.0125645, 0.0065677, 6e-8},
		{0, 0.010, 0.0154857, 0.0077584, 6e-8},
		{0.9, 0.001, 0.01173, 0.00795, 1e-5}, // by 6,000,000 draws
	} {
		m := moved(t, r3.Vec{X: c.x}, [][]float64{{1e-4}, {c.r * 1e-4, 1e-4}, {0, 0, 0}}, 0.95)
		mean, sigma := m.DistanceMean()
		assert.InDelta(t, c.mean, mean, c.tol)
		assert.InDelta(t, c.sigma, sigma, c.tol)
	}
	// In space, Maxwell's: 2σ√(2/π), σ√(3 - 8/π); far off, first order.
	mean, sigma := moved(t, r3.Vec{}, [][]float64{{4}, {0, 4}, {0, 0, 4}}, 0.95).DistanceMean()
	assert.InDelta(t, 4*math.Sqrt(2/math.Pi), mean, 1e-10)
	assert.InDelta(t, 2*math.Sqrt(3-8/math.Pi), sigma, 1e-10)
	far := moved(t, r3.Vec{X: 300, Z: 400}, [][]float64{{0.04}, {0, 9}, {0, 0, 0.04}}, 0.95)
	mean, sigma = far.DistanceMean()
	d, u, _ := far.Distance()
	assert.InDelta(t, d+9./1000, mean, 1e-3, "and what errors sideways add: 9/(2·500)")
	assert.InDelta(t, u, sigma, 1e-3)
	// Of one dimension, the folded normal distribution's: at 0, σ√(2/π).
	mean, _ = moved(t, r3.Vec{}, [][]float64{{9}, {0, 0}, {0, 0, 0}}, 0.95).DistanceMean()
	assert.InDelta(t, 3*math.Sqrt(2/math.Pi), mean, 1e-8)
}

// Any move and any errors, against draws: what the interval holds, that no shorter one of
// the square holds as much, and the mean.
func TestDistanceByChance(t *testing.T) {
	rng := rand.New(rand.NewPCG(91, 92))
	for range 30 {
		var a [3][3]float64
		for i := range a {
			size := math.Exp(2 * rng.NormFloat64())
			for j := range a[i] {
				a[i][j] = size * rng.NormFloat64()
			}
		}
		cov := make([][]float64, 3)
		for i := range cov {
			for j := range i + 1 {
				cov[i] = append(cov[i], a[i][0]*a[j][0]+a[i][1]*a[j][1]+a[i][2]*a[j][2])
			}
		}
		by := r3.Scale(math.Exp(2*rng.NormFloat64()), r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()})
		m := moved(t, by, cov, 0.95)
		low, high, err := m.DistanceInterval(0.9)
		require.NoError(t, err)
		const draws = 20_000
		var all []float64
		sum, in := 0.0, 0
		for range draws {
			z := [3]float64{rng.NormFloat64(), rng.NormFloat64(), rng.NormFloat64()}
			v := by
			for k, to := range []*float64{&v.X, &v.Y, &v.Z} {
				*to += a[k][0]*z[0] + a[k][1]*z[1] + a[k][2]*z[2]
			}
			d := r3.Norm(v)
			all = append(all, d)
			sum += d
			if d >= low && d <= high {
				in++
			}
		}
		slices.Sort(all)
		mean, sigma := m.DistanceMean()
		assert.InDelta(t, 0.9, float64(in)/draws, 5*math.Sqrt(0.09/draws))
		assert.InDelta(t, mean, sum/draws, 5*sigma/math.Sqrt(draws))
		square, _ := m.DistanceSquared()
		assert.InEpsilon(t, square, mean*mean+sigma*sigma, 1e-9)
		for i := 0; i < draws/10; i += 10 {
			a, b := all[i], all[i+draws*9/10-1]
			assert.Greater(t, b*b-a*a, 0.95*(high*high-low*low)) // by chance the shortest of 200 is shorter
		}
	}
}

func TestDistanceInterval(t *testing.T) {
	sure := moved(t, r3.Vec{X: 3, Y: 4}, [][]float64{{0}, {0, 0}, {0, 0, 0}}, 0.95)
	mean, sigma := sure.DistanceMean()
	assert.Equal(t, [2]float64{5, 0}, [2]float64{mean, sigma})
	low, high, err := sure.DistanceInterval(0.95)
	require.NoError(t, err)
	assert.Equal(t, [2]float64{5, 5}, [2]float64{low, high})
	for _, c := range []float64{0, 1, -1, math.NaN()} {
		_, _, err := sure.DistanceInterval(c)
		assert.ErrorIs(t, err, contact.ErrRange)
	}
	// Part of it is certain: 3 forward, and up as errors have it.
	low, high, err = moved(t, r3.Vec{X: 3}, [][]float64{{0}, {0, 0}, {0, 0, 1}}, 0.95).DistanceInterval(0.95)
	require.NoError(t, err)
	assert.InDelta(t, 3, low, 1e-9)
	assert.InDelta(t, math.Hypot(3, 1.959963984540054), high, 1e-8)
}

func BenchmarkDistanceInterval(b *testing.B) {
	cov, err := contact.NewCovariance([]contact.Coordinate{{Site: 1}, {Site: 1, Axis: 1}, {Site: 1, Axis: 2}}, func(i, j int) float64 {
		if i != j {
			return 0.1
		}
		return float64(1 + i)
	})
	if err != nil {
		b.Fatal(err)
	}
	moves, _, err := contact.New(map[contact.Site]r3.Vec{1: {X: 2, Y: 1}}).Sub(contact.New(map[contact.Site]r3.Vec{1: {}})).Judge(cov, 0.95)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, _, err := moves[0].DistanceInterval(0.95); err != nil {
			b.Fatal(err)
		}
	}
}
