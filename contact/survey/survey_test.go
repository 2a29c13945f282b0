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

const tolMM = 1e-6

// truth is an invented bike on level ground, rear radius 336 and front radius
// 340 mm, with a rider's contact points. Left and right differ.
func truth() map[survey.Landmark]r3.Vec {
	return map[survey.Landmark]r3.Vec{
		survey.BottomBracketLeft:           {Y: 45},
		survey.BottomBracketRight:          {Y: -45},
		survey.RearAxleLeft:                {X: -405, Y: 71, Z: 70},
		survey.RearAxleRight:               {X: -405, Y: -71, Z: 70},
		survey.FrontAxleLeft:               {X: 585, Y: 55, Z: 74},
		survey.FrontAxleRight:              {X: 585, Y: -55, Z: 74},
		survey.SaddleEdgeLeft:              {X: -210, Y: 42, Z: 718},
		survey.SaddleEdgeRight:             {X: -210, Y: -38, Z: 722},
		survey.At(contact.SaddleNose):      {X: -60, Y: 1, Z: 715},
		survey.At(contact.SaddleRear):      {X: -335, Y: 0, Z: 725},
		survey.At(contact.BarClamp):        {X: 480, Y: -1, Z: 640},
		survey.At(contact.HoodsLeft):       {X: 600, Y: 210, Z: 660},
		survey.At(contact.HoodsRight):      {X: 602, Y: -206, Z: 656},
		survey.At(contact.PedalLeft):       {X: -172.5 * math.Cos(0.9), Y: 73, Z: 172.5 * math.Sin(0.9)},
		survey.At(contact.PedalRight):      {X: 170 * math.Cos(0.9), Y: -75, Z: -170 * math.Sin(0.9)},
		survey.Landmark("extension_right"): {X: 700, Y: -60, Z: 700},
	}
}

// place is where the instrument stands: a turn, then a shift.
type place struct {
	turn r3.Rotation
	at   r3.Vec
}

func anywhere(rng *rand.Rand) place {
	axis := r3.Unit(r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()})
	return place{r3.NewRotation(2*math.Pi*rng.Float64(), axis), r3.Vec{X: 3000 * rng.NormFloat64(), Y: 900, Z: -1200}}
}

func (p place) see(v r3.Vec) r3.Vec { return r3.Add(p.turn.Rotate(v), p.at) }

var landmarks = func() (all []survey.Landmark) {
	t := truth()
	for _, l := range []survey.Landmark{
		survey.BottomBracketLeft, survey.BottomBracketRight, survey.RearAxleLeft, survey.RearAxleRight,
		survey.FrontAxleLeft, survey.FrontAxleRight, survey.SaddleEdgeLeft, survey.SaddleEdgeRight,
	} {
		if _, ok := t[l]; ok {
			all = append(all, l)
		}
	}
	for _, s := range contact.Sites() {
		if _, ok := t[survey.At(s)]; ok {
			all = append(all, survey.At(s))
		}
	}
	return all
}()

// read surveys points from a place, n readings each with noise of sigma.
func read(points map[survey.Landmark]r3.Vec, from place, n int, sigma float64, rng *rand.Rand) survey.Survey {
	s := survey.Survey{
		Sigma: r3.Vec{X: 0.5, Y: 0.5, Z: 0.5}, FrontRadius: 340, RearRadius: 336, RadiusSigma: 0,
		Up: from.turn.Rotate(r3.Vec{Z: 1}),
	}
	for range n {
		for _, l := range landmarks {
			v, ok := points[l]
			if !ok {
				continue
			}
			noise := r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()}
			s.Readings = append(s.Readings, survey.Reading{Landmark: l, At: r3.Add(from.see(v), r3.Scale(sigma, noise))})
		}
	}
	return s
}

// want is the position that truth stands for.
func want() contact.Position {
	p := contact.New(map[contact.Site]r3.Vec{
		contact.SaddleReference: {X: -210, Y: 2, Z: 720},
		contact.PedalLeft:       {X: 172.5, Y: 73},
		contact.PedalRight:      {X: 170, Y: -75},
	})
	for l, v := range truth() {
		if s, err := contact.ParseSite(string(l)); err == nil && s < contact.PedalLeft {
			p.Set(s, v)
		}
	}
	p.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: math.Atan2(-10, 275) * 180 / math.Pi})
	return p
}

