package calibrate_test

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/motion"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/contact/rider/calibrate"
	"example.com/fitgeom/internal/invented"
	"example.com/fitgeom/testdata/oracle/riders"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// ridden is what cameras without errors would see of a body on a bike whose markers are in
// the joints, 100 frames a second.
func ridden(t require.TestingT, b rider.Body, p contact.Position, seconds float64) motion.Recording {
	c, err := rider.NewChain(b, p)
	require.NoError(t, err)
	rec := motion.Recording{Markers: map[motion.Marker][]motion.Sample{}}
	put := func(k motion.Marker, at r3.Vec) {
		rec.Markers[k] = append(rec.Markers[k], motion.Sample{At: at, Seen: true})
	}
	for i := range int(100 * seconds) {
		rec.Times = append(rec.Times, float64(i)/100)
		deg := 540 * float64(i) / 100
		for _, side := range []contact.Side{contact.Left, contact.Right} {
			y := 100.0
			if side == contact.Right {
				deg, y = deg+180, -y
			}
			at, err := c.At(side, deg)
			require.NoError(t, err)
			sin, cos := math.Sincos(at.SolePitch * math.Pi / 180)
			foot := func(x, z float64) r3.Vec { return r3.Add(at.Pedal, r3.Vec{X: x*cos - z*sin, Y: y, Z: x*sin + z*cos}) }
			aside := r3.Vec{Y: y}
			put(motion.PedalLeft.On(side), r3.Add(at.Pedal, aside))
			put(motion.ToeLeft.On(side), foot(10, 60))
			put(motion.HeelLeft.On(side), foot(-170, 60))
			put(motion.AnkleLeft.On(side), r3.Add(at.Ankle, aside))
			put(motion.KneeLeft.On(side), r3.Add(at.Knee, aside))
			put(motion.HipLeft.On(side), r3.Add(at.Hip, aside))
			if arm, ok := c.Upper(); ok {
				put(motion.ShoulderLeft.On(side), r3.Add(arm.Shoulder, aside))
				put(motion.ElbowLeft.On(side), r3.Add(arm.Elbow, aside))
				put(motion.WristLeft.On(side), r3.Add(arm.Wrist, aside))
			}
		}
		hip, _ := c.At(contact.Left, 0)
		put(motion.Sacrum, r3.Add(hip.Hip, r3.Vec{X: -100, Z: 80}))
	}
	return rec
}

func analysed(t require.TestingT, r motion.Recording) motion.Motion {
	m, err := r.Analyse(context.Background(), motion.Settings{})
	require.NoError(t, err)
	return m
}

// A body that is seen without errors comes back, by package rider's own chain: what is
// believed of bodies before anything is seen may move it by some tenths of a millimetre.
func TestPropertyComesBack(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 1))
	for range 4 {
		b, p := invented.Rider()
		b.Left.Ankle.Profile = []float64{-20, -15, -11, -12, -18, -26, -30, -27}
		b.Left.Thigh += 40 * rng.NormFloat64() / 3
		b.Left.Shank += 40 * rng.NormFloat64() / 3
		b.Right = b.Left
		saddle, _ := p.At(contact.SaddleReference)
		saddle.Z += b.Left.Thigh + b.Left.Shank - 824 - 15 // which it was invented for, and reaches
		p.Set(contact.SaddleReference, saddle)
		e := calibrate.Evidence{Position: p, Motion: analysed(t, ridden(t, b, p, 4)), Grip: contact.HoodsLeft}
		got, err := e.Body(t.Context())
		require.NoError(t, err)
		require.True(t, got.Consistent)
		require.Empty(t, got.Suspects)
		for side, l := range map[*rider.Leg]*rider.Leg{&b.Left: &got.Body.Left, &b.Right: &got.Body.Right} {
			for k, want := range []float64{side.Thigh, side.Shank, side.AnkleHeight, side.AnkleBehind} {
				assert.InDelta(t, want, []float64{l.Thigh, l.Shank, l.AnkleHeight, l.AnkleBehind}[k], 1.5)
			}
		}
		assert.InDelta(t, b.HipForward, got.Body.HipForward, 1)
		assert.InDelta(t, b.HipUp, got.Body.HipUp, 1)
		assert.InDelta(t, b.Upper.Trunk, got.Body.Upper.Trunk, 1)
		assert.InDelta(t, b.Upper.UpperArm, got.Body.Upper.UpperArm, 0.01)
		assert.InDelta(t, b.Upper.Forearm, got.Body.Upper.Forearm, 0.01)
		assert.InDelta(t, b.Upper.WristBack, got.Body.Upper.WristBack, 0.01)
		assert.InDelta(t, b.Upper.WristUp, got.Body.Upper.WristUp, 0.01)
		assert.InDelta(t, b.Upper.Angle, got.Body.Upper.Angle, 0.01)
		// What joints are wrong by: 12 and 8 mm over the length of the upper arm, along it.
		sigma, _ := got.Covariance.Sigma(rider.Number{Of: rider.BodyUpperArm})
		assert.InDelta(t, math.Hypot(12, 8), sigma, 1e-6)
		sigma, _ = got.Covariance.Sigma(rider.Number{Of: rider.BodyWristUp})
		assert.InDelta(t, 6, sigma, 1e-6)
		// And it bends as it did.
		before, err := rider.NewChain(b, p)
		require.NoError(t, err)
		after, err := rider.NewChain(got.Body, p)
		require.NoError(t, err)
		for _, m := range []rider.Variable{rider.KneeFlexion, rider.HipFlexion, rider.AnkleDorsiflexion, rider.TrunkLean} {
			want, _ := before.Span(m, contact.Left)
			is, _ := after.Span(m, contact.Left)
			assert.InDelta(t, want.Least, is.Least, 1)
			assert.InDelta(t, want.Most, is.Most, 1)
		}
	}
}

