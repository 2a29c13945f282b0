package survey_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// placing is an invented bike in its own axes, with a joint covariance A·Aᵀ of drawn A.
func placing(rng *rand.Rand) survey.Placing {
	p := survey.Placing{FrontRadius: 340, RearRadius: 336, RadiusSigma: 0.5, Steer: 2, SteerSigma: 0.1}
	points := aBike().withHeadTube().withSeatTube().points
	for l := range points {
		p.Landmarks = append(p.Landmarks, l)
	}
	slices.Sort(p.Landmarks)
	n := 3 * len(p.Landmarks)
	root := make([][]float64, n)
	for i, l := range p.Landmarks {
		p.At = append(p.At, points[l])
		for k := range 3 {
			row := make([]float64, n)
			for j := range row {
				row[j] = 0.1 * rng.NormFloat64()
			}
			root[3*i+k] = row
		}
	}
	for i := range n {
		row := make([]float64, n)
		for j := range n {
			for k := range n {
				row[j] += root[i][k] * root[j][k]
			}
		}
		p.Covariance = append(p.Covariance, row)
	}
	return p
}

// What a placing gives is where its landmarks are, and its covariance is J C Jᵀ with
// derivatives J by differences.
func TestPlacing(t *testing.T) {
	p := placing(rand.New(rand.NewPCG(1, 2)))
	fix, err := p.Fix()
	require.NoError(t, err)
	hoods, _ := fix.Position.At(contact.HoodsLeft)
	assert.Equal(t, r3.Vec{X: 600, Y: 210, Z: 660}, hoods)
	view, ok := fix.SideView()
	require.True(t, ok)
	// By hand: the head tube of aBike is at 71° with an offset of 45 mm, the axle 405 mm back.
	assert.InDelta(t, 71, view.Numbers[2], 1e-9)
	assert.InDelta(t, 45, view.Numbers[7], 1e-9)
	assert.InDelta(t, 405, view.Numbers[5], 1e-9)

	numbers := func(p survey.Placing) []float64 {
		fix, err := p.Fix()
		require.NoError(t, err)
		view, _ := fix.SideView()
		var all []float64
		for _, c := range fix.Covariance.Coordinates() {
			all = append(all, number(fix.Position, c))
		}
		return append(all, view.Numbers[:8]...)
	}
	n := len(p.Covariance)
	at := numbers(p)
	slopes := make([][]float64, n)
	for j := range n {
		moved := func(by float64) []float64 {
			q := p
			q.At = slices.Clone(p.At)
			d := [3]float64{}
			d[j%3] = by
			q.At[j/3] = r3.Add(q.At[j/3], r3.Vec{X: d[0], Y: d[1], Z: d[2]})
			return numbers(q)
		}
		a, b := moved(1e-4), moved(-1e-4)
		for i := range at {
			slopes[j] = append(slopes[j], (a[i]-b[i])/2e-4)
		}
	}
	want := func(i, k int) float64 {
		sum := 0.0
		for a := range n {
			for b := range n {
				sum += slopes[a][i] * p.Covariance[a][b] * slopes[b][k]
			}
		}
		return sum
	}
	coords := fix.Covariance.Coordinates()
	for i := range coords {
		got, _ := fix.Covariance.At(coords[i], coords[0])
		assert.InDelta(t, want(i, 0), got, 1e-5*(1+math.Abs(got)), "%v", coords[i])
		got, _ = fix.Covariance.At(coords[i], coords[i])
		assert.InDelta(t, want(i, i), got, 1e-5*(1+math.Abs(got)), "%v", coords[i])
	}
	for i := range 8 {
		for k := range 8 {
			got := view.Covariance[i][k]
			assert.InDelta(t, want(len(coords)+i, len(coords)+k), got, 1e-5*(1+math.Abs(got)), "%d %d", i, k)
		}
		assert.InDelta(t, want(len(coords)+i, 0), view.With[0][i], 1e-4, "%d", i)
	}

	_, err = fix.Locate([]survey.Reading{{Landmark: survey.BottomBracketLeft}})
	assert.ErrorIs(t, err, contact.ErrMissing)
	assert.True(t, slices.ContainsFunc(fix.Findings, func(f survey.Finding) bool { return f.Kind == survey.WheelTurned && f.Amount == 2 }))
}

func move(p *survey.Placing, by r3.Vec) {
	for i := range p.At {
		p.At[i] = r3.Add(p.At[i], by)
	}
}

