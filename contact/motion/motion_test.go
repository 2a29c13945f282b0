package motion_test

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/motion"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/internal/invented"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// A ride is what an invented camera system sees of a chain that pedals.
type ride struct {
	side             contact.Side
	seconds, rate    float64 // s, frames per second
	cadence          float64 // turns per minute
	start            float64 // crank angle of the first frame
	noise            float64 // mm in every coordinate
	drop             float64 // share of samples that are not seen
	knee             float64 // the knee's offset to the outside of the toe at crank 90, less that at 270, mm
	forward, sinking float64 // drift of the pelvis marker, mm per minute
}

func (d ride) record(t testing.TB, rng *rand.Rand) motion.Recording {
	b, p := invented.Rider()
	c := chainOf(t, b, p)
	u, _ := c.Upper()
	r := motion.Recording{Side: d.side}
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
			samples *[]motion.Sample
			at      r3.Vec
		}{
			{&r.Pedal, r3.Vec{X: s.Pedal.X, Y: out * 150, Z: s.Pedal.Z}},
			{&r.Toe, r3.Vec{X: s.Ankle.X + 120*cos, Y: y, Z: s.Ankle.Z + 120*sin}},
			{&r.Heel, r3.Vec{X: s.Ankle.X - 40*cos, Y: y, Z: s.Ankle.Z - 40*sin}},
			{&r.Ankle, r3.Vec{X: s.Ankle.X, Y: y, Z: s.Ankle.Z}},
			{&r.Knee, r3.Vec{X: s.Knee.X, Y: kneeY, Z: s.Knee.Z}},
			{&r.Hip, r3.Vec{X: s.Hip.X, Y: out * 100, Z: s.Hip.Z}},
			{&r.Shoulder, r3.Vec{X: u.Shoulder.X, Y: out * 180, Z: u.Shoulder.Z}},
			{&r.Pelvis, pelvis},
		} {
			noise := r3.Scale(d.noise, r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()})
			sample := motion.Sample{At: r3.Add(m.at, noise), Seen: rng.Float64() >= d.drop}
			if !sample.Seen {
				sample.At = r3.Vec{X: math.NaN()} // nobody looks there
			}
			*m.samples = append(*m.samples, sample)
		}
	}
	return r
}

func analyse(t testing.TB, r motion.Recording, v motion.View) motion.Motion {
	t.Helper()
	m, err := r.Analyse(t.Context(), v)
	require.NoError(t, err)
	return m
}

// A recording of a chain without noise must say what the chain says, as nearly
// as its frames lie to the extremes.
func TestMotionAgainstChain(t *testing.T) {
	rng := rand.New(rand.NewPCG(75, 1))
	d := ride{side: contact.Left, seconds: 10, rate: 400, cadence: 85, start: 33, forward: 3, sinking: 6}
	m := analyse(t, d.record(t, rng), motion.FromSide)
	b, p := invented.Rider()
	c := chainOf(t, b, p)

	turns := m.Revolutions()
	require.Len(t, turns, 14) // 10 s at 85 per minute are 14.17
	for i, r := range turns {
		assert.InDelta(t, 85, r.Cadence(), 1e-9)
		assert.InDelta(t, float64(i)*60/85, r.Start, 1e-9)
		assert.InDelta(t, 33, r.CrankAngle, 1e-9)
	}
	for _, of := range []rider.Variable{rider.KneeFlexion, rider.HipFlexion, rider.AnkleDorsiflexion, rider.TrunkLean} {
		want, err := c.Span(of, contact.Left)
		require.NoError(t, err)
		got, err := m.Span(t.Context(), of)
		require.NoError(t, err)
		require.Len(t, got.Each, 14)
		assert.Equal(t, 14, got.Range.Count)
		assert.InDelta(t, want.Least, got.Least.Mean, 0.01, of)
		assert.InDelta(t, want.Most, got.Most.Mean, 0.01, of)
		assert.InDelta(t, want.Range(), got.Range.Mean, 0.01, of)
		assert.Less(t, got.Range.Spread, 0.01)
		if of != rider.TrunkLean {
			assert.InDelta(t, want.MostAt, got.Each[3].MostAt, 1.3, of) // a frame is 1.275 degrees
		}
		for _, crank := range []float64{0, 33, 90, 180, 270, -45, 1000} {
			at, err := m.At(t.Context(), of, crank)
			require.NoError(t, err)
			s, err := c.At(contact.Left, crank)
			require.NoError(t, err)
			u, _ := c.Upper()
			value := map[rider.Variable]float64{
				rider.KneeFlexion: s.KneeFlexion, rider.HipFlexion: s.HipFlexion,
				rider.AnkleDorsiflexion: s.AnkleDorsiflexion, rider.TrunkLean: u.TrunkLean,
			}[of]
			assert.InDelta(t, value, at.Mean, 0.01, "%v at %v", of, crank)
			assert.Equal(t, 14, at.Count)
		}
	}
	drift, err := m.PelvisDrift(t.Context())
	require.NoError(t, err)
	require.Len(t, drift.Each, 14)
	close3(t, r3.Vec{X: 3, Z: -6}, drift.PerMinute, 1e-6)
	close3(t, r3.Vec{}, drift.Each[0].By, 0)
	close3(t, r3.Vec{X: 3 * 13. / 85, Z: -6 * 13. / 85}, drift.Each[13].By, 1e-6)
	close3(t, r3.Vec{X: 3 * 6.5 / 85, Z: -6 * 6.5 / 85}, drift.Mean, 1e-6)
	// The standard deviation of 0, 1, …, 13 is √(14·15/12), by hand.
	close3(t, r3.Vec{X: 3 * math.Sqrt(17.5) / 85, Z: 6 * math.Sqrt(17.5) / 85}, drift.Spread, 1e-6)
}

