package lsq_test

import (
	"math"
	"testing"

	"example.com/fitgeom/internal/lsq"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// JCGM 100:2008 (GUM), H.3: calibration line of a thermometer, b(t) = y1 + y2 (t - 20 °C).
// Published: -0.1712 (0.0029), 0.00218 (0.00067), r -0.930, s 0.0035, b(30 °C) -0.1494 (0.0041).
// More digits: recomputed from the published data.
func TestGUMH3(t *testing.T) {
	ts := []float64{21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.010, 26.511}
	bs := []float64{-0.171, -0.169, -0.166, -0.159, -0.164, -0.165, -0.156, -0.157, -0.159, -0.161, -0.160}
	line := func(s float64) lsq.Fit {
		return lsq.Solve([]float64{0, 0}, len(ts), func(x, r, jac []float64) {
			for i := range ts {
				r[i] = (x[0] + x[1]*(ts[i]-20) - bs[i]) / s
				jac[2*i], jac[2*i+1] = 1/s, (ts[i]-20)/s
			}
		})
	}
	f := line(1)
	s := math.Sqrt(f.Chi2 / 9)
	assert.InDelta(t, 0.003497563963505287, s, 1e-12)
	f = line(s)
	require.True(t, f.Converged)
	assert.InDelta(t, -0.17120379013134981, f.X[0], 1e-12)
	assert.InDelta(t, 0.0021826977398872014, f.X[1], 1e-12)
	u1, u2 := math.Sqrt(f.Cov.At(0, 0)), math.Sqrt(f.Cov.At(1, 1))
	assert.InDelta(t, 0.0028775978351599585, u1, 1e-12)
	assert.InDelta(t, 0.0006679387732278329, u2, 1e-12)
	assert.InDelta(t, -0.9304296030934461, f.Cov.At(0, 1)/u1/u2, 1e-9)
	assert.InDelta(t, -0.1493768127324778, f.X[0]+10*f.X[1], 1e-12)
	assert.InDelta(t, 0.004138595752854953, math.Sqrt(f.Cov.At(0, 0)+20*f.Cov.At(0, 1)+100*f.Cov.At(1, 1)), 1e-12)
}

// Two circles meet in (3, ±4): a start above finds the upper point.
func circles(x, r, jac []float64) {
	for i, c := range []float64{0, 6} {
		d := math.Hypot(x[0]-c, x[1])
		r[i] = d - 5
		jac[2*i], jac[2*i+1] = (x[0]-c)/d, x[1]/d
	}
}

func TestNonlinear(t *testing.T) {
	f := lsq.Solve([]float64{1, 1}, 2, circles)
	require.True(t, f.Converged)
	assert.InDelta(t, 3, f.X[0], 1e-12)
	assert.InDelta(t, 4, f.X[1], 1e-12)
	assert.Nil(t, f.Free)
	assert.Zero(t, f.Studentized(0), "nothing checks it")
}

// Near stops early, where the sum of squares is about the least: by hand, three circles of radius
// 5 about (±3, 0) and (0, 11) are least missed on the axis of Y, where with y = 5 the last is off by 1.
func TestNear(t *testing.T) {
	calls := 0
	model := func(x, r, jac []float64) {
		calls++
		for i, c := range [3][2]float64{{-3, 0}, {3, 0}, {0, 11}} {
			d := math.Hypot(x[0]-c[0], x[1]-c[1])
			r[i] = d - 5
			jac[2*i], jac[2*i+1] = (x[0]-c[0])/d, (x[1]-c[1])/d
		}
	}
	far := []float64{4, 1}
	whole := lsq.Solve(far, 3, model)
	all := calls
	near := lsq.Near(far, 3, model, 1e-3)
	require.True(t, whole.Converged && near.Converged)
	assert.Less(t, calls-all, all)
	assert.InDelta(t, whole.Chi2, near.Chi2, 1e-2*whole.Chi2)
	assert.InDelta(t, 0, whole.X[0], 1e-9)
	assert.Less(t, whole.X[1], 5.)
	assert.Less(t, whole.Chi2, 1+2*(math.Sqrt(34)-5)*(math.Sqrt(34)-5), "less than at y = 5")
}

func TestFree(t *testing.T) {
	// A sum alone leaves the difference free; nothing is said of the third.
	f := lsq.Solve([]float64{1, 2, 3}, 1, func(x, r, jac []float64) {
		r[0] = x[0] + x[1] - 10
		jac[0], jac[1] = 1, 1
	})
	require.True(t, f.Converged)
	require.Len(t, f.Free, 2)
	for _, free := range f.Free {
		assert.InDelta(t, 0, free[0]+free[1], 1e-12)
	}
	assert.InDelta(t, 10, f.X[0]+f.X[1], 1e-9)
	assert.InDelta(t, 3, f.X[2], 1e-12, "what is free stays")

	// On the line through both centres the circles do not say which way to go, but are far from met.
	f = lsq.Solve([]float64{2, 1e-3}, 2, circles)
	assert.InDelta(t, 4, f.X[1], 1e-9)

	// A column of rounding is nothing: the third is free, and the fit is exact.
	f = lsq.Solve([]float64{1, 2, 3}, 2, func(x, r, jac []float64) {
		r[0], r[1] = x[0]+x[1]-10, x[0]-x[1]-2
		jac[0], jac[1], jac[2] = 1, 1, 1e-17
		jac[3], jac[4], jac[5] = 1, -1, -2e-17
	})
	require.True(t, f.Converged)
	assert.InDelta(t, 6, f.X[0], 1e-12)
	assert.Equal(t, 3.0, f.X[2])
	assert.Equal(t, [][]float64{{0, 0, 1}}, f.Free)

	f = lsq.Solve(nil, 0, func(x, r, jac []float64) {})
	assert.Nil(t, f.Free)
}

// Columns of very unlike size are scaled; a wrong observation shows.
func TestScaleAndStudentized(t *testing.T) {
	f := lsq.Solve([]float64{0, 0}, 5, func(x, r, jac []float64) {
		for i := range 5 {
			at := float64(i)
			y := 2 + 3e-9*at*1e9
			if i == 4 {
				y += 10
			}
			r[i] = x[0] + x[1]*at*1e9 - y
			jac[2*i], jac[2*i+1] = 1, at*1e9
		}
	})
	require.NotNil(t, f.Cov)
	worst, at := 0.0, -1
	for i := range 5 {
		if s := math.Abs(f.Studentized(i)); s > worst {
			worst, at = s, i
		}
	}
	assert.Equal(t, 4, at)
	assert.InDelta(t, 10*math.Sqrt(1-0.6), worst, 1e-9) // leverage of the end of five: 0.6
}

// Slopes whose squares are no numbers end it, at the start or on the way: once
// the search for a damping had no end.
func TestSlopesOutOfReach(t *testing.T) {
	for _, slope := range []float64{1e160, math.Inf(1), math.NaN()} {
		f := lsq.Solve([]float64{1, 1}, 2, func(x, r, jac []float64) {
			r[0], r[1] = x[0]-2, x[1]-3
			jac[0], jac[3] = slope, 1
		})
		assert.False(t, f.Converged)
		f = lsq.Solve([]float64{1, 1}, 2, func(x, r, jac []float64) {
			r[0], r[1] = x[0]-2, x[1]-3
			jac[0], jac[3] = 1, 1
			if x[0] != 1 {
				jac[0] = slope
			}
		})
		assert.False(t, f.Converged)
		assert.NotNil(t, f.Cov)
	}
}
