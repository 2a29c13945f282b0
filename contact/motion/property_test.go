package motion_test

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/motion"
	"example.com/fitgeom/contact/rider"
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
func numbersOf(t require.TestingT, m motion.Motion, measures ...rider.Variable) (all []float64) {
	for _, r := range m.Revolutions() {
		all = append(all, r.CrankAngle, r.End-r.Start)
	}
	for _, of := range measures {
		s, err := m.Span(context.Background(), of)
		require.NoError(t, err)
		for _, v := range []motion.Stat{s.Least, s.Most, s.Range, s.Mean} {
			all = append(all, v.Mean, v.Spread, float64(v.Count))
		}
		for _, e := range s.Each {
			all = append(all, e.Least, e.Most, e.LeastAt, e.MostAt, e.Mean)
			require.True(t, e.Least <= e.Mean+1e-6 && e.Mean <= e.Most+1e-6)
		}
		at, err := m.At(context.Background(), of, 137)
		require.NoError(t, err)
		all = append(all, at.Mean, at.Spread)
	}
	return all
}

var seen = []rider.Variable{rider.KneeFlexion, rider.HipFlexion, rider.AnkleDorsiflexion, rider.TrunkLean, rider.KneeOffset}

// mirrored is a recording of the other leg that is the mirror image.
func mirrored(r motion.Recording) motion.Recording {
	flip := func(all []motion.Sample) (out []motion.Sample) {
		for _, s := range all {
			out = append(out, motion.Sample{At: r3.Vec{X: s.At.X, Y: -s.At.Y, Z: s.At.Z}, Seen: s.Seen})
		}
		return out
	}
	m := motion.Recording{Side: contact.Left + contact.Right - r.Side, Times: r.Times}
	m.Pedal, m.Toe, m.Heel, m.Ankle = flip(r.Pedal), flip(r.Toe), flip(r.Heel), flip(r.Ankle)
	m.Knee, m.Hip, m.Shoulder, m.Pelvis = flip(r.Knee), flip(r.Hip), flip(r.Shoulder), flip(r.Pelvis)
	return m
}

// A leg and its mirror image, an hour later, and with a clock that runs slow.
func TestPropertyRecording(t *testing.T) {
	rapid.Check(t, func(check *rapid.T) {
		f := func(lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(check, "number") }
		d := ride{
			side: rapid.SampledFrom([]contact.Side{contact.Left, contact.Right}).Draw(check, "side"), seconds: 3, rate: 120,
			cadence: f(60, 110), start: f(-400, 400), noise: f(0, 2), knee: f(-20, 20), forward: f(-30, 30), sinking: f(-30, 30),
		}
		r := d.record(t, rand.New(rand.NewPCG(rapid.Uint64().Draw(check, "seed"), 1)))
		view := rapid.SampledFrom([]motion.View{motion.InSpace, motion.FromSide}).Draw(check, "view")
		m := analyse(t, r, view)
		want := numbersOf(check, m, seen...)
		drift, err := m.PelvisDrift(t.Context())
		require.NoError(check, err)

		other := analyse(t, mirrored(r), view)
		require.InDeltaSlice(check, want, numbersOf(check, other, seen...), 1e-9)
		back, err := other.PelvisDrift(t.Context())
		require.NoError(check, err)
		require.InDelta(check, 0, r3.Norm(r3.Sub(r3.Vec{X: drift.Mean.X, Y: -drift.Mean.Y, Z: drift.Mean.Z}, back.Mean)), 1e-9)

		later := r
		later.Times = slices.Clone(r.Times)
		for i := range later.Times {
			later.Times[i] += 3600
		}
		require.InDeltaSlice(check, want, numbersOf(check, analyse(t, later, view), seen...), 1e-6)

		slow := r
		slow.Times = slices.Clone(r.Times)
		for i := range slow.Times {
			slow.Times[i] *= 2
		}
		half := analyse(t, slow, view)
		for i, rev := range m.Revolutions() {
			require.InEpsilon(check, rev.Cadence(), 2*half.Revolutions()[i].Cadence(), 1e-9)
		}
		twice, err := half.PelvisDrift(t.Context())
		require.NoError(check, err)
		require.InDelta(check, 0, r3.Norm(r3.Sub(drift.Mean, twice.Mean)), 1e-9)
		require.InDelta(check, 0, r3.Norm(r3.Sub(drift.PerMinute, r3.Scale(2, twice.PerMinute))), 1e-6)
	})
}

func TestPropertyStat(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		stat := func() motion.Stat {
			return motion.Stat{Mean: rapid.Float64Range(-180, 180).Draw(t, "mean"), Spread: rapid.Float64Range(0, 20).Draw(t, "spread"), Count: rapid.SampledFrom([]int{0, 1, 2, 3, 30}).Draw(t, "count")}
		}
		a, b := stat(), stat()
		by, sigma, ok := a.Sub(b)
		back, sigma2, ok2 := b.Sub(a)
		require.Equal(t, ok, ok2)
		require.Equal(t, a.Count >= 2 && b.Count >= 2, ok)
		if ok {
			require.InDelta(t, by, -back, 1e-12)
			require.InDelta(t, sigma, sigma2, 1e-12)
			more := a
			more.Count *= 4
			_, less, _ := more.Sub(b)
			require.LessOrEqual(t, less, sigma)
		}
	})
}
