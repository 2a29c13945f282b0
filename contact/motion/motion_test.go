package motion_test

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/motion"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/internal/invented"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// A ride is what an invented camera system sees of a chain that pedals: one leg, and one
// marker of the pelvis.
type ride struct {
	side             contact.Side
	seconds, rate    float64 // s, frames per second
	cadence          float64 // turns per minute
	start            float64 // crank angle of the side in the first frame
	noise            float64 // mm in every coordinate
	drop             float64 // share of samples that are not seen
	knee             float64 // the knee's offset to the outside of the toe at crank 90, less that at 270, mm
	forward, sinking float64 // drift of the pelvis marker, mm per minute
}

func chainOf(t testing.TB, b rider.Body, p contact.Position) rider.Chain {
	t.Helper()
	c, err := rider.NewChain(b, p)
	require.NoError(t, err)
	return c
}

func (d ride) record(t testing.TB, rng *rand.Rand) motion.Recording {
	b, p := invented.Rider()
	c := chainOf(t, b, p)
	u, _ := c.Upper()
	r := motion.Recording{Markers: map[motion.Marker][]motion.Sample{}}
	out := 1.
	if d.side == contact.Right {
		out = -1
	}
	n := int(math.Round(d.seconds*d.rate)) + 1
	for i := range n {
		at := float64(i) / d.rate
		r.Times = append(r.Times, at)
		crank := d.start + at*d.cadence*6
		s, err := c.At(d.side, crank)
		require.NoError(t, err)
		sin, cos := math.Sincos(s.SolePitch * math.Pi / 180)
		y := out * 120.
		kneeY := y + out*(20+d.knee/2*math.Sin(crank*math.Pi/180))
		pelvis := r3.Add(s.Hip, r3.Vec{X: -60 + d.forward*at/60, Y: out * 90, Z: 120 - d.sinking*at/60})
		for _, m := range []struct {
			marker motion.Marker
			at     r3.Vec
		}{
			{motion.PedalLeft, r3.Vec{X: s.Pedal.X, Y: out * 150, Z: s.Pedal.Z}},
			{motion.ToeLeft, r3.Vec{X: s.Ankle.X + 120*cos, Y: y, Z: s.Ankle.Z + 120*sin}},
			{motion.HeelLeft, r3.Vec{X: s.Ankle.X - 40*cos, Y: y, Z: s.Ankle.Z - 40*sin}},
			{motion.AnkleLeft, r3.Vec{X: s.Ankle.X, Y: y, Z: s.Ankle.Z}},
			{motion.KneeLeft, r3.Vec{X: s.Knee.X, Y: kneeY, Z: s.Knee.Z}},
			{motion.HipLeft, r3.Vec{X: s.Hip.X, Y: out * 100, Z: s.Hip.Z}},
			{motion.ShoulderLeft, r3.Vec{X: u.Shoulder.X, Y: out * 180, Z: u.Shoulder.Z}},
			{motion.Sacrum, pelvis},
		} {
			noise := r3.Scale(d.noise, r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()})
			sample := motion.Sample{At: r3.Add(m.at, noise), Seen: rng.Float64() >= d.drop}
			if !sample.Seen {
				sample.At = r3.Vec{X: math.NaN()} // nobody looks there
			}
			k := m.marker.On(d.side)
			r.Markers[k] = append(r.Markers[k], sample)
		}
	}
	return r
}

func fresh(seed uint64) *rand.Rand { return rand.New(rand.NewPCG(seed, 1)) }

func analyse(t testing.TB, r motion.Recording, v motion.View) motion.Motion {
	t.Helper()
	m, err := r.Analyse(t.Context(), motion.Settings{View: v})
	require.NoError(t, err)
	return m
}

func curve(t testing.TB, m motion.Motion, of motion.Measure, side contact.Side) motion.Curve {
	t.Helper()
	c, err := m.Curve(t.Context(), of, side)
	require.NoError(t, err)
	return c
}

func at(t testing.TB, c motion.Curve, crank float64) motion.Stat {
	t.Helper()
	s, err := c.At(crank)
	require.NoError(t, err)
	return s
}

// copied is a recording of its own, to be changed.
func copied(r motion.Recording) motion.Recording {
	r.Times, r.Markers = slices.Clone(r.Times), maps.Clone(r.Markers)
	for k, samples := range r.Markers {
		r.Markers[k] = slices.Clone(samples)
	}
	return r
}

