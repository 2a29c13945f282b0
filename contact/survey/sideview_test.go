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

// withSeatTube adds both ends of a seat tube of 74° that passes 12 mm in front of the
// bottom bracket, square to it.
func (b bike) withSeatTube() bike {
	sin, cos := math.Sincos(74 * rad)
	foot, up := r3.Vec{X: 12 * sin, Z: 12 * cos}, r3.Vec{X: -cos, Z: sin}
	for l, c := range map[survey.Landmark][2]float64{
		survey.SeatTubeBottomLeft: {80, 18}, survey.SeatTubeBottomRight: {80, -18}, survey.SeatTubeTopLeft: {480, 16}, survey.SeatTubeTopRight: {480, -16},
	} {
		b.points[l] = r3.Add(r3.Add(foot, r3.Scale(c[0], up)), r3.Vec{Y: c[1]})
	}
	return b
}

// readAll is read with the marks of the seat tube.
func readAll(points map[survey.Landmark]r3.Vec, from place, n int, sigma float64, rng *rand.Rand) survey.Survey {
	s := read(points, from, n, sigma, rng)
	for range n {
		for _, l := range []survey.Landmark{survey.SeatTubeBottomLeft, survey.SeatTubeBottomRight, survey.SeatTubeTopLeft, survey.SeatTubeTopRight} {
			if v, ok := points[l]; ok {
				s.Readings = append(s.Readings, survey.Reading{Landmark: l, At: r3.Add(from.see(v), noise(sigma, rng))})
			}
		}
	}
	return s
}

// drawnDimensions are the dimensions of the bike as it was made, from its construction:
// head tube 530 mm along the steering axis from where the fork's offset of 45 mm meets it.
func drawnDimensions() map[chart.Dimension]float64 {
	foot, up := aBike().steering()
	top := r3.Add(foot, r3.Scale(530, up))
	return map[chart.Dimension]float64{
		chart.Stack: top.Z, chart.Reach: top.X, chart.HeadAngle: 71, chart.SeatAngle: 74, chart.SeatOffset: 12,
		chart.Chainstay: math.Hypot(405, 70), chart.RearCentre: 405, chart.Drop: 70, chart.ForkOffset: 45, chart.FrontCentre: math.Hypot(585, 74),
		chart.FrontCentreHorizontal: 585, chart.Wheelbase: 990, chart.FrontRadius: 340, chart.RearRadius: 336, chart.BottomBracketHeight: 336 - 70,
		chart.Trail:            (340*math.Cos(71*rad) - 45) / math.Sin(71*rad),
		chart.EffectiveTopTube: top.X + (top.Z*math.Cos(74*rad)-12)/math.Sin(74*rad),
		chart.DropBelowAxles:   70 + 4*405./990,
	}
}

// Without noise, the frame is what the bike was made of, however it stood.
func TestFrameFromReadings(t *testing.T) {
	rng := rand.New(rand.NewPCG(111, 112))
	for _, steer := range []float64{0, 8} {
		fix, err := readAll(aBike().withHeadTube().withSeatTube().turned(steer), anywhere(rng), 2, 0, rng).Solve()
		require.NoError(t, err)
		frame, ok := chart.FromSurvey(fix)
		require.True(t, ok)
		want := drawnDimensions()
		for _, d := range chart.Dimensions() {
			v, sigma, ok := frame.Get(d)
			w, known := want[d]
			if assert.Equal(t, known || d == chart.SeatAngleEffective, ok, d) && known {
				assert.InDelta(t, w, v, 1e-8, d)
				assert.Equal(t, d != chart.FrontRadius && d != chart.RearRadius, sigma > 0.05, d)
			}
		}
		g, ok := frame.Geometry()
		assert.True(t, ok)
		assert.NoError(t, g.Validate())
		front, _ := g.FrontAxle()
		close3(t, r3.Vec{X: 585, Z: 74}, front, 1e-8)
		_, ok = frame.With(chart.Stack, contact.Coordinate{Site: contact.GripLeft, Axis: contact.AxisZ})
		assert.False(t, ok)
		_, ok = frame.Covariance(chart.Stack, chart.LowerHeadset)
		assert.False(t, ok)
	}

	// What was not read is not told.
	s := read(aBike().withHeadTube().turned(0), anywhere(rng), 2, 0, rng)
	s.FrontRadius, s.RearRadius = 0, 0
	fix, err := s.Solve()
	require.NoError(t, err)
	frame, ok := chart.FromSurvey(fix)
	require.True(t, ok)
	g, ok := frame.Geometry()
	assert.False(t, ok)
	assert.Equal(t, chart.Axles{}, g.Axles)
	for _, d := range []chart.Dimension{chart.SeatAngle, chart.EffectiveTopTube, chart.Trail, chart.FrontRadius, 0, 99} {
		_, _, ok = frame.Get(d)
		assert.False(t, ok, d)
	}
	_, _, ok = frame.Get(chart.Chainstay)
	assert.True(t, ok)
	fix, err = read(aBike().turned(0), anywhere(rng), 2, 0, rng).Solve()
	require.NoError(t, err)
	_, ok = chart.FromSurvey(fix)
	assert.False(t, ok)
	_, _, ok = chart.Surveyed{}.Get(chart.Stack)
	assert.False(t, ok)
}

