package fitgeom_test

import (
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/words"
	"example.com/fitgeom/internal/invented"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// Everything of a build that is not as usual is said, and nothing else.
func TestDescribe(t *testing.T) {
	said := func(b fitgeom.Build) map[words.Phrase]bool {
		all, err := b.Describe()
		require.NoError(t, err)
		got := map[words.Phrase]bool{}
		for _, s := range all {
			got[s.Phrase] = true
			assert.NotContains(t, s.String(), "{")
		}
		return got
	}
	b := invented.Build()
	b.Settings.Spacers, b.Settings.BarRotation = 0, 0
	plain := said(b)
	unusual := map[words.Phrase]func(*fitgeom.Build){
		words.HaveFlipped:   func(b *fitgeom.Build) { b.Stem.Flippable, b.Settings.Flipped = true, true },
		words.BarRolledUp:   func(b *fitgeom.Build) { b.Settings.BarRotation = 2 },
		words.BarRolledDown: func(b *fitgeom.Build) { b.Settings.BarRotation = -2 },
		words.BetweenBarAndStem: func(b *fitgeom.Build) {
			b.BarShim = part.Shim{Inner: b.Handlebar.ClampDiameter, Outer: b.Stem.BarDiameter + 3}
			b.Stem.BarDiameter += 3
		},
		words.BetweenSeatpostAndFrame: func(b *fitgeom.Build) {
			b.SeatpostShim = part.Shim{Inner: b.Seatpost.Diameter, Outer: b.Seatpost.Diameter + 3}
			b.Frame.SeatpostDiameter += 3
		},
		words.SteererIsCut: func(b *fitgeom.Build) { b.Frame.SteererCut = 120 },
		words.SpacersUnder: func(b *fitgeom.Build) { b.Settings.Spacers = 15 },
		words.SpacersOnTop: func(b *fitgeom.Build) { b.Settings.SpacersAbove = 5 },
		words.FootRaised:   func(b *fitgeom.Build) { b.Pedal = part.Pedal{FootOffset: 50}; b.Settings.LiftRight = 3 },
		words.SeatpostLowered: func(b *fitgeom.Build) {
			b.Seatpost.Travel, b.Settings.Lowered = 100, 40
		},
		words.LeversIn:  func(b *fitgeom.Build) { b.Settings.LeverIn = 4 },
		words.LeversOut: func(b *fitgeom.Build) { b.Settings.LeverIn = -4 },
		words.CleatBack: func(b *fitgeom.Build) { b.Pedal = part.Pedal{FootOffset: 50}; b.Settings.CleatLeft.Back = 4 },
		words.CleatOut:  func(b *fitgeom.Build) { b.Pedal = part.Pedal{FootOffset: 50}; b.Settings.CleatRight.In = -4 },
		words.ToesOut:   func(b *fitgeom.Build) { b.Pedal = part.Pedal{FootOffset: 50}; b.Settings.CleatRight.ToesOut = 4 },
		words.WedgeInner: func(b *fitgeom.Build) {
			b.Pedal = part.Pedal{FootOffset: 50}
			b.Settings.CleatLeft.Wedge = 1.5
		},
		words.SaddleLevel:    func(b *fitgeom.Build) { b.Settings.SaddleTilt = 0.04 }, // not a tenth
		words.SaddleNoseUp:   func(b *fitgeom.Build) { b.Settings.SaddleTilt = 2 },
		words.SaddleNoseDown: func(b *fitgeom.Build) { b.Settings.SaddleTilt = -2.5 },
	}
	for phrase, make := range unusual {
		if phrase != words.SaddleNoseDown && phrase != words.SaddleNoseUp {
			assert.False(t, plain[phrase], "%v", phrase)
		}
		c := b
		make(&c)
		assert.True(t, said(c)[phrase], "%v", phrase)
	}
	aero := []words.Phrase{words.PadsBefore, words.AeroBarUp, words.AeroBarDown, words.PadsBehind, words.ExtensionsOut, words.ExtensionsApart}
	for _, phrase := range aero {
		assert.False(t, plain[phrase], "%v of a bike without an aero bar", phrase)
	}
	on := invented.Everything()
	on.Settings.AeroTilt, on.Settings.PadForward = 4, -10
	got := said(on)
	for phrase, want := range map[words.Phrase]bool{words.AeroBarUp: true, words.PadsBehind: true, words.ExtensionsOut: true, words.AeroBarDown: false, words.PadsBefore: false} {
		assert.Equal(t, want, got[phrase], "%v", phrase)
	}
	b.Frame.Geometry.Stack = 5
	_, err := b.Describe()
	assert.Error(t, err)
}

// A left site that lies further left is further out, a right one further in.
func TestDescribeDeviations(t *testing.T) {
	off, all := r3.Vec{X: 0.2, Y: 2, Z: -5.6}, r3.Vec{X: 5, Y: 5, Z: 5}
	for site, want := range map[contact.Site][]string{
		contact.HoodsLeft:  {"hoods left 5.6 mm too low", "hoods left 0.2 mm too far forward", "hoods left 2 mm too far out"},
		contact.HoodsRight: {"hoods right 5.6 mm too low", "hoods right 0.2 mm too far forward", "hoods right 2 mm too far in"},
		contact.BarClamp:   {"bar clamp 5.6 mm too low", "bar clamp 0.2 mm too far forward", "bar clamp 2 mm too far to the left"},
	} {
		var got []string
		for _, s := range (fitgeom.Deviation{Keep: fitgeom.Keep{Site: site, Tolerance: all}, Off: off}).Describe() {
			got = append(got, s.String())
		}
		assert.Equal(t, want, got)
	}
	one := fitgeom.Deviation{Keep: fitgeom.Keep{Site: contact.BarClamp, Tolerance: r3.Vec{Z: 5}}, Off: r3.Vec{X: 3, Z: 5.6}}.Describe()
	turned := fitgeom.Deviation{
		Keep:   fitgeom.Keep{Site: contact.PadRight, Turn: fitgeom.TurnTolerance{Tilt: 3, Yaw: 5, Roll: 5}},
		Turned: fitgeom.Turned{Tilt: -20, Yaw: -2, Roll: -3},
	}
	var got []string
	for _, s := range turned.Describe() {
		got = append(got, s.String())
	}
	for i, side := range []string{"outwards", "inwards"} { // nose to the left is in, of a pad on the right
		turned.Turned = fitgeom.Turned{Yaw: []float64{-4, 4}[i]}
		require.Len(t, turned.Describe(), 1)
		assert.Equal(t, "pad right turned 4° too far "+side, turned.Describe()[0].String())
	}
	assert.Equal(t, []string{"pad right tilted 20° too far down in front", "pad right turned 2° too far outwards", "pad right with its outer edge 3° too high"}, got)
	require.Len(t, one, 1, "what was not asked for is not said")
	assert.Equal(t, "bar clamp 5.6 mm too high", one[0].String())
}
