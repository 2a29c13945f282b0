package calibrate_test

import (
	"fmt"
	"math"
	"os"
	"strconv"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/motion"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/contact/rider/calibrate"
	"example.com/fitgeom/testdata/oracle/riders"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

func vec(v riders.V) r3.Vec { return r3.Vec{X: v[0], Y: v[1], Z: v[2]} }

// recordingOf is the recording of a simulated rider.
func recordingOf(t require.TestingT, r *riders.Rider) motion.Recording {
	rec := motion.Recording{Times: r.Times, Markers: map[motion.Marker][]motion.Sample{}}
	for name, at := range r.At {
		m, err := motion.ParseMarker(name)
		require.NoError(t, err)
		samples := make([]motion.Sample, len(at))
		for i, v := range at {
			samples[i] = motion.Sample{At: vec(v), Seen: true}
		}
		rec.Markers[m] = samples
	}
	return rec
}

// evidenceOf is what the library gets of a simulated rider.
func evidenceOf(t require.TestingT, r *riders.Rider, tapes ...string) calibrate.Evidence {
	e := calibrate.Evidence{Motion: analysed(t, recordingOf(t, r)), Position: contact.New(map[contact.Site]r3.Vec{
		contact.SaddleReference: vec(r.Saddle),
		contact.PedalLeft:       {X: r.Crank, Y: 74},
		contact.FootLeft:        {X: r.Crank, Y: 120, Z: r.Sole},
	})}
	for _, name := range tapes {
		q, err := calibrate.ParseQuantity(name)
		require.NoError(t, err)
		e.Readings = append(e.Readings, calibrate.Reading{Of: q, Side: contact.Left, Value: r.Tape[name]})
	}
	return e
}

// numbers are what is looked at, by name.
var numbers = []rider.Number{
	{Of: rider.BodyHipForward},
	{Of: rider.BodyHipUp},
	{Of: rider.BodyThigh, Side: contact.Left},
	{Of: rider.BodyShank, Side: contact.Left},
	{Of: rider.BodyAnkleHeight, Side: contact.Left},
	{Of: rider.BodyAnkleBehind, Side: contact.Left},
}

func values(b *rider.Body) [6]float64 {
	return [6]float64{b.HipForward, b.HipUp, b.Left.Thigh, b.Left.Shank, b.Left.AnkleHeight, b.Left.AnkleBehind}
}

// A tally is how far a number was from the truth, over its uncertainty too.
type tally struct {
	n, sum, squares, sigma float64
	within                 int
}

func (c *tally) add(off, sigma float64) {
	c.n++
	c.sum += off
	c.squares += off * off
	c.sigma += sigma
	if math.Abs(off) <= 1.959964*sigma {
		c.within++
	}
}

func (c *tally) rms() float64   { return math.Sqrt(c.squares / c.n) }
func (c *tally) bias() float64  { return c.sum / c.n }
func (c *tally) share() float64 { return 100 * float64(c.within) / c.n }

// hips is the share of both coordinates of the hip that lie within their ranges.
func hips(of *[6]tally) float64 { return (of[0].share() + of[1].share()) / 2 }

// What is found of simulated riders against what is true of them: .ci/prove body has 500,
// this test has some. With two tapes more nothing is known worse.
func TestRiders(t *testing.T) {
	count := 16
	if n, err := strconv.Atoi(os.Getenv("FITGEOM_RIDERS")); err == nil {
		count = n
	}
	loose, _ := strconv.ParseFloat(os.Getenv("FITGEOM_LOOSE"), 64) // and the solver does not know
	var all [2][6]tally
	grown, suspects, inconsistent := 0, 0, 0
	for i := range count {
		r := riders.New(riders.Plan{Seed: uint64(i), Seconds: 12, Rate: 50, Cadence: 85, Noise: 1, Loose: loose})
		truth := [6]float64{r.HipForward, r.HipUp, r.Thigh, r.Shank, r.AnkleHeight, r.AnkleBehind}
		e := evidenceOf(t, r, "thigh", "trochanter_over_saddle")
		var sigmas [2][6]float64
		for k := range all {
			one := e
			one.Readings = e.Readings[:2*k]
			got, err := one.Body(t.Context())
			require.NoError(t, err, i)
			for j, v := range values(&got.Body) {
				sigmas[k][j], _ = got.Covariance.Sigma(numbers[j])
				all[k][j].add(v-truth[j], sigmas[k][j])
			}
			suspects += len(got.Suspects)
			if !got.Consistent {
				inconsistent++
			}
		}
		for j := range numbers {
			if sigmas[1][j] > sigmas[0][j] {
				grown++
			}
		}
	}
	for j, n := range numbers {
		a, b := &all[0][j], &all[1][j]
		t.Logf("body: | %v | %d | %+.1f | %.1f | %.1f | %.1f | %+.1f | %.1f | %.1f | %.1f |", n, count,
			a.bias(), a.rms(), a.sigma/a.n, a.share(), b.bias(), b.rms(), b.sigma/b.n, b.share())
	}
	t.Logf("body: both of the hip's coordinates: %.1f %% within, with two tapes %.1f %%; %d of %d uncertainties grew with the tapes; of %d answers %d named a reading, %d were not consistent at 99 %%",
		hips(&all[0]), hips(&all[1]), grown, len(numbers)*count, 2*count, suspects, inconsistent)
	// What chance does to so few.
	chance := 0.0
	if count < 500 {
		chance = 300 * math.Sqrt(0.05*0.95/float64(count))
	}
	for k := range all {
		name := fmt.Sprintf("%d tapes", 2*k)
		for j := range 2 {
			assert.GreaterOrEqual(t, all[k][j].share(), 93-chance, "%s: %v", name, numbers[j])
			assert.LessOrEqual(t, all[k][j].share(), 97.5+chance, "%s: %v", name, numbers[j])
		}
		for _, j := range []int{2, 3} {
			allowed := 3.0
			if chance > 0 {
				allowed += 3 * all[k][j].rms() / math.Sqrt(float64(count))
			}
			assert.LessOrEqual(t, math.Abs(all[k][j].bias()), allowed, "%s: %v", name, numbers[j])
		}
	}
	for j := range numbers {
		if count >= 500 {
			assert.LessOrEqual(t, all[1][j].rms(), all[0][j].rms(), numbers[j])
		}
	}
	assert.Zero(t, grown)
}