func close3(t *testing.T, want, got r3.Vec, tol float64) {
	t.Helper()
	assert.LessOrEqual(t, r3.Norm(r3.Sub(want, got)), tol, "want %v, got %v", want, got)
}

// A knee 20 mm outside of the toe that swings 15 mm either way, on either leg.
func TestKneeOffset(t *testing.T) {
	for _, side := range []contact.Side{contact.Left, contact.Right} {
		rng := rand.New(rand.NewPCG(76, 1))
		m := analyse(t, ride{side: side, seconds: 5, rate: 200, cadence: 90, knee: 30}.record(t, rng), motion.InSpace)
		s, err := m.Span(t.Context(), rider.KneeOffset)
		require.NoError(t, err)
		assert.InDelta(t, 35, s.Most.Mean, 0.02)
		assert.InDelta(t, 5, s.Least.Mean, 0.02)
		assert.InDelta(t, 20, s.Mean.Mean, 1e-6)
		at, err := m.At(t.Context(), rider.KneeOffset, 90)
		require.NoError(t, err)
		assert.InDelta(t, 35, at.Mean, 0.02)
		// In space such a knee is flexed more than it looks from the side.
		space, err := m.At(t.Context(), rider.KneeFlexion, 90)
		require.NoError(t, err)
		plane, err := analyse(t, ride{side: side, seconds: 5, rate: 200, cadence: 90, knee: 30}.record(t, rng), motion.FromSide).At(t.Context(), rider.KneeFlexion, 90)
		require.NoError(t, err)
		assert.NotEqual(t, space.Mean, plane.Mean)
		assert.InDelta(t, space.Mean, plane.Mean, 2)
	}
}

// With 1 mm of noise and one sample in ten not seen, in any frame and of any
// marker, what was put in comes back.
func TestDroppedSamples(t *testing.T) {
	rng := rand.New(rand.NewPCG(77, 1))
	d := ride{side: contact.Right, seconds: 60, rate: 200, cadence: 88.3, start: 250, noise: 1, drop: 0.1, knee: 20, forward: 8, sinking: 5}
	m := analyse(t, d.record(t, rng), motion.FromSide)
	b, p := invented.Rider()
	c := chainOf(t, b, p)
	assert.Len(t, m.Revolutions(), 88)
	for _, of := range []rider.Variable{rider.KneeFlexion, rider.HipFlexion, rider.AnkleDorsiflexion} {
		for crank := 15.; crank < 360; crank += 30 {
			got, err := m.At(t.Context(), of, crank)
			require.NoError(t, err)
			s, err := c.At(contact.Right, crank)
			require.NoError(t, err)
			want := map[rider.Variable]float64{rider.KneeFlexion: s.KneeFlexion, rider.HipFlexion: s.HipFlexion, rider.AnkleDorsiflexion: s.AnkleDorsiflexion}[of]
			assert.InDelta(t, want, got.Mean, 5*got.Spread/math.Sqrt(float64(got.Count))+0.05, "%v at %v", of, crank)
			assert.Greater(t, got.Count, 60)
		}
	}
	s, err := m.Span(t.Context(), rider.KneeOffset)
	require.NoError(t, err)
	assert.InDelta(t, 20, s.Mean.Mean, 0.1)
	assert.InDelta(t, 30, s.Most.Mean, 3, "extremes of samples are wider by noise")
	drift, err := m.PelvisDrift(t.Context())
	require.NoError(t, err)
	close3(t, r3.Vec{X: 8, Z: -5}, drift.PerMinute, 0.3)
}