func TestExactWithoutNoise(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for range 50 {
		fix, err := read(truth(), anywhere(rng), 2, 0, rng).Solve()
		require.NoError(t, err)
		w := want()
		for s, v := range w.Sub(fix.Position).All() {
			assert.Less(t, r3.Norm(v), 1e-9, s)
		}
		a, ok := fix.Position.Attitude(contact.SaddleReference)
		require.True(t, ok)
		b, _ := w.Attitude(contact.SaddleReference)
		assert.InDelta(t, b.Tilt, a.Tilt, 1e-9)
		assert.InDelta(t, 0, fix.Steer, 1e-9)
		for _, s := range contact.Sites() {
			_, known := w.At(s)
			_, got := fix.Position.At(s)
			assert.Equal(t, known, got, s)
		}
	}
}

// A bike that leans 2° to the right and stands 1.5° nose-down.
func TestStands(t *testing.T) {
	rad := math.Pi / 180
	stand := func(v r3.Vec) r3.Vec { // lean about X, then nose-down about Y
		v = r3.Rotate(v, 2*rad, r3.Vec{X: 1})
		return r3.Rotate(v, 1.5*rad, r3.Vec{Y: 1})
	}
	points := truth()
	for l, v := range points {
		points[l] = stand(v)
	}
	rng := rand.New(rand.NewPCG(3, 4))
	fix, err := read(points, anywhere(rng), 1, 0, rng).Solve()
	require.NoError(t, err)
	st, ok := fix.Stands()
	require.True(t, ok)
	assert.InDelta(t, 2, st.Lean, tolMM)
	assert.InDelta(t, -1.5, st.NoseUp, tolMM)
	assert.InDelta(t, 990*math.Sin(1.5*rad), st.RaiseFront, tolMM) // 990 mm of level wheelbase
	hoods, _ := fix.Position.At(contact.HoodsLeft)
	assert.InDelta(t, 660, hoods.Z, tolMM, "coordinates do not care how the bike stood")

	s := read(points, anywhere(rng), 1, 0, rng)
	s.Up = r3.Vec{}
	fix, err = s.Solve()
	require.NoError(t, err)
	_, ok = fix.Stands()
	assert.False(t, ok)
}

// A turned wheel carries its axle's ends with it; the axis of the head tube
// stays. With no fork offset the axle turns in place.
func TestSteer(t *testing.T) {
	points := truth()
	for _, l := range []survey.Landmark{survey.FrontAxleLeft, survey.FrontAxleRight} {
		v := points[l]
		mid := r3.Vec{X: 585, Z: 74}
		points[l] = r3.Add(mid, r3.Rotate(r3.Sub(v, mid), 5*math.Pi/180, r3.Vec{Z: 1}))
	}
	rng := rand.New(rand.NewPCG(5, 6))
	fix, err := read(points, anywhere(rng), 1, 0, rng).Solve()
	require.NoError(t, err)
	assert.Greater(t, fix.Steer, 3*fix.SteerSigma)
	assert.InDelta(t, 5, fix.Steer, 0.2, "the turned axle draws the mid-plane a little with it")
}

