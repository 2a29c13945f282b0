package survey_test

import (
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/convert/chart"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// workshop is an invented frame with saddle and hoods, read from the left with a height
// gauge on the ground, whose foot is off by some unknown amount, and a rule between plumb
// lines, of which that at the bottom bracket is in all numbers. Each value is drawn unless
// rng is nil.
func workshop(rng *rand.Rand) survey.TapeSurvey {
	const ground = -270
	places := map[survey.Landmark]r3.Vec{
		survey.FrontAxleLeft: {X: 588, Z: 68}, survey.RearAxleLeft: {X: -406, Z: 70},
		survey.HeadTubeTopLeft: {X: 385, Z: 560}, survey.HeadTubeBottomLeft: {X: 428, Z: 424},
		survey.SeatTubeTopLeft: {X: -140, Z: 480}, survey.SeatTubeBottomLeft: {X: -25, Z: 90},
		at(contact.SaddleReference): {X: -215, Z: 715}, at(contact.HoodsLeft): {X: 585, Z: 655},
	}
	normal := func() float64 {
		if rng == nil {
			return 0
		}
		return rng.NormFloat64()
	}
	gauge, plumb := normal(), normal()
	s := survey.TapeSurvey{Readings: []survey.TapeReading{
		{Kind: survey.Vertical, From: survey.Ground, To: survey.BottomBracket, Value: -ground + 1.5*gauge + 0.5*normal(), Sigma: 0.5, Together: "height gauge", Common: 1.5},
		{Kind: survey.Lateral, From: survey.BottomBracket, To: at(contact.HoodsLeft), Value: 205 + normal(), Sigma: 1},
		{Kind: survey.Direct, From: survey.FrontAxleLeft, To: survey.RearAxleLeft, Value: math.Sqrt(994*994+2*2+15*15) + normal(), Sigma: 1},
	}}
	for _, l := range []survey.Landmark{
		survey.FrontAxleLeft, survey.RearAxleLeft, survey.HeadTubeTopLeft, survey.HeadTubeBottomLeft,
		survey.SeatTubeTopLeft, survey.SeatTubeBottomLeft, at(contact.SaddleReference), at(contact.HoodsLeft),
	} {
		s.Readings = append(
			s.Readings,
			survey.TapeReading{Kind: survey.Vertical, From: survey.Ground, To: l, Value: places[l].Z - ground + 1.5*gauge + 0.5*normal(), Sigma: 0.5, Together: "height gauge", Common: 1.5},
			survey.TapeReading{Kind: survey.Horizontal, From: survey.BottomBracket, To: l, Value: places[l].X + plumb + 0.7*normal(), Sigma: 0.7, Together: "plumb line", Common: 1},
		)
	}
	return s
}

// A tape survey tells the frame too: exactly where readings are, and its uncertainties, also
// with the contact points, are those of draws of correlated readings (JCGM 101:2008, clause
// 7): within 2 % of 20,000 draws, or four standard errors of fewer.
func TestFrameFromTape(t *testing.T) {
	exact, err := workshop(nil).Solve()
	require.NoError(t, err)
	frame, ok := chart.FromSurvey(exact)
	require.True(t, ok)
	require.Empty(t, exact.Free)
	up := r3.Unit(r3.Vec{X: 385 - 428, Z: 560 - 424})
	head := math.Atan2(up.Z, -up.X)
	offset := (588-385)*math.Sin(head) + (68-560)*math.Cos(head)
	want := map[chart.Dimension]float64{
		chart.Stack: 560, chart.Reach: 385, chart.HeadAngle: head / rad, chart.ForkOffset: offset, chart.RearCentre: 406, chart.Drop: 70,
		chart.FrontRadius: 338, chart.RearRadius: 340, chart.Trail: (338*math.Cos(head) - offset) / math.Sin(head),
		chart.SeatAngle: math.Atan2(390, 115) / rad, chart.BottomBracketHeight: 270,
	}
	for d, w := range want {
		got, _, ok := frame.Get(d)
		require.True(t, ok, d)
		assert.InDelta(t, w, got, 1e-6, d)
	}
	if testing.Short() {
		t.Skip("statistics, which are the same on every processor")
	}
	draws, tol := 600, 4*math.Sqrt(0.5/600)
	if os.Getenv("FITGEOM_LONG") != "" {
		draws, tol = 20_000, 0.02
	}
	hoods := contact.Coordinate{Site: contact.HoodsLeft, Axis: contact.AxisZ}
	saddle := contact.Coordinate{Site: contact.SaddleReference, Axis: contact.AxisX}
	rng := rand.New(rand.NewPCG(21, 22))
	sums, cross, squares := map[chart.Dimension]float64{}, [3]float64{}, [3]float64{}
	for range draws {
		fix, err := workshop(rng).Solve()
		require.NoError(t, err)
		drawn, ok := chart.FromSurvey(fix)
		require.True(t, ok)
		off := func(d chart.Dimension) float64 { v, _, _ := drawn.Get(d); return v - want[d] }
		for d := range want {
			sums[d] += off(d) * off(d) / float64(draws)
		}
		h, x := number(fix.Position, hoods)-655, number(fix.Position, saddle)+215
		for i, v := range [...]float64{off(chart.Stack) * h, off(chart.Reach) * x, off(chart.FrontRadius) * h} {
			cross[i] += v / float64(draws)
			squares[i] += v * v / float64(draws)
		}
	}
	for d := range want {
		_, sigma, _ := frame.Get(d)
		found := math.Sqrt(sums[d])
		t.Logf("frame by tape: %v: stated %.4f, of %d draws %.4f, off by %.2f %%", d, sigma, draws, found, 100*(sigma/found-1))
		assert.InEpsilon(t, found, sigma, tol, d)
	}
	with := func(d chart.Dimension, c contact.Coordinate) float64 { v, _ := frame.With(d, c); return v }
	for i, stated := range [...]float64{with(chart.Stack, hoods), with(chart.Reach, saddle), with(chart.FrontRadius, hoods)} {
		assert.InDelta(t, cross[i], stated, 4*math.Sqrt((squares[i]-cross[i]*cross[i])/float64(draws))+0.02*math.Sqrt(squares[i]))
	}
	assert.Greater(t, with(chart.Reach, saddle), 0.9, "the plumb line is in both")
}