// A pedal that was hidden for long loses the revolution and no other; a knee that
// was hidden loses the knee's revolution alone.
func TestHoles(t *testing.T) {
	rng := rand.New(rand.NewPCG(78, 1))
	fresh := func() motion.Recording {
		return ride{side: contact.Left, seconds: 6, rate: 200, cadence: 60}.record(t, rng)
	}
	hide := func(samples []motion.Sample, from, to float64) {
		for i := range samples {
			if at := float64(i) / 200; at > from && at < to {
				samples[i].Seen = false
			}
		}
	}
	r := fresh()
	m := analyse(t, r, motion.FromSide)
	require.Len(t, m.Revolutions(), 6)

	hide(r.Pedal, 2.2, 2.5) // 108 degrees: the crank goes on evenly
	m = analyse(t, r, motion.FromSide)
	require.Len(t, m.Revolutions(), 6)
	s, err := m.Span(t.Context(), rider.KneeFlexion)
	require.NoError(t, err)
	assert.Len(t, s.Each, 6)

	hide(r.Pedal, 2.2, 2.7)
	turns := analyse(t, r, motion.FromSide).Revolutions()
	require.Len(t, turns, 5)
	assert.InDelta(t, 1, turns[1].Start, 1e-9)
	assert.InDelta(t, 2.7, turns[2].Start, 1e-9)
	assert.InDelta(t, 252, turns[2].CrankAngle, 1e-6)

	r = fresh()
	hide(r.Knee, 3.4, 3.5) // 36 degrees
	m = analyse(t, r, motion.FromSide)
	s, err = m.Span(t.Context(), rider.KneeFlexion)
	require.NoError(t, err)
	var each []int
	for _, e := range s.Each {
		each = append(each, e.Revolution)
	}
	assert.Equal(t, []int{0, 1, 2, 4, 5}, each)
	at, err := m.At(t.Context(), rider.KneeFlexion, 162)
	require.NoError(t, err)
	assert.Equal(t, 5, at.Count)
	at, err = m.At(t.Context(), rider.KneeFlexion, 20)
	require.NoError(t, err)
	assert.Equal(t, 6, at.Count)
	hide(r.Knee, -1, 7)
	_, err = analyse(t, r, motion.FromSide).Span(t.Context(), rider.KneeFlexion)
	assert.ErrorIs(t, err, contact.ErrMissing)
	_, err = analyse(t, r, motion.FromSide).At(t.Context(), rider.KneeFlexion, 0)
	assert.ErrorIs(t, err, contact.ErrMissing)
	hide(r.Pelvis, -1, 7)
	_, err = analyse(t, r, motion.FromSide).PelvisDrift(t.Context())
	assert.ErrorIs(t, err, contact.ErrMissing)
}

// Left and right of one body differ by what was put in: nothing, or 5 mm of thigh.
func TestAsymmetry(t *testing.T) {
	rng := rand.New(rand.NewPCG(79, 1))
	summary := func(side contact.Side) motion.Summary {
		d := ride{side: side, seconds: 30, rate: 200, cadence: 90, noise: 1}
		s, err := analyse(t, d.record(t, rng), motion.FromSide).Span(t.Context(), rider.KneeFlexion)
		require.NoError(t, err)
		return s
	}
	left, right := summary(contact.Left), summary(contact.Right)
	by, sigma, ok := left.Most.Sub(right.Most)
	require.True(t, ok)
	assert.Less(t, math.Abs(by), 4*sigma)
	assert.InDelta(t, 0.1, sigma, 0.1)
	_, _, ok = left.Most.Sub(motion.Stat{Mean: 3, Count: 1})
	assert.False(t, ok)
	// By hand: 4 − 1, √(2²/4 + 3²/9).
	by, sigma, ok = motion.Stat{Mean: 4, Spread: 2, Count: 4}.Sub(motion.Stat{Mean: 1, Spread: 3, Count: 9})
	require.True(t, ok)
	assert.InDelta(t, 3, by, 1e-12)
	assert.InDelta(t, math.Sqrt2, sigma, 1e-12)
}