// The stated uncertainties against finite differences of the whole computation
// and, in TestUncertaintyMonteCarlo, against chance.
func TestUncertaintyFiniteDifferences(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 8))
	s := read(truth(), anywhere(rng), 1, 0.5, rng)
	s.Sigma = r3.Vec{X: 0.3, Y: 0.6, Z: 0.9}
	s.RadiusSigma = 1.5
	fix, err := s.Solve()
	require.NoError(t, err)
	const h = 1e-3
	variance := map[contact.Site]r3.Vec{}
	tilt, steer := 0.0, 0.0
	vary := func(sigma float64, change func(s *survey.Survey, by float64)) {
		var ends [2]survey.Fix
		for i, by := range []float64{h, -h} {
			moved := s
			moved.Readings = append([]survey.Reading(nil), s.Readings...)
			change(&moved, by)
			ends[i], err = moved.Solve()
			require.NoError(t, err)
		}
		d := ends[0].Position.Sub(ends[1].Position)
		for site, v := range d.All() {
			v = r3.Scale(sigma/(2*h), v)
			variance[site] = r3.Add(variance[site], r3.Vec{X: v.X * v.X, Y: v.Y * v.Y, Z: v.Z * v.Z})
		}
		a, _ := d.Attitude(contact.SaddleReference)
		tilt += math.Pow(a.Tilt*sigma/(2*h), 2)
		steer += math.Pow((ends[0].Steer-ends[1].Steer)*sigma/(2*h), 2)
	}
	for i := range s.Readings {
		vary(s.Sigma.X, func(s *survey.Survey, by float64) { s.Readings[i].At.X += by })
		vary(s.Sigma.Y, func(s *survey.Survey, by float64) { s.Readings[i].At.Y += by })
		vary(s.Sigma.Z, func(s *survey.Survey, by float64) { s.Readings[i].At.Z += by })
	}
	vary(s.RadiusSigma, func(s *survey.Survey, by float64) { s.FrontRadius += by })
	vary(s.RadiusSigma, func(s *survey.Survey, by float64) { s.RearRadius += by })
	for site, v := range variance {
		got, ok := fix.Sigma(site)
		require.True(t, ok)
		assert.InDelta(t, math.Sqrt(v.X), got.X, 1e-5, "%v x", site)
		assert.InDelta(t, math.Sqrt(v.Y), got.Y, 1e-5, "%v y", site)
		assert.InDelta(t, math.Sqrt(v.Z), got.Z, 1e-5, "%v z", site)
	}
	got, ok := fix.TiltSigma()
	require.True(t, ok)
	assert.InDelta(t, math.Sqrt(tilt), got, 1e-5)
	assert.InDelta(t, math.Sqrt(steer), fix.SteerSigma, 1e-5)
}

func TestUncertaintyMonteCarlo(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 10))
	const draws = 4000
	sums := map[contact.Site]r3.Vec{}
	w := want()
	from := anywhere(rng)
	var last survey.Fix
	for range draws {
		fix, err := read(truth(), from, 3, 0.5, rng).Solve()
		require.NoError(t, err)
		for s, v := range fix.Position.Sub(w).All() {
			sums[s] = r3.Add(sums[s], r3.Vec{X: v.X * v.X, Y: v.Y * v.Y, Z: v.Z * v.Z})
		}
		last = fix
	}
	for s, sum := range sums {
		u, _ := last.Sigma(s)
		for i, c := range [][2]float64{{sum.X, u.X}, {sum.Y, u.Y}, {sum.Z, u.Z}} {
			if c[1] == 0 {
				assert.Zero(t, c[0], "%v %d", s, i) // a pedal's Z
				continue
			}
			// The sampling error of a standard deviation is 1/sqrt(2·4000) = 1.1 %.
			assert.InEpsilon(t, c[1], math.Sqrt(c[0]/draws), 0.06, "%v %d", s, i)
		}
	}
}

func TestSiteThatWasNotRead(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 12))
	points := truth()
	delete(points, survey.At(contact.SaddleNose))
	delete(points, survey.SaddleEdgeLeft)
	delete(points, survey.SaddleEdgeRight)
	fix, err := read(points, anywhere(rng), 1, 0, rng).Solve()
	require.NoError(t, err)
	_, ok := fix.Sigma(contact.SaddleNose)
	assert.False(t, ok)
	_, ok = fix.Position.At(contact.SaddleReference)
	assert.False(t, ok)
	_, ok = fix.TiltSigma()
	assert.False(t, ok)
}

