package rider_test

import (
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func BenchmarkStroke(b *testing.B) {
	profile := make([]float64, 24)
	for i := range profile {
		profile[i] = float64(-15 + i%12)
	}
	for name, ankle := range map[string]rider.Ankle{
		"fixed":         {Given: rider.SolePitch, Profile: []float64{-15}},
		"profile":       {Given: rider.SolePitch, Profile: profile},
		"joint":         {Given: rider.Dorsiflexion, Profile: []float64{-10}},
		"joint_profile": {Given: rider.Dorsiflexion, Profile: profile},
	} {
		b.Run(name, func(b *testing.B) {
			body, p := rig()
			body.Left.Ankle = ankle
			c := chain(b, body, p)
			dst := make([]rider.Posture, 360)
			b.ReportAllocs()
			for b.Loop() {
				if err := c.Stroke(contact.Left, dst); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func TestStrokeAllocatesNothing(t *testing.T) {
	body, p := rig()
	body.Left.Ankle.Profile = []float64{-20, -15, -10, -15}
	c := chain(t, body, p)
	dst := make([]rider.Posture, 360)
	assert.Zero(t, testing.AllocsPerRun(10, func() {
		require.NoError(t, c.Stroke(contact.Left, dst))
	}))
}

// BenchmarkSpans is the baseline of what a search costs: a stroke is part of it.
func BenchmarkSpans(b *testing.B) {
	body, p := rig()
	c := chain(b, body, p)
	for b.Loop() {
		if _, ok := c.Span(rider.KneeFlexion, contact.Left); !ok {
			b.Fatal()
		}
	}
}

func BenchmarkRaiseSaddle(b *testing.B) {
	body, p := rig()
	for b.Loop() {
		if _, _, err := body.RaiseSaddle(p, contact.Left, 30, 73.5); err != nil {
			b.Fatal(err)
		}
	}
}
