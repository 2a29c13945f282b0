package motion_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/motion"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// By hand: a right angle, a straight line, half a right angle that a step to the
// side hides from a camera at the side.
func TestThreePoints(t *testing.T) {
	joint := r3.Vec{X: 10, Y: 20, Z: 30}
	at := func(x, y, z float64) r3.Vec { return r3.Add(joint, r3.Vec{X: x, Y: y, Z: z}) }
	for _, c := range []struct {
		from, to r3.Vec
		view     motion.View
		included float64
	}{
		{at(400, 0, 0), at(0, 0, 300), motion.InSpace, 90},
		{at(400, 0, 0), at(-300, 0, 0), motion.InSpace, 180},
		{at(400, 0, 0), at(300, 0, 0), motion.InSpace, 0},
		{at(0, 0, 400), at(0, 300, 300), motion.InSpace, 45},
		{at(0, 0, 400), at(0, 300, 300), motion.FromSide, 0},
		{at(0, 0, 400), at(-300, 10, -300), motion.FromSide, 135},
		{at(1, 1, 1), at(1, 1, -1), motion.InSpace, 2 * math.Atan(1/math.Sqrt2) * 180 / math.Pi},
	} {
		included, err := motion.IncludedAngle(c.from, joint, c.to, c.view)
		require.NoError(t, err)
		assert.InDelta(t, c.included, included, 1e-12)
		flexion, err := motion.FlexionAngle(c.to, joint, c.from, c.view)
		require.NoError(t, err)
		assert.InDelta(t, 180-c.included, flexion, 1e-12)
	}
}

// JCGM 100:2008 (GUM), 5.1.2, for an angle at B between A and C in a plane, with the
// same standard uncertainty of 5 mm in every coordinate: 1.57847347°, derived and
// computed with another program, whose Monte Carlo run of 2e6 draws had ± 1.5784.
func TestAngleSigma(t *testing.T) {
	a, b, c := r3.Vec{Z: 860}, r3.Vec{X: 150, Z: 450}, r3.Vec{X: 60, Z: 30}
	for _, view := range []motion.View{motion.InSpace, motion.FromSide} {
		included, err := motion.IncludedAngle(a, b, c, view)
		require.NoError(t, err)
		assert.InDelta(t, 147.81001173, included, 1e-8)
		sigma, err := motion.AngleSigma(a, b, c, 5, view)
		require.NoError(t, err)
		assert.InDelta(t, 1.57847347, sigma, 1e-8)
	}
	_, err := motion.AngleSigma(a, r3.Vec{X: 31, Z: 450}, c, 5, motion.FromSide)
	assert.ErrorIs(t, err, contact.ErrRange, "too near to straight")
}

// First order against draws, for postures of many shapes, in the plane and in space.
func TestAngleSigmaMonteCarlo(t *testing.T) {
	draws := 40_000
	if trial.Long() {
		draws = 2_000_000
	}
	rng := rand.New(rand.NewPCG(74, 1))
	for _, c := range []struct {
		a, b, c r3.Vec
		sigma   float64
		view    motion.View
	}{
		{r3.Vec{Z: 860}, r3.Vec{X: 150, Z: 450}, r3.Vec{X: 60, Z: 30}, 5, motion.FromSide},
		{r3.Vec{Z: 860}, r3.Vec{X: 150, Z: 450}, r3.Vec{X: 60, Z: 30}, 5, motion.InSpace},
		{r3.Vec{X: -200, Y: 80, Z: 780}, r3.Vec{X: 180, Y: 110, Z: 760}, r3.Vec{X: 40, Y: 120, Z: 380}, 8, motion.InSpace},
		{r3.Vec{X: 250, Y: 150, Z: 1150}, r3.Vec{X: -200, Y: 80, Z: 780}, r3.Vec{X: 180, Y: 110, Z: 760}, 8, motion.FromSide},
		{r3.Vec{X: 20, Z: 480}, r3.Vec{X: -60, Z: 110}, r3.Vec{X: 90, Z: 60}, 2, motion.FromSide},
	} {
		want, err := motion.AngleSigma(c.a, c.b, c.c, c.sigma, c.view)
		require.NoError(t, err)
		noise := func(v r3.Vec) r3.Vec {
			return r3.Add(v, r3.Scale(c.sigma, r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()}))
		}
		mean, sum := 0., 0.
		for i := range draws {
			v, err := motion.IncludedAngle(noise(c.a), noise(c.b), noise(c.c), c.view)
			if err != nil {
				t.Fatal(err)
			}
			d := v - mean
			mean += d / float64(i+1)
			sum += d * (v - mean)
		}
		got := math.Sqrt(sum / float64(draws-1))
		// The draws alone scatter by 1/√(2n); first order is good to 1 %.
		assert.InDelta(t, 1, got/want, 0.01+4/math.Sqrt(2*float64(draws)), "%v ± %v", c.view, want)
		t.Logf("first order %.4f, draws %.4f", want, got)
	}
}

func TestAngleFaults(t *testing.T) {
	a, b, c := r3.Vec{X: 400}, r3.Vec{}, r3.Vec{Z: 400}
	for name, f := range map[string]func(from, joint, to r3.Vec, v motion.View) error{
		"included": func(from, joint, to r3.Vec, v motion.View) error {
			_, err := motion.IncludedAngle(from, joint, to, v)
			return err
		},
		"flexion": func(from, joint, to r3.Vec, v motion.View) error {
			_, err := motion.FlexionAngle(from, joint, to, v)
			return err
		},
		"sigma": func(from, joint, to r3.Vec, v motion.View) error {
			_, err := motion.AngleSigma(from, joint, to, 1, v)
			return err
		},
	} {
		assert.NoError(t, f(a, b, c, motion.InSpace), name)
		assert.ErrorIs(t, f(a, b, c, motion.FromSide+1), contact.ErrUnknown, name)
		assert.ErrorIs(t, f(a, b, r3.Vec{X: 0.9}, motion.InSpace), contact.ErrRange, name)
		assert.ErrorIs(t, f(a, r3.Vec{X: 400, Y: 300}, c, motion.FromSide), contact.ErrRange, name+": one behind the other as seen from the side")
		assert.NoError(t, f(a, r3.Vec{X: 400, Y: 300}, c, motion.InSpace), name)
		assert.ErrorIs(t, f(a, b, r3.Vec{Z: math.Nextafter(10_000, 20_000)}, motion.InSpace), contact.ErrRange, name)
	}
	v, err := motion.IncludedAngle(r3.Vec{X: 1}, b, r3.Vec{Z: 10_000}, motion.InSpace) // both ends of what is allowed
	require.NoError(t, err)
	assert.InDelta(t, 90, v, 1e-9)
}

func TestViewNames(t *testing.T) { trial.Names(t, motion.ParseView, motion.InSpace, motion.FromSide) }
