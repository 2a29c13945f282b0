package survey_test

import (
	"math"
	"math/rand/v2"
	"strconv"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// onTape is where the sites of the tape tests are: an invented rider, on the
// mid-plane and symmetric, as a tape survey supposes.
func onTape() contact.Position {
	p := contact.New(map[contact.Site]r3.Vec{
		contact.SaddleReference: {X: -210, Z: 714 + 144*8./274}, // on the line through both ends
		contact.SaddleNose:      {X: -66, Z: 714},
		contact.SaddleRear:      {X: -340, Z: 722},
		contact.BarClamp:        {X: 471, Z: 633},
		contact.HoodsLeft:       {X: 588, Y: 207, Z: 655},
		contact.HoodsRight:      {X: 588, Y: -207, Z: 655},
		contact.PedalLeft:       {X: 172.5, Y: 74},
		contact.PedalRight:      {X: 172.5, Y: -74},
	})
	p.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: math.Atan2(-8, 274) / rad})
	return p
}

// tape reads a distance off a position, on ground that slopes.
func tape(p contact.Position, kind survey.TapeKind, from, to survey.Landmark, noseUp float64) survey.TapeReading {
	find := func(l survey.Landmark) r3.Vec {
		switch l {
		case survey.BottomBracket:
			return r3.Vec{}
		case survey.Ground: // 268 mm straight down from the bottom bracket
			return r3.Scale(-268, r3.Vec{X: math.Sin(noseUp * rad), Z: math.Cos(noseUp * rad)})
		}
		s, _ := contact.ParseSite(string(l))
		v, _ := p.At(s)
		return v
	}
	d := r3.Sub(find(to), find(from))
	d = r3.Rotate(d, -noseUp*rad, r3.Vec{Y: 1}) // as gravity sees it
	r := survey.TapeReading{Kind: kind, From: from, To: to, Sigma: 1}
	switch kind {
	case survey.Direct:
		r.Value = r3.Norm(d)
	case survey.Horizontal:
		r.Value = d.X
	case survey.Vertical:
		r.Value = d.Z
	case survey.Lateral:
		r.Value = d.Y
	case survey.Tilt:
		a, _ := p.Attitude(contact.SaddleReference)
		r.Value, r.Sigma = a.Tilt+noseUp, 0.2
	}
	return r
}

// sheet is what a fitter may note down: plumb lines, heights over the floor, and
// straight distances, more than enough.
func sheet(noseUp float64) survey.TapeSurvey {
	p := onTape()
	bb, ref, nose, rear := survey.BottomBracket, at(contact.SaddleReference), at(contact.SaddleNose), at(contact.SaddleRear)
	clamp, hoodL, hoodR := at(contact.BarClamp), at(contact.HoodsLeft), at(contact.HoodsRight)
	t := survey.TapeSurvey{NoseUp: noseUp}
	for _, r := range []struct {
		kind     survey.TapeKind
		from, to survey.Landmark
	}{
		{survey.Vertical, survey.Ground, bb},
		{survey.Horizontal, nose, bb},
		{survey.Vertical, survey.Ground, nose},
		{survey.Direct, bb, ref},
		{survey.Horizontal, ref, nose},
		{survey.Direct, nose, rear},
		{survey.Tilt, "", ""},
		{survey.Direct, nose, clamp},
		{survey.Vertical, survey.Ground, clamp},
		{survey.Direct, nose, hoodL},
		{survey.Direct, nose, hoodR},
		{survey.Vertical, clamp, hoodL},
		{survey.Vertical, survey.Ground, hoodR},
		{survey.Lateral, hoodR, hoodL},
		{survey.Horizontal, bb, at(contact.PedalLeft)},
		{survey.Horizontal, bb, at(contact.PedalRight)},
		{survey.Lateral, at(contact.PedalRight), at(contact.PedalLeft)},
		{survey.Horizontal, bb, clamp},
	} {
		t.Readings = append(t.Readings, tape(p, r.kind, r.from, r.to, noseUp))
	}
	return t
}