// A recording of a chain without noise must say what the chain says.
func TestMotionAgainstChain(t *testing.T) {
	for _, side := range []contact.Side{contact.Left, contact.Right} {
		d := ride{side: side, seconds: 10, rate: 400, cadence: 85, start: 33, forward: 3, sinking: 6}
		m, err := d.record(t, fresh(75)).Analyse(t.Context(), motion.Settings{View: motion.FromSide, Harmonics: 12})
		require.NoError(t, err)
		b, p := invented.Rider()
		c := chainOf(t, b, p)

		turns := m.Revolutions()
		require.Len(t, turns, 13, "of 14.17, of which the first and the last are not whole")
		q := m.Quality()
		assert.Equal(t, [3]int{13, 2, 0}, [3]int{q.Revolutions, q.Partial, q.Lost})
		assert.Empty(t, q.Findings)
		require.Len(t, q.Cranks, 1)
		foot, _ := p.At(contact.FootLeft.On(side))
		assert.InDelta(t, foot.X, q.Cranks[0].Radius, 1e-9)
		assert.InDelta(t, 0, math.Hypot(q.Cranks[0].Centre.X, q.Cranks[0].Centre.Z), 1e-9)
		first := 360 - 33.
		if side == contact.Right {
			first = 180 - 33
		}
		for i, r := range turns {
			assert.InDelta(t, 85, r.Cadence(), 1e-9)
			assert.InDelta(t, (first/360+float64(i))*60/85, r.Start, 1e-9)
		}
		for of, variable := range map[motion.Measure]rider.Variable{
			motion.KneeFlexion: rider.KneeFlexion, motion.HipFlexion: rider.HipFlexion, motion.AnkleDorsiflexion: rider.AnkleDorsiflexion, motion.TrunkLean: rider.TrunkLean,
		} {
			want, err := c.Span(variable, side)
			require.NoError(t, err)
			got := curve(t, m, of, side)
			require.Len(t, got.Used, 13)
			assert.Equal(t, 13, got.Mean().Count)
			assert.InDelta(t, want.Least, got.Least().Mean, 0.01, of)
			assert.InDelta(t, want.Most, got.Most().Mean, 0.01, of)
			assert.InDelta(t, want.Range(), got.Range().Mean, 0.01, of)
			assert.Less(t, got.Range().Spread, 0.01)
			if of != motion.TrunkLean {
				assert.InDelta(t, want.MostAt, got.Most().CrankAngle, 1, of)
			}
			for _, crank := range []float64{0, 33, 90, 180, 270, -45, 1000} {
				s, err := c.At(side, crank)
				require.NoError(t, err)
				u, _ := c.Upper()
				value := map[motion.Measure]float64{
					motion.KneeFlexion: s.KneeFlexion, motion.HipFlexion: s.HipFlexion, motion.AnkleDorsiflexion: s.AnkleDorsiflexion, motion.TrunkLean: u.TrunkLean,
				}[of]
				assert.InDelta(t, value, at(t, got, crank).Mean, 0.01, "%v at %v", of, crank)
			}
		}
		assert.InDelta(t, 3, curve(t, m, motion.PelvisForward, side).PerMinute(), 0.003)
		assert.InDelta(t, -6, curve(t, m, motion.PelvisUp, side).PerMinute(), 0.003)
		// The standard deviation of 0, 1, …, 12 is √(13·14/12), by hand.
		assert.InDelta(t, 3*math.Sqrt(13*14/12.)/85, curve(t, m, motion.PelvisForward, side).Mean().Spread, 1e-3)
	}
}

// A knee 20 mm outside of the toe that swings 15 mm either way, on either leg; and of noise
// alone next to nothing is made where there is no such path.
func TestKneePath(t *testing.T) {
	for _, side := range []contact.Side{contact.Left, contact.Right} {
		m := analyse(t, ride{side: side, seconds: 5, rate: 200, cadence: 90, knee: 30}.record(t, fresh(76)), motion.InSpace)
		c := curve(t, m, motion.KneeOffset, side)
		assert.InDelta(t, 35, c.Most().Mean, 1e-6)
		assert.InDelta(t, 5, c.Least().Mean, 1e-6)
		assert.InDelta(t, 20, c.Mean().Mean, 1e-6)
		assert.InDelta(t, 35, at(t, c, 90).Mean, 1e-6)
		// Hip 100, ankle 120 and knee 120 + 20 + 15 mm to the side at crank 90: by hand from the
		// heights of the chain.
		b, p := invented.Rider()
		s, err := chainOf(t, b, p).At(side, 90)
		require.NoError(t, err)
		line := 120 - 20*(s.Knee.Z-s.Ankle.Z)/(s.Hip.Z-s.Ankle.Z)
		assert.InDelta(t, 155-line, at(t, curve(t, m, motion.KneeLine, side), 90).Mean, 1e-3)
	}
	still := ride{side: contact.Left, seconds: 20, rate: 100, cadence: 90, noise: 3}
	c := curve(t, analyse(t, still.record(t, fresh(1)), motion.InSpace), motion.KneeOffset, contact.Left)
	assert.Less(t, c.Range().Mean, 2., "extremes of frames are 20 mm apart")
}

// With 1 mm of noise and one sample in ten not seen, in any frame and of any marker, what
// was put in comes back.
func TestDroppedSamples(t *testing.T) {
	d := ride{side: contact.Right, seconds: 30, rate: 200, cadence: 88.3, start: 250, noise: 1, drop: 0.1, knee: 20, forward: 8, sinking: 5}
	m := analyse(t, d.record(t, fresh(77)), motion.FromSide)
	b, p := invented.Rider()
	c := chainOf(t, b, p)
	for _, of := range []motion.Measure{motion.KneeFlexion, motion.HipFlexion, motion.AnkleDorsiflexion} {
		got := curve(t, m, of, contact.Right)
		assert.Equal(t, len(m.Revolutions()), len(got.Used), "short gaps are filled")
		for crank := 15.; crank < 360; crank += 30 {
			s, err := c.At(contact.Right, crank)
			require.NoError(t, err)
			want := map[motion.Measure]float64{motion.KneeFlexion: s.KneeFlexion, motion.HipFlexion: s.HipFlexion, motion.AnkleDorsiflexion: s.AnkleDorsiflexion}[of]
			v := at(t, got, crank)
			assert.InDelta(t, want, v.Mean, 5*v.Sigma+0.02, "%v at %v", of, crank)
		}
	}
	assert.InDelta(t, 20, curve(t, m, motion.KneeOffset, contact.Right).Range().Mean, 0.5)
	assert.InDelta(t, 8, curve(t, m, motion.PelvisForward, contact.Right).PerMinute(), 0.5)
	for _, q := range m.Quality().Markers {
		assert.InDelta(t, 1, q.Noise, 0.25, "%v", q.Marker)
		assert.InDelta(t, 600, q.Filled+q.Missing, 100)
		assert.Equal(t, 6001, q.Seen+q.Filled+q.Missing)
	}
}

func hide(samples []motion.Sample, rate, from, to float64) {
	for i := range samples {
		if at := float64(i) / rate; at > from && at < to {
			samples[i].Seen = false
		}
	}
}

