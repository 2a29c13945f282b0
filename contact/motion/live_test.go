package motion_test

import (
	"math"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/motion"
	"example.com/fitgeom/internal/invented"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// live is a leg of the side, frame by frame.
func live(t testing.TB, rate, noise float64) (*motion.Live, motion.LiveSettings, [][]motion.Sample) {
	d := ride{side: contact.Left, seconds: 6, rate: rate, cadence: 90, start: 20, noise: noise}
	r := d.record(t, fresh(21))
	s := motion.LiveSettings{
		Rate: rate, CutOff: 8, Side: contact.Left, View: motion.FromSide,
		Markers: []motion.Marker{motion.PedalLeft, motion.HipLeft, motion.KneeLeft, motion.AnkleLeft}, Of: []motion.Measure{motion.KneeFlexion},
	}
	l, err := motion.NewLive(s)
	require.NoError(t, err)
	frames := make([][]motion.Sample, len(r.Times))
	for i := range frames {
		for _, k := range s.Markers {
			frames[i] = append(frames[i], r.Markers[k][i])
		}
	}
	return l, s, frames
}

// Against the chain that pedals: the crank is where it is now, and the values are those of
// the crank angle that they are said to belong to.
func TestLive(t *testing.T) {
	b, p := invented.Rider()
	c := chainOf(t, b, p)
	for _, rate := range []float64{60, 200} {
		l, _, frames := live(t, rate, 0)
		values := make([]float64, 1)
		for i, frame := range frames {
			now, err := l.Next(frame, values)
			require.NoError(t, err)
			if i < int(4*rate) { // the first frames are those of a crank that stood still
				continue
			}
			assert.InDelta(t, 90, now.Cadence, 0.1)
			assert.InDelta(t, math.Sqrt2/(2*math.Pi*8), now.Delay, 0.003, "√2/ω")
			truth := 20 + float64(i)/rate*540
			assert.InDelta(t, 0, math.Remainder(now.Crank-truth, 360), 0.2)
			s, err := c.At(contact.Left, now.CrankAngle)
			require.NoError(t, err)
			assert.InDelta(t, s.KneeFlexion, values[0], 1.2)
		}
	}
}

// A marker that is lost for 0.1 s is bridged, one that is lost for longer is not; the pedal
// too, and afterwards all goes on.
func TestLiveGaps(t *testing.T) {
	l, _, frames := live(t, 100, 0.5)
	values := make([]float64, 1)
	nan := 0
	for i, frame := range frames {
		frame[2].Seen = !(i >= 300 && i < 309 || i >= 400 && i < 420)
		frame[0].Seen = !(i >= 500 && i < 530)
		now, err := l.Next(frame, values)
		require.NoError(t, err)
		if math.IsNaN(values[0]) {
			nan++
		}
		assert.Equal(t, i >= 510 && i < 530, math.IsNaN(now.CrankAngle), i)
	}
	assert.Equal(t, 10, nan)
}

func TestLiveFaults(t *testing.T) {
	l, s, frames := live(t, 100, 0)
	_, err := l.Next(frames[0][1:], nil)
	assert.Len(t, contact.Faults(err), 2)
	frames[0][1].At.Z = math.NaN()
	values := make([]float64, 1)
	_, err = l.Next(frames[0], values)
	require.ErrorIs(t, err, contact.ErrRange)
	assert.Equal(t, "frame[1][2]", contact.Faults(err)[0].Path)
	assert.True(t, math.IsNaN(values[0]))
	for name, change := range map[string]func(s *motion.LiveSettings){
		"rate": func(s *motion.LiveSettings) { s.Rate = 0 }, "cut-off": func(s *motion.LiveSettings) { s.CutOff = 60 }, "side": func(s *motion.LiveSettings) { s.Side = 0 },
		"no pedal": func(s *motion.LiveSettings) { s.Markers = s.Markers[1:] }, "twice": func(s *motion.LiveSettings) { s.Markers = append(s.Markers[:3:3], s.Markers[0]) },
		"measure": func(s *motion.LiveSettings) { s.Of = []motion.Measure{motion.PelvisTilt} }, "marker": func(s *motion.LiveSettings) { s.Markers = append(s.Markers[:4:4], 99) },
		"view": func(s *motion.LiveSettings) { s.View = 7 }, "centre": func(s *motion.LiveSettings) { s.Centre = r3.Vec{X: math.Inf(1)} },
		"flat": func(s *motion.LiveSettings) { s.Flat, s.Of = true, []motion.Measure{motion.KneeLine} },
	} {
		bad := s
		change(&bad)
		_, err := motion.NewLive(bad)
		assert.NotEmpty(t, contact.Faults(err), name)
	}
}

// A frame allocates nothing, whatever it sees.
func TestLiveAllocations(t *testing.T) {
	l, _, frames := live(t, 100, 0)
	values, i := make([]float64, 1), 0
	assert.Zero(t, testing.AllocsPerRun(400, func() {
		frames[i][2].Seen = i%17 < 15
		if _, err := l.Next(frames[i], values); err != nil {
			t.Fatal(err)
		}
		i++
	}))
}

func BenchmarkLive(b *testing.B) {
	l, _, frames := live(b, 100, 0)
	values, i := make([]float64, 1), 0
	b.ReportAllocs()
	for b.Loop() {
		if _, err := l.Next(frames[i%len(frames)], values); err != nil {
			b.Fatal(err)
		}
		i++
	}
}
