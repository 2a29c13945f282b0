package contact_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.com/fitgeom/contact"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"gonum.org/v1/gonum/stat"
)

func coordinates(s contact.Site) []contact.Coordinate {
	return []contact.Coordinate{{Site: s, Axis: contact.AxisX}, {Site: s, Axis: contact.AxisY}, {Site: s, Axis: contact.AxisZ}}
}

func matrix(m [][]float64) func(i, j int) float64 { return func(i, j int) float64 { return m[i][j] } }

// JCGM 100:2008 (GUM), H.2: resistance and reactance from five sets of readings
// of voltage, current and phase, approach 1. The GUM prints u(R) 0.071, u(X) 0.295,
// u(Z) 0.236 and correlations -0.588, -0.485, 0.993; more digits are recomputed
// from its data. Any three numbers will do for a position's.
func TestGUMH2(t *testing.T) {
	v := []float64{5.007, 4.994, 5.005, 4.990, 4.999}
	i := []float64{19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3}
	phi := []float64{1.0456, 1.0438, 1.0468, 1.0428, 1.0433}
	all := [][]float64{v, i, phi}
	c := coordinates(contact.BarClamp)
	cov, err := contact.NewCovariance(c, func(a, b int) float64 { return stat.Covariance(all[a], all[b], nil) / 5 })
	require.NoError(t, err)
	sigma, ok := cov.Sigma(contact.BarClamp)
	require.True(t, ok)
	assert.InDelta(t, 0.0032093613, sigma.X, 1e-9)
	assert.InDelta(t, 0.0094710084e-3, sigma.Y, 1e-12)
	assert.InDelta(t, 0.00075206383, sigma.Z, 1e-10)

	vm, im, pm := stat.Mean(v, nil), stat.Mean(i, nil), stat.Mean(phi, nil)
	sin, cos := math.Sincos(pm)
	slopes := func(byV, byI, byPhi float64) []contact.Derivative {
		return []contact.Derivative{{c[0], byV}, {c[1], byI}, {c[2], byPhi}}
	}
	r := slopes(cos/im, -vm*cos/im/im, -vm/im*sin)
	x := slopes(sin/im, -vm*sin/im/im, vm/im*cos)
	z := slopes(1/im, -vm/im/im, 0)
	between := func(f, g []contact.Derivative) float64 {
		b, err := cov.Between(f, g)
		require.NoError(t, err)
		return b
	}
	ur, ux, uz := math.Sqrt(between(r, r)), math.Sqrt(between(x, x)), math.Sqrt(between(z, z))
	assert.InDelta(t, 0.0710714074, ur, 1e-9)
	assert.InDelta(t, 0.2955816774, ux, 1e-9)
	assert.InDelta(t, 0.2363361301, uz, 1e-9)
	assert.InDelta(t, -0.5884297844, between(r, x)/ur/ux, 1e-9)
	assert.InDelta(t, -0.4852592242, between(r, z)/ur/uz, 1e-9)
	assert.InDelta(t, 0.9925116489, between(x, z)/ux/uz, 1e-9)
}