func TestTapeExact(t *testing.T) {
	for _, slope := range []float64{0, 1.5, -3} {
		for _, sigma := range []float64{0, 0.1} {
			s := sheet(slope)
			s.NoseUpSigma = sigma
			for i := range s.Readings { // on sloping ground a level crank is not level on the bike; these are read off it
				if r := s.Readings[i]; r.To == at(contact.PedalLeft) || r.To == at(contact.PedalRight) {
					if r.Kind == survey.Horizontal {
						s.Readings[i].Value = 172.5 * math.Cos(slope*rad)
					}
				}
			}
			fix, err := s.Solve()
			require.NoError(t, err)
			for k, off := range offBy(fix, onTape()) {
				assert.InDelta(t, 0, off[0], 1e-6, "%v", k)
			}
			for site := range onTape().All() {
				_, ok := fix.Position.At(site)
				assert.True(t, ok, site)
			}
		}
	}
}

// A tilt that was read with a level alone.
func TestTapeTiltAlone(t *testing.T) {
	p := onTape()
	fix, err := survey.TapeSurvey{Readings: []survey.TapeReading{
		tape(p, survey.Horizontal, survey.BottomBracket, at(contact.SaddleReference), 0),
		tape(p, survey.Vertical, survey.BottomBracket, at(contact.SaddleReference), 0),
		tape(p, survey.Tilt, "", "", 0),
	}}.Solve()
	require.NoError(t, err)
	a, ok := fix.Position.Attitude(contact.SaddleReference)
	require.True(t, ok)
	assert.InDelta(t, math.Atan2(-8, 274)/rad, a.Tilt, 1e-9)
	u, ok := fix.Covariance.AttitudeSigma(contact.SaddleReference)
	require.True(t, ok)
	assert.InDelta(t, 0.2, u.Tilt, 1e-9)
	v, _ := fix.Covariance.Sigma(contact.SaddleReference)
	close3(t, r3.Vec{X: 1, Y: 2, Z: 1}, v, 1e-9)
}

// The covariance against 4,000 draws, those of a wrong slope included.
func TestTapeMonteCarlo(t *testing.T) {
	if testing.Short() {
		t.Skip("statistics, which are the same on every processor")
	}
	rng := rand.New(rand.NewPCG(51, 52))
	square := map[contact.Coordinate]float64{}
	exact := sheet(1)
	exact.NoseUpSigma = 0.1
	stated, err := exact.Solve()
	require.NoError(t, err)
	draws := 2000
	if trial.Long() {
		draws = 20_000
	}
	w := stated.Position
	for range draws {
		s := exact
		s.NoseUp += 0.1 * rng.NormFloat64()
		s.Readings = append([]survey.TapeReading(nil), exact.Readings...)
		for i := range s.Readings {
			s.Readings[i].Value += s.Readings[i].Sigma * rng.NormFloat64()
		}
		fix, err := s.Solve()
		if err != nil {
			continue // one in 10,000 is taken for a contradiction
		}
		for k, off := range offBy(fix, w) {
			square[k] += off[0] * off[0] / float64(draws)
		}
	}
	for k, v := range square {
		u, _ := stated.Covariance.At(k, k)
		if r, ok := stated.Ranges.At(k); ok {
			u *= 1 - r.Assumed // what is supposed was not drawn
		}
		if u < 1e-9 {
			assert.InDelta(t, 0, v, 1e-9, "%v", k)
			continue
		}
		assert.InEpsilon(t, u, v, 5*math.Sqrt(2/float64(draws)), "%v", k)
	}
}