// The left leg of a rider is the right leg of the mirror image. Frames fall on other crank
// angles then.
func TestPropertyMirror(t *testing.T) {
	b, p := invented.Rider()
	b.Upper = rider.Upper{}
	b.Left.Thigh, b.Left.Shank, b.Left.Ankle.Profile = 418, 411, []float64{-20, -15, -11, -12, -18, -26, -30, -27}
	ask := func(b rider.Body, p contact.Position, side contact.Side) calibrate.Result {
		got, err := calibrate.Evidence{
			Position: p, Motion: analysed(t, ridden(t, b, p, 4)),
			Readings: []calibrate.Reading{{Of: calibrate.Shank, Side: side, Value: 420}},
		}.Body(t.Context())
		require.NoError(t, err)
		return got
	}
	is := ask(b, p, contact.Left)
	b.Left, b.Right = b.Right, b.Left
	other := ask(b, p.Mirror(), contact.Right)
	assert.InDelta(t, is.Body.HipForward, other.Body.HipForward, 0.05)
	assert.InDelta(t, is.Body.HipUp, other.Body.HipUp, 0.05)
	for _, legs := range [][2]rider.Leg{{is.Body.Left, other.Body.Right}, {is.Body.Right, other.Body.Left}} {
		assert.InDelta(t, legs[0].Thigh, legs[1].Thigh, 0.05)
		assert.InDelta(t, legs[0].Shank, legs[1].Shank, 0.05)
		assert.InDelta(t, legs[0].AnkleBehind, legs[1].AnkleBehind, 0.05)
		assert.InDeltaSlice(t, legs[0].Ankle.Profile, legs[1].Ankle.Profile, 0.1)
	}
	one, _ := is.Covariance.Sigma(rider.Number{Of: rider.BodyShank, Side: contact.Left})
	two, _ := other.Covariance.Sigma(rider.Number{Of: rider.BodyShank, Side: contact.Right})
	assert.InDelta(t, one, two, 0.01)
}

