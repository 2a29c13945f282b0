package survey_test

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"gonum.org/v1/gonum/stat/distuv"
)

// columns returns what a motion makes of the unit vectors.
func columns(m survey.RigidMotion) [3]r3.Vec {
	return [3]r3.Vec{m.Turn(r3.Vec{X: 1}), m.Turn(r3.Vec{Y: 1}), m.Turn(r3.Vec{Z: 1})}
}

func det(m survey.RigidMotion) float64 {
	c := columns(m)
	return r3.Dot(r3.Cross(c[0], c[1]), c[2])
}

func squares(m survey.RigidMotion, from, to []r3.Vec) float64 {
	sum := 0.0
	for i := range from {
		sum += r3.Norm2(r3.Sub(m.Apply(from[i]), to[i]))
	}
	return sum
}

func close3(t *testing.T, want, got r3.Vec, tol float64) {
	t.Helper()
	assert.LessOrEqual(t, r3.Norm(r3.Sub(want, got)), tol, "want %v, got %v", want, got)
}

// S. Umeyama (1991), worked example: R = [[0.832, 0.555], [-0.555, 0.832]],
// scale 0.721. The rigid form of the same points has the same R; its shift and
// sum of squares are derived by hand. Two points far above and below the middle
// hold the plane of the example in place.
func TestUmeyamaRigid(t *testing.T) {
	from := []r3.Vec{{}, {X: 1}, {Y: 2}}
	to := []r3.Vec{{}, {X: -1}, {Y: 2}}
	for _, z := range []float64{1000, -1000} {
		from = append(from, r3.Vec{X: 1. / 3, Y: 2. / 3, Z: z})
		to = append(to, r3.Vec{X: -1. / 3, Y: 2. / 3, Z: z})
	}
	m, _, err := survey.FitMotion(from, to)
	require.NoError(t, err)
	q := math.Sqrt(13)
	c := columns(m)
	close3(t, r3.Vec{X: 3 / q, Y: -2 / q}, c[0], 1e-9)
	close3(t, r3.Vec{X: 2 / q, Y: 3 / q}, c[1], 1e-9)
	close3(t, r3.Vec{X: -0.980483562262767, Y: 0.296866535849847}, m.Apply(r3.Vec{}), 1e-9)
	assert.InDelta(t, 1.8592649660480145, squares(m, from, to), 1e-9)
	assert.InDelta(t, 1, det(m), 1e-12)
}

// Derived by hand: the quaternion (1, 2, 3, 4)/√30 and a shift of (10, -20, 30).
func TestMotionExact(t *testing.T) {
	from := []r3.Vec{{}, {X: 1}, {Y: 1}, {Z: 1}, {X: 1, Y: 2, Z: 3}}
	var to []r3.Vec
	for _, v := range [][3]float64{{300, -600, 900}, {280, -580, 910}, {304, -610, 928}, {322, -580, 904}, {354, -540, 978}} {
		to = append(to, r3.Scale(1./30, r3.Vec{X: v[0], Y: v[1], Z: v[2]}))
	}
	m, _, err := survey.FitMotion(from, to)
	require.NoError(t, err)
	c := columns(m)
	close3(t, r3.Scale(1./30, r3.Vec{X: -20, Y: 20, Z: 10}), c[0], 1e-12)
	close3(t, r3.Scale(1./30, r3.Vec{X: 4, Y: -10, Z: 28}), c[1], 1e-12)
	close3(t, r3.Scale(1./30, r3.Vec{X: 22, Y: 20, Z: 4}), c[2], 1e-12)
	for i := range from {
		close3(t, to[i], m.Apply(from[i]), 1e-12)
	}

	// A mirror image is not matched by a mirror: recomputed sum of squares.
	mirrored := make([]r3.Vec, len(from))
	for i, v := range from {
		mirrored[i] = r3.Vec{X: -v.X, Y: v.Y, Z: v.Z}
	}
	m, _, err = survey.FitMotion(from, mirrored)
	require.NoError(t, err)
	assert.InDelta(t, 1, det(m), 1e-12)
	assert.InDelta(t, 3.4247238608616, squares(m, from, mirrored), 1e-9)
}