func TestTapeFaults(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*survey.TapeSurvey)
		path   string
		class  error
	}{
		"nothing": {func(s *survey.TapeSurvey) { s.Readings = nil }, "readings", contact.ErrMissing},
		"20 mm off": {func(s *survey.TapeSurvey) {
			s.Readings[7].Value += 20
			s.Readings = append(
				s.Readings, tape(onTape(), survey.Direct, at(contact.SaddleReference), at(contact.BarClamp), 0),
				tape(onTape(), survey.Vertical, survey.BottomBracket, at(contact.SaddleNose), 0),
			)
		}, "readings[7]", contact.ErrConflict},
		"kind":            {func(s *survey.TapeSurvey) { s.Readings[0].Kind = 9 }, "readings[0].kind", contact.ErrUnknown},
		"no kind":         {func(s *survey.TapeSurvey) { s.Readings[0].Kind = 0 }, "readings[0].kind", contact.ErrUnknown},
		"place":           {func(s *survey.TapeSurvey) { s.Readings[0].To = "bell" }, "readings[0].to", contact.ErrUnknown},
		"saddle's edge":   {func(s *survey.TapeSurvey) { s.Readings[0].To = survey.SaddleEdgeLeft }, "readings[0].to", contact.ErrUnknown},
		"saddle's top":    {func(s *survey.TapeSurvey) { s.Readings[0].To = survey.SaddleTopFront }, "readings[0].to", contact.ErrUnknown},
		"ground along":    {func(s *survey.TapeSurvey) { s.Readings[1].To = survey.Ground }, "readings[1].to", contact.ErrUnknown},
		"itself":          {func(s *survey.TapeSurvey) { s.Readings[1].To = s.Readings[1].From }, "readings[1]", contact.ErrConflict},
		"slope of":        {func(s *survey.TapeSurvey) { s.Readings[6].From = survey.BottomBracket }, "readings[6]", contact.ErrConflict},
		"negative length": {func(s *survey.TapeSurvey) { s.Readings[3].Value = -1 }, "readings[3].value_mm", contact.ErrRange},
		"NaN":             {func(s *survey.TapeSurvey) { s.Readings[3].Value = math.NaN() }, "readings[3].value_mm", contact.ErrRange},
		"no uncertainty":  {func(s *survey.TapeSurvey) { s.Readings[3].Sigma = 0 }, "readings[3].sigma_mm", contact.ErrRange},
		"tilt of 80":      {func(s *survey.TapeSurvey) { s.Readings[6].Value = 80 }, "readings[6].value_deg", contact.ErrRange},
		"hill":            {func(s *survey.TapeSurvey) { s.NoseUp = 20 }, "nose_up_deg", contact.ErrRange},
		"hill's sigma":    {func(s *survey.TapeSurvey) { s.NoseUpSigma = math.NaN() }, "nose_up_sigma_deg", contact.ErrRange},
		"centimetres": {func(s *survey.TapeSurvey) {
			for i := range s.Readings {
				if s.Readings[i].Kind != survey.Tilt {
					s.Readings[i].Value /= 10
				}
			}
		}, "position.sites.saddle_reference.at_mm", contact.ErrUnit},
		"swapped": {func(s *survey.TapeSurvey) { s.Readings[13].Value *= -1; s.Readings[16].Value *= -1 }, "position.sites.hoods_left.at_mm[1]", contact.ErrConflict},
	} {
		t.Run(name, func(t *testing.T) {
			s := sheet(0)
			c.change(&s)
			fix, err := s.Solve()
			require.ErrorIs(t, err, c.class)
			assert.Equal(t, c.path, contact.Faults(err)[0].Path, "%v", err)
			assert.Equal(t, contact.Position{}, fix.Position)
		})
	}
	// Two readings that check one another alone are both named, with the amount.
	p := onTape()
	s := survey.TapeSurvey{Readings: []survey.TapeReading{
		tape(p, survey.Horizontal, survey.BottomBracket, at(contact.SaddleReference), 0),
		tape(p, survey.Vertical, survey.BottomBracket, at(contact.SaddleReference), 0),
		tape(p, survey.Vertical, survey.BottomBracket, at(contact.SaddleReference), 0),
	}}
	s.Readings[1].Value += 10
	_, err := s.Solve()
	require.Len(t, contact.Faults(err), 2)
	assert.Contains(t, err.Error(), "readings[1] 728.2044 mm: want agreement with the other readings, from which it differs by 10 mm")
	assert.Contains(t, err.Error(), "readings[2] 718.2044 mm")

	assert.Equal(t, "kind(9)", survey.TapeKind(9).String())
	assert.Equal(t, "vertical", survey.Vertical.String())
	trial.Names(t, survey.ParseTapeKind, survey.Direct, survey.Horizontal, survey.Vertical, survey.Lateral, survey.Tilt)
}

