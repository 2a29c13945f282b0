package motion_test

import (
	"context"
	"math"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/motion"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// long is a recording of so many frames, 200 a second, whose crank turns by so many
// degrees from one to the next. Every marker goes round with the pedal.
func long(frames int, by float64) motion.Recording {
	r := motion.Recording{Times: make([]float64, frames), Markers: map[motion.Marker][]motion.Sample{}}
	circle := make([]r3.Vec, frames)
	for i := range circle {
		r.Times[i] = float64(i) / 200
		sin, cos := math.Sincos(by * float64(i) * math.Pi / 180)
		circle[i] = r3.Vec{X: 172.5 * sin, Y: 140, Z: 172.5 * cos}
	}
	for marker, at := range map[motion.Marker]r3.Vec{
		motion.PedalLeft: {}, motion.ToeLeft: {X: 20, Z: 20}, motion.HeelLeft: {X: -150, Z: 20}, motion.AnkleLeft: {X: -120, Z: 90}, motion.KneeLeft: {Z: 400}, motion.HipLeft: {X: -150, Z: 800},
		motion.ShoulderLeft: {X: 200, Z: 1200}, motion.Sacrum: {X: -200, Z: 850},
	} {
		r.Markers[marker] = make([]motion.Sample, frames)
		for i := range circle {
			r.Markers[marker][i] = motion.Sample{At: r3.Add(circle[i], at), Seen: true}
		}
	}
	return r
}

// A recording of half an hour, and ones that turn so fast or so slowly that nearly every
// frame, or none, is a revolution, are analysed or refused with no more memory than the
// package states, and each call ends soon after its context.
func TestHostile(t *testing.T) {
	frames := 25_000
	switch {
	case trial.Long():
		frames = 360_000
	case trial.Huge():
		frames = 100_000
	}
	size := frames * (8 + 8*32)
	for name, by := range map[string]float64{"a long recording": 2.7, "a recording that turns once in 5 frames": 72, "a recording whose crank stands still": 0} {
		r := long(frames, by)
		trial.Hostile{Name: name, Input: size, Live: size + size/2 + 1_000_000, Do: func(ctx context.Context) (any, error) {
			return r.Analyse(ctx, motion.Settings{})
		}}.Run(t)
	}
	r := long(frames, 2.7)
	m, err := r.Analyse(t.Context(), motion.Settings{})
	require.NoError(t, err)
	trial.Hostile{Name: "angles of a long recording", Input: size, Live: size/2 + 1_000_000, Do: func(ctx context.Context) (any, error) {
		for _, of := range seen {
			if _, err := m.Curve(ctx, of, contact.Left); err != nil {
				return nil, err
			}
		}
		return nil, nil
	}}.Run(t)
}

// What takes a context stops wherever it ends, and says how far it came.
func TestStops(t *testing.T) {
	r := long(3000, 2.7)
	m, err := r.Analyse(t.Context(), motion.Settings{})
	require.NoError(t, err)
	for name, call := range map[string]func(context.Context) error{
		"analyse": func(ctx context.Context) error { _, err := r.Analyse(ctx, motion.Settings{}); return err },
		"curve":   func(ctx context.Context) error { _, err := m.Curve(ctx, motion.KneeFlexion, contact.Left); return err },
		"paths": func(ctx context.Context) error {
			_, err := m.Paths(ctx, contact.Left, motion.KneeLeft, motion.HipLeft)
			return err
		},
		"filter": func(ctx context.Context) error {
			_, err := r.Analyse(ctx, motion.Settings{ByResiduals: true})
			return err
		},
	} {
		looks := 0
		for ; ; looks += 1 + looks/8 {
			err := call(trial.NewEnding(t.Context(), looks))
			if err == nil {
				break
			}
			require.ErrorIs(t, err, context.Canceled, name)
			require.Contains(t, err.Error(), "revolutions", name)
		}
		assert.Greater(t, looks, 5, name)
	}
}