// The 3-D case of gonum's own tests (scale 1.0205), with the scale held at 1: recomputed.
func TestMotionOfGonumsCase(t *testing.T) {
	from := []r3.Vec{{X: 0, Y: 0, Z: 1}, {X: 1, Y: 0, Z: 3}, {X: 2, Y: 5, Z: 8}}
	to := []r3.Vec{{X: 1, Y: 2, Z: 4}, {X: 0, Y: 1, Z: 6}, {X: 1, Y: 7, Z: 11}}
	m, _, err := survey.FitMotion(from, to)
	require.NoError(t, err)
	close3(t, r3.Vec{X: 0.5699453289954445, Y: -0.5030534073108366, Z: 0.6496919203355019}, columns(m)[0], 1e-9)
	close3(t, r3.Vec{X: 1.40051793, Y: 1.20171803, Z: 3.16653469}, m.Apply(r3.Vec{}), 1e-8)
	assert.InDelta(t, 0.27718189876889565, squares(m, from, to)/3, 1e-9)
}

// Points in one plane, turned by extrinsic x-y-z angles of 30°, -20° and 110°.
func TestMotionCoplanar(t *testing.T) {
	turn := func(v r3.Vec) r3.Vec {
		v = r3.Rotate(v, 30*rad, r3.Vec{X: 1})
		v = r3.Rotate(v, -20*rad, r3.Vec{Y: 1})
		return r3.Rotate(v, 110*rad, r3.Vec{Z: 1})
	}
	from := []r3.Vec{{}, {X: 4}, {X: 4, Y: 3}, {Y: 3}}
	var to []r3.Vec
	for _, v := range from {
		to = append(to, turn(v))
	}
	m, _, err := survey.FitMotion(from, to)
	require.NoError(t, err)
	assert.InDelta(t, 1, det(m), 1e-12)
	for i, v := range []r3.Vec{{X: 1}, {Y: 1}, {Z: 1}} {
		close3(t, turn(v), columns(m)[i], 1e-12)
	}
}

// testdata/registration.json was written by scipy's Rotation.align_vectors; the
// program that did it lies beside it.
func TestMotionAgainstScipy(t *testing.T) {
	var doc struct {
		Cases []struct {
			From, To, Rotation [][3]float64
			Shift              [3]float64
			Root               float64 `json:"root_sum_of_squares"`
		}
	}
	data, err := os.ReadFile("../../testdata/registration.json")
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(data, &doc))
	require.Len(t, doc.Cases, 30)
	vecs := func(all [][3]float64) (v []r3.Vec) {
		for _, a := range all {
			v = append(v, r3.Vec{X: a[0], Y: a[1], Z: a[2]})
		}
		return v
	}
	for i, c := range doc.Cases {
		from, to := vecs(c.From), vecs(c.To)
		m, residuals, err := survey.FitMotion(from, to)
		require.NoError(t, err)
		sum := 0.0
		for _, v := range residuals {
			sum += r3.Norm2(v)
		}
		assert.InDelta(t, c.Root, math.Sqrt(sum), 1e-4, "case %d", i)
		for k, v := range to {
			close3(t, from[k], m.Inverse().Apply(r3.Add(v, residuals[k])), 1e-9*(1+r3.Norm(v)))
		}
		for j, col := range columns(m) {
			close3(t, r3.Vec{X: c.Rotation[0][j], Y: c.Rotation[1][j], Z: c.Rotation[2][j]}, col, 1e-9)
		}
		close3(t, r3.Vec{X: c.Shift[0], Y: c.Shift[1], Z: c.Shift[2]}, m.Apply(r3.Vec{}), 1e-6)
		// scipy takes a small difference of large squares: 0 comes out as up to 3e-5.
		assert.InDelta(t, c.Root, math.Sqrt(squares(m, from, to)), 1e-4, "case %d", i)
	}
}