// What the readings do not tell is free, and what would settle it is said.
func TestTapeFree(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*survey.TapeSurvey)
		free   []string
	}{
		"nothing": {func(*survey.TapeSurvey) {}, nil},
		"along and up": {
			func(s *survey.TapeSurvey) { s.Readings = s.Readings[:8] },
			[]string{"bar_clamp.x with bar_clamp.z is free; one of these settles it: horizontal from bottom_bracket to bar_clamp, vertical from bottom_bracket to bar_clamp"},
		},
		"across": {
			func(s *survey.TapeSurvey) { s.Readings = append(s.Readings[:13:13], s.Readings[17:]...) },
			[]string{"hoods_left.x with hoods_left.y with hoods_right.x with hoods_right.y is free; one of these settles it: " +
				"horizontal from bottom_bracket to hoods_left, lateral from bottom_bracket to hoods_left, " +
				"horizontal from bottom_bracket to hoods_right, lateral from bottom_bracket to hoods_right"},
		},
	} {
		t.Run(name, func(t *testing.T) {
			s := sheet(0)
			c.change(&s)
			fix, err := s.Solve()
			require.NoError(t, err)
			var free []string
			for _, f := range fix.Free {
				free = append(free, f.String())
				for _, k := range f.Coordinates {
					site, err := contact.ParseSite(string(k.Place))
					require.NoError(t, err)
					_, ok := fix.Position.At(site)
					assert.False(t, ok, k)
					_, ok = fix.Ranges.At(contact.Coordinate{Site: site, Axis: k.Axis})
					assert.False(t, ok, k)
				}
			}
			assert.Equal(t, c.free, free)
			_, ok := fix.Position.At(contact.SaddleNose)
			assert.True(t, ok)
		})
	}
}

// What readings across the bike say of a site counts, and nothing else: a saddle
// that points 20 mm to the left is no contradiction.
func TestTapeAcross(t *testing.T) {
	p := onTape()
	p.Set(contact.SaddleNose, r3.Vec{X: -66, Y: 20, Z: 714})
	p.Set(contact.HoodsLeft, r3.Vec{X: 588, Y: 227, Z: 655})
	p.Set(contact.HoodsRight, r3.Vec{X: 588, Y: -187, Z: 655})
	bb, left := survey.BottomBracket, at(contact.HoodsLeft)
	var s survey.TapeSurvey
	for _, to := range []contact.Site{contact.SaddleNose, contact.HoodsLeft, contact.HoodsRight} {
		s.Readings = append(s.Readings, tape(p, survey.Horizontal, bb, at(to), 0), tape(p, survey.Vertical, bb, at(to), 0))
	}
	s.Readings = append(s.Readings,
		tape(p, survey.Lateral, bb, at(contact.SaddleNose), 0),
		tape(p, survey.Lateral, at(contact.SaddleNose), left, 0),
		tape(p, survey.Lateral, left, at(contact.HoodsRight), 0))
	fix, err := s.Solve()
	require.NoError(t, err)
	for _, to := range []contact.Site{contact.SaddleNose, contact.HoodsLeft, contact.HoodsRight} {
		want, _ := p.At(to)
		got, _ := fix.Position.At(to)
		assert.InDelta(t, 0, r3.Norm(r3.Sub(want, got)), 1e-6, to)
	}
	// A width alone does not say where the middle is.
	s.Readings = s.Readings[2:6]
	s.Readings = append(s.Readings, tape(p, survey.Lateral, at(contact.HoodsRight), left, 0))
	fix, err = s.Solve()
	require.NoError(t, err)
	got, _ := fix.Position.At(contact.HoodsLeft)
	assert.InDelta(t, 207, got.Y, 1e-6)
}

// tapeOf is a tape survey of saddle and clamp, all to 1 mm.
func tapeOf(readings ...survey.TapeReading) survey.TapeSurvey {
	for i := range readings {
		if readings[i].Sigma == 0 {
			readings[i].Sigma = 1
		}
	}
	return survey.TapeSurvey{Readings: readings}
}