func TestCovariance(t *testing.T) {
	c := append(coordinates(contact.HoodsLeft), contact.Coordinate{Site: contact.SaddleReference, Axis: contact.AxisTilt})
	cov, err := contact.NewCovariance(c, matrix([][]float64{{4}, {1, 9}, {0, 0, 16}, {0.1, 0, 0, 0.25}}))
	require.NoError(t, err)
	assert.Equal(t, c, cov.Coordinates())
	v, ok := cov.At(c[1], c[0])
	assert.True(t, ok)
	assert.Equal(t, 1.0, v)
	s, ok := cov.Sigma(contact.HoodsLeft)
	assert.True(t, ok)
	assert.Equal(t, r3.Vec{X: 2, Y: 3, Z: 4}, s)
	_, ok = cov.Sigma(contact.SaddleReference)
	assert.False(t, ok)
	a, ok := cov.AttitudeSigma(contact.SaddleReference)
	assert.True(t, ok)
	assert.Equal(t, contact.Attitude{Tilt: 0.5}, a)
	_, ok = cov.AttitudeSigma(contact.HoodsLeft)
	assert.False(t, ok)
	_, ok = cov.At(c[0], contact.Coordinate{Site: 99})
	assert.False(t, ok)

	other, err := contact.NewCovariance(append(c[2:3:3], c[0]), matrix([][]float64{{1}, {0.5, 5}}))
	require.NoError(t, err)
	sum := cov.Add(other)
	assert.Equal(t, []contact.Coordinate{c[0], c[2]}, sum.Coordinates())
	v, _ = sum.At(c[0], c[0])
	assert.Equal(t, 9.0, v)
	v, _ = sum.At(c[0], c[2])
	assert.Equal(t, 0.5, v)

	_, err = cov.Between([]contact.Derivative{{c[0], 1}}, []contact.Derivative{{contact.Coordinate{Site: contact.BarClamp}, 1}})
	require.ErrorIs(t, err, contact.ErrMissing)
	assert.Contains(t, err.Error(), "bar_clamp.x")
	_, err = cov.Between([]contact.Derivative{{contact.Coordinate{Site: contact.BarClamp}, 1}}, []contact.Derivative{{c[0], 1}})
	assert.ErrorIs(t, err, contact.ErrMissing)

	var zero contact.Covariance
	_, ok = zero.At(c[0], c[0])
	assert.False(t, ok)
	assert.Empty(t, zero.Add(cov).Coordinates())
	assert.Equal(t, "hoods_left.x", c[0].String())
	assert.Equal(t, "axis(9)", contact.Axis(9).String())
}

func TestCovarianceFaults(t *testing.T) {
	c := coordinates(contact.HoodsLeft)
	for name, k := range map[string]struct {
		coords []contact.Coordinate
		m      [][]float64
		class  error
	}{
		"no site":        {[]contact.Coordinate{{Site: 77}}, [][]float64{{1}}, contact.ErrUnknown},
		"site not said":  {[]contact.Coordinate{{Axis: contact.AxisX}}, [][]float64{{1}}, contact.ErrUnknown},
		"no axis":        {[]contact.Coordinate{{Site: contact.SaddleReference, Axis: 6}}, [][]float64{{1}}, contact.ErrUnknown},
		"twice":          {[]contact.Coordinate{c[0], c[0]}, [][]float64{{1}, {0, 1}}, contact.ErrConflict},
		"NaN":            {c[:1], [][]float64{{math.NaN()}}, contact.ErrRange},
		"infinite":       {c[:2], [][]float64{{1}, {math.Inf(1), 1}}, contact.ErrRange},
		"negative":       {c[:1], [][]float64{{-1}}, contact.ErrConflict},
		"too correlated": {c[:2], [][]float64{{1}, {1.001, 1}}, contact.ErrConflict},
		"not definite":   {c, [][]float64{{1}, {0.9, 1}, {0.9, -0.9, 1}}, contact.ErrConflict},
		"with no error":  {c[:2], [][]float64{{1}, {0.1, 0}}, contact.ErrConflict},
	} {
		_, err := contact.NewCovariance(k.coords, matrix(k.m))
		assert.ErrorIs(t, err, k.class, name)
	}
	for _, coords := range [][]contact.Coordinate{nil, c} {
		_, err := contact.NewCovariance(coords, nil)
		assert.ErrorIs(t, err, contact.ErrMissing)
	}
	// On the edge: fully correlated, and no error at all.
	_, err := contact.NewCovariance(c, matrix([][]float64{{1}, {2, 4}, {0, 0, 0}}))
	assert.NoError(t, err)
	_, err = contact.NewCovariance(c, matrix([][]float64{{0}, {0, 0}, {0, 0, 0}}))
	assert.NoError(t, err)
}