// A pedal that was hidden for long loses the revolution and no other; a knee that was
// hidden loses the knee's revolution alone.
func TestHoles(t *testing.T) {
	whole := ride{side: contact.Left, seconds: 6, rate: 200, cadence: 60}.record(t, fresh(78))
	m := analyse(t, whole, motion.FromSide)
	require.Len(t, m.Revolutions(), 6)

	r := copied(whole)
	hide(r.Markers[motion.PedalLeft], 200, 2.2, 2.5) // 108 degrees: the crank goes on evenly
	assert.Len(t, curve(t, analyse(t, r, motion.FromSide), motion.KneeFlexion, contact.Left).Used, 6)

	hide(r.Markers[motion.PedalLeft], 200, 2.2, 2.7)
	m = analyse(t, r, motion.FromSide)
	require.Len(t, m.Revolutions(), 5)
	assert.Equal(t, 1, m.Quality().Lost)
	assert.InDelta(t, 3, m.Revolutions()[2].Start, 1e-9)

	r = copied(whole)
	hide(r.Markers[motion.KneeLeft], 200, 3.4, 3.5) // 19 frames, 95 ms
	assert.Len(t, curve(t, analyse(t, r, motion.FromSide), motion.KneeFlexion, contact.Left).Used, 6)
	hide(r.Markers[motion.KneeLeft], 200, 3.3, 3.5)
	m = analyse(t, r, motion.FromSide)
	assert.Equal(t, []int{0, 1, 2, 4, 5}, curve(t, m, motion.KneeFlexion, contact.Left).Used)
	require.Len(t, m.Quality().Findings, 1)
	assert.Equal(t, motion.Finding{Kind: motion.Gap, Markers: []motion.Marker{motion.KneeLeft}, From: 661, To: 699}, m.Quality().Findings[0])
	assert.Equal(t, "gap of knee_left in frames 661 to 699", m.Quality().Findings[0].String())
	m, err := r.Analyse(t.Context(), motion.Settings{View: motion.FromSide, Gap: 0.25})
	require.NoError(t, err)
	assert.Len(t, curve(t, m, motion.KneeFlexion, contact.Left).Used, 6)
	m, err = whole.Analyse(t.Context(), motion.Settings{Gap: -1})
	require.NoError(t, err)
	assert.Len(t, curve(t, m, motion.KneeFlexion, contact.Left).Used, 6)

	hide(r.Markers[motion.KneeLeft], 200, -1, 7)
	_, err = analyse(t, r, motion.FromSide).Curve(t.Context(), motion.KneeFlexion, contact.Left)
	assert.ErrorIs(t, err, contact.ErrMissing)
}

// What a phone's camera gives: 30 frames a second at 100 revolutions a minute, and a knee
// that is hidden for 25 degrees of each turn.
func TestPhone(t *testing.T) {
	r := ride{side: contact.Left, seconds: 20, rate: 30, cadence: 100, noise: 2}.record(t, fresh(3))
	for i := range r.Times {
		if turn := math.Mod(r.Times[i]*600, 360); turn > 100 && turn < 125 {
			r.Markers[motion.KneeLeft][i].Seen = false
		}
	}
	r.Flat = true
	m := analyse(t, r, motion.InSpace)
	c := curve(t, m, motion.KneeFlexion, contact.Left)
	assert.Equal(t, len(m.Revolutions()), len(c.Used))
	assert.GreaterOrEqual(t, len(c.Used), 32)
	assert.True(t, c.Flat)
	b, p := invented.Rider()
	want, err := chainOf(t, b, p).Span(rider.KneeFlexion, contact.Left)
	require.NoError(t, err)
	assert.InDelta(t, want.Least, c.Least().Mean, 0.3)
	assert.InDelta(t, want.Most, c.Most().Mean, 0.3)
	_, err = m.Curve(t.Context(), motion.KneeOffset, contact.Left)
	assert.ErrorIs(t, err, contact.ErrMissing, "a camera at the side does not see it")
}

// A phase that something else told, and markers of a foot in place of the pedal's.
func TestPhase(t *testing.T) {
	r := ride{side: contact.Right, seconds: 8, rate: 100, cadence: 90, start: 40}.record(t, fresh(4))
	want := curve(t, analyse(t, r, motion.FromSide), motion.KneeFlexion, contact.Right)
	stated := copied(r)
	delete(stated.Markers, motion.PedalRight)
	for _, at := range r.Times {
		stated.Phase = append(stated.Phase, 40+180+at*540)
	}
	stated.Phase[100] = math.NaN()
	got := curve(t, analyse(t, stated, motion.FromSide), motion.KneeFlexion, contact.Right)
	assert.InDelta(t, want.Most().CrankAngle, got.Most().CrankAngle, 1e-6)
	assert.InDelta(t, want.Most().Mean, got.Most().Mean, 1e-6)

	foot := copied(r)
	delete(foot.Markers, motion.PedalRight)
	m := analyse(t, foot, motion.FromSide)
	got = curve(t, m, motion.KneeFlexion, contact.Right)
	assert.InDelta(t, want.Most().Mean, got.Most().Mean, 0.05, "extremes do not hang on it")
	assert.InDelta(t, want.Most().CrankAngle, got.Most().CrankAngle, 15)
	assert.Equal(t, motion.FootPhase, m.Quality().Findings[0].Kind)
	assert.Equal(t, motion.ToeRight, m.Quality().Cranks[0].Marker)

	stated.Phase = stated.Phase[1:]
	_, err := stated.Analyse(t.Context(), motion.Settings{})
	assert.ErrorIs(t, err, contact.ErrConflict)
}

// Both legs on one base: a pedal of one side tells the other's dead points too.
func TestBothLegs(t *testing.T) {
	left := ride{side: contact.Left, seconds: 8, rate: 100, cadence: 90}.record(t, fresh(5))
	right := ride{side: contact.Right, seconds: 8, rate: 100, cadence: 90, start: 180}.record(t, fresh(5))
	maps.Copy(left.Markers, right.Markers)
	both := analyse(t, left, motion.FromSide)
	require.Len(t, both.Quality().Cranks, 2)
	a, b := curve(t, both, motion.KneeFlexion, contact.Left), curve(t, both, motion.KneeFlexion, contact.Right)
	for crank := 0.; crank < 360; crank += 30 {
		assert.InDelta(t, at(t, a, crank).Mean, at(t, b, crank).Mean, 1e-6)
	}
	by, sigma, ok := a.Most().Sub(b.Most().Stat)
	require.True(t, ok)
	assert.InDelta(t, 0, by, 1e-6)
	assert.Less(t, sigma, 1e-3)
	delete(left.Markers, motion.PedalRight)
	c := curve(t, analyse(t, left, motion.FromSide), motion.KneeFlexion, contact.Right)
	assert.InDelta(t, b.Most().CrankAngle, c.Most().CrankAngle, 1e-6)
}