// A bar as high as the saddle, told by the level and the direct distance of 660 mm: first
// order has its height to ± 6 km, or numbers that overflow. By hand, half of its square over
// 660 mm may be as much as the two differ, and √(2·3.84) mm more; and the saddle's millimetre
// counts as well.
func TestTapeAlongItsOwnComponent(t *testing.T) {
	saddle, clamp := at(contact.SaddleReference), at(contact.BarClamp)
	for _, level := range []float64{640, 650, 659.99, 660, 660.1, 660.5, 661, 663, 700} {
		fix, err := tapeOf(
			survey.TapeReading{Kind: survey.Vertical, From: survey.BottomBracket, To: saddle, Value: 705},
			survey.TapeReading{Kind: survey.Horizontal, From: survey.BottomBracket, To: saddle, Value: -200},
			survey.TapeReading{Kind: survey.Direct, From: saddle, To: clamp, Value: 660},
			survey.TapeReading{Kind: survey.Horizontal, From: saddle, To: clamp, Value: level},
		).Solve()
		if level == 700 {
			assert.True(t, trial.FaultAt(err, "readings[2]", contact.ErrConflict), "%v: %v", level, err)
			assert.True(t, trial.FaultAt(err, "readings[3]", contact.ErrConflict), "%v: %v", level, err)
			continue
		}
		require.NoError(t, err, level)
		assert.Empty(t, fix.Free, level)
		r, ok := fix.Ranges.At(contact.Coordinate{Site: contact.BarClamp, Axis: contact.AxisZ})
		require.True(t, ok, level)
		assert.Equal(t, level > 655, r.Likelihood, level)
		sigma, ok := fix.Covariance.Sigma(contact.BarClamp)
		assert.True(t, ok)
		drop := math.Sqrt(max(0, 660*660-level*level))
		if level < 655 {
			assert.InDelta(t, math.Hypot(1, math.Hypot(660, level)/drop), sigma.Z, 0.01, level) // and the lateral 2 mm, hardly
		}
		off := 660 - level
		far := math.Sqrt(2 * 660 * (off + math.Sqrt(2*3.8416+min(0, off)*min(0, off))))
		assert.InDelta(t, 705-far, r.Low, 2.5, level)
		if level > 655 {
			assert.InDelta(t, 705+far, r.High, 2.5, level)
		}
	}

	// With a worse tape that is as much as nothing, and the answer says what would tell.
	fix, err := tapeOf(
		survey.TapeReading{Kind: survey.Vertical, From: survey.BottomBracket, To: saddle, Value: 705},
		survey.TapeReading{Kind: survey.Horizontal, From: survey.BottomBracket, To: saddle, Value: -200},
		survey.TapeReading{Kind: survey.Direct, From: saddle, To: clamp, Value: 660, Sigma: 5},
		survey.TapeReading{Kind: survey.Horizontal, From: saddle, To: clamp, Value: 660, Sigma: 5},
	).Solve()
	require.NoError(t, err)
	require.Len(t, fix.Free, 1)
	assert.Equal(t, "bar_clamp.z is free; one of these settles it: vertical from bottom_bracket to bar_clamp", fix.Free[0].String())
	_, ok := fix.Position.At(contact.BarClamp)
	assert.False(t, ok)
	_, ok = fix.Position.At(contact.SaddleReference)
	assert.True(t, ok, "what is known is there")
}

