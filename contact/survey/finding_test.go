package survey_test

import (
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

func kinds(fs []survey.Finding) map[survey.FindingKind][]survey.Landmark {
	m := map[survey.FindingKind][]survey.Landmark{}
	for _, f := range fs {
		m[f.Kind] = append(m[f.Kind], f.Landmark)
	}
	return m
}

// One reading of each landmark that was read three times or more may be 20 mm
// off, wherever and in any direction: it is set aside and named.
func TestGrossErrors(t *testing.T) {
	rng := rand.New(rand.NewPCG(31, 32))
	for range 30 {
		clean := read(aBike().turned(0), anywhere(rng), 3, 0.4, rng)
		without := clean // the same without the readings that will be wrong
		without.Readings = nil
		bad := clean
		bad.Readings = append([]survey.Reading(nil), clean.Readings...)
		n := len(bad.Readings) / 3
		wrong := map[int]bool{}
		for k := range n {
			i := k + n*rng.IntN(3)
			wrong[i] = true
			bad.Readings[i].At = r3.Add(bad.Readings[i].At, r3.Scale(20, r3.Unit(noise(1, rng))))
		}
		for i, r := range clean.Readings {
			if !wrong[i] {
				without.Readings = append(without.Readings, r)
			}
		}
		got, err := bad.Solve()
		require.NoError(t, err)
		want, err := without.Solve()
		require.NoError(t, err)
		set := 0
		for _, f := range got.Findings {
			if f.Kind == survey.SetAside {
				set++
				assert.True(t, wrong[f.Reading], f)
				assert.Equal(t, bad.Readings[f.Reading].Landmark, f.Landmark)
				assert.InDelta(t, 20, f.Amount, 3)
				assert.Contains(t, f.String(), "set aside")
			}
		}
		assert.Equal(t, n, set)
		for c, off := range offBy(got, want.Position) {
			assert.InDelta(t, 0, off[0], 1e-9, "%v", c)
		}
	}
}

func TestFindings(t *testing.T) {
	rng := rand.New(rand.NewPCG(33, 34))

	once, err := read(aBike().turned(0), anywhere(rng), 1, 0.3, rng).Solve()
	require.NoError(t, err)
	assert.Len(t, kinds(once.Findings)[survey.ReadOnce], 24)

	b := aBike()
	b.points[at(contact.HoodsLeft)] = r3.Add(b.points[at(contact.HoodsLeft)], r3.Vec{X: -18})
	b.points[survey.SaddleEdgeLeft] = r3.Add(b.points[survey.SaddleEdgeLeft], r3.Vec{Z: 15})
	crooked, err := read(b.turned(0), anywhere(rng), 3, 0.3, rng).Solve()
	require.NoError(t, err)
	assert.Equal(t, map[survey.FindingKind][]survey.Landmark{survey.Crooked: {survey.SaddleEdgeLeft, "hoods_left"}}, kinds(crooked.Findings))
	assert.Contains(t, crooked.Findings[0].String(), "from the mirror image")
	straight, err := read(aBike().turned(0), anywhere(rng), 3, 0.3, rng).Solve()
	require.NoError(t, err)
	assert.Empty(t, straight.Findings)

	turned, err := read(aBike().turned(-7), anywhere(rng), 3, 0.3, rng).Solve()
	require.NoError(t, err)
	require.Len(t, turned.Findings, 1)
	assert.Equal(t, survey.WheelTurned, turned.Findings[0].Kind)
	assert.InDelta(t, -7, turned.Findings[0].Amount, 3*turned.SteerSigma)
	assert.Contains(t, turned.Findings[0].String(), "front wheel turned by -")

	// Half a degree is what people set by eye, however well it was read.
	for degrees, want := range map[float64]int{0.4: 0, -0.45: 0, 0.55: 1, -0.6: 1} {
		well := read(aBike().turned(degrees), anywhere(rng), 3, 0, rng)
		well.Sigma = r3.Vec{X: 0.02, Y: 0.02, Z: 0.02}
		for i := range well.Trueness {
			well.Trueness[i].Sigma = 0.02
		}
		fix, err := well.Solve()
		require.NoError(t, err)
		assert.Len(t, fix.Findings, want, degrees)
	}

	s := read(aBike().turned(0), anywhere(rng), 4, 0.7, rng) // stated: 0.5
	scattered, err := s.Solve()
	require.NoError(t, err)
	last := scattered.Findings[len(scattered.Findings)-1]
	assert.Equal(t, survey.Scattered, last.Kind)
	assert.InDelta(t, 1.4, last.Amount, 0.2)
	assert.Contains(t, last.String(), "as much as stated")

	assert.Equal(t, "finding(99)", survey.FindingKind(99).String())
	assert.Equal(t, "finding(99)", survey.Finding{Kind: 99}.String())
	trial.Names(t, survey.ParseFindingKind, survey.SetAside, survey.ReadOnce, survey.Crooked, survey.WheelTurned, survey.Scattered, survey.OffCentre, survey.Askew, survey.OutOfTrue)
	assert.Contains(t, survey.Finding{Kind: survey.ReadOnce, Landmark: "mark_x"}.String(), "mark_x: read once")
}

// Whatever is wrong with a survey: an error, and no position beside it.
func TestBadSurveys(t *testing.T) {
	swap := func(points map[survey.Landmark]r3.Vec, l, r survey.Landmark) {
		points[l], points[r] = points[r], points[l]
	}
	scaled := func(by float64) func(*survey.Survey) {
		return func(s *survey.Survey) {
			for i := range s.Readings {
				s.Readings[i].At = r3.Scale(by, s.Readings[i].At)
			}
		}
	}
	covariance := func(c [3][3]float64) func(*survey.Survey) {
		return func(s *survey.Survey) { s.Sigma, s.Covariance = r3.Vec{}, c }
	}
	for name, c := range map[string]struct {
		points func(map[survey.Landmark]r3.Vec)
		survey func(*survey.Survey)
		class  error
		path   string
		says   string // somewhere in the text of the first fault
	}{
		"missing axle":      {points: func(p map[survey.Landmark]r3.Vec) { delete(p, survey.RearAxleLeft) }, class: contact.ErrMissing, path: "readings", says: "rear_axle_left"},
		"missing edge":      {points: func(p map[survey.Landmark]r3.Vec) { delete(p, survey.SaddleEdgeLeft) }, class: contact.ErrMissing, path: "readings", says: "saddle_edge_left"},
		"missing edge (2)":  {points: func(p map[survey.Landmark]r3.Vec) { delete(p, survey.SaddleEdgeRight) }, class: contact.ErrMissing, path: "readings", says: "saddle_edge_right"},
		"hoods swapped":     {points: func(p map[survey.Landmark]r3.Vec) { swap(p, "hoods_left", "hoods_right") }, class: contact.ErrConflict, path: "readings.hoods_left"},
		"pedals swapped":    {points: func(p map[survey.Landmark]r3.Vec) { swap(p, "pedal_left", "pedal_right") }, class: contact.ErrConflict, path: "readings.pedal_left"},
		"rear axle swapped": {points: func(p map[survey.Landmark]r3.Vec) { swap(p, survey.RearAxleLeft, survey.RearAxleRight) }, class: contact.ErrConflict, path: "readings.rear_axle_left"},
		"all swapped": {survey: func(s *survey.Survey) {
			for i, r := range s.Readings {
				if n := len(r.Landmark); n > 5 && r.Landmark[n-5:] == "_left" {
					s.Readings[i].Landmark = r.Landmark[:n-5] + "_right"
				} else if n > 6 && r.Landmark[n-6:] == "_right" {
					s.Readings[i].Landmark = r.Landmark[:n-6] + "_left"
				}
			}
		}, class: contact.ErrConflict, path: "readings", says: "left-handed"},
		"left-handed axes": {survey: func(s *survey.Survey) {
			for i := range s.Readings {
				s.Readings[i].At.Z *= -1
			}
		}, class: contact.ErrConflict, path: "readings", says: "left-handed"},
		"metres":      {survey: scaled(0.001), class: contact.ErrUnit, path: "unit"},
		"inches":      {survey: scaled(1 / 25.4), class: contact.ErrUnit, path: "unit"},
		"centimetres": {survey: scaled(0.1), class: contact.ErrUnit, path: "unit"},
		"mm as cm":    {survey: func(s *survey.Survey) { s.Unit = survey.Centimetre }, class: contact.ErrUnit, path: "unit"},
		"mm as m":     {survey: func(s *survey.Survey) { s.Unit = survey.Metre }, class: contact.ErrUnit, path: "unit"},
		"coincident":  {points: func(p map[survey.Landmark]r3.Vec) { p[survey.FrontAxleLeft] = p[survey.FrontAxleRight] }, class: contact.ErrRange, path: "readings.front_axle, left to right"},
		"collinear": {points: func(p map[survey.Landmark]r3.Vec) {
			for _, l := range []survey.Landmark{survey.BottomBracketLeft, survey.BottomBracketRight, survey.RearAxleLeft, survey.RearAxleRight, survey.FrontAxleLeft, survey.FrontAxleRight} {
				p[l] = r3.Vec{X: p[l].X + p[l].Y, Z: p[l].X / 10}
			}
		}, class: contact.ErrConflict, path: "readings"},
		"one reading of two 20 mm off": {survey: func(s *survey.Survey) { s.Readings[0].At.X += 20 }, class: contact.ErrConflict, path: "readings.bottom_bracket_left"},
		"two of one landmark": {survey: func(s *survey.Survey) {
			more := s.Readings[:3:3]
			for _, off := range []float64{0, 15, 30, 45, 60} {
				r := s.Readings[0]
				r.At.X += off
				more = append(more, r)
			}
			s.Readings = append(more, s.Readings...)
		}, class: contact.ErrConflict, path: "readings.bottom_bracket_left"},
		// Nothing else tells the steering angle, so it cannot be left out.
		"axle not true": {points: func(p map[survey.Landmark]r3.Vec) {
			p[survey.FrontAxleLeft] = r3.Add(p[survey.FrontAxleLeft], r3.Vec{Z: 20})
		}, class: contact.ErrConflict, path: "readings.front_axle", says: "askew"},
		// Of two that contradict each other neither can be left out.
		"axle or mark": {points: func(p map[survey.Landmark]r3.Vec) {
			p[survey.Mark("seat_tube_left")] = r3.Add(p[survey.Mark("seat_tube_left")], r3.Vec{Y: 60})
		}, survey: func(s *survey.Survey) {
			s.Trueness[1].Counts, s.Trueness[2].Counts = survey.CountsAsUsual, survey.CountsAsUsual
		}, class: contact.ErrConflict, path: "readings.bottom_bracket", says: "it could be as well: mark_seat_tube"},
		"NaN reading":        {survey: func(s *survey.Survey) { s.Readings[3].At.Y = math.NaN() }, class: contact.ErrRange, path: "readings[3].at[1]"},
		"infinite reading":   {survey: func(s *survey.Survey) { s.Readings[3].At.Z = math.Inf(-1) }, class: contact.ErrRange, path: "readings[3].at[2]"},
		"unknown landmark":   {survey: func(s *survey.Survey) { s.Readings[3].Landmark = "bell" }, class: contact.ErrUnknown, path: "readings[3].landmark", says: `"bell"`},
		"nameless mark":      {survey: func(s *survey.Survey) { s.Readings[3].Landmark = survey.Mark("") }, class: contact.ErrUnknown, path: "readings[3].landmark"},
		"foot alone":         {survey: func(s *survey.Survey) { s.Readings[3].Landmark = "foot_left" }, class: contact.ErrMissing, path: "readings.foot_left_ahead"},
		"reference twice":    {points: func(p map[survey.Landmark]r3.Vec) { p["saddle_reference"] = r3.Vec{X: -210, Z: 720} }, class: contact.ErrConflict, path: "readings", says: "saddle_reference"},
		"unit":               {survey: func(s *survey.Survey) { s.Unit = 77 }, class: contact.ErrUnknown, path: "unit"},
		"no uncertainty":     {survey: func(s *survey.Survey) { s.Sigma.Y = 0 }, class: contact.ErrRange, path: "sigma[1]"},
		"negative":           {survey: func(s *survey.Survey) { s.Sigma.X = -1 }, class: contact.ErrRange, path: "sigma[0]"},
		"NaN uncertainty":    {survey: func(s *survey.Survey) { s.Sigma.Z = math.NaN() }, class: contact.ErrRange, path: "sigma[2]"},
		"both uncertainties": {survey: func(s *survey.Survey) { s.Covariance[0][0] = 1 }, class: contact.ErrConflict, path: "sigma"},
		"negative variance":  {survey: covariance([3][3]float64{{1, 0, 0}, {0, -1, 0}, {0, 0, 1}}), class: contact.ErrRange, path: "covariance[1][1]"},
		"not semidefinite":   {survey: covariance([3][3]float64{{1, 2, 0}, {2, 1, 0}, {0, 0, 1}}), class: contact.ErrConflict, path: "covariance"},
		"not symmetric":      {survey: covariance([3][3]float64{{1, 0.1, 0}, {0, 1, 0}, {0, 0, 1}}), class: contact.ErrConflict, path: "covariance"},
		"too coarse":         {survey: func(s *survey.Survey) { s.Sigma = r3.Vec{X: 20, Y: 20, Z: 20} }, class: contact.ErrRange, path: "sigma"},
		"radius in inches":   {survey: func(s *survey.Survey) { s.FrontRadius = 13.4 }, class: contact.ErrUnit, path: "front_radius_mm"},
		"one radius":         {survey: func(s *survey.Survey) { s.RearRadius = 0 }, class: contact.ErrRange, path: "rear_radius_mm"},
		"no radius, no up":   {survey: func(s *survey.Survey) { s.FrontRadius, s.RearRadius, s.Up = 0, 0, r3.Vec{} }, class: contact.ErrMissing, path: "front_radius_mm"},
		"radius uncertainty": {survey: func(s *survey.Survey) { s.RadiusSigma = math.Inf(1) }, class: contact.ErrRange, path: "radius_sigma_mm"},
		"up":                 {survey: func(s *survey.Survey) { s.Up.X = math.NaN() }, class: contact.ErrRange, path: "up[0]"},
		"up uncertainty":     {survey: func(s *survey.Survey) { s.UpSigma = -1 }, class: contact.ErrRange, path: "up_sigma_deg"},
		"nothing":            {survey: func(s *survey.Survey) { *s = survey.Survey{} }, class: contact.ErrMissing, path: "sigma[0]"},
	} {
		t.Run(name, func(t *testing.T) {
			rng := rand.New(rand.NewPCG(13, 14))
			points := aBike().turned(0)
			if c.points != nil {
				c.points(points)
			}
			s := read(points, anywhere(rng), 2, 0, rng)
			if c.survey != nil {
				c.survey(&s)
			}
			fix, err := s.Solve()
			require.ErrorIs(t, err, c.class)
			assert.Equal(t, c.path, contact.Faults(err)[0].Path, "%v", err)
			assert.Contains(t, contact.Faults(err)[0].Error(), c.says)
			assert.Equal(t, contact.Position{}, fix.Position, "no position beside an error")
		})
	}
}

func TestSiteThatWasNotRead(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 12))
	points := aBike().turned(0)
	delete(points, survey.At(contact.SaddleNose))
	delete(points, survey.SaddleTopRear)
	delete(points, survey.SaddleEdgeLeft)
	delete(points, survey.SaddleEdgeRight)
	fix, err := read(points, anywhere(rng), 2, 0, rng).Solve()
	require.NoError(t, err)
	_, ok := fix.Covariance.Sigma(contact.SaddleNose)
	assert.False(t, ok)
	_, ok = fix.Position.At(contact.SaddleReference)
	assert.False(t, ok)
	_, ok = fix.Covariance.AttitudeSigma(contact.SaddleReference)
	assert.False(t, ok)
	_, _, ok = fix.Mark(survey.Mark("nowhere"))
	assert.False(t, ok)
	axle, sigma, ok := fix.Mark(survey.FrontAxleLeft)
	assert.True(t, ok)
	close3(t, r3.Vec{X: 585, Y: 55, Z: 74}, axle, 1e-9)
	assert.Positive(t, sigma.Z)
}