// A crank that is turned back for a while, and one that stands still.
func TestBackward(t *testing.T) {
	b, p := invented.Rider()
	c := chainOf(t, b, p)
	r := motion.Recording{Markers: map[motion.Marker][]motion.Sample{}}
	turned := func(at float64) float64 { // 90 a minute, back by 100 degrees from 4 s on, and forward again from 4.5 s
		switch {
		case at < 4:
			return at * 540
		case at < 4.5:
			return 4*540 - (at-4)*200
		case at < 6:
			return 4*540 - 100
		}
		return 4*540 - 100 + (at-6)*540
	}
	for i := range 1001 {
		s, err := c.At(contact.Left, turned(float64(i)/100))
		require.NoError(t, err)
		r.Times = append(r.Times, float64(i)/100)
		r.Markers[motion.PedalLeft] = append(r.Markers[motion.PedalLeft], motion.Sample{At: s.Pedal, Seen: true})
		r.Markers[motion.KneeLeft] = append(r.Markers[motion.KneeLeft], motion.Sample{At: s.Knee, Seen: true})
	}
	m := analyse(t, r, motion.FromSide)
	q := m.Quality()
	// By hand: 6 revolutions until 4 s, of which the first starts with the recording; then
	// 100 degrees back and 2160 − 100 + 4·540 = 4220 at the end: 11 whole ones.
	assert.Equal(t, [3]int{10, 1, 1}, [3]int{q.Revolutions, q.Partial, q.Lost})
	require.Len(t, q.Findings, 1)
	assert.Equal(t, motion.Backward, q.Findings[0].Kind)
	assert.InDelta(t, 100, q.Findings[0].By, 1e-6)
	assert.InDelta(t, 416, q.Findings[0].From, 2)
}

// Circles that are not where or what they should be are findings.
func TestCrankFindings(t *testing.T) {
	whole := ride{side: contact.Left, seconds: 8, rate: 100, cadence: 90, noise: 1}.record(t, fresh(6))
	kinds := func(r motion.Recording) (all []motion.Kind) {
		for _, f := range analyse(t, r, motion.InSpace).Quality().Findings {
			all = append(all, f.Kind)
		}
		return all
	}
	assert.Empty(t, kinds(whole))
	r := copied(whole)
	each(&r, func(v r3.Vec) r3.Vec { return r3.Add(v, r3.Vec{X: 6, Z: 8}) })
	assert.Equal(t, []motion.Kind{motion.CrankCentre}, kinds(r))
	m := analyse(t, r, motion.FromSide)
	assert.InDelta(t, 10, m.Quality().Findings[0].By, 0.3)
	b, p := invented.Rider()
	s, err := chainOf(t, b, p).At(contact.Left, 180)
	require.NoError(t, err)
	assert.InDelta(t, s.KneeFlexion, at(t, curve(t, m, motion.KneeFlexion, contact.Left), 180).Mean, 0.3, "which does not hang on the origin")
	r = copied(whole)
	r.Crank = 165
	assert.Equal(t, []motion.Kind{motion.CrankLength}, kinds(r))
	r.Crank = 172.5
	assert.Empty(t, kinds(r))
	r = copied(whole)
	turn := r3.NewRotation(5*math.Pi/180, r3.Vec{Z: 1})
	each(&r, turn.Rotate)
	assert.Equal(t, []motion.Kind{motion.CrankCentre, motion.CrankPlane}, kinds(r), "the pedal is 150 mm from the axis")
	assert.Contains(t, analyse(t, r, motion.InSpace).Quality().Findings[1].String(), "crank_plane of pedal_left by 5 degrees")
}

// each changes the place of every sample of every marker.
func each(r *motion.Recording, change func(r3.Vec) r3.Vec) {
	for _, samples := range r.Markers {
		for i := range samples {
			samples[i].At = change(samples[i].At)
		}
	}
}

// One ride, 172.5 mm cranks at 90 per minute, in units and from origins that tired people
// choose: each is named.
func TestRecordingsInAnotherUnit(t *testing.T) {
	scale := func(by float64) func(r *motion.Recording) {
		return func(r *motion.Recording) { each(r, func(v r3.Vec) r3.Vec { return r3.Scale(by, v) }) }
	}
	move := func(by r3.Vec) func(r *motion.Recording) {
		return func(r *motion.Recording) { each(r, func(v r3.Vec) r3.Vec { return r3.Add(v, by) }) }
	}
	times := func(by float64) func(r *motion.Recording) {
		return func(r *motion.Recording) {
			for i := range r.Times {
				r.Times[i] *= by
			}
		}
	}
	for name, c := range map[string]struct {
		change      func(r *motion.Recording)
		class       error
		path, words string
	}{
		"as it is":           {func(*motion.Recording) {}, nil, "", ""},
		"centimetres":        {scale(0.1), contact.ErrUnit, "pedal_left", "centimetres"},
		"inches":             {scale(1 / 25.4), contact.ErrUnit, "pedal_left", "inches"},
		"metres":             {scale(0.001), contact.ErrUnit, "pedal_left", "metres"},
		"ten times":          {func(r *motion.Recording) { delete(r.Markers, motion.ShoulderLeft); scale(10)(r) }, contact.ErrUnit, "pedal_left", "millimetres taken for centimetres"},
		"three times":        {scale(3), contact.ErrRange, "pedal_left", ""},
		"off":                {move(r3.Vec{X: 30}), nil, "", ""}, // a finding
		"from the ground":    {move(r3.Vec{Z: 270}), contact.ErrConflict, "pedal_left", "origin"},
		"from the rear axle": {move(r3.Vec{X: 405, Z: -70}), contact.ErrConflict, "pedal_left", "origin"},
		"milliseconds":       {times(1000), contact.ErrUnit, "times", "milliseconds"},
		"frames":             {times(100), contact.ErrRange, "times", "per minute"},
		"minutes":            {times(1. / 60), contact.ErrRange, "times", "per minute"},
		"mirrored":           {func(r *motion.Recording) { each(r, func(v r3.Vec) r3.Vec { return r3.Vec{X: -v.X, Y: v.Y, Z: v.Z} }) }, contact.ErrConflict, "toe_left", ""},
		"the pedal mirrored": {func(r *motion.Recording) {
			p := r.Markers[motion.PedalLeft]
			for i := range p {
				p[i].At.X *= -1
			}
		}, contact.ErrConflict, "pedal_left", "mirrored"},
	} {
		for _, noise := range []float64{0, 3} {
			r := ride{side: contact.Left, seconds: 4, rate: 100, cadence: 90, noise: noise, drop: 0.02}.record(t, fresh(8))
			c.change(&r)
			_, err := r.Analyse(t.Context(), motion.Settings{View: motion.FromSide})
			if c.class == nil {
				assert.NoError(t, err, name)
				continue
			}
			f := contact.Faults(err)
			require.NotEmpty(t, f, "%s: %v", name, err)
			assert.True(t, errors.Is(err, c.class), "%s: %v", name, err)
			assert.Equal(t, c.path, f[0].Path, "%s: %v", name, err)
			assert.Contains(t, f[0].Value+f[0].Want, c.words, name)
		}
	}
}