// An uncertainty that no tape has is refused, and of very unlike ones nothing false is said.
func TestTapeSigmas(t *testing.T) {
	saddle := at(contact.SaddleReference)
	with := func(a, b float64) survey.TapeSurvey {
		return tapeOf(
			survey.TapeReading{Kind: survey.Vertical, From: survey.BottomBracket, To: saddle, Value: 705, Sigma: b},
			survey.TapeReading{Kind: survey.Horizontal, From: survey.BottomBracket, To: saddle, Value: -205, Sigma: a},
			survey.TapeReading{Kind: survey.Direct, From: survey.BottomBracket, To: saddle, Value: 734.2, Sigma: a},
		)
	}
	for _, sigma := range []float64{1e-300, 1e-12, 0.00099, math.NaN(), -1} {
		_, err := with(sigma, 1).Solve()
		assert.True(t, trial.FaultAt(err, "readings[1].sigma_mm", contact.ErrRange), "%v: %v", sigma, err)
	}
	fix, err := with(0.001, 100).Solve()
	require.NoError(t, err)
	p, _ := fix.Position.At(contact.SaddleReference)
	assert.InDelta(t, math.Sqrt(734.2*734.2-205*205), p.Z, 1e-3)
	sloping := with(1, 1)
	sloping.NoseUp, sloping.NoseUpSigma = 1, 1e-300
	_, err = sloping.Solve()
	require.NoError(t, err, "as good as known")
}

// Readings that the fit finds no position for are a fault, though no reading is checked
// by others: a clamp 316 ± 44 mm away, at 778 ± 0.001 mm.
func TestTapeThatDoesNotConverge(t *testing.T) {
	_, err := tapeOf(
		survey.TapeReading{Kind: survey.Horizontal, From: at(contact.BarClamp), To: survey.BottomBracket, Value: 316, Sigma: 44.413929112893754},
		survey.TapeReading{Kind: survey.Tilt, Value: 16.90487524035639, Sigma: 0.4248418811143848},
		survey.TapeReading{Kind: survey.Direct, From: survey.BottomBracket, To: at(contact.BarClamp), Value: 778, Sigma: 0.0014554543453443743},
	).Solve()
	assert.True(t, trial.FaultAt(err, "readings", contact.ErrConflict), err)

	// One against all others, which first order has to ± 57 km.
	_, err = tapeOf(
		survey.TapeReading{Kind: survey.Horizontal, From: "bar_clamp", To: "saddle_nose", Value: 1271, Sigma: 14.658246395291654},
		survey.TapeReading{Kind: survey.Direct, From: "saddle_nose", To: "bottom_bracket", Value: 1698, Sigma: 23.01026805995051},
		survey.TapeReading{Kind: survey.Direct, From: "saddle_rear", To: "bottom_bracket", Value: 1532, Sigma: 4.135885950717859},
		survey.TapeReading{Kind: survey.Direct, From: "bottom_bracket", To: "bar_clamp", Value: 462, Sigma: 0.0020445524461646246},
		survey.TapeReading{Kind: survey.Vertical, From: "saddle_rear", To: "bar_clamp", Value: 1454, Sigma: 0.020651563111803592},
		survey.TapeReading{Kind: survey.Horizontal, From: "bar_clamp", To: "bottom_bracket", Value: 852, Sigma: 0.004784765588182613},
		survey.TapeReading{Kind: survey.Tilt, Value: 44.293310255337175, Sigma: 0.09061972917797023},
	).Solve()
	require.Error(t, err)
	assert.NotContains(t, err.Error(), "e+")
}

// Tapes are held to ends of axles and of the head tube and to marks as well as to sites:
// all come out where they are, and a mark between adds its uncertainty.
func TestTapeFromAnywhere(t *testing.T) {
	mark, axle := survey.Mark("plumb bob"), survey.FrontAxleLeft
	bb, saddle, hoods := survey.BottomBracket, at(contact.SaddleReference), at(contact.HoodsLeft)
	places := map[survey.Landmark]r3.Vec{
		bb: {}, saddle: {X: -210, Z: 715}, hoods: {X: 588, Y: 207, Z: 655},
		mark: {X: 80, Y: 140, Z: -100}, axle: {X: 601, Y: 55, Z: 72}, survey.HeadTubeTopLeft: {X: 383, Y: 19, Z: 566},
	}
	read := func(kind survey.TapeKind, from, to survey.Landmark) survey.TapeReading {
		d := r3.Sub(places[to], places[from])
		value := map[survey.TapeKind]float64{survey.Direct: r3.Norm(d), survey.Horizontal: d.X, survey.Vertical: d.Z, survey.Lateral: d.Y}[kind]
		return survey.TapeReading{Kind: kind, From: from, To: to, Value: value, Sigma: 1}
	}
	var s survey.TapeSurvey
	for _, pair := range [][2]survey.Landmark{{bb, mark}, {mark, axle}, {mark, survey.HeadTubeTopLeft}, {mark, saddle}} {
		for _, kind := range []survey.TapeKind{survey.Horizontal, survey.Vertical, survey.Lateral} {
			s.Readings = append(s.Readings, read(kind, pair[0], pair[1]))
		}
	}
	// The hands by three straight distances from three places.
	for _, from := range []survey.Landmark{axle, survey.HeadTubeTopLeft, saddle} {
		s.Readings = append(s.Readings, read(survey.Direct, from, hoods))
	}
	fix, err := s.Solve()
	require.NoError(t, err)
	assert.Empty(t, fix.Free)
	for _, site := range []contact.Site{contact.SaddleReference, contact.HoodsLeft} {
		got, ok := fix.Position.At(site)
		require.True(t, ok, site)
		assert.InDelta(t, 0, r3.Norm(r3.Sub(places[at(site)], got)), 1e-5, site)
	}
	sigma, _ := fix.Covariance.Sigma(contact.SaddleReference)
	assert.InDelta(t, math.Sqrt2, sigma.X, 1e-6, "to the mark and from it")
}

