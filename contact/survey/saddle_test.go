package survey_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// A level saddle whose nose droops by 14 mm and whose rear by 4 mm, read without noise.
func drooped() bike {
	b := aBike()
	delete(b.points, survey.SaddleEdgeLeft)
	delete(b.points, survey.SaddleEdgeRight)
	b.points[at(contact.SaddleReference)] = r3.Vec{X: -210, Z: 715}
	b.points[at(contact.SaddleNose)] = r3.Vec{X: -70, Z: 706}
	b.points[at(contact.SaddleRear)] = r3.Vec{X: -335, Z: 716}
	b.points[survey.SaddleTopFront] = r3.Vec{X: -130, Z: 720}
	b.points[survey.SaddleTopRear] = r3.Vec{X: -310, Z: 720}
	return b
}

// The slope of a saddle is that of its top, as a level shows it: where the top was read it
// comes out, where the profile is known it follows from the ends, and where neither is,
// what it may differ from the line through the ends is stated.
func TestTiltIsThatOfTheTop(t *testing.T) {
	profile := contact.SaddleProfile{NoseAhead: 140, RearBehind: 125, NoseAbove: 706 - 715, RearAbove: 716 - 715}
	tilt := contact.Coordinate{Site: contact.SaddleReference, Axis: contact.AxisTilt}
	line := math.Atan2(-10, 265) / rad
	for name, c := range map[string]struct {
		top         bool
		profile     contact.SaddleProfile
		want, sigma float64
	}{
		"top":     {true, contact.SaddleProfile{}, 0, 0},
		"both":    {true, profile, 0, 0},
		"profile": {false, profile, 0, math.Sqrt2 / 265 / rad},
		"neither": {false, contact.SaddleProfile{}, line, 6 * math.Sqrt2 / 265 / rad},
	} {
		t.Run(name, func(t *testing.T) {
			b := drooped()
			if !c.top {
				delete(b.points, survey.SaddleTopFront)
				delete(b.points, survey.SaddleTopRear)
			}
			rng := rand.New(rand.NewPCG(1, 2))
			s := read(b.points, anywhere(rng), 3, 0, rng)
			s.Saddle = c.profile
			fix, err := s.Solve()
			require.NoError(t, err)
			a, ok := fix.Position.Attitude(contact.SaddleReference)
			require.True(t, ok)
			assert.InDelta(t, c.want, a.Tilt, 1e-6)
			v, ok := fix.Covariance.At(tilt, tilt)
			require.True(t, ok)
			read, length := 0.5*math.Sqrt(2./3), 265.0
			if c.top {
				length = 180
			}
			assert.InDelta(t, math.Hypot(c.sigma, read/length/rad), math.Sqrt(v), 0.03, "and how the bike stood")
		})
	}
}

// Who reads the saddle where it is 70 mm wide says so, and how it widens: the reference
// comes out where all others have it.
func TestReferenceAtAnotherWidth(t *testing.T) {
	b := drooped()
	rng := rand.New(rand.NewPCG(3, 4))
	s := read(b.points, anywhere(rng), 3, 0, rng)
	s.Saddle.Width = 70
	_, err := s.Solve()
	require.ErrorIs(t, err, contact.ErrMissing)
	assert.Equal(t, "saddle.widening", contact.Faults(err)[0].Path)
	s.Saddle.Widening = 0.9
	fix, err := s.Solve()
	require.NoError(t, err)
	got, _ := fix.Position.At(contact.SaddleReference)
	assert.InDelta(t, 0, r3.Norm(r3.Sub(r3.Vec{X: -219, Z: 715}, got)), 1e-6)
}

// The same by tape, plumb line and level.
func TestTapeAtAnotherWidth(t *testing.T) {
	s := survey.TapeSurvey{Readings: []survey.TapeReading{
		{Kind: survey.Vertical, From: survey.BottomBracket, To: at(contact.SaddleReference), Value: 700, Sigma: 1},
		{Kind: survey.Horizontal, From: survey.BottomBracket, To: at(contact.SaddleReference), Value: -191, Sigma: 1},
		{Kind: survey.Tilt, Value: 0, Sigma: 0.3},
	}}
	s.Saddle = contact.SaddleProfile{Width: 70, Widening: 0.9}
	fix, err := s.Solve()
	require.NoError(t, err)
	got, _ := fix.Position.At(contact.SaddleReference)
	assert.InDelta(t, 0, r3.Norm(r3.Sub(r3.Vec{X: -200, Z: 700}, got)), 1e-6)
	x, ok := fix.Ranges.At(contact.Coordinate{Site: contact.SaddleReference})
	require.True(t, ok)
	assert.InDelta(t, -200, (x.Low+x.High)/2, 1e-6)

	s.Readings = s.Readings[:2]
	_, err = s.Solve()
	require.ErrorIs(t, err, contact.ErrMissing, "no tilt")
}

// Nose and rear alone tell the tilt by the profile: to its uncertainty, or to what saddles'
// ends usually differ from their top.
func TestTapeTiltFromEnds(t *testing.T) {
	nose, rear := at(contact.SaddleNose), at(contact.SaddleRear)
	s := survey.TapeSurvey{Readings: []survey.TapeReading{
		{Kind: survey.Vertical, From: survey.BottomBracket, To: nose, Value: 706, Sigma: 0.01},
		{Kind: survey.Horizontal, From: survey.BottomBracket, To: nose, Value: -70, Sigma: 0.01},
		{Kind: survey.Vertical, From: survey.BottomBracket, To: rear, Value: 716, Sigma: 0.01},
		{Kind: survey.Horizontal, From: survey.BottomBracket, To: rear, Value: -335, Sigma: 0.01},
	}}
	for _, c := range []struct {
		profile     contact.SaddleProfile
		want, sigma float64 // by hand
	}{
		{contact.SaddleProfile{}, math.Atan2(-10, 265) / rad, 6 * math.Sqrt2 / math.Hypot(265, 10) / rad},
		{contact.SaddleProfile{NoseAhead: 140, RearBehind: 125, NoseAbove: -9, RearAbove: 1}, 0, math.Sqrt2 / 265 / rad},
	} {
		s.Saddle = c.profile
		fix, err := s.Solve()
		require.NoError(t, err)
		a, ok := fix.Position.Attitude(contact.SaddleReference)
		require.True(t, ok)
		assert.InDelta(t, c.want, a.Tilt, 1e-6)
		u, ok := fix.Covariance.AttitudeSigma(contact.SaddleReference)
		require.True(t, ok)
		assert.InDelta(t, c.sigma, u.Tilt, 0.003)
	}
}
