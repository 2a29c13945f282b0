package rider_test

import (
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/internal/invented"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func BenchmarkStroke(b *testing.B) {
	profile := make([]float64, 24)
	for i := range profile {
		profile[i] = float64(-15 + i%12)
	}
	for _, c := range []struct {
		name  string
		ankle rider.Ankle
	}{
		{"fixed", rider.Ankle{Given: rider.SolePitch, Profile: []float64{-15}}},
		{"profile", rider.Ankle{Given: rider.SolePitch, Profile: profile}},
		{"joint", rider.Ankle{Given: rider.Dorsiflexion, Profile: []float64{-10}}},
		{"joint_profile", rider.Ankle{Given: rider.Dorsiflexion, Profile: profile}},
	} {
		b.Run(c.name, func(b *testing.B) {
			body, p := invented.Rider()
			body.Left.Ankle = c.ankle
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
	body, p := invented.Rider()
	body.Left.Ankle.Profile = []float64{-20, -15, -10, -15}
	c := chain(t, body, p)
	dst := make([]rider.Posture, 360)
	assert.Zero(t, testing.AllocsPerRun(10, func() {
		require.NoError(t, c.Stroke(contact.Left, dst))
	}))
}

// BenchmarkAt is the baseline of BenchmarkStroke: the same postures one by one.
func BenchmarkAt(b *testing.B) {
	body, p := invented.Rider()
	c := chain(b, body, p)
	for b.Loop() {
		for crank := range 360 {
			if _, err := c.At(contact.Left, float64(crank)); err != nil {
				b.Fatal(err)
			}
		}
	}
}

func BenchmarkSpan(b *testing.B) {
	body, p := invented.Rider()
	c := chain(b, body, p)
	for b.Loop() {
		if _, err := c.Span(rider.KneeFlexion, contact.Left); err != nil {
			b.Fatal()
		}
	}
}

func BenchmarkRaiseSaddle(b *testing.B) {
	body, p := invented.Rider()
	for b.Loop() {
		if _, _, err := body.RaiseSaddle(p, contact.Left, 30, 73.5); err != nil {
			b.Fatal(err)
		}
	}
}