func TestBadSurveys(t *testing.T) {
	swap := func(points map[survey.Landmark]r3.Vec, l, r survey.Landmark) {
		points[l], points[r] = points[r], points[l]
	}
	for name, c := range map[string]struct {
		points func(map[survey.Landmark]r3.Vec)
		survey func(*survey.Survey)
		class  error
		path   string
	}{
		"missing axle":      {points: func(p map[survey.Landmark]r3.Vec) { delete(p, survey.RearAxleLeft) }, class: contact.ErrMissing, path: "readings.rear_axle_left"},
		"missing edge":      {points: func(p map[survey.Landmark]r3.Vec) { delete(p, survey.SaddleEdgeLeft) }, class: contact.ErrMissing, path: "readings.saddle_edge_left"},
		"missing edge (2)":  {points: func(p map[survey.Landmark]r3.Vec) { delete(p, survey.SaddleEdgeRight) }, class: contact.ErrMissing, path: "readings.saddle_edge_right"},
		"hoods swapped":     {points: func(p map[survey.Landmark]r3.Vec) { swap(p, "hoods_left", "hoods_right") }, class: contact.ErrConflict, path: "readings.hoods_left.y"},
		"rear axle swapped": {points: func(p map[survey.Landmark]r3.Vec) { swap(p, survey.RearAxleLeft, survey.RearAxleRight) }, class: contact.ErrConflict, path: "readings.rear_axle_left"},
		"all swapped": {survey: func(s *survey.Survey) {
			for i, r := range s.Readings {
				if n := len(r.Landmark); n > 5 && r.Landmark[n-5:] == "_left" {
					s.Readings[i].Landmark = r.Landmark[:n-5] + "_right"
				} else if n > 6 && r.Landmark[n-6:] == "_right" {
					s.Readings[i].Landmark = r.Landmark[:n-6] + "_left"
				}
			}
		}, class: contact.ErrConflict, path: "readings.saddle_reference"},
		"left-handed axes": {survey: func(s *survey.Survey) {
			for i := range s.Readings {
				s.Readings[i].At.Z *= -1
			}
		}, class: contact.ErrConflict, path: "readings.saddle_reference"},
		"metres": {survey: func(s *survey.Survey) {
			for i := range s.Readings {
				s.Readings[i].At = r3.Scale(0.001, s.Readings[i].At)
			}
		}, class: contact.ErrUnit, path: "readings.bottom_bracket, left to right"},
		"inches": {survey: func(s *survey.Survey) {
			for i := range s.Readings {
				s.Readings[i].At = r3.Scale(1/25.4, s.Readings[i].At)
			}
		}, class: contact.ErrUnit, path: "readings.bottom_bracket, left to right"},
		"coincident":         {points: func(p map[survey.Landmark]r3.Vec) { p[survey.FrontAxleLeft] = p[survey.FrontAxleRight] }, class: contact.ErrRange, path: "readings.front_axle, left to right"},
		"NaN reading":        {survey: func(s *survey.Survey) { s.Readings[3].At.Y = math.NaN() }, class: contact.ErrRange, path: "readings.rear_axle_right.y"},
		"unknown landmark":   {survey: func(s *survey.Survey) { s.Readings[3].Landmark = "bell" }, class: contact.ErrUnknown, path: "readings.bell"},
		"foot is not read":   {survey: func(s *survey.Survey) { s.Readings[3].Landmark = "foot_left" }, class: contact.ErrUnknown, path: "readings.foot_left"},
		"reference twice":    {points: func(p map[survey.Landmark]r3.Vec) { p["saddle_reference"] = r3.Vec{X: -210, Z: 720} }, class: contact.ErrConflict, path: "readings.saddle_reference"},
		"no uncertainty":     {survey: func(s *survey.Survey) { s.Sigma.Y = 0 }, class: contact.ErrRange, path: "sigma.y"},
		"negative":           {survey: func(s *survey.Survey) { s.Sigma.X = -1 }, class: contact.ErrRange, path: "sigma.x"},
		"radius in inches":   {survey: func(s *survey.Survey) { s.FrontRadius = 13.4 }, class: contact.ErrUnit, path: "front_radius"},
		"radius uncertainty": {survey: func(s *survey.Survey) { s.RadiusSigma = math.Inf(1) }, class: contact.ErrRange, path: "radius_sigma"},
		"up":                 {survey: func(s *survey.Survey) { s.Up.X = math.NaN() }, class: contact.ErrRange, path: "up"},
		"nothing":            {survey: func(s *survey.Survey) { *s = survey.Survey{} }, class: contact.ErrMissing, path: "sigma.x"},
	} {
		t.Run(name, func(t *testing.T) {
			rng := rand.New(rand.NewPCG(13, 14))
			points := truth()
			if c.points != nil {
				c.points(points)
			}
			s := read(points, anywhere(rng), 1, 0, rng)
			if _, ok := points["saddle_reference"]; ok {
				s.Readings = append(s.Readings, survey.Reading{Landmark: "saddle_reference", At: points["saddle_reference"]})
			}
			if c.survey != nil {
				c.survey(&s)
			}
			fix, err := s.Solve()
			require.ErrorIs(t, err, c.class)
			assert.Equal(t, c.path, contact.Faults(err)[0].Path, "%v", err)
			assert.Equal(t, contact.Position{}, fix.Position, "no position beside an error")
		})
	}
}