// moved judges one site's move.
func moved(t *testing.T, by r3.Vec, m [][]float64, coverage float64) contact.Move {
	t.Helper()
	cov, err := contact.NewCovariance(coordinates(contact.HoodsLeft), matrix(m))
	require.NoError(t, err)
	d := contact.New(map[contact.Site]r3.Vec{contact.HoodsLeft: by}).Sub(contact.New(map[contact.Site]r3.Vec{contact.HoodsLeft: {}}))
	moves, turns, err := d.Judge(cov, coverage)
	require.NoError(t, err)
	require.Empty(t, turns)
	require.Len(t, moves, 1)
	return moves[0]
}

// JCGM 101:2008, 9.4, comparison loss in microwave power: the square of a
// distance, with u = 0.005 each and correlation r. Columns of exact moments, by
// the closed form; first order (JCGM 100) is off or fails.
func TestJCGM101DistanceSquared(t *testing.T) {
	const u2 = 0.005 * 0.005
	for _, c := range []struct{ r, x1, mean, sigma float64 }{
		{0, 0, 50, 50},
		{0, 0.010, 150, 111.803},
		{0, 0.050, 2550, 502.494},
		{0.9, 0, 50, 67.268},
		{0.9, 0.010, 150, 120.520},
		{0.9, 0.050, 2550, 504.505},
	} {
		m := moved(t, r3.Vec{X: c.x1}, [][]float64{{u2}, {c.r * u2, u2}, {0, 0, 0}}, 0.95)
		mean, sigma := m.DistanceSquared()
		assert.InDelta(t, c.mean, mean*1e6, 1e-9)
		assert.InDelta(t, c.sigma, sigma*1e6, 1e-3)
		d, u, ok := m.Distance()
		assert.Equal(t, c.x1 == 0.050, ok, "first order is refused near zero")
		if ok {
			assert.InDelta(t, 500, 2*d*u*1e6, 1e-6, "the first-order u of the square")
		}
	}
}

// JCGM 102:2011, 9.3: the magnitude of a point at 0.001 with u = 0.01 is not
// 0.001 ± 0.010 as first order has it (Monte Carlo: 0.013 ± 0.007): refused.
func TestJCGM102Magnitude(t *testing.T) {
	m := moved(t, r3.Vec{X: 0.001}, [][]float64{{1e-4}, {0, 1e-4}, {0, 0, 0}}, 0.95)
	_, u, ok := m.Distance()
	assert.False(t, ok)
	assert.InDelta(t, 0.01, u, 1e-12)
	mean, _ := m.DistanceSquared()
	// Rice's distribution: mean² + sd² of the magnitude, recomputed.
	assert.InDelta(t, 0.0125645*0.0125645+0.0065677*0.0065677, mean, 1e-8)
	_, _, ok = moved(t, r3.Vec{}, [][]float64{{1}, {0, 1}, {0, 0, 1}}, 0.95).Distance()
	assert.False(t, ok)
}

// The uncertainty of a distance (JCGM 100:2008, 5.2.2): two examples derived by hand.
func TestDistance(t *testing.T) {
	ab := r3.Vec{X: 680, Z: -140}
	d, u, ok := moved(t, ab, [][]float64{{2}, {0, 2}, {0, 0, 2}}, 0.95).Distance()
	assert.True(t, ok)
	assert.InDelta(t, 694.2621983083912, d, 1e-9)
	assert.InDelta(t, math.Sqrt2, u, 1e-12)
	_, u, _ = moved(t, ab, [][]float64{{8}, {0, 8}, {0, 0, 0.5}}, 0.95).Distance()
	assert.InDelta(t, 2.7739900408775746, u, 1e-12)

	// Errors that are the same for both coordinates, as rounding has them: a move across
	// has none, and by hand 2·2000²·1e-6 · (1 - (1 + 4e-10)) is negative.
	common := moved(t, r3.Vec{X: 2000, Y: -2000}, [][]float64{{1e-6}, {1e-6 * (1 + 4e-10), 1e-6}, {0, 0, 0}}, 0.95)
	d, u, ok = common.Distance()
	assert.True(t, ok)
	assert.InDelta(t, 2000*math.Sqrt2, d, 1e-9)
	assert.Zero(t, u)
	_, spread := common.DistanceSquared()
	assert.InDelta(t, math.Sqrt(8)*1e-6, spread, 1e-9, "√(2 tr C²)")
}

