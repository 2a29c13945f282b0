package survey_test

import (
	"maps"
	"math"
	"math/rand/v2"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// asUsual is a survey that says nothing of how true the frame is.
func asUsual(points map[survey.Landmark]r3.Vec, n int, sigma float64, rng *rand.Rand) survey.Survey {
	s := read(points, anywhere(rng), n, sigma, rng)
	s.Trueness = nil
	return s
}

func named(fix survey.Fix, k survey.FindingKind) map[survey.Landmark]float64 {
	m := map[survey.Landmark]float64{}
	for _, f := range fix.Findings {
		if f.Kind == k {
			m[f.Landmark] = f.Amount
		}
	}
	return m
}

// One end of an axle that sticks out further, as nuts, levers and heads of axles do
// ("common practice, no source"), changes nothing. It is mentioned where it shows.
func TestUnevenHubs(t *testing.T) {
	rng := rand.New(rand.NewPCG(71, 72))
	for _, hub := range []survey.Landmark{survey.RearAxleLeft, survey.RearAxleRight, survey.FrontAxleLeft, survey.FrontAxleRight} {
		for _, longer := range []float64{2, 5, 10, 15} {
			for _, steer := range []float64{0, 8} {
				b := aBike().withHeadTube().withWheels()
				side := math.Copysign(1, b.points[hub].Y)
				b.points[hub] = r3.Add(b.points[hub], r3.Vec{Y: side * longer})
				foot, up := aBike().steering() // of a bike with even hubs
				points := b.turned(0)
				for l, v := range points {
					if turnsWithWheel(l) {
						points[l] = r3.Add(foot, r3.Rotate(r3.Sub(v, foot), steer*rad, up))
					}
				}
				fix, err := asUsual(points, 3, 0, rng).Solve()
				require.NoError(t, err)
				for c, off := range offBy(fix, want(aBike())) {
					// The wheel's centre is midway between its ends, as far as it is read:
					// that tells how far the bike is tilted with the wheel turned.
					tol := 1e-9
					if steer != 0 {
						tol = longer / 2 * math.Sin(steer*rad)
					}
					assert.InDelta(t, 0, off[0], tol, "%v %v %v: %v", hub, longer, steer, c)
				}
				said := named(fix, survey.OffCentre)
				left := hub
				if side < 0 {
					left = mirroredMark(hub)
				}
				if longer > 4 {
					assert.InDelta(t, side*longer/2, said[left], 0.05, "%v", hub)
					delete(said, left)
				}
				assert.Empty(t, said)
				assert.Empty(t, named(fix, survey.Askew))
			}
		}
	}
}

// A steering axis that was read is believed, whatever the fork: offsets of forks that
// trail, of usual ones and of small wheels' ("common practice, no source").
func TestAnyFork(t *testing.T) {
	rng := rand.New(rand.NewPCG(73, 74))
	for _, offset := range []float64{-60, -20, 0, 30, 80, 110} {
		for _, angle := range []float64{55, 62, 71, 80} {
			b := aBike()
			b.offset, b.angle = offset, angle
			b = b.withHeadTube()
			fix, err := asUsual(b.turned(9), 2, 0, rng).Solve()
			require.NoError(t, err)
			for c, off := range offBy(fix, want(b)) {
				assert.InDelta(t, 0, off[0], 1e-8, "%v %v: %v", offset, angle, c)
			}
			assert.InDelta(t, 9, fix.Steer, 1e-9)

			// Left-handed axes are told as such: no supposition about forks is in the way.
			s := asUsual(b.turned(0), 2, 0, rng)
			for i := range s.Readings {
				s.Readings[i].At.Z *= -1
			}
			_, err = s.Solve()
			require.ErrorIs(t, err, contact.ErrConflict)
			assert.Equal(t, "readings", contact.Faults(err)[0].Path)
		}
	}
}

// Frames that are out by 0.7 and by 1.5 mm, each landmark along each axis: solved, and of
// all coordinates 93 to 97.5 % lie in their stated 95 % intervals.
func TestFramesOutOfTrue(t *testing.T) {
	if testing.Short() {
		t.Skip("statistics, which are the same on every processor")
	}
	rng := rand.New(rand.NewPCG(75, 76))
	inside, all, blamed := 0, 0, 0
	for i := range 600 {
		out := []float64{0.7, 1.5}[i%2]
		b := aBike().withHeadTube().withWheels()
		points := maps.Clone(b.points)
		for _, l := range framePairs {
			half := noise(out/math.Sqrt2, rng)
			points[l] = r3.Add(points[l], half)
			points[right(l)] = r3.Add(points[right(l)], r3.Vec{X: -half.X, Y: half.Y, Z: -half.Z})
		}
		s := asUsual(points, 3, 0.3, rng)
		s.Sigma = r3.Vec{X: 0.3, Y: 0.3, Z: 0.3}
		fix, err := s.Solve()
		require.NoError(t, err)
		for c, off := range offBy(fix, want(aBike())) {
			if off[1] > 0 && c.Axis == contact.AxisY {
				all++
				if math.Abs(off[0]) < 1.959964*off[1] {
					inside++
				}
			}
		}
		if len(named(fix, survey.Askew)) > 0 {
			blamed++
		}
	}
	assert.InDelta(t, 95.25, 100*float64(inside)/float64(all), 2.25)
	assert.Less(t, blamed, 30, "no pair is out by more than all others")
}

// What is stated of a pair counts as it is stated, and a good instrument on a true frame
// gives a good position: without it, what is usual of frames counts for more.
func TestTruenessStated(t *testing.T) {
	rng := rand.New(rand.NewPCG(77, 78))
	s := asUsual(aBike().withHeadTube().withWheels().turned(0), 3, 0.02, rng)
	s.Sigma = r3.Vec{X: 0.02, Y: 0.02, Z: 0.02}
	usual, err := s.Solve()
	require.NoError(t, err)
	for _, l := range framePairs {
		s.Trueness = append(s.Trueness, survey.Trueness{Pair: l, Sigma: 0.05})
	}
	good, err := s.Solve()
	require.NoError(t, err)
	a, _ := usual.Covariance.Sigma(contact.HoodsLeft)
	b, _ := good.Covariance.Sigma(contact.HoodsLeft)
	assert.Less(t, a.X, 0.2, "what is seen from the side hardly hangs on it")
	assert.Less(t, b.Y, 0.15)
	assert.Less(t, a.Y, 1., "the readings show that the frame is truer than usual")
	assert.Greater(t, a.Y, 2*b.Y)
	assert.Empty(t, named(usual, survey.OutOfTrue))
}

// An axle of which it is said that its ends stick out equally, and one does not: it is
// left out and named. Where two could be to blame, both are named and nothing is solved.
func TestBlame(t *testing.T) {
	rng := rand.New(rand.NewPCG(79, 80))
	for _, hub := range []survey.Landmark{survey.RearAxleLeft, survey.FrontAxleLeft} {
		for _, longer := range []float64{8, 15} {
			b := aBike().withHeadTube().withWheels()
			b.points[hub] = r3.Add(b.points[hub], r3.Vec{Y: longer})
			s := asUsual(b.turned(0), 3, 0.2, rng)
			s.Trueness = []survey.Trueness{{Pair: survey.RearAxleLeft, Sigma: 0.5, Counts: survey.CountsBoth}, {Pair: survey.FrontAxleLeft, Sigma: 0.5, Counts: survey.CountsBoth}}
			fix, err := s.Solve()
			require.NoError(t, err)
			said := named(fix, survey.OffCentre)
			require.Len(t, said, 1)
			assert.InDelta(t, longer/2, said[hub], 1)
			hood, _ := fix.Position.At(contact.HoodsLeft)
			sigma, _ := fix.Covariance.Sigma(contact.HoodsLeft)
			assert.InDelta(t, 210, hood.Y, 3*sigma.Y)
		}
	}
	for _, f := range []survey.Finding{{Kind: survey.OffCentre, Landmark: "rear_axle_left", Amount: 3, Others: []survey.Landmark{"front_rim_left"}}} {
		assert.Equal(t, "rear_axle_left: midway to the right one it is 3.0 mm beside the mid-plane (positive: left), which did not count (less likely: front_rim_left)", f.String())
	}
	assert.Contains(t, survey.Finding{Kind: survey.Askew, Landmark: "rear_axle_left", Amount: 5}.String(), "5.0 mm off square")
	assert.Contains(t, survey.Finding{Kind: survey.OutOfTrue, Amount: 1.6}.String(), "1.6 mm")
}

func TestBadTrueness(t *testing.T) {
	rng := rand.New(rand.NewPCG(81, 82))
	for name, c := range map[string]struct {
		say   survey.Trueness
		path  string
		class error
	}{
		"no pair":        {survey.Trueness{Pair: "hoods_left"}, "trueness[1].pair", contact.ErrUnknown},
		"right":          {survey.Trueness{Pair: survey.RearAxleRight}, "trueness[1].pair", contact.ErrUnknown},
		"twice":          {survey.Trueness{Pair: survey.RearAxleLeft}, "trueness[1].pair", contact.ErrConflict},
		"negative":       {survey.Trueness{Pair: survey.FrontAxleLeft, Sigma: -1}, "trueness[1].sigma_mm", contact.ErrRange},
		"not a number":   {survey.Trueness{Pair: survey.FrontAxleLeft, Sigma: math.NaN()}, "trueness[1].sigma_mm", contact.ErrRange},
		"counts":         {survey.Trueness{Pair: survey.FrontAxleLeft, Counts: 9}, "trueness[1].counts", contact.ErrUnknown},
		"nothing middle": {survey.Trueness{Pair: survey.BottomBracketLeft, Counts: survey.CountsLine}, "trueness", contact.ErrMissing},
	} {
		t.Run(name, func(t *testing.T) {
			points := aBike().turned(0)
			delete(points, survey.Mark("seat_tube_left"))
			s := asUsual(points, 2, 0, rng)
			s.Trueness = []survey.Trueness{{Pair: survey.RearAxleLeft, Sigma: 1}, c.say}
			_, err := s.Solve()
			require.ErrorIs(t, err, c.class)
			assert.Equal(t, c.path, contact.Faults(err)[0].Path, "%v", err)
		})
	}
	trial.Names(t, survey.ParseCounting, survey.CountsAsUsual, survey.CountsLine, survey.CountsMiddle, survey.CountsBoth)
}