// Markers that have changed places in all of the recording, and the other leg.
func TestMarkersExchanged(t *testing.T) {
	swap := func(a, b motion.Marker) func(r *motion.Recording) {
		return func(r *motion.Recording) { r.Markers[a], r.Markers[b] = r.Markers[b], r.Markers[a] }
	}
	for name, c := range map[string]struct {
		change func(r *motion.Recording)
		path   string
	}{
		"other side":       {func(r *motion.Recording) { each(r, func(v r3.Vec) r3.Vec { return r3.Vec{X: v.X, Y: -v.Y, Z: v.Z} }) }, "pedal_left"},
		"toe and heel":     {swap(motion.ToeLeft, motion.HeelLeft), "toe_left"},
		"knee and ankle":   {swap(motion.KneeLeft, motion.AnkleLeft), "knee_left"},
		"hip and knee":     {swap(motion.HipLeft, motion.KneeLeft), "hip_left"},
		"shoulder and hip": {swap(motion.ShoulderLeft, motion.HipLeft), "shoulder_left"},
		"a flat back":      {func(r *motion.Recording) { r.Markers[motion.ShoulderLeft] = by(r, r3.Vec{X: 480, Z: -20}) }, ""},
		"an upright back":  {func(r *motion.Recording) { r.Markers[motion.ShoulderLeft] = by(r, r3.Vec{X: -20, Z: 480}) }, ""},
		"seen from a side": {func(r *motion.Recording) { each(r, func(v r3.Vec) r3.Vec { return r3.Vec{X: v.X, Z: v.Z} }) }, ""},
		"without a knee":   {func(r *motion.Recording) { delete(r.Markers, motion.KneeLeft) }, ""},
		"a knee not seen":  {func(r *motion.Recording) { clear(r.Markers[motion.KneeLeft]) }, ""},
	} {
		r := ride{side: contact.Left, seconds: 4, rate: 100, cadence: 90, noise: 1}.record(t, fresh(8))
		c.change(&r)
		_, err := r.Analyse(t.Context(), motion.Settings{})
		if c.path == "" {
			assert.NoError(t, err, name)
			continue
		}
		require.NotEmpty(t, contact.Faults(err), name)
		assert.ErrorIs(t, err, contact.ErrConflict, name)
		assert.Equal(t, c.path, contact.Faults(err)[0].Path, "%s: %v", name, err)
	}
}

// by is the hip's samples as far from there.
func by(r *motion.Recording, off r3.Vec) []motion.Sample {
	moved := slices.Clone(r.Markers[motion.HipLeft])
	for i := range moved {
		moved[i].At = r3.Add(moved[i].At, off)
	}
	return moved
}

// Frames so far apart that fast pedalling looks slow, as wheels turn backwards in films:
// by hand, at 90 per minute and 1.4 frames a second the crank turns by 385.7 degrees from
// one to the next, which looks like 25.7 and 6 per minute.
func TestTooFewFrames(t *testing.T) {
	for _, c := range []struct {
		rate, cadence float64
		class         error
	}{
		{1.4, 90, contact.ErrRange},   // looks like 6 per minute
		{1.3, 90, contact.ErrRange},   // 415 degrees: looks like 12
		{3.1, 200, contact.ErrRange},  // 387 degrees: looks like 14
		{4.9, 60, contact.ErrRange},   // 73 degrees, but 367 at 300 would look so too
		{6, 100, contact.ErrRange},    // 100 degrees
		{12, 90, nil},                 // 45 degrees
		{25, 120, nil},                // a slow camera
		{5.1, 60, nil},                // 71 degrees
		{6, 300, contact.ErrConflict}, // 300 degrees: looks backwards
	} {
		r := ride{side: contact.Right, seconds: 20, rate: c.rate, cadence: c.cadence}.record(t, fresh(8))
		m, err := r.Analyse(t.Context(), motion.Settings{})
		if c.class == nil {
			require.NoError(t, err, c)
			assert.InDelta(t, c.cadence, m.Revolutions()[0].Cadence(), 1e-6)
			continue
		}
		assert.ErrorIs(t, err, c.class, c)
	}
}