// A full covariance that is diagonal is the same as three uncertainties, and
// other units are the same in mm.
func TestUnitsAndCovariance(t *testing.T) {
	rng := rand.New(rand.NewPCG(15, 16))
	s := read(aBike().turned(3), anywhere(rng), 3, 0.4, rng)
	s.Sigma = r3.Vec{X: 0.3, Y: 0.4, Z: 0.5}
	want, err := s.Solve()
	require.NoError(t, err)
	for unit, mm := range map[survey.Unit]float64{survey.Millimetre: 1, survey.Centimetre: 10, survey.Metre: 1000, survey.Inch: 25.4} {
		c := s
		c.Unit = unit
		c.Sigma = r3.Vec{}
		c.Covariance = [3][3]float64{{0.09 / mm / mm, 0, 0}, {0, 0.16 / mm / mm, 0}, {0, 0, 0.25 / mm / mm}}
		c.Readings = append([]survey.Reading(nil), s.Readings...)
		for i := range c.Readings {
			c.Readings[i].At = r3.Scale(1/mm, c.Readings[i].At)
		}
		got, err := c.Solve()
		require.NoError(t, err)
		for k, off := range offBy(got, want.Position) {
			assert.InDelta(t, 0, off[0], 1e-8, "%v", k)
			v, _ := want.Covariance.At(k, k)
			assert.InDelta(t, math.Sqrt(v), off[1], 1e-8)
		}
		assert.NotContains(t, unit.String(), "(")
	}
	assert.Equal(t, "unit(9)", survey.Unit(9).String())
	trial.Names(t, survey.ParseUnit, survey.Millimetre, survey.Centimetre, survey.Metre, survey.Inch)
	trial.Names(t, survey.ParseTapeClass, survey.ClassI, survey.ClassII, survey.ClassIII)
}

