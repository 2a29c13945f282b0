package motion_test

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/motion"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

func init() { trial.Rapid(40, 2000, 1) }

func vec(t *rapid.T, lo, hi float64) r3.Vec {
	g := rapid.Float64Range(lo, hi)
	return r3.Vec{X: g.Draw(t, "x"), Y: g.Draw(t, "y"), Z: g.Draw(t, "z")}
}

// Both habits add up to 180 degrees, whichever end comes first, wherever the
// points lie and in whatever unit; and from the side is in space without Y.
func TestPropertyAngle(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b, c := vec(t, -800, 800), vec(t, -800, 800), vec(t, -800, 800)
		view := rapid.SampledFrom([]motion.View{motion.InSpace, motion.FromSide}).Draw(t, "view")
		theta, err := motion.IncludedAngle(a, b, c, view)
		if err != nil {
			return // points that lie together
		}
		flexed, err := motion.FlexionAngle(a, b, c, view)
		require.NoError(t, err)
		require.InDelta(t, 180, theta+flexed, 1e-9)
		other, err := motion.IncludedAngle(c, b, a, view)
		require.NoError(t, err)
		require.InDelta(t, theta, other, 1e-9)

		side := func(v r3.Vec) r3.Vec { return r3.Vec{X: v.X, Z: v.Z} }
		if view == motion.FromSide {
			other, err = motion.IncludedAngle(side(a), side(b), side(c), motion.InSpace)
			require.NoError(t, err)
			require.InDelta(t, theta, other, 1e-9)
		}

		// Turned (about Y, which the side does not see), shifted and in another unit.
		turn, k, by := r3.NewRotation(rapid.Float64Range(-3, 3).Draw(t, "turn"), r3.Vec{Y: 1}), rapid.Float64Range(1, 3).Draw(t, "unit"), vec(t, -500, 500)
		if view == motion.InSpace {
			turn = r3.NewRotation(1.3, r3.Vec{X: 1, Y: 2, Z: -2})
		}
		move := func(v r3.Vec) r3.Vec { return r3.Add(by, r3.Scale(k, turn.Rotate(v))) }
		other, err = motion.IncludedAngle(move(a), move(b), move(c), view)
		require.NoError(t, err)
		require.InDelta(t, theta, other, 1e-6) // near 0 and 180 rounding is turned into an angle by a root

		sigma := rapid.Float64Range(0.01, 20).Draw(t, "sigma")
		u, err := motion.AngleSigma(a, b, c, sigma, view)
		if err != nil {
			return // too near to 0 or 180
		}
		for _, m := range []struct{ got, by float64 }{
			{first(motion.AngleSigma(c, b, a, sigma, view)), 1},
			{first(motion.AngleSigma(move(a), move(b), move(c), k*sigma, view)), 1},
			{first(motion.AngleSigma(a, b, c, sigma/2, view)), 0.5},
		} {
			require.InEpsilon(t, u*m.by, m.got, 1e-6)
		}
		require.LessOrEqual(t, u, 0.3*min(theta, flexed)+1e-9)
	})
}

func first(v float64, err error) float64 {
	if err != nil {
		return math.NaN()
	}
	return v
}

// numbersOf is all that a motion tells of what its markers show.
func numbersOf(t require.TestingT, m motion.Motion, side contact.Side, measures ...motion.Measure) (all []float64) {
	for _, r := range m.Revolutions() {
		all = append(all, r.End-r.Start)
	}
	for _, of := range measures {
		c, err := m.Curve(context.Background(), of, side)
		require.NoError(t, err)
		low, high := c.Least(), c.Most()
		require.True(t, low.Mean <= c.Mean().Mean+1e-6 && c.Mean().Mean <= high.Mean+1e-6)
		s, err := c.At(137)
		require.NoError(t, err)
		for _, v := range []motion.Stat{low.Stat, high.Stat, c.Range(), c.Mean(), s} {
			all = append(all, v.Mean, v.Spread, v.Sigma, float64(v.Count))
		}
		all = append(all, c.PerMinute())
	}
	return all
}

var seen = []motion.Measure{motion.KneeFlexion, motion.HipFlexion, motion.AnkleDorsiflexion, motion.TrunkLean, motion.KneeOffset, motion.KneeLine, motion.PelvisForward, motion.PelvisUp}

// mirrored is a recording of the other leg that is the mirror image.
func mirrored(r motion.Recording) motion.Recording {
	m := motion.Recording{Times: r.Times, Markers: map[motion.Marker][]motion.Sample{}}
	for k, samples := range r.Markers {
		other := contact.Left
		if k.Side() == contact.Left {
			other = contact.Right
		}
		for _, s := range samples {
			m.Markers[k.On(other)] = append(m.Markers[k.On(other)], motion.Sample{At: r3.Vec{X: s.At.X, Y: -s.At.Y, Z: s.At.Z}, Seen: s.Seen})
		}
	}
	return m
}