// Readings by one plumb line share its error: it is in both numbers, and in their
// difference it is not.
func TestTapeTogether(t *testing.T) {
	s := tapeOf(
		survey.TapeReading{Kind: survey.Horizontal, From: survey.BottomBracket, To: at(contact.SaddleReference), Value: -205, Sigma: 0.9, Together: "plumb line", Common: 1.2},
		survey.TapeReading{Kind: survey.Horizontal, From: survey.BottomBracket, To: at(contact.BarClamp), Value: 470, Sigma: 0.9, Together: "plumb line", Common: 1.2},
		survey.TapeReading{Kind: survey.Vertical, From: survey.BottomBracket, To: at(contact.SaddleReference), Value: 705},
		survey.TapeReading{Kind: survey.Vertical, From: survey.BottomBracket, To: at(contact.BarClamp), Value: 640},
	)
	fix, err := s.Solve()
	require.NoError(t, err)
	a := contact.Coordinate{Site: contact.SaddleReference, Axis: contact.AxisX}
	b := contact.Coordinate{Site: contact.BarClamp, Axis: contact.AxisX}
	v, _ := fix.Covariance.At(a, a)
	both, _ := fix.Covariance.At(a, b)
	assert.InDelta(t, 0.9*0.9+1.2*1.2, v, 1e-9)
	assert.InDelta(t, 1.2*1.2, both, 1e-9)

	for want, change := range map[string]func(r *survey.TapeReading){
		"readings[0].together":  func(r *survey.TapeReading) { r.Together = "" },
		"readings[0].common_mm": func(r *survey.TapeReading) { r.Common = 101 },
	} {
		bad := tapeOf(s.Readings...)
		bad.Readings = append([]survey.TapeReading(nil), bad.Readings...)
		change(&bad.Readings[0])
		err := bad.Validate()
		assert.Len(t, contact.Faults(err), 1, want)
		assert.Equal(t, want, contact.Faults(err)[0].Path)
	}
}

// There is an end to places and to what readings share.
func TestTapeMostPlaces(t *testing.T) {
	for _, shared := range []bool{false, true} {
		var s survey.TapeSurvey
		for i := range 40 {
			name := strconv.Itoa(i)
			r := survey.TapeReading{Kind: survey.Horizontal, From: survey.BottomBracket, To: survey.Mark(name), Value: float64(i), Sigma: 2}
			if shared {
				r.To, r.Together, r.Common = at(contact.BarClamp), name, 1
			}
			s.Readings = append(s.Readings, r)
		}
		if shared {
			require.NoError(t, s.Validate())
			s.Readings = append(s.Readings, s.Readings[0])
			s.Readings[40].Together = "one more"
		} else {
			require.NoError(t, survey.TapeSurvey{Readings: s.Readings[:39]}.Validate())
		}
		assert.True(t, trial.FaultAt(s.Validate(), "readings", contact.ErrRange))
	}
}