// Errors that the instrument's axes have in common, against 4,000 draws.
func TestCorrelatedInstrument(t *testing.T) {
	if testing.Short() {
		t.Skip("statistics, which are the same on every processor")
	}
	rng := rand.New(rand.NewPCG(17, 18))
	var square, stated float64
	const draws = 4000
	for range draws {
		points := aBike().turned(0)
		untrue(points, rng)
		from := place{r3.NewRotation(0.7, r3.Vec{X: 1, Y: 2, Z: 3}), r3.Vec{X: 100}}
		s := read(points, from, 1, 0, rng)
		s.Sigma, s.Covariance = r3.Vec{}, [3][3]float64{{0.5, 0.4, 0}, {0.4, 0.5, 0}, {0, 0, 0.1}}
		for i := range s.Readings {
			a, b := rng.NormFloat64(), rng.NormFloat64()
			s.Readings[i].At = r3.Add(s.Readings[i].At, r3.Vec{
				X: math.Sqrt(0.5) * a, Y: 0.4/math.Sqrt(0.5)*a + math.Sqrt(0.5-0.32)*b, Z: math.Sqrt(0.1) * rng.NormFloat64(),
			})
		}
		fix, err := s.Solve()
		require.NoError(t, err)
		k := contact.Coordinate{Site: contact.HoodsRight, Axis: contact.AxisY}
		off := offBy(fix, want(aBike()))[k]
		square += off[0] * off[0] / draws
		stated += off[1] * off[1] / draws
	}
	assert.InEpsilon(t, stated, square, 4*math.Sqrt(2./draws))
}