// By hand: up that is 3 parts in 100 to the left leans by atan 0.03 to the right, and with 4
// parts in 100 ahead its front stands asin (0.04/√1.0025) higher, by 4 in √1.0025 of 100 of the 1,000 mm
// from axle to axle.
func TestPlacingStands(t *testing.T) {
	p := placing(rand.New(rand.NewPCG(1, 2)))
	fix, err := p.Fix()
	require.NoError(t, err)
	_, ok := fix.Standing()
	assert.False(t, ok)
	p.Up, p.LeanSigma, p.NoseUpSigma = r3.Vec{X: 4, Y: 3, Z: 100}, 0.2, 0.1
	fix, err = p.Fix()
	require.NoError(t, err)
	s, ok := fix.Standing()
	require.True(t, ok)
	assert.InDelta(t, math.Atan(0.03)*180/math.Pi, s.Lean, 1e-9)
	assert.InDelta(t, math.Asin(0.04/math.Sqrt(1.0025))*180/math.Pi, s.NoseUp, 1e-9)
	assert.Equal(t, []float64{0.2, 0.1}, []float64{s.LeanSigma, s.NoseUpSigma})
	assert.InDelta(t, 1000*0.04/math.Sqrt(1.0025), s.RaiseRear, 1)
	assert.Zero(t, s.RaiseFront)
}

func TestPlacingFaults(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for name, c := range map[string]struct {
		spoil func(p *survey.Placing)
		class error
	}{
		"none":          {func(p *survey.Placing) { *p = survey.Placing{} }, contact.ErrMissing},
		"a place less":  {func(p *survey.Placing) { p.At = p.At[1:] }, contact.ErrMissing},
		"twice":         {func(p *survey.Placing) { p.Landmarks[1] = p.Landmarks[0] }, contact.ErrConflict},
		"unknown":       {func(p *survey.Placing) { p.Landmarks[0] = "nothing" }, contact.ErrUnknown},
		"not a number":  {func(p *survey.Placing) { p.At[3].X = math.NaN() }, contact.ErrRange},
		"no covariance": {func(p *survey.Placing) { p.Covariance[4] = nil }, contact.ErrMissing},
		"infinite":      {func(p *survey.Placing) { p.Covariance[4][0] = math.Inf(1) }, contact.ErrRange},
		"asymmetric":    {func(p *survey.Placing) { p.Covariance[4][0]++ }, contact.ErrConflict},
		"other axes":    {func(p *survey.Placing) { move(p, r3.Vec{Z: 270}) }, contact.ErrConflict},
		"off the plane": {func(p *survey.Placing) { move(p, r3.Vec{Y: 20}) }, contact.ErrConflict},
		"not level":     {func(p *survey.Placing) { p.FrontRadius += 30 }, contact.ErrConflict},
		"turned":        {func(p *survey.Placing) { p.Steer = 100 }, contact.ErrRange},
		"up nowhere":    {func(p *survey.Placing) { p.Up.Z = math.NaN() }, contact.ErrRange},
		"up at all":     {func(p *survey.Placing) { p.LeanSigma = 200 }, contact.ErrRange},
	} {
		p := placing(rng)
		c.spoil(&p)
		_, err := p.Fix()
		assert.ErrorIs(t, err, c.class, name)
	}
}

func TestMates(t *testing.T) {
	for l, want := range map[survey.Landmark]survey.Landmark{
		survey.RearAxleLeft:               survey.RearAxleRight,
		survey.Ahead(contact.HoodsRight):  survey.Ahead(contact.HoodsLeft),
		survey.Mark("scratch_left"):       survey.Mark("scratch_right"),
		survey.At(contact.SaddleNose):     "",
		survey.Mark("left"):               "",
		survey.Mark("scratch_left_ahead"): "",
		"nothing_left":                    "",
	} {
		mate, ok := l.Mate()
		assert.Equal(t, want, mate, l)
		assert.Equal(t, want != "", ok, l)
	}
	assert.True(t, survey.At(contact.GripLeft).Steers() && survey.FrontRimRight.Steers())
	assert.False(t, survey.RearRimRight.Steers() || survey.Landmark("nothing").Known())
	axle, ok := survey.UsualTrueness(survey.RearAxleLeft)
	assert.Equal(t, survey.Trueness{Pair: survey.RearAxleLeft, Sigma: 1, Counts: survey.CountsLine}, axle)
	assert.True(t, ok)
	_, ok = survey.UsualTrueness(survey.RearAxleRight)
	assert.False(t, ok)
}