func TestMotionFaults(t *testing.T) {
	three := []r3.Vec{{}, {X: 1}, {Y: 1}}
	for name, c := range map[string]struct {
		from, to []r3.Vec
		class    error
	}{
		"two":        {three[:2], three[:2], contact.ErrMissing},
		"unlike":     {three, three[:2], contact.ErrConflict},
		"none":       {nil, nil, contact.ErrMissing},
		"line":       {[]r3.Vec{{}, {X: 1}, {X: 2}}, three, contact.ErrConflict},
		"to a line":  {three, []r3.Vec{{}, {X: 1}, {X: 2}}, contact.ErrConflict},
		"one place":  {[]r3.Vec{{X: 5}, {X: 5}, {X: 5}}, three, contact.ErrConflict},
		"not finite": {[]r3.Vec{{}, {X: math.NaN()}, {Y: 1}}, three, contact.ErrRange},
	} {
		_, _, err := survey.FitMotion(c.from, c.to)
		assert.ErrorIs(t, err, c.class, name)
	}
}

func marked() bike {
	b := aBike().withHeadTube()
	for i, v := range []r3.Vec{{X: 100, Y: 20, Z: 300}, {X: -50, Y: -20, Z: 150}, {X: 300, Y: 15, Z: 450}, {X: -250, Y: 30, Z: 80}} {
		b.points[survey.Mark(string(rune('0'+i)))] = v
	}
	return b
}

func TestRegister(t *testing.T) {
	rng := rand.New(rand.NewPCG(21, 22))
	b := marked()
	there, here := anywhere(rng), anywhere(rng)
	a := read(b.turned(0), there, 3, 0, rng)
	to := read(b.turned(0), here, 3, 0, rng)
	r, err := survey.Register(a, to)
	require.NoError(t, err)
	assert.Empty(t, r.Moved)
	require.Len(t, r.Residuals, 16)
	for l, v := range b.points {
		close3(t, here.see(v), r.Motion.Apply(there.see(v)), 1e-9)
		_ = l
	}

	// A turned wheel and a mark that was stuck on anew.
	moved := b.turned(6)
	moved[survey.Mark("2")] = r3.Add(moved[survey.Mark("2")], r3.Vec{X: 8})
	to = read(moved, here, 3, 0.4, rng)
	r, err = survey.Register(a, to)
	require.NoError(t, err)
	assert.ElementsMatch(t, []survey.Landmark{survey.FrontAxleLeft, survey.FrontAxleRight, survey.Mark("2")}, r.Moved)
	near := here.see(b.points[survey.BottomBracketLeft])
	assert.Less(t, r3.Norm(r3.Sub(near, r.Motion.Apply(there.see(b.points[survey.BottomBracketLeft])))), 1.5)

	// In inches, with a covariance.
	inches := a
	inches.Unit = survey.Inch
	inches.Sigma = r3.Vec{}
	for i := range 3 {
		inches.Covariance[i][i] = 0.02 * 0.02
	}
	inches.Readings = append([]survey.Reading(nil), a.Readings...)
	for i := range inches.Readings {
		inches.Readings[i].At = r3.Scale(1/25.4, inches.Readings[i].At)
	}
	r, err = survey.Register(inches, read(b.turned(0), here, 1, 0, rng))
	require.NoError(t, err)
	close3(t, near, r.Motion.Apply(there.see(b.points[survey.BottomBracketLeft])), 1e-9)
}