func TestRecordingBadInput(t *testing.T) {
	rng := rand.New(rand.NewPCG(80, 1))
	nan := math.NaN()
	for name, c := range map[string]struct {
		change func(r *motion.Recording)
		class  error
		path   string
	}{
		"no side":       {func(r *motion.Recording) { r.Side = contact.Centre }, contact.ErrUnknown, "side"},
		"no times":      {func(r *motion.Recording) { *r = motion.Recording{Side: contact.Left, Pedal: []motion.Sample{}} }, contact.ErrMissing, "times"},
		"no pedal":      {func(r *motion.Recording) { r.Pedal = nil }, contact.ErrMissing, "pedal"},
		"NaN marker":    {func(r *motion.Recording) { r.Knee[7].At.Z = nan }, contact.ErrRange, "knee[7].z"},
		"far marker":    {func(r *motion.Recording) { r.Hip[9].At.X = 1e7 }, contact.ErrRange, "hip[9].x"},
		"NaN time":      {func(r *motion.Recording) { r.Times[4] = nan }, contact.ErrRange, "times[4]"},
		"out of order":  {func(r *motion.Recording) { r.Times[4], r.Times[5] = r.Times[5], r.Times[4] }, contact.ErrConflict, "times[5]"},
		"twice":         {func(r *motion.Recording) { r.Times[5] = r.Times[4] }, contact.ErrConflict, "times[5]"},
		"too few":       {func(r *motion.Recording) { r.Toe = r.Toe[1:] }, contact.ErrConflict, "toe"},
		"mirrored":      {func(r *motion.Recording) { mirrorX(r.Pedal) }, contact.ErrConflict, "pedal"},
		"never seen":    {func(r *motion.Recording) { clear(r.Pedal) }, contact.ErrMissing, "pedal"},
		"standing":      {func(r *motion.Recording) { still(r.Pedal) }, contact.ErrMissing, "pedal"},
		"no revolution": {func(r *motion.Recording) { *r = short(*r, 190) }, contact.ErrMissing, "pedal"}, // of 200
		"one frame":     {func(r *motion.Recording) { *r = short(*r, 1) }, contact.ErrMissing, "pedal"},
	} {
		t.Run(name, func(t *testing.T) {
			r := ride{side: contact.Left, seconds: 2, rate: 200, cadence: 60}.record(t, rng)
			c.change(&r)
			_, err := r.Analyse(t.Context(), motion.InSpace)
			require.ErrorIs(t, err, c.class)
			assert.Equal(t, c.path, contact.Faults(err)[0].Path)
		})
	}
	r := ride{side: contact.Left, seconds: 1, rate: 200, cadence: 60}.record(t, rng)
	assert.Len(t, analyse(t, r, motion.InSpace).Revolutions(), 1, "exactly one")
	_, err := r.Analyse(t.Context(), motion.View(5))
	assert.ErrorIs(t, err, contact.ErrUnknown)
	m := analyse(t, r, motion.InSpace)
	for of, class := range map[rider.Variable]error{rider.ElbowFlexion: contact.ErrMissing, rider.ShoulderFlexion: contact.ErrMissing, 77: contact.ErrUnknown, 0: contact.ErrUnknown} {
		_, err = m.Span(t.Context(), of)
		assert.ErrorIs(t, err, class)
		_, err = m.At(t.Context(), of, 0)
		assert.ErrorIs(t, err, class)
	}
	_, err = m.At(t.Context(), rider.KneeFlexion, nan)
	assert.ErrorIs(t, err, contact.ErrRange)
	_, err = motion.Recording{Side: 7, Times: []float64{0, nan}, Knee: make([]motion.Sample, 1)}.Analyse(t.Context(), 9)
	assert.Len(t, contact.Faults(err), 5, "all faults together")

	r.Heel, r.Shoulder = nil, nil
	r.Ankle[3].At = r.Knee[3].At
	m = analyse(t, r, motion.InSpace)
	_, err = m.Span(t.Context(), rider.AnkleDorsiflexion)
	assert.ErrorIs(t, err, contact.ErrMissing)
	assert.ErrorContains(t, err, "heel")
	_, err = m.Span(t.Context(), rider.TrunkLean)
	assert.ErrorContains(t, err, "shoulder")
	_, err = m.Span(t.Context(), rider.KneeFlexion)
	assert.ErrorIs(t, err, contact.ErrRange)
	assert.ErrorContains(t, err, "knee[3]")
}

func mirrorX(samples []motion.Sample) {
	for i := range samples {
		samples[i].At.X = -samples[i].At.X
	}
}