func TestCompare(t *testing.T) {
	rng := rand.New(rand.NewPCG(41, 42))
	b := aBike()
	from := anywhere(rng)
	moved := aBike()
	for _, l := range []survey.Landmark{survey.SaddleEdgeLeft, survey.SaddleEdgeRight, at(contact.SaddleNose), at(contact.SaddleRear)} {
		moved.points[l] = r3.Add(moved.points[l], r3.Vec{X: -4, Z: 3})
	}
	first, err := read(b.turned(0), from, 3, 0.3, rng).Solve()
	require.NoError(t, err)

	// The instrument was set up anew: errors of both datums count.
	anew, err := read(moved.turned(0), anywhere(rng), 3, 0.3, rng).Solve()
	require.NoError(t, err)
	moves, turns, err := survey.Compare(first, anew, 0.99)
	require.NoError(t, err)
	require.Len(t, moves, 13)
	require.Len(t, turns, 1)
	assert.False(t, turns[0].Real)
	independent := moves[0].Sigma

	// Neither bike nor instrument moved: the datum's errors cancel.
	var again []survey.Reading
	for range 3 {
		for _, l := range order(moved.points) {
			if _, err := contact.ParseSite(string(l)); err == nil || l == survey.SaddleEdgeLeft || l == survey.SaddleEdgeRight {
				again = append(again, survey.Reading{Landmark: l, At: r3.Add(from.see(moved.points[l]), noise(0.3, rng))})
			}
		}
	}
	same, err := first.Locate(again)
	require.NoError(t, err)
	moves, _, err = survey.Compare(first, same, 0.99)
	require.NoError(t, err)
	require.Len(t, moves, 13)
	for _, m := range moves {
		assert.Equal(t, m.Site <= contact.SaddleRear, m.Real, "%v moved %v ± %v", m.Site, m.By, m.Sigma)
	}
	assert.Less(t, moves[0].Sigma.Y, independent.Y/2)
	// Two means of two edges, three readings each: 0.5 · √(2/6).
	assert.InDelta(t, 0.5*math.Sqrt(2./6), moves[0].Sigma.X, 0.01)

	_, _, err = survey.Compare(first, same, 1)
	assert.ErrorIs(t, err, contact.ErrRange)
	_, err = survey.Fix{}.Locate(again)
	assert.ErrorIs(t, err, contact.ErrMissing)
	again[0].Landmark = "bell"
	_, err = first.Locate(again)
	assert.ErrorIs(t, err, contact.ErrUnknown)
	_, err = first.Locate([]survey.Reading{
		{Landmark: at(contact.HoodsLeft), At: from.see(b.points[at(contact.HoodsRight)])},
		{Landmark: at(contact.HoodsRight), At: from.see(b.points[at(contact.HoodsLeft)])},
	})
	assert.ErrorIs(t, err, contact.ErrConflict)
}