// A rider who stands still for most of the time is on the same circle, and so is a pedal
// that the camera loses to something else now and then.
func TestPlausibleInSpiteOf(t *testing.T) {
	r := ride{side: contact.Left, seconds: 4, rate: 100, cadence: 90}.record(t, fresh(8))
	var still motion.Recording
	for i := range 350 { // standing still at first
		still.Times = append(still.Times, float64(i)/100)
	}
	pedal := slices.Repeat(r.Markers[motion.PedalLeft][:1], 350)
	for i := range r.Times {
		still.Times = append(still.Times, 3.5+r.Times[i])
		pedal = append(pedal, r.Markers[motion.PedalLeft][i])
	}
	still.Markers = map[motion.Marker][]motion.Sample{motion.PedalLeft: pedal}
	m, err := still.Analyse(t.Context(), motion.Settings{})
	require.NoError(t, err)
	assert.InDelta(t, 90, m.Revolutions()[len(m.Revolutions())-1].Cadence(), 1e-6)

	for _, i := range []int{50, 170, 290} {
		p := &r.Markers[motion.PedalLeft][i].At
		*p = r3.Add(*p, r3.Vec{X: 1500, Z: -800})
	}
	m, err = r.Analyse(t.Context(), motion.Settings{})
	require.NoError(t, err)
	assert.Len(t, m.Quality().Findings, 3)

	// Less than a revolution tells nothing.
	_, err = ride{side: contact.Left, seconds: 0.3, rate: 100, cadence: 90}.record(t, fresh(8)).Analyse(t.Context(), motion.Settings{})
	assert.ErrorIs(t, err, contact.ErrMissing)
}

func TestRecordingBadInput(t *testing.T) {
	nan := math.NaN()
	knee := func(r *motion.Recording) []motion.Sample { return r.Markers[motion.KneeLeft] }
	for name, c := range map[string]struct {
		change func(r *motion.Recording)
		class  error
		path   string
	}{
		"no times": {func(r *motion.Recording) {
			*r = motion.Recording{Markers: map[motion.Marker][]motion.Sample{motion.Neck: {}}}
		}, contact.ErrMissing, "times"},
		"no markers":    {func(r *motion.Recording) { r.Markers = nil }, contact.ErrMissing, "markers"},
		"no crank":      {func(r *motion.Recording) { r.Markers = map[motion.Marker][]motion.Sample{motion.KneeLeft: knee(r)} }, contact.ErrMissing, "pedal_left"},
		"no such":       {func(r *motion.Recording) { r.Markers[77] = knee(r) }, contact.ErrUnknown, "markers"},
		"NaN marker":    {func(r *motion.Recording) { knee(r)[7].At.Z = nan }, contact.ErrRange, "markers.knee_left[7][2]"},
		"far marker":    {func(r *motion.Recording) { knee(r)[9].At.X = 1e7 }, contact.ErrRange, "markers.knee_left[9][0]"},
		"NaN time":      {func(r *motion.Recording) { r.Times[4] = nan }, contact.ErrRange, "times[4]"},
		"out of order":  {func(r *motion.Recording) { r.Times[4], r.Times[5] = r.Times[5], r.Times[4] }, contact.ErrConflict, "times[5]"},
		"twice":         {func(r *motion.Recording) { r.Times[5] = r.Times[4] }, contact.ErrConflict, "times[5]"},
		"too few":       {func(r *motion.Recording) { r.Markers[motion.ToeLeft] = r.Markers[motion.ToeLeft][1:] }, contact.ErrConflict, "markers.toe_left"},
		"crank":         {func(r *motion.Recording) { r.Crank = 17 }, contact.ErrRange, "crank_mm"},
		"phase":         {func(r *motion.Recording) { r.Phase = make([]float64, len(r.Times)); r.Phase[3] = 1e10 }, contact.ErrRange, "phase_deg[3]"},
		"never seen":    {func(r *motion.Recording) { *r = pedalAlone(*r, 200); clear(r.Markers[motion.PedalLeft]) }, contact.ErrMissing, "pedal_left"},
		"no revolution": {func(r *motion.Recording) { *r = pedalAlone(*r, 190) }, contact.ErrMissing, "revolutions"}, // of 200
	} {
		t.Run(name, func(t *testing.T) {
			r := ride{side: contact.Left, seconds: 2, rate: 200, cadence: 60}.record(t, fresh(80))
			c.change(&r)
			_, err := r.Analyse(t.Context(), motion.Settings{})
			require.ErrorIs(t, err, c.class)
			assert.Equal(t, c.path, contact.Faults(err)[0].Path)
		})
	}
	r := ride{side: contact.Left, seconds: 1, rate: 200, cadence: 60}.record(t, fresh(80))
	assert.Len(t, analyse(t, r, motion.InSpace).Revolutions(), 1, "exactly one")
	for name, s := range map[string]motion.Settings{
		"view": {View: 5}, "gap": {Gap: 2}, "NaN gap": {Gap: nan}, "harmonics": {Harmonics: 13}, "cut-off": {CutOff: -1}, "two cut-offs": {CutOff: 10, ByResiduals: true},
		"too low": {CutOff: 4}, "too high": {CutOff: 95},
	} {
		_, err := r.Analyse(t.Context(), s)
		assert.NotEmpty(t, contact.Faults(err), name)
	}
	m := analyse(t, r, motion.InSpace)
	for of, class := range map[motion.Measure]error{motion.ElbowFlexion: contact.ErrMissing, motion.PelvisTilt: contact.ErrMissing, 77: contact.ErrUnknown, 0: contact.ErrUnknown} {
		_, err := m.Curve(t.Context(), of, contact.Left)
		assert.ErrorIs(t, err, class)
	}
	_, err := m.Curve(t.Context(), motion.KneeFlexion, contact.Centre)
	assert.ErrorIs(t, err, contact.ErrUnknown)
	_, err = m.Curve(t.Context(), motion.KneeFlexion, contact.Right)
	assert.ErrorContains(t, err, "knee_right")
	_, err = curve(t, m, motion.KneeFlexion, contact.Left).At(nan)
	assert.ErrorIs(t, err, contact.ErrRange)
	_, err = motion.Curve{}.At(0)
	assert.ErrorIs(t, err, contact.ErrMissing)
	assert.Zero(t, motion.Curve{}.Range())
	assert.Zero(t, motion.Curve{}.Most())
	assert.Zero(t, motion.Curve{}.Mean())
	_, err = motion.Recording{Times: []float64{0, nan}, Markers: map[motion.Marker][]motion.Sample{motion.KneeLeft: make([]motion.Sample, 1), 0: nil}, Crank: 1}.Analyse(t.Context(), motion.Settings{View: 9, Harmonics: -1})
	assert.Len(t, contact.Faults(err), 6, "all faults together: %v", err)

	r.Markers[motion.AnkleLeft][3].At = r.Markers[motion.KneeLeft][3].At
	r.Markers[motion.AnkleLeft] = slices.Repeat(r.Markers[motion.AnkleLeft][3:4], len(r.Times))
	for i := range r.Times {
		r.Markers[motion.AnkleLeft][i].At = r3.Sub(r.Markers[motion.KneeLeft][i].At, r3.Vec{Z: 0.1})
	}
	_, err = analyse(t, r, motion.InSpace).Curve(t.Context(), motion.KneeFlexion, contact.Left)
	assert.ErrorIs(t, err, contact.ErrRange)
	assert.ErrorContains(t, err, "knee_left[0]")
}