// A leg and its mirror image, half a turn later, an hour later, and with a clock that runs
// slow.
func TestPropertyRecording(t *testing.T) {
	rapid.Check(t, func(check *rapid.T) {
		f := func(lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(check, "number") }
		d := ride{
			side: contact.Left, seconds: 4, rate: 60,
			cadence: f(60, 110), start: 10, noise: f(0, 2), knee: f(-20, 20), forward: f(-30, 30), sinking: f(-30, 30),
		}
		r := d.record(t, rand.New(rand.NewPCG(rapid.Uint64().Draw(check, "seed"), 1)))
		view := rapid.SampledFrom([]motion.View{motion.InSpace, motion.FromSide}).Draw(check, "view")
		m := analyse(t, r, view)
		want := numbersOf(check, m, contact.Left, seen...)

		// Of the right the left crank is half a turn ahead, so that revolutions are others; a
		// phase that counts from the right crank's top brings the same.
		other := mirrored(r)
		mirror := analyse(t, other, view)
		a, b := curve(t, m, motion.KneeFlexion, contact.Left), curve(t, mirror, motion.KneeFlexion, contact.Right)
		require.InDelta(check, a.Most().Mean, b.Most().Mean, 0.02+4*math.Hypot(a.Most().Sigma, b.Most().Sigma))

		later := copied(r)
		for i := range later.Times {
			later.Times[i] += 3600
		}
		require.InDeltaSlice(check, want, numbersOf(check, analyse(t, later, view), contact.Left, seen...), 1e-5)

		slow := copied(r)
		for i := range slow.Times {
			slow.Times[i] *= 1.5
		}
		half, err := slow.Analyse(t.Context(), motion.Settings{View: view})
		require.NoError(check, err)
		for i, rev := range m.Revolutions() {
			require.InEpsilon(check, rev.Cadence(), 1.5*half.Revolutions()[i].Cadence(), 1e-9)
		}
		up, slowly := curve(t, m, motion.PelvisUp, contact.Left), curve(t, half, motion.PelvisUp, contact.Left)
		require.InDelta(check, up.PerMinute(), 1.5*slowly.PerMinute(), 1e-6)
	})
}

func TestPropertyStat(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		stat := func() motion.Stat {
			return motion.Stat{Mean: rapid.Float64Range(-180, 180).Draw(t, "mean"), Sigma: rapid.Float64Range(0, 20).Draw(t, "sigma"), Count: rapid.SampledFrom([]int{0, 1, 2, 3, 30}).Draw(t, "count")}
		}
		a, b := stat(), stat()
		by, sigma, ok := a.Sub(b)
		back, sigma2, ok2 := b.Sub(a)
		require.Equal(t, ok, ok2)
		require.Equal(t, a.Count >= 2 && b.Count >= 2, ok)
		if ok {
			require.InDelta(t, by, -back, 1e-12)
			require.InDelta(t, sigma, sigma2, 1e-12)
		}
		low, high, ok := a.Range95()
		require.Equal(t, a.Count >= 2, ok)
		require.True(t, low <= a.Mean && a.Mean <= high)
	})
}

// Circles come back from points on them, wherever they lie in space, by each method; and
// those of noisy points turn and move with them.
func TestPropertyCircle(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := func(lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, "number") }
		centre, radius := vec(t, -800, 800), f(50, 250)
		turn := r3.NewRotation(f(-3, 3), r3.Vec{X: 1, Y: f(-2, 2), Z: 0.3})
		by := rapid.SampledFrom([]motion.CircleMethod{motion.Geometric, motion.Kasa, motion.Pratt, motion.Taubin}).Draw(t, "method")
		noise := f(0, 3) * float64(rapid.IntRange(0, 1).Draw(t, "noisy"))
		rng := rand.New(rand.NewPCG(7, 7))
		var flat, space []r3.Vec
		for i := range 40 {
			sin, cos := math.Sincos(0.13 * float64(i))
			p := r3.Vec{X: radius*sin + noise*rng.NormFloat64(), Z: radius*cos + noise*rng.NormFloat64()}
			flat, space = append(flat, p), append(space, r3.Add(centre, turn.Rotate(p)))
		}
		a, err := motion.FitCircle(flat, by)
		require.NoError(t, err)
		b, err := motion.FitCircle(space, by)
		require.NoError(t, err)
		require.InDelta(t, a.Radius, b.Radius, 1e-6)
		require.InDelta(t, a.Off, b.Off, 1e-6)
		require.InDelta(t, 0, r3.Norm(r3.Sub(b.Centre, r3.Add(centre, turn.Rotate(a.Centre)))), 1e-6)
		require.InDelta(t, 1, math.Abs(r3.Dot(b.Normal, turn.Rotate(r3.Vec{Y: 1}))), 1e-9)
		if noise == 0 {
			require.InDelta(t, radius, b.Radius, 1e-6)
			require.InDelta(t, 0, b.Off, 1e-6)
		}
	})
}

// What is filtered forward and back is the same from the other end, and a constant stays.
func TestPropertyFilter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rate := rapid.Float64Range(20, 400).Draw(t, "rate")
		f, err := motion.NewFilter(rate, rapid.Float64Range(0.02, 0.49).Draw(t, "share")*rate, 2)
		require.NoError(t, err)
		require.InDelta(t, 1, f.A0+f.A1+f.A2+f.B1+f.B2, 1e-12)
		values := rapid.SliceOfN(rapid.Float64Range(-500, 500), 1, 60).Draw(t, "values")
		out := f.Both(values)
		require.Len(t, out, len(values))
		for i := range values {
			values[i] += 100
		}
		up := f.Both(values)
		for i := range up {
			require.InDelta(t, out[i]+100, up[i], 1e-6)
		}
		slices.Reverse(values)
		for i := range values {
			values[i] = 7
		}
		for _, v := range f.Both(values) {
			require.InDelta(t, 7, v, 1e-9)
		}
	})
}