// The covariance of carried points against 3,000 draws.
func TestRegistrationCovariance(t *testing.T) {
	if testing.Short() {
		t.Skip("statistics, which are the same on every processor")
	}
	rng := rand.New(rand.NewPCG(23, 24))
	b := marked()
	there, here := anywhere(rng), anywhere(rng)
	p := there.see(b.points[at(contact.HoodsLeft)])
	var sum [3][3]float64
	var last survey.Registration
	const draws = 3000
	for range draws {
		r, err := survey.Register(read(b.turned(0), there, 2, 0.5, rng), read(b.turned(0), here, 1, 0.5, rng))
		require.NoError(t, err)
		off := r3.Sub(r.Motion.Apply(p), here.see(b.points[at(contact.HoodsLeft)]))
		v := [3]float64{off.X, off.Y, off.Z}
		for i := range 3 {
			for j := range 3 {
				sum[i][j] += v[i] * v[j] / draws
			}
		}
		last = r
	}
	got := last.Covariance(last.Motion.Apply(p))
	trace := sum[0][0] + sum[1][1] + sum[2][2]
	for i := range 3 {
		for j := range 3 {
			assert.InDelta(t, sum[i][j]/trace, got[i][j]/trace, 0.04, "%d %d", i, j) // some 3/√3000
		}
	}
	assert.Zero(t, survey.Registration{}.Covariance(p))
}

// A landmark is taken to have moved as soon as what is left of all has a probability of less
// than 1 in a million, by the degrees of freedom that three coordinates a landmark leave to a
// motion of six.
func TestRegisteredUntil(t *testing.T) {
	rng := rand.New(rand.NewPCG(27, 28))
	from := read(marked().turned(0), anywhere(rng), 1, 0, rng)
	all := slices.Clone(from.Readings)
	moved := slices.IndexFunc(all, func(r survey.Reading) bool { return r.Landmark == survey.HeadTubeTopLeft })
	require.GreaterOrEqual(t, moved, 0)
	last := 1.
	for by := 0.; ; by += 0.05 {
		require.Less(t, by, 50., "it is never noticed")
		to := from
		to.Readings = slices.Clone(all)
		to.Readings[moved].At.X += by
		r, err := survey.Register(from, to)
		require.NoError(t, err)
		if len(r.Moved) > 0 {
			assert.Equal(t, []survey.Landmark{survey.HeadTubeTopLeft}, r.Moved)
			assert.Less(t, last, 2e-6)
			return
		}
		chi2, few := 0., distuv.ChiSquared{K: float64(3*len(r.Residuals) - 6)}
		for _, off := range r.Residuals {
			for _, v := range [3][2]float64{{off.Off.X, off.Sigma.X}, {off.Off.Y, off.Sigma.Y}, {off.Off.Z, off.Sigma.Z}} {
				chi2 += v[0] * v[0] / (v[1] * v[1])
			}
		}
		last = few.Survival(chi2)
		require.GreaterOrEqual(t, last, 1e-6)
	}
}

func TestRegisterFaults(t *testing.T) {
	rng := rand.New(rand.NewPCG(25, 26))
	b := marked()
	good := read(b.turned(0), anywhere(rng), 2, 0.3, rng)
	for name, c := range map[string]struct {
		change func(*survey.Survey)
		class  error
	}{
		"nothing in common": {func(s *survey.Survey) { s.Readings = s.Readings[:2] }, contact.ErrMissing},
		"mirrored axes": {func(s *survey.Survey) {
			for i := range s.Readings {
				s.Readings[i].At.X *= -1
			}
		}, contact.ErrConflict},
		"metres": {func(s *survey.Survey) {
			for i := range s.Readings {
				s.Readings[i].At = r3.Scale(0.001, s.Readings[i].At)
			}
		}, contact.ErrConflict},
		"two readings apart": {func(s *survey.Survey) { s.Readings[0].At.X += 20 }, contact.ErrConflict},
		"no uncertainty":     {func(s *survey.Survey) { s.Sigma.X = 0 }, contact.ErrRange},
		"unit":               {func(s *survey.Survey) { s.Unit = 9 }, contact.ErrUnknown},
		"NaN":                {func(s *survey.Survey) { s.Readings[0].At.X = math.NaN() }, contact.ErrRange},
	} {
		t.Run(name, func(t *testing.T) {
			bad := good
			bad.Readings = append([]survey.Reading(nil), good.Readings...)
			c.change(&bad)
			_, err := survey.Register(bad, good)
			assert.ErrorIs(t, err, c.class)
			_, err = survey.Register(good, bad)
			assert.ErrorIs(t, err, c.class)
		})
	}
}