func pedalAlone(r motion.Recording, n int) motion.Recording {
	return motion.Recording{Times: r.Times[:n], Markers: map[motion.Marker][]motion.Sample{motion.PedalLeft: r.Markers[motion.PedalLeft][:n]}}
}

// A motion keeps its own copy of the samples.
func TestMotionDoesNotChange(t *testing.T) {
	r := ride{side: contact.Left, seconds: 3, rate: 100, cadence: 60}.record(t, fresh(81))
	was := copied(r)
	m := analyse(t, r, motion.InSpace)
	assert.Equal(t, was.Times, r.Times)
	before := curve(t, m, motion.KneeFlexion, contact.Left)
	r.Markers[motion.KneeLeft][50].At.X += 100
	r.Times[50] += 0.001
	m.Quality().Markers[0].Seen = -1
	assert.Equal(t, before, curve(t, m, motion.KneeFlexion, contact.Left))
	assert.Positive(t, m.Quality().Markers[0].Seen)
}

// The axes of a laboratory, brought to the bike by markers on it; and what is wrong with
// them.
func TestOnBike(t *testing.T) {
	r := ride{side: contact.Left, seconds: 3, rate: 100, cadence: 60, noise: 0.5}.record(t, fresh(9))
	places := map[motion.Marker]r3.Vec{motion.Bike1: {X: 10, Y: 30, Z: 400}, motion.Bike2: {X: -410, Y: 60, Z: 50}, motion.Bike4: {X: 550, Y: -50, Z: 200}}
	for k, v := range places {
		r.Markers[k] = make([]motion.Sample, len(r.Times))
		for i := range r.Times {
			r.Markers[k][i] = motion.Sample{At: v, Seen: true}
		}
	}
	want := at(t, curve(t, analyse(t, r, motion.InSpace), motion.KneeOffset, contact.Left), 90)
	lab, turn := copied(r), r3.NewRotation(2, r3.Vec{X: 0.1, Y: 0.2, Z: 1})
	each(&lab, func(v r3.Vec) r3.Vec { return r3.Add(turn.Rotate(v), r3.Vec{X: 900, Y: -300, Z: 400}) })
	back, residuals, err := lab.OnBike(places)
	require.NoError(t, err)
	assert.Len(t, residuals, 3)
	got := at(t, curve(t, analyse(t, back, motion.InSpace), motion.KneeOffset, contact.Left), 90)
	assert.InDelta(t, want.Mean, got.Mean, 1e-6)
	again, _, err := survey.FitMotion([]r3.Vec{{X: 1}, {Y: 1}, {Z: 1}}, []r3.Vec{{X: 1}, {Y: 1}, {Z: 1}})
	require.NoError(t, err)
	assert.InDelta(t, 0, r3.Norm(r3.Sub(back.Markers[motion.Bike1][7].At, back.Carry(again).Markers[motion.Bike1][7].At)), 1e-9)

	for name, c := range map[string]struct {
		change func(r *motion.Recording, places map[motion.Marker]r3.Vec)
		class  error
	}{
		"two":         {func(_ *motion.Recording, p map[motion.Marker]r3.Vec) { delete(p, motion.Bike1) }, contact.ErrMissing},
		"not seen":    {func(r *motion.Recording, _ map[motion.Marker]r3.Vec) { clear(r.Markers[motion.Bike1]) }, contact.ErrMissing},
		"a knee":      {func(_ *motion.Recording, p map[motion.Marker]r3.Vec) { p[motion.KneeLeft] = r3.Vec{} }, contact.ErrUnknown},
		"wrong place": {func(_ *motion.Recording, p map[motion.Marker]r3.Vec) { p[motion.Bike1] = r3.Vec{X: 200, Z: 400} }, contact.ErrConflict},
		"NaN":         {func(_ *motion.Recording, p map[motion.Marker]r3.Vec) { p[motion.Bike1] = r3.Vec{X: math.NaN()} }, contact.ErrRange},
		"moving": {func(r *motion.Recording, _ map[motion.Marker]r3.Vec) {
			for i := range r.Times {
				r.Markers[motion.Bike2][i].At.X += float64(i)
			}
		}, contact.ErrConflict},
		"bad": {func(r *motion.Recording, _ map[motion.Marker]r3.Vec) { r.Times[1] = -5 }, contact.ErrConflict},
	} {
		bad, where := copied(lab), maps.Clone(places)
		c.change(&bad, where)
		_, _, err := bad.OnBike(where)
		assert.ErrorIs(t, err, c.class, name)
	}
}

// Whatever the times and the pedal say, nothing may panic or come out as NaN without an
// error.
func TestStrangeRecordings(t *testing.T) {
	rng := fresh(82)
	uniform := func(lo, hi float64) float64 { return lo + (hi-lo)*rng.Float64() }
	for range 300 {
		n := 1 + rng.IntN(60)
		r := motion.Recording{Markers: map[motion.Marker][]motion.Sample{}}
		at := uniform(-1e9, 1e9)
		for range n {
			at += math.Pow(10, uniform(-5, 9)*float64(rng.IntN(2))-1)
			r.Times = append(r.Times, at)
			for _, k := range []motion.Marker{motion.PedalRight, motion.KneeRight, motion.ToeRight, motion.Sacrum} {
				r.Markers[k] = append(r.Markers[k], motion.Sample{At: r3.Vec{X: uniform(-1e4, 1e4), Y: uniform(-1e4, 1e4), Z: uniform(-1e4, 1e4)}, Seen: rng.IntN(4) > 0})
			}
		}
		m, err := r.Analyse(t.Context(), motion.Settings{})
		if err != nil {
			continue
		}
		for _, turn := range m.Revolutions() {
			assert.Greater(t, turn.Cadence(), 0.)
			assert.False(t, math.IsInf(turn.Cadence(), 0))
		}
		if c, err := m.Curve(t.Context(), motion.KneeOffset, contact.Right); err == nil {
			assert.NotContains(t, fmt.Sprint(c.Least(), c.Most(), c.Mean(), c.Range()), "NaN")
		}
	}
}

