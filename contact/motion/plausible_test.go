package motion_test

import (
	"errors"
	"math/rand/v2"
	"slices"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/motion"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// each changes the place of every sample of every marker.
func each(r *motion.Recording, change func(r3.Vec) r3.Vec) {
	for _, m := range [][]motion.Sample{r.Pedal, r.Toe, r.Heel, r.Ankle, r.Knee, r.Hip, r.Shoulder, r.Pelvis} {
		for i := range m {
			m[i].At = change(m[i].At)
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
		"centimetres":        {scale(0.1), contact.ErrUnit, "pedal", "centimetres"},
		"inches":             {scale(1 / 25.4), contact.ErrUnit, "pedal", "inches"},
		"metres":             {scale(0.001), contact.ErrUnit, "pedal", "metres"},
		"ten times":          {func(r *motion.Recording) { r.Shoulder = nil; scale(10)(r) }, contact.ErrUnit, "pedal", "millimetres taken for centimetres"},
		"three times":        {scale(3), contact.ErrRange, "pedal", ""},
		"a little off":       {move(r3.Vec{X: 15, Z: -15}), nil, "", ""}, // by 21 of 172.5 mm
		"off":                {move(r3.Vec{X: 30}), contact.ErrConflict, "pedal", "origin"},
		"from the ground":    {move(r3.Vec{Z: 270}), contact.ErrConflict, "pedal", "origin"},
		"from the rear axle": {move(r3.Vec{X: 405, Z: -70}), contact.ErrConflict, "pedal", "origin"},
		"milliseconds":       {times(1000), contact.ErrUnit, "times", "milliseconds"},
		"frames":             {times(100), contact.ErrRange, "times", "per minute"},
		"minutes":            {times(1. / 60), contact.ErrRange, "times", "per minute"},
	} {
		for _, noise := range []float64{0, 3} {
			r := ride{side: contact.Left, seconds: 4, rate: 100, cadence: 90, noise: noise, drop: 0.02}.record(t, rand.New(rand.NewPCG(8, 8)))
			c.change(&r)
			_, err := r.Analyse(t.Context(), motion.FromSide)
			if c.class == nil {
				assert.NoError(t, err, name)
				continue
			}
			f := contact.Faults(err)
			require.Len(t, f, 1, "%s: %v", name, err)
			assert.True(t, errors.Is(err, c.class), "%s: %v", name, err)
			assert.Equal(t, c.path, f[0].Path, "%s: %v", name, err)
			assert.Contains(t, f[0].Value+f[0].Want, c.words, name)
		}
	}
}

// Markers that have changed places, and the other leg.
func TestMarkersExchanged(t *testing.T) {
	for name, c := range map[string]struct {
		change func(r *motion.Recording)
		path   string
	}{
		"other side":        {func(r *motion.Recording) { r.Side = contact.Right }, "side"},
		"toe and heel":      {func(r *motion.Recording) { r.Toe, r.Heel = r.Heel, r.Toe }, "toe"},
		"knee and ankle":    {func(r *motion.Recording) { r.Knee, r.Ankle = r.Ankle, r.Knee }, "knee"},
		"hip and knee":      {func(r *motion.Recording) { r.Hip, r.Knee = r.Knee, r.Hip }, "hip"},
		"shoulder and hip":  {func(r *motion.Recording) { r.Shoulder, r.Hip = r.Hip, r.Shoulder }, "shoulder"},
		"X backwards":       {func(r *motion.Recording) { each(r, func(v r3.Vec) r3.Vec { return r3.Vec{X: -v.X, Y: v.Y, Z: v.Z} }) }, "toe"},
		"a flat back":       {func(r *motion.Recording) { r.Shoulder = at(r.Hip, r3.Vec{X: 480, Z: -20}) }, ""},
		"an upright back":   {func(r *motion.Recording) { r.Shoulder = at(r.Hip, r3.Vec{X: -20, Z: 480}) }, ""},
		"seen from a side":  {func(r *motion.Recording) { each(r, func(v r3.Vec) r3.Vec { return r3.Vec{X: v.X, Z: v.Z} }) }, ""},
		"without a knee":    {func(r *motion.Recording) { r.Knee = nil }, ""},
		"a knee not seen":   {func(r *motion.Recording) { clear(r.Knee) }, ""},
		"the leg of a lean": {func(r *motion.Recording) { each(r, func(v r3.Vec) r3.Vec { return r3.Add(v, r3.Vec{Y: -160}) }) }, ""},
	} {
		r := ride{side: contact.Left, seconds: 4, rate: 100, cadence: 90, noise: 1}.record(t, rand.New(rand.NewPCG(8, 8)))
		c.change(&r)
		_, err := r.Analyse(t.Context(), motion.FromSide)
		if c.path == "" {
			assert.NoError(t, err, name)
			continue
		}
		require.NotEmpty(t, contact.Faults(err), name)
		assert.ErrorIs(t, err, contact.ErrConflict, name)
		assert.Equal(t, c.path, contact.Faults(err)[0].Path, "%s: %v", name, err)
	}
}

// at is samples as far from others.
func at(samples []motion.Sample, by r3.Vec) []motion.Sample {
	moved := slices.Clone(samples)
	for i := range moved {
		moved[i].At = r3.Add(moved[i].At, by)
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
		r := ride{side: contact.Right, seconds: 20, rate: c.rate, cadence: c.cadence}.record(t, rand.New(rand.NewPCG(8, 8)))
		m, err := r.Analyse(t.Context(), motion.FromSide)
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
	r := ride{side: contact.Left, seconds: 4, rate: 100, cadence: 90}.record(t, rand.New(rand.NewPCG(8, 8)))
	var still motion.Recording
	still.Side = r.Side
	for i := range 5000 { // standing still at first
		still.Times = append(still.Times, float64(i)/100)
		still.Pedal = append(still.Pedal, r.Pedal[0])
	}
	for i := range r.Times {
		still.Times = append(still.Times, 50+r.Times[i])
		still.Pedal = append(still.Pedal, r.Pedal[i])
	}
	m, err := still.Analyse(t.Context(), motion.FromSide)
	require.NoError(t, err)
	assert.InDelta(t, 90, m.Revolutions()[len(m.Revolutions())-1].Cadence(), 1e-6)

	for _, i := range []int{50, 170, 290} {
		r.Pedal[i].At = r3.Add(r.Pedal[i].At, r3.Vec{X: 1500, Z: -800})
	}
	_, err = r.Analyse(t.Context(), motion.FromSide)
	assert.NoError(t, err)

	// Less than a revolution tells nothing of the circle.
	short := ride{side: contact.Left, seconds: 0.3, rate: 100, cadence: 90}.record(t, rand.New(rand.NewPCG(8, 8)))
	_, err = short.Analyse(t.Context(), motion.FromSide)
	assert.ErrorIs(t, err, contact.ErrMissing)
}