func still(samples []motion.Sample) {
	for i := range samples {
		samples[i].At = r3.Vec{X: 170 + 0.01*float64(i%2), Z: 0.01 * float64(i%3)}
	}
}

func short(r motion.Recording, n int) motion.Recording {
	return motion.Recording{Side: r.Side, Times: r.Times[:n], Pedal: r.Pedal[:n]}
}

// A motion keeps its own copy of the samples.
func TestMotionDoesNotChange(t *testing.T) {
	rng := rand.New(rand.NewPCG(81, 1))
	r := ride{side: contact.Left, seconds: 3, rate: 100, cadence: 60}.record(t, rng)
	m := analyse(t, r, motion.InSpace)
	before, err := m.Span(t.Context(), rider.KneeFlexion)
	require.NoError(t, err)
	r.Knee[50].At.X += 100
	r.Times[50] += 0.001
	after, err := m.Span(t.Context(), rider.KneeFlexion)
	require.NoError(t, err)
	assert.Equal(t, before, after)
}

// Whatever the times and the pedal say, nothing may panic or come out as NaN
// without an error.
func TestStrangeRecordings(t *testing.T) {
	rng := rand.New(rand.NewPCG(82, 1))
	for range 300 {
		n := 1 + rng.IntN(60)
		r := motion.Recording{Side: contact.Right, Pedal: make([]motion.Sample, n), Knee: make([]motion.Sample, n), Toe: make([]motion.Sample, n), Pelvis: make([]motion.Sample, n)}
		at := uniform(rng, -1e9, 1e9)
		for i := range n {
			at += math.Pow(10, uniform(rng, -5, 9)*float64(rng.IntN(2))-1)
			r.Times = append(r.Times, at)
			for _, s := range [][]motion.Sample{r.Pedal, r.Knee, r.Toe, r.Pelvis} {
				s[i] = motion.Sample{At: r3.Vec{X: uniform(rng, -1e4, 1e4), Y: uniform(rng, -1e4, 1e4), Z: uniform(rng, -1e4, 1e4)}, Seen: rng.IntN(4) > 0}
			}
		}
		m, err := r.Analyse(t.Context(), motion.InSpace)
		if err != nil {
			continue
		}
		for _, turn := range m.Revolutions() {
			assert.Greater(t, turn.Cadence(), 0.)
			assert.False(t, math.IsInf(turn.Cadence(), 0))
		}
		if s, err := m.Span(t.Context(), rider.KneeOffset); err == nil {
			assert.NotContains(t, fmt.Sprint(s), "NaN")
		}
		if s, err := m.At(t.Context(), rider.KneeOffset, 30); err == nil {
			assert.NotContains(t, fmt.Sprint(s), "NaN")
		}
		if d, err := m.PelvisDrift(t.Context()); err == nil {
			assert.NotContains(t, fmt.Sprint(d), "NaN")
		}
	}
}

// A minute of eight markers at 200 Hz: all measures and the drift.
func BenchmarkMotion(b *testing.B) {
	rng := rand.New(rand.NewPCG(83, 1))
	r := ride{side: contact.Left, seconds: 60, rate: 200, cadence: 90, noise: 1, drop: 0.02}.record(b, rng)
	b.ReportAllocs()
	for b.Loop() {
		m, err := r.Analyse(b.Context(), motion.FromSide)
		if err != nil {
			b.Fatal(err)
		}
		for _, of := range []rider.Variable{rider.KneeFlexion, rider.HipFlexion, rider.AnkleDorsiflexion, rider.TrunkLean, rider.KneeOffset} {
			if _, err := m.Span(b.Context(), of); err != nil {
				b.Fatal(err)
			}
		}
		if _, err := m.PelvisDrift(b.Context()); err != nil {
			b.Fatal(err)
		}
	}
}

func uniform(rng *rand.Rand, lo, hi float64) float64 { return lo + (hi-lo)*rng.Float64() }

func chainOf(t testing.TB, b rider.Body, p contact.Position) rider.Chain {
	t.Helper()
	c, err := rider.NewChain(b, p)
	require.NoError(t, err)
	return c
}

func TestMotionHasNoDocument(t *testing.T) {
	_, err := json.Marshal(motion.Motion{})
	assert.ErrorIs(t, err, contact.ErrUnknown)
	var m motion.Motion
	assert.ErrorIs(t, json.Unmarshal([]byte("{}"), &m), contact.ErrUnknown)
}
