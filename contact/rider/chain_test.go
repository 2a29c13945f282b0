package rider_test

import (
	"math"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/internal/invented"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// over returns a leg, and a position where the hip of that leg lies straight
// above the middle of the circle that the ankle makes with a level sole, so
// that the leg is longest at a crank angle of 180: there hip and ankle are far
// apart by so much.
func over(thigh, shank, far float64) (rider.Body, contact.Position) {
	const crank, stack, height, behind, hipUp = 170, 20, 90, 120, 80
	leg := rider.Leg{
		Thigh: thigh, Shank: shank, AnkleHeight: height, AnkleBehind: behind,
		Ankle: rider.Ankle{Given: rider.SolePitch, Profile: []float64{0}},
	}
	b := rider.Body{Left: leg, Right: leg, HipUp: hipUp}
	p := contact.New(map[contact.Site]r3.Vec{
		contact.SaddleReference: {X: -behind, Z: far - crank + stack + height - hipUp},
		contact.FootLeft:        {X: crank, Y: 120, Z: stack},
		contact.FootRight:       {X: crank, Y: -120, Z: stack},
	})
	return b, p
}

func chain(t testing.TB, b rider.Body, p contact.Position) rider.Chain {
	t.Helper()
	c, err := rider.NewChain(b, p)
	require.NoError(t, err)
	return c
}

// The law of cosines by hand: thigh and shank 430 mm, hip and ankle 830 mm apart.
// Equal segments: distance over both is cos(flexion/2). The three of 428.75 and
// 430.5 mm by the same law, computed with another program.
func TestLawOfCosines(t *testing.T) {
	for _, c := range []struct{ thigh, shank, far, knee float64 }{
		{430, 430, 830, 30.35635788},
		{430, 430, 860 * 0.976296007, 25},
		{430, 430, 860 * 0.965925826, 30},
		{430, 430, 860 * 0.953716951, 35},
		{428.75, 430.5, 838.882430, 25},
		{428.75, 430.5, 829.971890, 30},
		{428.75, 430.5, 819.481459, 35},
	} {
		b, p := over(c.thigh, c.shank, c.far)
		far, err := chain(t, b, p).FarEnd(contact.Left)
		require.NoError(t, err)
		assert.InDelta(t, c.knee, far.KneeFlexion, 2e-6)
		assert.InDelta(t, 180, far.CrankAngle, 1e-6)
		assert.Zero(t, far.Gap)
		s, err := chain(t, b, p).Span(rider.KneeFlexion, contact.Right)
		require.NoError(t, err)
		assert.InDelta(t, far.KneeFlexion, s.Least, 1e-12)
		// At the top the ankle is nearer by twice the crank.
		near := c.far - 340
		want := 180 - math.Acos((c.thigh*c.thigh+c.shank*c.shank-near*near)/(2*c.thigh*c.shank))*180/math.Pi
		assert.InDelta(t, want, s.Most, 1e-9)
	}
}

// With the sole's slope fixed the ankle goes around a circle, and the far and
// the near end of the stroke lie on the line from the hip through its centre:
// distances and crank angles by hand.
func TestEndsOfStroke(t *testing.T) {
	b, p := invented.Rider()
	c := chain(t, b, p)
	sin, cos := math.Sincos(-20 * math.Pi / 180)
	x, z := -125*cos-(73+20)*sin, (73+20)*cos-125*sin // the circle's centre
	hx, hz := -205.+60, 705.+50
	d := math.Hypot(x-hx, z-hz)
	knee := func(far float64) float64 {
		return 180 - math.Acos((408*408+416*416-far*far)/(2*408*416))*180/math.Pi
	}
	at := math.Atan2(x-hx, z-hz) * 180 / math.Pi
	s, err := c.Span(rider.KneeFlexion, contact.Left)
	require.NoError(t, err)
	assert.InDelta(t, knee(d+172.5), s.Least, 1e-9)
	assert.InDelta(t, knee(d-172.5), s.Most, 1e-9)
	assert.InDelta(t, at, s.LeastAt, 1e-6)
	assert.InDelta(t, at+180, s.MostAt, 1e-6)

	// With the joint fixed, knee to pedal is one link, and the line goes
	// through the bottom bracket.
	b.Left.Ankle = rider.Ankle{Given: rider.Dorsiflexion, Profile: []float64{5}}
	far, err := chain(t, b, p).FarEnd(contact.Left)
	require.NoError(t, err)
	assert.InDelta(t, math.Atan2(-hx, -hz)*180/math.Pi, far.CrankAngle, 1e-6)
	assert.InDelta(t, math.Hypot(hx, hz)+172.5, r3.Norm(r3.Sub(far.Hip, far.Pedal)), 1e-9)
}
