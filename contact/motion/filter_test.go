package motion_test

import (
	"math"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/motion"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// Coefficients and methods of circles are in testdata/published.

func TestFilterFaults(t *testing.T) {
	for _, c := range [][3]float64{{0, 6, 2}, {60, 0, 2}, {60, 30, 2}, {60, 6, 0}, {60, 6, 11}, {math.NaN(), 6, 2}, {60, math.NaN(), 2}} {
		_, err := motion.NewFilter(c[0], c[1], int(c[2]))
		assert.ErrorIs(t, err, contact.ErrRange)
	}
}

// A sine at the cut-off comes out with a gain of 1/√2 and no lag, at 30 frames a second
// too, where a correction of the frequency in place of the tangent makes it 0.779; and at 1
// and 10 Hz of 6 at 60 a second with 0.99971973 and 0.19495794 (scipy 1.10.1, freqz).
func TestFilterGain(t *testing.T) {
	for _, c := range [][4]float64{{60, 6, 6, math.Sqrt2 / 2}, {30, 6, 6, math.Sqrt2 / 2}, {200, 6, 6, math.Sqrt2 / 2}, {60, 6, 1, 0.99971973}, {60, 6, 10, 0.19495794}} {
		rate, cutOff, of := c[0], c[1], c[2]
		f, err := motion.NewFilter(rate, cutOff, 2)
		require.NoError(t, err)
		once, lag := f.Gain(rate, of)
		assert.InDelta(t, c[3], once*once, 1e-8)
		assert.Positive(t, lag)
		n := int(20 * rate)
		values := make([]float64, n)
		for i := range values {
			values[i] = math.Sin(2 * math.Pi * of * float64(i) / rate)
		}
		in, quarter := 0.0, 0.0
		for i, v := range f.Both(values)[n/4 : 3*n/4] {
			sin, cos := math.Sincos(2 * math.Pi * of * float64(i+n/4) / rate)
			in, quarter = in+v*sin*4/float64(n), quarter+v*cos*4/float64(n)
		}
		assert.InDelta(t, c[3], in, 1e-8)
		assert.InDelta(t, 0, quarter, 1e-10)
	}
	share, lag := motion.Filter{}.Gain(10, 6)
	assert.True(t, math.IsNaN(share) && math.IsNaN(lag))
}

// A lag of one pass by hand: a slow sine lags by √2/ω, with ω = 2π times the cut-off, as
// the analogue filter does.
func TestFilterLag(t *testing.T) {
	f, err := motion.NewFilter(1000, 6, 1)
	require.NoError(t, err)
	share, lag := f.Gain(1000, 0.01)
	assert.InDelta(t, 1, share, 1e-9)
	assert.InDelta(t, math.Sqrt2/(2*math.Pi*6), lag, 1e-5)
}

// The ends, as scipy 1.10.1 filtfilt has them by default: an impulse at 5 of 12, the
// coefficients of one pass at 6 of 60 Hz, 9 frames before and after.
func TestFilterEnds(t *testing.T) {
	f, err := motion.NewFilter(60, 6, 1)
	require.NoError(t, err)
	values := make([]float64, 12)
	values[5] = 1
	assert.InDeltaSlice(t, []float64{
		-8.618617112809e-05, 0.03773040304289, 0.0844795232985, 0.14170688928779, 0.19513505844667, 0.2168523497022,
		0.19141962531281, 0.13544711875845, 0.07856960656126, 0.03763641029933, 0.0142339824830, 0.001765160253003,
	}, f.Both(values), 1e-12)
	for i := range values {
		values[i] = 3*float64(i) - 7
	}
	assert.InDelta(t, -6.9845, f.Both(values)[0], 5e-5, "a line does not stay straight")
	assert.Empty(t, f.Both(nil))
	assert.InDelta(t, 5, f.Both([]float64{5})[0], 1e-12)
}

// A sum of sines of 1 and 3 Hz with noise: what the method says lies above both, and the
// less noise there is the higher.
func TestResidualCutOff(t *testing.T) {
	rng := fresh(11)
	of := func(noise float64) float64 {
		values := make([]float64, 3000)
		for i := range values {
			t := float64(i) / 100
			values[i] = 100*math.Sin(2*math.Pi*t) + 10*math.Sin(6*math.Pi*t) + noise*rng.NormFloat64()
		}
		c, err := motion.ResidualCutOff(values, 100)
		require.NoError(t, err)
		return c
	}
	assert.InDelta(t, 5, of(2), 1.5)
	assert.Greater(t, of(0.1), of(5))
	_, err := motion.ResidualCutOff(make([]float64, 19), 100)
	assert.ErrorIs(t, err, contact.ErrMissing)
	_, err = motion.ResidualCutOff(make([]float64, 30), 0)
	assert.ErrorIs(t, err, contact.ErrRange)
}

// Filtered recordings say what unfiltered ones do, and on what cut-off they stand.
func TestFiltered(t *testing.T) {
	r := ride{side: contact.Left, seconds: 10, rate: 100, cadence: 90, noise: 2}.record(t, fresh(12))
	plain := curve(t, analyse(t, r, motion.FromSide), motion.KneeFlexion, contact.Left)
	for _, s := range []motion.Settings{{View: motion.FromSide, CutOff: 12}, {View: motion.FromSide, ByResiduals: true}} {
		m, err := r.Analyse(t.Context(), s)
		require.NoError(t, err)
		assert.GreaterOrEqual(t, m.Quality().CutOff, 7.49)
		if s.CutOff > 0 {
			assert.InDelta(t, 12, m.Quality().CutOff, 0)
		}
		c := curve(t, m, motion.KneeFlexion, contact.Left)
		assert.InDelta(t, plain.Least().Mean, c.Least().Mean, 0.5, "which is of a sharp bend")
		assert.InDelta(t, plain.Most().Mean, c.Most().Mean, 0.3)
	}
	r.Times[40] += 0.004
	_, err := r.Analyse(t.Context(), motion.Settings{CutOff: 12})
	require.ErrorIs(t, err, contact.ErrConflict)
	assert.Equal(t, "times[40]", contact.Faults(err)[0].Path)
}

// W. Gander, G. H. Golub, R. Strebel (1994), Least-squares fitting of circles and ellipses,
// BIT 34, 558–578: their six points; numbers computed with another program (Python 3.11,
// numpy 1.24.2). That one left the geometric circle 3e-8 beside the least sum of squares, of
// which the slopes must be 0.
func TestCircleMethods(t *testing.T) {
	var points []r3.Vec
	for _, p := range [][2]float64{{1, 7}, {2, 6}, {5, 8}, {7, 7}, {9, 5}, {3, 7}} {
		points = append(points, r3.Vec{X: p[0], Z: p[1]})
	}
	c, err := motion.FitCircle(points, motion.Geometric)
	require.NoError(t, err)
	var slopes [3]float64
	for _, p := range points {
		d := r3.Sub(p, c.Centre)
		off := r3.Norm(d) - c.Radius
		slopes[0], slopes[1], slopes[2] = slopes[0]+off*d.X/r3.Norm(d), slopes[1]+off*d.Z/r3.Norm(d), slopes[2]+off
	}
	assert.InDeltaSlice(t, []float64{0, 0, 0}, slopes[:], 1e-12)
	assert.InDeltaSlice(t, []float64{4.739782402731942, 2.9835326660644226, 4.714226063336781}, []float64{c.Centre.X, c.Centre.Z, c.Radius}, 5e-8)
	assert.InDelta(t, 1.227599078183656, 6*c.Off*c.Off, 1e-10, "sum of squares")
	for _, by := range []motion.CircleMethod{motion.Geometric, motion.Kasa, motion.Pratt, motion.Taubin} {
		exact, err := motion.FitCircle([]r3.Vec{{X: 5}, {X: -4, Z: -3}, {X: 3, Z: 4}, {Z: -5}, {X: -3, Z: 4}}, by)
		require.NoError(t, err)
		assert.InDelta(t, 5, exact.Radius, 1e-10)
		assert.InDelta(t, 0, r3.Norm(exact.Centre), 1e-10)
	}
	for class, points := range map[error][]r3.Vec{
		contact.ErrMissing: {{}, {X: 1}}, contact.ErrConflict: {{}, {X: 1}, {X: 2}}, contact.ErrRange: {{}, {X: 1}, {X: 2e4}},
	} {
		_, err := motion.FitCircle(points, motion.Kasa)
		assert.ErrorIs(t, err, class)
	}
	_, err = motion.FitCircle(points, 9)
	assert.ErrorIs(t, err, contact.ErrUnknown)
}

// J. D. Enderle, J. D. Bronzino, Introduction to Biomedical Engineering, Example 4.10, with
// the signs that its copies lost: printed tilt 11° forward and rotation 7°; 10.8506° and
// −7.0408° (towards the right) computed with another program.
func TestPelvisExample(t *testing.T) {
	r := ride{side: contact.Left, seconds: 2, rate: 100, cadence: 90}.record(t, fresh(13))
	delete(r.Markers, motion.Sacrum)
	for k, v := range map[motion.Marker]r3.Vec{motion.ASISRight: {X: -850, Y: -802, Z: 652}, motion.ASISLeft: {X: -831, Y: -651, Z: 652}, motion.Sacrum: {X: -1015, Y: -704, Z: 686}} {
		r.Markers[k] = make([]motion.Sample, len(r.Times))
		for i := range r.Times {
			r.Markers[k][i] = motion.Sample{At: v, Seen: true}
		}
	}
	m := analyse(t, r, motion.InSpace)
	assert.InDelta(t, 10.8506, curve(t, m, motion.PelvisTilt, contact.Left).Mean().Mean, 5e-5)
	assert.InDelta(t, -7.0408, curve(t, m, motion.PelvisRotation, contact.Left).Mean().Mean, 5e-5)
	assert.InDelta(t, 0, curve(t, m, motion.PelvisObliquity, contact.Left).Mean().Mean, 0.01)
}