// A minute of 24 markers at 200 a second, with a stated cut-off and with residual analysis.
func BenchmarkMotion(b *testing.B) {
	for name, s := range map[string]motion.Settings{"cut-off": {CutOff: 10}, "residuals": {ByResiduals: true}, "harmonics": {}} {
		b.Run(name, func(b *testing.B) {
			r := ride{side: contact.Left, seconds: 60, rate: 200, cadence: 90, noise: 1, drop: 0.02}.record(b, fresh(83))
			maps.Copy(r.Markers, ride{side: contact.Right, start: 180, seconds: 60, rate: 200, cadence: 90, noise: 1, drop: 0.02}.record(b, fresh(84)).Markers)
			for i, k := range []motion.Marker{motion.ElbowLeft, motion.ElbowRight, motion.WristLeft, motion.WristRight, motion.ASISLeft, motion.ASISRight, motion.PSISLeft, motion.PSISRight, motion.Neck} {
				r.Markers[k] = by(&r, r3.Vec{X: 20 * float64(i), Y: 10, Z: 50})
			}
			if len(r.Markers) != 24 {
				b.Fatal(len(r.Markers))
			}
			b.ReportAllocs()
			for b.Loop() {
				if _, err := r.Analyse(b.Context(), s); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func TestZeroValues(t *testing.T) {
	var m motion.Motion
	assert.Empty(t, m.Revolutions())
	assert.Zero(t, m.Quality())
	for _, of := range motion.Measures() {
		_, err := m.Curve(t.Context(), of, contact.Left)
		assert.ErrorIs(t, err, contact.ErrMissing)
	}
	_, err := motion.Recording{}.Analyse(t.Context(), motion.Settings{})
	assert.ErrorIs(t, err, contact.ErrMissing)
}

func TestNoDocument(t *testing.T) {
	_, err := json.Marshal(motion.Motion{})
	assert.ErrorIs(t, err, contact.ErrUnknown)
	assert.ErrorIs(t, json.Unmarshal([]byte("{}"), &motion.Motion{}), contact.ErrUnknown)
}

// A report has every curve that can be had, and comes back from JSON as it was; what is stated
// of a curve and does not follow from it is refused.
func TestReport(t *testing.T) {
	r := ride{side: contact.Left, seconds: 8, rate: 100, cadence: 90, noise: 1}.record(t, fresh(3))
	m := analyse(t, r, motion.InSpace)
	report, err := m.Report(t.Context())
	require.NoError(t, err)
	require.Empty(t, report.Faults)
	require.NotEmpty(t, report.Curves)
	assert.Equal(t, m.Quality(), report.Quality)
	assert.Equal(t, m.Revolutions(), report.Revolutions)
	knee, err := m.Curve(t.Context(), motion.KneeFlexion, contact.Left)
	require.NoError(t, err)
	assert.Equal(t, knee, report.Curves[0])
	report.Paths, err = m.Paths(t.Context(), contact.Left, motion.KneeLeft)
	require.NoError(t, err)

	text, err := json.Marshal(report)
	require.NoError(t, err)
	var back motion.Report
	require.NoError(t, json.Unmarshal(text, &back))
	assert.Equal(t, report, back)
	assert.Equal(t, knee.Most(), back.Curves[0].Most())
	var recorded motion.Recording
	text, err = json.Marshal(r)
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(text, &recorded))
	assert.Equal(t, r, recorded)

	text, err = json.Marshal(knee)
	require.NoError(t, err)
	var plain map[string]any
	require.NoError(t, json.Unmarshal(text, &plain))
	for path, spoil := range map[string]func(){
		"/features/most":              func() { plain["features"].(map[string]any)["most"].(map[string]any)["mean"] = 1 },
		"/crank_angle":                func() { plain["crank_angle"].(map[string]any)["least_deg"] = 100 },
		"/per_minute":                 func() { plain["per_minute"] = 100 },
		"/harmonics":                  func() { plain["harmonics"] = 1e6 },
		"/revolutions/0/coefficients": func() { plain["harmonics"] = 3 },
	} {
		require.NoError(t, json.Unmarshal(text, &plain))
		spoil()
		bad, err := json.Marshal(plain)
		require.NoError(t, err)
		err = json.Unmarshal(bad, new(motion.Curve))
		require.Error(t, err, path)
		assert.Equal(t, path, contact.Faults(err)[0].Path)
	}

	ended, cancel := context.WithCancel(t.Context())
	cancel()
	_, err = m.Report(ended)
	require.ErrorIs(t, err, context.Canceled)
}

// By hand: 4 − 1, √(2² + 1.5²), and Student's 95 % quantile for 3 degrees of freedom, 3.182
// (any table).
func TestStat(t *testing.T) {
	a, b := motion.Stat{Mean: 4, Sigma: 2, Count: 4}, motion.Stat{Mean: 1, Sigma: 1.5, Count: 9}
	by, sigma, ok := a.Sub(b)
	require.True(t, ok)
	assert.InDelta(t, 3, by, 1e-12)
	assert.InDelta(t, 2.5, sigma, 1e-12)
	low, high, ok := a.Range95()
	require.True(t, ok)
	assert.InDelta(t, 4-2*3.182, low, 1e-3)
	assert.InDelta(t, 4+2*3.182, high, 1e-3)
	_, _, ok = motion.Stat{Mean: 3, Count: 1}.Range95()
	assert.False(t, ok)
	_, _, ok = a.Sub(motion.Stat{Mean: 3, Count: 1})
	assert.False(t, ok)
}
