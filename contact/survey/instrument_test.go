package survey_test

import (
	"math"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

type u = survey.Uncertainty

func combined(t require.TestingT, parts ...u) u {
	sum, err := survey.Combine(parts...)
	require.NoError(t, err)
	return sum
}

// JCGM 100:2008 (GUM), H.1, end gauge calibration, nm: u(d) 9.7, u 32, 16
// effective degrees of freedom, expanded at 99 %: t = 2.92. More digits: recomputed.
func TestGUMH1(t *testing.T) {
	d := combined(t, u{5.8, 24}, u{3.9, 5}, u{6.7, 8})
	assert.InDelta(t, 9.681942, d.Standard, 1e-6)
	assert.InDelta(t, 25.447, d.Freedom, 1e-3)
	// 50 mm, δα ± 1e-6 /°C at 0.1/√3... as the GUM gives the parts: 2.9 nm (50), 16.6 nm (2).
	all := combined(t, u{25, 18}, d, u{2.886787, 50}, u{16.599027, 2})
	assert.InDelta(t, 31.663879, all.Standard, 1e-5)
	assert.InDelta(t, 16.7519, all.Freedom, 1e-3)
	e, err := all.Expanded(0.99)
	require.NoError(t, err)
	assert.InDelta(t, 2.920782*31.663879, e, 1e-4)
}

// JCGM 101:2008, 9.2: the sum of four quantities with standard deviation 1 has 2,
// and ± 3.92 at 95 % in the GUM framework (for rectangular ones, the exact
// interval is ± 3.88: normal errors are what Expanded supposes).
func TestJCGM101Sum(t *testing.T) {
	sum := combined(t, u{1, 0}, u{1, 0}, u{1, 0}, u{1, 0})
	assert.Equal(t, u{2, 0}, sum)
	e, err := sum.Expanded(0.95)
	require.NoError(t, err)
	assert.InDelta(t, 3.919927969, e, 1e-8)
	exact := 2 * math.Sqrt(3) * (2 - math.Pow(3./5, 0.25)) // JCGM 101, 9.2.3, in closed form
	assert.InDelta(t, 3.879406741, exact, 1e-8)
	assert.Greater(t, e, exact, "the normal supposition is on the safe side here")
	for _, c := range []float64{0, 1, -1, math.NaN()} {
		_, err := sum.Expanded(c)
		assert.ErrorIs(t, err, contact.ErrRange)
	}
	e, err = u{1, 0.5}.Expanded(0.95)
	require.NoError(t, err)
	assert.InDelta(t, 12.706205, e, 1e-5, "Student's t of one degree of freedom, from any table")
}

// JCGM 100:2008 (GUM), H.2, table H.2: mean and standard uncertainty of V.
func TestRepeated(t *testing.T) {
	mean, v, err := survey.Repeated(5.007, 4.994, 5.005, 4.990, 4.999)
	require.NoError(t, err)
	assert.InDelta(t, 4.999, mean, 1e-12)
	assert.InDelta(t, 0.0032093613, v.Standard, 1e-9)
	assert.Equal(t, 4., v.Freedom)
	_, _, err = survey.Repeated(1)
	assert.ErrorIs(t, err, contact.ErrMissing)
	_, _, err = survey.Repeated(1, math.Inf(1))
	assert.ErrorIs(t, err, contact.ErrRange)
}

// Directive 2014/32/EU, Annex X, Tables 1 and 2, read in the UK text SI 2016/1153.
func TestTapeClasses(t *testing.T) {
	for _, c := range []struct {
		class        survey.TapeClass
		length, most float64
		hook         bool
	}{
		{survey.ClassII, 750, 0.5, false}, // 0.3 + 0.2·1, not 0.45
		{survey.ClassII, 750, 0.7, true},
		{survey.ClassII, 1200, 0.7, false},
		{survey.ClassII, 1000, 0.5, false},
		{survey.ClassI, 999, 0.2, false},
		{survey.ClassIII, 2500, 1.8, false},
		{survey.ClassIII, 2500, 2.1, true},
		{survey.ClassI, 0, 0.2, true},
	} {
		got, err := survey.Tape(c.class, c.length, c.hook)
		require.NoError(t, err)
		assert.InDelta(t, c.most/math.Sqrt(3), got.Standard, 1e-12, "%v", c)
	}
	v, _ := survey.Tape(survey.ClassII, 750, false)
	assert.InDelta(t, 0.2887, v.Standard, 1e-4)
	_, err := survey.Tape(0, 750, false)
	assert.ErrorIs(t, err, contact.ErrUnknown)
	_, err = survey.Tape(4, math.NaN(), false)
	assert.Len(t, contact.Faults(err), 2)

	// Trade ratings 0.5 and 1 mm/m are "0.029°" and "0.057°".
	for rating, deg := range map[float64]float64{0.5: 0.028648, 1: 0.057296} {
		l, err := survey.Level(rating)
		require.NoError(t, err)
		assert.InDelta(t, deg/math.Sqrt(3), l.Standard, 1e-6)
	}
	_, err = survey.Level(-1)
	assert.ErrorIs(t, err, contact.ErrRange)
}

// Numbers too large or too small to square: found by fuzzing.
func TestUncertaintiesOutOfReach(t *testing.T) {
	_, _, err := survey.Repeated(1e300, -1e300)
	assert.ErrorIs(t, err, contact.ErrRange)
	for _, size := range []float64{1e200, 1e-200} { // 3, 4, 5
		u := combined(t, survey.Uncertainty{Standard: 3 * size, Freedom: 9}, survey.Uncertainty{Standard: 4 * size})
		assert.InEpsilon(t, 5*size, u.Standard, 1e-12)
		assert.InEpsilon(t, 9*625./81, u.Freedom, 1e-12) // 5⁴ / (3⁴/9)
	}
	sure := combined(t, survey.Uncertainty{Standard: 1e-100, Freedom: 3}, survey.Uncertainty{Standard: 1})
	assert.Equal(t, survey.Uncertainty{Standard: 1}, sure)
	assert.Equal(t, survey.Uncertainty{}, combined(t, survey.Uncertainty{}, survey.Uncertainty{Freedom: 3}))
	for _, u := range []survey.Uncertainty{{Standard: math.NaN()}, {Standard: math.Inf(1)}, {Standard: -1}, {Standard: 1, Freedom: -1}, {Standard: 1, Freedom: math.NaN()}} {
		_, err := u.Expanded(0.95)
		assert.ErrorIs(t, err, contact.ErrRange, u)
		_, err = survey.Combine(survey.Uncertainty{Standard: 1}, u)
		assert.ErrorIs(t, err, contact.ErrRange, u)
	}
	most, err := survey.Combine(survey.Uncertainty{Standard: 1e300}, survey.Uncertainty{Standard: 1e300})
	require.NoError(t, err)
	assert.InEpsilon(t, math.Sqrt2*1e300, most.Standard, 1e-12)
	for _, half := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), -1, -5e-324} {
		_, err := survey.Limits(half)
		assert.ErrorIs(t, err, contact.ErrRange, half)
	}
	l, err := survey.Limits(3)
	require.NoError(t, err)
	assert.InDelta(t, math.Sqrt(3), l.Standard, 1e-15)
	// With so many degrees of freedom it is the normal distribution, with so few not.
	for _, coverage := range []float64{0.5, 0.95, 1 - 1e-9} {
		want, err := u{1, 0}.Expanded(coverage)
		require.NoError(t, err)
		for _, freedom := range []float64{1e9, 1e16, 1e100, 1e300, math.MaxFloat64} {
			got, err := u{1, freedom}.Expanded(coverage)
			require.NoError(t, err)
			assert.InDelta(t, want, got, 1e-6, freedom)
		}
	}
	few := combined(t, u{1, 5e-324}, u{1, 0})
	assert.Positive(t, few.Freedom)
	e, err := few.Expanded(0.95)
	require.NoError(t, err)
	assert.InDelta(t, 12.7062*math.Sqrt2, e, 1e-3, "one degree of freedom, from any table")
	// From any table: 1.9719 at 200, 1.9647 at 500, 1.9623 at 1000; of 0.99, 2.6006 at 200.
	for _, c := range []struct{ freedom, coverage, want float64 }{{199, 0.95, 1.9720}, {200, 0.95, 1.9719}, {500, 0.95, 1.9647}, {1000, 0.95, 1.9623}, {200, 0.99, 2.6006}} {
		got, err := u{1, c.freedom}.Expanded(c.coverage)
		require.NoError(t, err)
		assert.InDelta(t, c.want, got, 6e-5, c)
	}
	_, err = survey.Uncertainty{Standard: 1}.Expanded(math.Nextafter(1, 0)) // its quantile has no end
	assert.ErrorIs(t, err, contact.ErrRange)
}