func TestJudge(t *testing.T) {
	unit := [][]float64{{1}, {0, 1}, {0, 0, 1}}
	// Quantiles of chi-squared with three degrees of freedom, from any table: 7.815 at 0.95.
	assert.False(t, moved(t, r3.Vec{X: math.Sqrt(7.81)}, unit, 0.95).Real)
	m := moved(t, r3.Vec{Y: math.Sqrt(7.82)}, unit, 0.95)
	assert.True(t, m.Real)
	assert.InDelta(t, 0.05, m.Chance, 1e-3)
	assert.False(t, moved(t, r3.Vec{X: math.Sqrt(7.82)}, unit, 0.99).Real)

	// In a direction without error any move is real, and none is not.
	flat := [][]float64{{1}, {0, 1}, {0, 0, 0}}
	assert.True(t, moved(t, r3.Vec{Z: 0.01}, flat, 0.95).Real)
	assert.False(t, moved(t, r3.Vec{X: 2.44}, flat, 0.95).Real) // 5.991 = 2.4477², two degrees of freedom
	assert.True(t, moved(t, r3.Vec{X: 2.45}, flat, 0.95).Real)
	none := [][]float64{{0}, {0, 0}, {0, 0, 0}}
	assert.False(t, moved(t, r3.Vec{}, none, 0.95).Real)
	assert.True(t, moved(t, r3.Vec{X: 1e-3}, none, 0.95).Real)

	// Errors in common count: along them a move is doubtful, across them real.
	long := [][]float64{{1}, {0.99, 1}, {0, 0, 1}}
	assert.False(t, moved(t, r3.Vec{X: 1.5, Y: 1.5}, long, 0.95).Real)
	assert.True(t, moved(t, r3.Vec{X: 1.5, Y: -1.5}, long, 0.95).Real)

	tilt := contact.Coordinate{Site: contact.SaddleReference, Axis: contact.AxisTilt}
	cov, err := contact.NewCovariance([]contact.Coordinate{tilt}, func(int, int) float64 { return 0.04 })
	require.NoError(t, err)
	var p, q contact.Position
	p.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: -1})
	for by, real := range map[float64]bool{0: false, 0.39: false, -0.4: true} { // 1.96 · 0.2
		q.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: -1 + by})
		moves, turns, err := q.Sub(p).Judge(cov, 0.95)
		require.NoError(t, err)
		assert.Empty(t, moves)
		require.Len(t, turns, 1)
		assert.Equal(t, real, turns[0].Real, "%v", by)
		assert.InDelta(t, 0.2, turns[0].Sigma, 1e-12)
	}
	for _, c := range []float64{0, 1, math.NaN()} {
		_, _, err = q.Sub(p).Judge(cov, c)
		assert.ErrorIs(t, err, contact.ErrRange)
	}
}

// Of moves that are all chance, as many seem real as the coverage says.
func TestJudgeByChance(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	m := [][]float64{{2}, {1.2, 1}, {0.1, 0, 0.5}}
	real := 0
	const draws = 20000
	for range draws {
		a, b, c := rng.NormFloat64(), rng.NormFloat64(), rng.NormFloat64()
		l11 := math.Sqrt2
		l21, l31 := 1.2/l11, 0.1/l11
		l22 := math.Sqrt(1 - l21*l21)
		l32 := -l31 * l21 / l22
		l33 := math.Sqrt(0.5 - l31*l31 - l32*l32)
		if moved(t, r3.Vec{X: l11 * a, Y: l21*a + l22*b, Z: l31*a + l32*b + l33*c}, m, 0.9).Real {
			real++
		}
	}
	assert.InDelta(t, 0.1, float64(real)/draws, 4*math.Sqrt(0.09/draws))
}