// The stated uncertainties of the frame, and their covariance with each other and with the
// contact points of the same readings, against draws of the readings, of the radii and of
// how true the frame is: within 2 % of 40,000 draws, or four of their standard errors of
// fewer.
func TestFrameMonteCarlo(t *testing.T) {
	if testing.Short() {
		t.Skip("statistics, which are the same on every processor")
	}
	draws, tol := 1500, 4*math.Sqrt(0.5/1500)
	if os.Getenv("FITGEOM_LONG") != "" {
		draws, tol = 40_000, 0.02
	}
	rng := rand.New(rand.NewPCG(113, 114))
	hoods := contact.Coordinate{Site: contact.HoodsLeft, Axis: contact.AxisZ}
	saddle := contact.Coordinate{Site: contact.SaddleReference, Axis: contact.AxisX}
	want := drawnDimensions()
	sums := map[chart.Dimension]float64{}
	var cross, squares [5]float64
	var last chart.Surveyed
	for range draws {
		b := aBike().withHeadTube().withSeatTube()
		points := b.turned(0)
		untrue(points, rng)
		s := readAll(points, anywhere(rng), 2, 0.4, rng)
		s.Sigma = r3.Vec{X: 0.4, Y: 0.4, Z: 0.4}
		s.RadiusSigma = 1
		dF, dR := rng.NormFloat64(), rng.NormFloat64()
		s.FrontRadius += dF
		s.RearRadius += dR
		fix, err := s.Solve()
		require.NoError(t, err)
		frame, ok := chart.FromSurvey(fix)
		require.True(t, ok)
		off := map[chart.Dimension]float64{}
		for d, w := range want {
			v, _, _ := frame.Get(d)
			off[d] = v - w
			sums[d] += off[d] * off[d]
		}
		h, r := number(fix.Position, hoods)-660, number(fix.Position, saddle)+210
		for i, v := range [...][2]float64{{off[chart.Stack], off[chart.HeadAngle]}, {off[chart.Trail], off[chart.ForkOffset]}, {off[chart.Stack], h}, {off[chart.Reach], r}, {off[chart.FrontRadius], h}} {
			cross[i] += v[0] * v[1] / float64(draws)
			squares[i] += v[0] * v[1] * v[0] * v[1] / float64(draws)
		}
		last = frame
	}
	for _, d := range chart.Dimensions() {
		if _, ok := want[d]; !ok {
			continue
		}
		_, sigma, _ := last.Get(d)
		found := math.Sqrt(sums[d] / float64(draws))
		t.Logf("frame: %v: stated %.4f, of %d draws %.4f, off by %.2f %%", d, sigma, draws, found, 100*(sigma/found-1))
		assert.InEpsilon(t, found, sigma, tol, d)
	}
	at := func(d, e chart.Dimension) float64 { v, _ := last.Covariance(d, e); return v }
	with := func(d chart.Dimension, c contact.Coordinate) float64 { v, _ := last.With(d, c); return v }
	stated := [5]float64{at(chart.Stack, chart.HeadAngle), at(chart.Trail, chart.ForkOffset), with(chart.Stack, hoods), with(chart.Reach, saddle), with(chart.FrontRadius, hoods)}
	for i, name := range [...]string{"stack, head angle", "trail, fork offset", "stack, hoods up", "reach, saddle forward", "front radius, hoods up"} {
		t.Logf("frame: %s: covariance stated %.4f, of %d draws %.4f", name, stated[i], draws, cross[i])
		// The standard error of a mean of products, and 2 % of what they are.
		assert.InDelta(t, cross[i], stated[i], 4*math.Sqrt((squares[i]-cross[i]*cross[i])/float64(draws))+0.02*math.Sqrt(squares[i]), name)
	}
}