// A tape alone gives what it says, where it is known far better than what people have; the
// rest has the uncertainty of people.
func TestTapeAlone(t *testing.T) {
	_, p := invented.Rider()
	e := calibrate.Evidence{
		Position: p, Ankle: rider.Ankle{Given: rider.SolePitch, Profile: []float64{-20}},
		Readings: []calibrate.Reading{
			{Of: calibrate.Thigh, Value: 431, Sigma: 4},
			{Of: calibrate.Shank, Value: 402, Sigma: 4},
			{Of: calibrate.TrochanterOverSaddle, Value: 77, Sigma: 4},
		},
	}
	one, err := e.Body(t.Context())
	require.NoError(t, err)
	assert.InDelta(t, 431, one.Body.Left.Thigh, 0.2)
	assert.InDelta(t, 431, one.Body.Right.Thigh, 0.2)
	assert.InDelta(t, 402, one.Body.Left.Shank, 0.2)
	assert.InDelta(t, 77, one.Body.HipUp, 0.2)
	// Legs may differ by 8: half of that to either side of what the tape says of both.
	sigma, _ := one.Covariance.Sigma(rider.Number{Of: rider.BodyThigh, Side: contact.Left})
	assert.InDelta(t, math.Hypot(4, 4), sigma, 0.1)
	sigma, _ = one.Covariance.Sigma(rider.Number{Of: rider.BodyHipUp})
	assert.InDelta(t, 4, sigma, 0.05)
	sigma, _ = one.Covariance.Sigma(rider.Number{Of: rider.BodyHipForward})
	assert.InDelta(t, 100, sigma, 1)
	// A stature tells segments by the table, with its spread.
	e.Readings, e.Stature, e.Table = e.Readings[2:3], 1700, rider.ANSURWomen
	table, err := e.Body(t.Context())
	require.NoError(t, err)
	assert.InDelta(t, 0.2329*1700, table.Body.Left.Thigh, 1e-6)
	assert.InDelta(t, 0.2475*1700, table.Body.Left.Shank, 1e-6)
	// Both legs are one person's: the spread is of their mean, and half of 8 to either side.
	thigh, _ := table.Covariance.Sigma(rider.Number{Of: rider.BodyThigh, Side: contact.Right})
	assert.InDelta(t, math.Hypot(0.015*1700, 4), thigh, 1e-6)
}

// A tape that was read 100 mm wrong is named, and so is the slip; without it all agrees.
func TestContradiction(t *testing.T) {
	r := riders.New(riders.Plan{Seed: 7, Seconds: 6, Rate: 50, Cadence: 85, Noise: 1})
	e := evidenceOf(t, r, "shank", "thigh", "inseam")
	e.Readings[1].Value += 100
	got, err := e.Body(t.Context())
	require.NoError(t, err)
	require.False(t, got.Consistent)
	require.Len(t, got.Suspects, 1)
	s := got.Suspects[0]
	assert.Equal(t, 1, s.Reading)
	assert.InDelta(t, 100, s.Against, 30)
	var kinds []contact.SlipKind
	for _, slip := range s.Slips {
		kinds = append(kinds, slip.Kind)
	}
	assert.Contains(t, kinds, contact.HundredOff)
}

// A crank that is stated 10 mm wrong is found: no body moves so.
func TestInconsistent(t *testing.T) {
	for seed := range uint64(4) {
		e := evidenceOf(t, riders.New(riders.Plan{Seed: seed, Seconds: 12, Rate: 50, Cadence: 85, Noise: 1}))
		pedal, _ := e.Position.At(contact.PedalLeft)
		for by, want := range map[float64]bool{0: true, 10: false, -10: false} {
			e.Position.Set(contact.PedalLeft, r3.Add(pedal, r3.Vec{X: by}))
			got, err := e.Body(t.Context())
			require.NoError(t, err)
			assert.Equal(t, want, got.Consistent, "rider %d, crank wrong by %v mm", seed, by)
		}
	}
}

// With less to go by less is known: a single marker on the pelvis in place of four, none of them, a
// camera at the side.
func TestLessIsKnownLess(t *testing.T) {
	r := riders.New(riders.Plan{Seed: 11, Seconds: 6, Rate: 50, Cadence: 85, Noise: 1})
	rec := recordingOf(t, r)
	e := evidenceOf(t, r)
	thigh := rider.Number{Of: rider.BodyThigh, Side: contact.Left}
	ask := func(rec motion.Recording) float64 {
		e.Motion = analysed(t, rec)
		got, err := e.Body(t.Context())
		require.NoError(t, err)
		sigma, ok := got.Covariance.Sigma(thigh)
		require.True(t, ok)
		require.InDelta(t, r.Thigh, got.Body.Left.Thigh, 3*sigma)
		return sigma
	}
	all := ask(rec)
	// Markers that are off by twice as much.
	e.Loose = 2
	assert.InDelta(t, 2*all, ask(rec), 0.15*all)
	e.Loose = 0
	rec.Markers[motion.Sacrum] = rec.Markers[motion.PSISLeft]
	for _, k := range []motion.Marker{motion.ASISLeft, motion.ASISRight, motion.PSISLeft, motion.PSISRight} {
		delete(rec.Markers, k)
	}
	one := ask(rec)
	delete(rec.Markers, motion.Sacrum)
	none := ask(rec)
	assert.Less(t, all, one)
	assert.Less(t, one, none)
	rec.Flat = true
	assert.InDelta(t, none, ask(rec), 0.2)
}