// The angle at B between A and C, with equal errors of 5 mm: u(θ) is
// σ √(2/L₁² + 2/L₂² - 2 cos θ/(L₁L₂)), which is 1.57847347° here (derived by
// hand, and by 2 million draws).
func TestAngle(t *testing.T) {
	a, b, c := r3.Vec{Z: 860}, r3.Vec{X: 150, Z: 450}, r3.Vec{X: 60, Z: 30}
	sites := []contact.Site{contact.SaddleReference, contact.BarClamp, contact.PedalLeft}
	var coords []contact.Coordinate
	for _, s := range sites {
		coords = append(coords, contact.Coordinate{Site: s, Axis: contact.AxisX}, contact.Coordinate{Site: s, Axis: contact.AxisZ})
	}
	cov, err := contact.NewCovariance(coords, func(i, j int) float64 {
		if i == j {
			return 25
		}
		return 0
	})
	require.NoError(t, err)
	// An end moving square to its leg turns the leg by 1 over its length.
	square := func(end r3.Vec, sign float64) r3.Vec {
		d := r3.Sub(end, b)
		return r3.Scale(sign/r3.Norm2(d), r3.Vec{X: -d.Z, Z: d.X})
	}
	byA, byC := square(a, 1), square(c, -1)
	byB := r3.Scale(-1, r3.Add(byA, byC))
	var slopes []contact.Derivative
	for i, v := range []r3.Vec{byA, byB, byC} {
		slopes = append(slopes, contact.Derivative{Coordinate: coords[2*i], By: v.X}, contact.Derivative{Coordinate: coords[2*i+1], By: v.Z})
	}
	variance, err := cov.Between(slopes, slopes)
	require.NoError(t, err)
	assert.InDelta(t, 1.57847347, math.Sqrt(variance)*180/math.Pi, 1e-7)
}

// What overflows is a fault, and no number: found by fuzzing.
func TestNoNumberWithoutAnError(t *testing.T) {
	x := contact.Coordinate{Site: contact.HoodsLeft}
	of := func(v float64) (contact.Covariance, error) {
		return contact.NewCovariance(coordinates(contact.HoodsLeft), func(i, j int) float64 {
			if i == j {
				return v
			}
			return 0
		})
	}
	_, err := of(1e300)
	assert.ErrorIs(t, err, contact.ErrRange)
	c, err := of(1e18)
	require.NoError(t, err)
	v, ok := c.Add(c).At(x, x)
	assert.True(t, ok)
	assert.InDelta(t, 1e18, v, 0, "as much as there can be")
	for _, by := range []float64{math.NaN(), math.Inf(-1), 1e200} {
		slopes := []contact.Derivative{{Coordinate: x, By: by}, {Coordinate: x, By: -by}}
		_, err = c.Between(slopes, slopes[:1])
		assert.ErrorIs(t, err, contact.ErrRange, by)
		var p, q contact.Position
		p.Set(contact.HoodsLeft, r3.Vec{Y: by})
		q.Set(contact.HoodsLeft, r3.Vec{})
		_, _, err = p.Sub(q).Judge(c, 0.95)
		assert.ErrorIs(t, err, contact.ErrRange, by)
	}
	turned, err := contact.NewCovariance([]contact.Coordinate{{Site: contact.SaddleReference, Axis: contact.AxisTilt}}, func(i, j int) float64 { return 1 })
	require.NoError(t, err)
	for _, tilt := range []float64{math.NaN(), math.Inf(1)} {
		var p, q contact.Position
		p.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: tilt})
		q.SetAttitude(contact.SaddleReference, contact.Attitude{})
		_, _, err = p.Sub(q).Judge(turned, 0.95)
		assert.ErrorIs(t, err, contact.ErrRange, tilt)
	}
}

// What has no error covaries with nothing.
func TestCertainCoordinate(t *testing.T) {
	of := func(cov float64) error {
		_, err := contact.NewCovariance(coordinates(contact.HoodsLeft)[:2], func(i, j int) float64 { return [][]float64{{0}, {cov, 4}}[i][j] })
		return err
	}
	assert.NoError(t, of(0))
	assert.ErrorIs(t, of(1e-9), contact.ErrConflict)
}
