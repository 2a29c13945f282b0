package fitgeom_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/invented"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

func init() { trial.Rapid(20, 1000, 5) }

// anyBike draws a bike of any kind.
func anyBike(t *rapid.T) fitgeom.Build {
	rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 9))
	return invented.Draw(rng, rapid.SampledFrom(invented.BikeKinds).Draw(t, "kind"), false).Build
}

// moves is how one change of a build moves a site.
func moves(t require.TestingT, b fitgeom.Build, s contact.Site, change func(*fitgeom.Build)) r3.Vec {
	c := b
	change(&c)
	d, ok := invented.Position(c).Sub(invented.Position(b)).At(s)
	require.True(t, ok)
	return d
}

// What each setting does, whatever else the bike is like.
func TestPropertySettings(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := func(lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, "number") }
		b := invented.Everything()
		g := &b.Frame.Geometry
		g.Stack, g.Reach, g.HeadAngle, g.SeatAngle = f(500, 650), f(360, 450), f(66, 75), f(70, 77)
		b.Stem.Length, b.Stem.Angle = f(40, 140), f(-17, 17)
		b.Settings.Spacers, b.Settings.BarRotation, b.Settings.SaddleTilt, b.Settings.SeatpostExtension = f(0, 30), f(-8, 8), f(-5, 5), f(80, 200)
		by := f(1, 8)
		bar := []contact.Site{contact.BarClamp, contact.TopsLeft, contact.HoodsLeft, contact.DropsRight, contact.PadLeft, contact.ExtensionRight}
		saddle := []contact.Site{contact.SaddleReference, contact.SaddleNose, contact.SaddleRear}
		near := func(want, got r3.Vec) { require.InDelta(t, 0, r3.Norm(r3.Sub(want, got)), 1e-9) }
		up := func(angle float64) r3.Vec {
			sin, cos := math.Sincos(angle * math.Pi / 180)
			return r3.Vec{X: -by * cos, Z: by * sin}
		}
		for _, s := range bar {
			near(up(g.HeadAngle), moves(t, b, s, func(b *fitgeom.Build) { b.Settings.Spacers += by })) // raises and draws back
			near(r3.Vec{}, moves(t, b, s, func(b *fitgeom.Build) { b.Settings.SeatpostExtension += by }))
			near(r3.Vec{X: by}, moves(t, b, s, func(b *fitgeom.Build) { b.Frame.Geometry.Reach += by }))
			near(r3.Vec{Z: by}, moves(t, b, s, func(b *fitgeom.Build) { b.Frame.Geometry.Stack += by }))
			pitch := 90 - g.HeadAngle + b.Stem.Angle
			longer := moves(t, b, s, func(b *fitgeom.Build) { b.Stem.Length += by })
			near(r3.Vec{X: -up(pitch).X, Z: up(pitch).Z}, longer)
			require.Greater(t, longer.X, 0., "a longer stem reaches further")
		}
		for _, s := range saddle {
			near(up(g.SeatAngle), moves(t, b, s, func(b *fitgeom.Build) { b.Settings.SeatpostExtension += by })) // raises and sets back
			near(r3.Vec{}, moves(t, b, s, func(b *fitgeom.Build) { b.Settings.Spacers += by }))
			rails := moves(t, b, s, func(b *fitgeom.Build) { b.Settings.RailClamp += by })
			require.InDelta(t, by, r3.Norm(rails), 1e-9)
			require.Greater(t, rails.X, 0., "more of the rails behind the clamp's nose end puts the saddle forward")
			more := moves(t, b, s, func(b *fitgeom.Build) { b.Seatpost.Setback += by })
			require.InDelta(t, 0, r3.Dot(more, up(g.SeatAngle)), 1e-9)
			require.Less(t, more.X, 0.)
		}
		require.Greater(t, moves(t, b, contact.HoodsLeft, func(b *fitgeom.Build) { b.Settings.BarRotation += by }).Z, 0., "positive when the hands go up")
		require.Greater(t, moves(t, b, contact.SaddleNose, func(b *fitgeom.Build) { b.Settings.SaddleTilt += by }).Z,
			moves(t, b, contact.SaddleRear, func(b *fitgeom.Build) { b.Settings.SaddleTilt += by }).Z, "nose-up")
		near(r3.Vec{X: by}, moves(t, b, contact.PedalRight, func(b *fitgeom.Build) { b.Crank.Length += by }))
		near(r3.Vec{Z: by}, moves(t, b, contact.FootLeft, func(b *fitgeom.Build) { b.Settings.LiftLeft += by }))
		near(r3.Vec{}, moves(t, b, contact.FootRight, func(b *fitgeom.Build) { b.Settings.LiftLeft += by }))

		// Two changes at once are both changes, in any order: steerer and post are straight.
		both := moves(t, b, contact.HoodsLeft, func(b *fitgeom.Build) { b.Settings.Spacers += by; b.Frame.Geometry.Reach += by })
		near(r3.Add(up(g.HeadAngle), r3.Vec{X: by}), both)
	})
}

// A build is as wide on either side, but for the shims under the cleats: exchanging
// these is looking into a mirror.
func TestPropertyMirror(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := anyBike(t)
		if b.Pedal == (part.Pedal{}) {
			b.Pedal = part.Pedal{FootHeight: 18, FootOffset: 55}
			b.Settings.LiftLeft = 3
		}
		c := b
		c.Settings.LiftLeft, c.Settings.LiftRight = b.Settings.LiftRight, b.Settings.LiftLeft
		require.Equal(t, invented.Position(b).Mirror(), invented.Position(c))
	})
}

// On the wheels that a frame was drawn with it stands as drawn, and sag in front
// and behind alike turns nothing.
func TestPropertyWheels(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := anyBike(t).Frame.Geometry
		pitch, ok := g.Pitch(chart.Wheels{FrontRadius: g.Axles.FrontRadius, RearRadius: g.Axles.RearRadius})
		require.True(t, ok)
		require.InDelta(t, 0, pitch, 1e-9)
		front, rear := rapid.Float64Range(320, 360).Draw(t, "front"), rapid.Float64Range(320, 360).Draw(t, "rear")
		w := chart.Wheels{FrontRadius: front, RearRadius: rear}
		pitch, ok = g.Pitch(w)
		require.True(t, ok)
		on, err := g.OnWheels(w)
		require.NoError(t, err)
		require.InDelta(t, g.HeadAngle-pitch, on.HeadAngle, 1e-9)
		require.InDelta(t, g.SeatAngle-pitch, on.SeatAngle, 1e-9)
		sunk, ok := g.Pitch(chart.Wheels{FrontSag: 20})
		require.True(t, ok)
		require.Less(t, sunk, 0., "the nose goes down")
	})
}
