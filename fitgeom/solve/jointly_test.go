package solve_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/invented"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// readTogether is a bike's frame and contact points as a workshop reads both: heights by a
// gauge whose foot is off by some unknown amount, lengths by a rule from one plumb line. Values
// are drawn unless rng is nil.
func readTogether(b fitgeom.Build, rng *rand.Rand) survey.TapeSurvey {
	g, p := b.Frame.Geometry, invented.Position(b)
	saddle, _ := p.At(contact.SaddleReference)
	hoods, _ := p.At(contact.HoodsLeft)
	front, _ := g.FrontAxle()
	rear, _ := g.RearAxle()
	normal := func() float64 {
		if rng == nil {
			return 0
		}
		return rng.NormFloat64()
	}
	gauge, plumb, height := normal(), normal(), g.Axles.RearRadius-g.Axles.Drop
	s := survey.TapeSurvey{Readings: []survey.TapeReading{
		{Kind: survey.Vertical, From: survey.Ground, To: survey.BottomBracket, Value: height + 1.2*gauge + 0.5*normal(), Sigma: 0.5, Together: "height gauge", Common: 1.2},
		{Kind: survey.Lateral, From: survey.BottomBracket, To: survey.At(contact.HoodsLeft), Value: hoods.Y + normal(), Sigma: 1},
	}}
	for _, k := range []struct {
		l  survey.Landmark
		at r3.Vec
	}{
		{survey.FrontAxleLeft, front},
		{survey.RearAxleLeft, rear},
		{survey.HeadTubeTopLeft, g.HeadTop()},
		{survey.HeadTubeBottomLeft, r3.Sub(g.HeadTop(), r3.Scale(140, g.SteererUp()))},
		{survey.SeatTubeTopLeft, r3.Add(g.SeatFoot(), r3.Scale(500, g.SeatUp()))},
		{survey.SeatTubeBottomLeft, r3.Add(g.SeatFoot(), r3.Scale(80, g.SeatUp()))},
		{survey.At(contact.SaddleReference), saddle},
		{survey.At(contact.HoodsLeft), hoods},
	} {
		s.Readings = append(
			s.Readings,
			survey.TapeReading{Kind: survey.Vertical, From: survey.Ground, To: k.l, Value: k.at.Z + height + 1.2*gauge + 0.5*normal(), Sigma: 0.5, Together: "height gauge", Common: 1.2},
			survey.TapeReading{Kind: survey.Horizontal, From: survey.BottomBracket, To: k.l, Value: k.at.X + plumb + 0.7*normal(), Sigma: 0.7, Together: "plumb line", Common: 1},
		)
	}
	return s
}

// Frame and target of the same readings err together. The chance of a build against draws of
// the readings (JCGM 101:2008, clause 7): each draw is a true frame and a true rider, and the
// build is looked at as it stands. To 0.5 % with all draws.
func TestChanceJointly(t *testing.T) {
	b := invented.Build()
	problem := solve.Problem{Target: invented.Position(b), Frame: b.Frame, Shelf: invented.Shelf(), Crank: fitgeom.KeepSaddle, Keep: []fitgeom.Keep{
		{Site: contact.SaddleReference, Tolerance: r3.Vec{X: 1.5, Z: 1.5}}, {Site: contact.HoodsLeft, Tolerance: r3.Vec{X: 1.5, Z: 1.2}},
	}}
	c := best(t, problem)
	fix, err := readTogether(b, nil).Solve()
	require.NoError(t, err)
	frame, ok := chart.FromSurvey(fix)
	require.True(t, ok)
	stated, ok := frame.Geometry()
	require.True(t, ok)
	assert.InDelta(t, b.Frame.Geometry.HeadAngle, stated.HeadAngle, 1e-6)
	errs := solve.Errors{Target: fix.Covariance, Frame: frame, Together: true}
	together, err := problem.Chance(t.Context(), c, errs)
	require.NoError(t, err)
	errs.Together = false
	apart, err := problem.Chance(t.Context(), c, errs)
	require.NoError(t, err)
	assert.Greater(t, together, apart+0.05, "what they have in common cancels")
	if testing.Short() {
		t.Skip("statistics, which are the same on every processor")
	}

	rng, n, inside := rand.New(rand.NewPCG(31, 32)), draws(600, 60000), 0
	for range n {
		drawn, err := readTogether(b, rng).Solve()
		require.NoError(t, err)
		read, ok := chart.FromSurvey(drawn)
		require.True(t, ok)
		g, ok := read.Geometry()
		require.True(t, ok)
		// What was read is what is known, and the truth is as far on the other side.
		on := c.Build
		h := &on.Frame.Geometry
		h.Stack, h.Reach = 2*stated.Stack-g.Stack, 2*stated.Reach-g.Reach
		h.HeadAngle, h.SeatAngle, h.SeatOffset = 2*stated.HeadAngle-g.HeadAngle, 2*stated.SeatAngle-g.SeatAngle, 2*stated.SeatOffset-g.SeatOffset
		is, holds := invented.Position(on), true
		for _, k := range problem.Keep {
			a, _ := is.At(k.Site)
			at, _ := drawn.Position.At(k.Site)
			want, _ := problem.Target.At(k.Site)
			off := r3.Sub(a, r3.Sub(r3.Scale(2, want), at))
			holds = holds && math.Abs(off.X) <= k.Tolerance.X && math.Abs(off.Z) <= k.Tolerance.Z
		}
		if holds {
			inside++
		}
	}
	want := float64(inside) / float64(n)
	t.Logf("chance jointly: stated %.4f, of %d draws %.4f; as if apart %.4f", together, n, want, apart)
	assert.InDelta(t, want, together, 0.003+4*math.Sqrt(want*(1-want)/float64(n)))
}

// Errors of a frame that are not known, or cannot be those of the target.
func TestChanceOfUnknownFrames(t *testing.T) {
	b := invented.Build()
	problem := solve.Problem{Target: invented.Position(b), Frame: b.Frame, Shelf: invented.Shelf(), Crank: fitgeom.KeepSaddle, Keep: []fitgeom.Keep{
		{Site: contact.SaddleReference, Tolerance: r3.Vec{X: 2, Z: 2}}, {Site: contact.HoodsLeft, Tolerance: r3.Vec{X: 2, Z: 2}},
	}}
	c := best(t, problem)
	fix, err := readTogether(b, nil).Solve()
	require.NoError(t, err)
	part, err := chart.Chart{Rounding: chart.Rounding{LengthStep: 1, AngleStep: 0.5}, Entries: []chart.Entry{
		{Dimension: chart.Stack, Value: 560}, {Dimension: chart.Reach, Value: 385},
	}}.Solve()
	require.NoError(t, err)
	_, err = problem.Chance(t.Context(), c, solve.Errors{Target: fix.Covariance, Frame: part})
	require.ErrorIs(t, err, contact.ErrMissing)
	require.Len(t, contact.Faults(err), 3, "the chart says nothing of angles and of the seat tube's offset")
	assert.Equal(t, "frame.seat_offset", contact.Faults(err)[0].Path)
	_, err = problem.Chance(t.Context(), c, solve.Errors{Target: fix.Covariance, Together: true})
	require.ErrorIs(t, err, contact.ErrConflict)
}