// Nothing moved: of many comparisons at 99 % one in a hundred sites seems to have.
func TestCompareFalseAlarms(t *testing.T) {
	if testing.Short() {
		t.Skip("statistics, which are the same on every processor")
	}
	rng := rand.New(rand.NewPCG(43, 44))
	for _, shared := range []bool{false, true} {
		real, all := 0, 0
		for range 400 {
			b := aBike().random(rng)
			s := drawn(b, 5, 0.5, 2, rng)
			first, err := s.Solve()
			require.NoError(t, err)
			var second survey.Fix
			if shared {
				// More readings as the first ones, with noise of their own. The mean of the first is not the truth: take it away.
				from := anywhere(rng)
				s = read(b.turned(0), from, 2, 0.5, rng)
				first, err = s.Solve()
				require.NoError(t, err)
				second, err = first.Locate(read(b.turned(0), from, 2, 0.5, rng).Readings)
				require.NoError(t, err)
			} else {
				points := b.turned(0)
				untrue(points, rng)
				other := read(points, anywhere(rng), 2, 0.5, rng)
				other.RadiusSigma = 1
				other.FrontRadius += rng.NormFloat64()
				other.RearRadius += rng.NormFloat64()
				second, err = other.Solve()
				require.NoError(t, err)
			}
			moves, _, err := survey.Compare(first, second, 0.99)
			require.NoError(t, err)
			for _, m := range moves {
				all++
				if m.Real {
					real++
				}
			}
		}
		assert.InDelta(t, 0.01, float64(real)/float64(all), 0.006, "shared datum: %v", shared)
	}
}