// All faults of an input together, with their places.
func TestRefuses(t *testing.T) {
	b, p := invented.Rider()
	b.Upper = rider.Upper{}
	ankle := rider.Ankle{Given: rider.SolePitch, Profile: []float64{-20}}
	shown := analysed(t, ridden(t, b, p, 3))
	rec := ridden(t, b, p, 3)
	delete(rec.Markers, motion.HeelRight)
	delete(rec.Markers, motion.KneeLeft)
	no := analysed(t, rec)
	good := []calibrate.Reading{{Of: calibrate.Inseam, Value: 850}}
	for _, c := range []struct {
		of    calibrate.Evidence
		class error
		path  string
	}{
		{calibrate.Evidence{Position: p}, contact.ErrMissing, "evidence"},
		{calibrate.Evidence{Ankle: ankle, Readings: good}, contact.ErrMissing, "position.sites.saddle_reference"},
		{calibrate.Evidence{Position: p, Readings: good}, contact.ErrMissing, "ankle"},
		{calibrate.Evidence{Position: p, Readings: good, Ankle: rider.Ankle{Given: rider.SolePitch, Profile: []float64{400}}}, contact.ErrRange, "ankle.profile_deg[0]"},
		{calibrate.Evidence{Position: p, Motion: shown, Ankle: ankle}, contact.ErrConflict, "ankle"},
		{calibrate.Evidence{Position: p, Motion: shown, Grip: contact.HoodsLeft}, contact.ErrMissing, "motion"},
		{calibrate.Evidence{Position: p, Motion: shown, Grip: contact.SaddleNose}, contact.ErrUnknown, "grip"},
		{calibrate.Evidence{Position: p, Motion: shown, Grip: contact.ExtensionLeft}, contact.ErrMissing, "position.sites.extension_left"},
		{calibrate.Evidence{Position: p, Motion: shown, Loose: 9}, contact.ErrRange, "loose"},
		{calibrate.Evidence{Position: p, Motion: no}, contact.ErrMissing, "motion"},
		{calibrate.Evidence{Position: p, Ankle: ankle, Stature: 1.8, Readings: good}, contact.ErrUnit, "stature_mm"},
		{calibrate.Evidence{Position: p, Ankle: ankle, Stature: 1800, Readings: good}, contact.ErrUnknown, "table"},
		{calibrate.Evidence{Position: p, Ankle: ankle, Readings: []calibrate.Reading{{Of: calibrate.Inseam, Value: 85}}}, contact.ErrUnit, "readings[0].value_mm"},
		{calibrate.Evidence{Position: p, Ankle: ankle, Readings: []calibrate.Reading{good[0], {Of: calibrate.Inseam, Side: contact.Left, Value: 850}, good[0]}}, contact.ErrConflict, "readings[2].of"},
		{calibrate.Evidence{Position: p, Ankle: ankle, Readings: []calibrate.Reading{{}}}, contact.ErrUnknown, "readings[0].of"},
		{calibrate.Evidence{Position: p, Ankle: ankle, Readings: []calibrate.Reading{{Of: calibrate.Inseam, Side: 3, Value: 850}}}, contact.ErrUnknown, "readings[0].side"},
		{calibrate.Evidence{Position: p, Ankle: ankle, Readings: []calibrate.Reading{{Of: calibrate.Inseam, Value: 850, Sigma: 0.1}}}, contact.ErrRange, "readings[0].sigma_mm"},
	} {
		_, err := c.of.Body(t.Context())
		require.ErrorIs(t, err, c.class, c.path)
		require.Equal(t, c.path, contact.Faults(err)[0].Path)
	}
	// A saddle that is nowhere near the recording's.
	away := p
	away.Set(contact.SaddleReference, r3.Vec{X: 400, Z: 300})
	_, err := calibrate.Evidence{Position: away, Motion: shown}.Body(t.Context())
	require.ErrorIs(t, err, contact.ErrConflict)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err = calibrate.Evidence{Position: p, Motion: shown}.Body(ctx)
	require.ErrorIs(t, err, context.Canceled)
}

// A minute of ten markers at 200 frames a second.
func BenchmarkBody(b *testing.B) {
	r := riders.New(riders.Plan{Seed: 1, Seconds: 60, Rate: 200, Cadence: 90, Noise: 1})
	e := evidenceOf(b, r, "thigh", "inseam")
	b.ReportAllocs()
	for b.Loop() {
		if _, err := e.Body(b.Context()); err != nil {
			b.Fatal(err)
		}
	}
}
