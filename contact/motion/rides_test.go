package motion_test

import (
	"cmp"
	"fmt"
	"math"
	"os"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/motion"
	"example.com/fitgeom/testdata/oracle/rides"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// recording is what a simulated ride is to the library, brought to the axes of the bike.
func recording(t testing.TB, d *rides.Ride) motion.Recording {
	r := motion.Recording{Times: d.Times, Markers: map[motion.Marker][]motion.Sample{}}
	for k, name := range d.Names {
		m, err := motion.ParseMarker(name)
		require.NoError(t, err)
		samples := make([]motion.Sample, len(d.Times))
		for i, v := range d.At[k] {
			samples[i] = motion.Sample{At: r3.Vec{X: v[0], Y: v[1], Z: v[2]}, Seen: d.Seen[k][i]}
		}
		r.Markers[m] = samples
	}
	places := map[motion.Marker]r3.Vec{}
	for name, v := range d.Bike {
		m, err := motion.ParseMarker(name)
		require.NoError(t, err)
		places[m] = r3.Vec{X: v[0], Y: v[1], Z: v[2]}
	}
	onBike, _, err := r.OnBike(places)
	require.NoError(t, err)
	return onBike
}

// asked is what the proof asks of each ride.
var asked = []motion.Measure{
	motion.KneeFlexion, motion.HipFlexion, motion.AnkleDorsiflexion, motion.TrunkLean, motion.ElbowFlexion, motion.KneeOffset, motion.KneeLine,
	motion.PelvisTilt, motion.PelvisObliquity, motion.PelvisRotation, motion.PelvisUp,
}

// A cell is what is seen of the rides of one noise, rate and cadence.
type cell struct {
	noise, rate, cadence float64

	off             map[string][]float64 // extremes less the truth, by measure
	within, ranges  int
	used, turns     int
	planted, named  map[string]int
	clean, falsely  int
	rocking         []float64
	falseNames      []string
	missed          []string
	lacking, curves int
}

func (c *cell) see(t testing.TB, d *rides.Ride, fault string, rock float64) {
	m, err := recording(t, d).Analyse(t.Context(), motion.Settings{})
	if err != nil {
		c.missed = append(c.missed, err.Error())
		c.planted[fault]++
		return
	}
	q := m.Quality()
	var named []motion.Finding
	for _, f := range q.Findings {
		if f.Kind == motion.Spike || f.Kind == motion.Exchange || f.Kind == motion.Slip {
			named = append(named, f)
		}
	}
	if fault == "" {
		c.clean++
		if len(named) > 0 {
			c.falsely++
			c.falseNames = append(c.falseNames, named[0].String())
		}
	} else {
		c.planted[fault]++
		p := d.Faults[0]
		if slices.ContainsFunc(named, func(f motion.Finding) bool { return names(f, fault, p, len(d.Times), d.Turns) }) {
			c.named[fault]++
		} else {
			c.missed = append(c.missed, fmt.Sprintf("%s %v %.0f: %v", fault, p.Names, p.By, named))
		}
	}
	if fault == "slip" {
		return
	}
	for _, side := range []contact.Side{contact.Left, contact.Right} {
		for _, of := range asked {
			curve, err := m.Curve(t.Context(), of, side)
			c.turns += q.Revolutions + q.Lost
			c.curves++
			if err != nil {
				c.lacking++
				continue
			}
			c.used += len(curve.Used)
			name := of.String() + "_" + side.String()
			for k, e := range []motion.Extreme{curve.Least(), curve.Most()} {
				want := []float64{d.Least[name], d.Most[name]}[k]
				if of.Unit() == "degrees" {
					key := of.String() + []string{" least", " most"}[k]
					c.off[key] = append(c.off[key], e.Mean-want)
				}
				low, high, _ := e.Range95()
				c.ranges++
				if want >= low && want <= high {
					c.within++
				}
			}
			if of == motion.PelvisUp && side == contact.Left && rock > 0 {
				truth := (d.Most[name] - d.Least[name]) / 2
				c.rocking = append(c.rocking, curve.Range().Mean/2-truth)
			}
		}
	}
}

// names tells whether a finding names what was planted, and where it is.
func names(f motion.Finding, fault string, p rides.Fault, frames int, turns float64) bool {
	if f.Kind.String() != fault || len(f.Markers) != len(p.Names) {
		return false
	}
	for _, k := range f.Markers {
		if !slices.Contains(p.Names, k.String()) {
			return false
		}
	}
	turn := float64(frames) / turns
	switch f.Kind {
	case motion.Spike:
		return f.From == p.From && f.To == p.To
	case motion.Exchange:
		return math.Abs(float64(f.From-p.From)) <= 5 && math.Abs(float64(f.To-p.To)) <= 5
	}
	return math.Abs(float64(f.From-p.From)) <= turn
}

func (c *cell) worst() (what string, bias float64) {
	for name, offs := range c.off {
		sum := 0.0
		for _, v := range offs {
			sum += v / float64(len(offs))
		}
		if math.Abs(sum) > math.Abs(bias) {
			what, bias = name, sum
		}
	}
	return what, bias
}

func share(n, of int) float64 { return 100 * float64(n) / float64(max(1, of)) }

// What the recordings of simulated riders say against what is true of them: the table of
// .ci/prove motion has a thousand a cell, this test has a few.
func TestRides(t *testing.T) {
	if testing.Short() {
		t.Skip("statistics")
	}
	each := 4
	noises, rates, cadences := []float64{0.5, 5}, []float64{25, 100}, []float64{60, 120}
	if n, err := strconv.Atoi(os.Getenv("FITGEOM_RIDES")); err == nil {
		each = n
		noises, rates, cadences = []float64{0.5, 2, 5}, []float64{25, 60, 120, 250}, []float64{60, 90, 120}
	}
	var sum cell
	for _, noise := range noises {
		for _, rate := range rates {
			for _, cadence := range cadences {
				c := rideCell(t, noise, rate, cadence, each)
				c.report(t, each)
				sum.within, sum.ranges = sum.within+c.within, sum.ranges+c.ranges
			}
		}
	}
	// The ranges of one ride hang together: of so many rides the share is known to some 10/√n %.
	rides := float64(sum.ranges) / float64(4*len(asked))
	assert.InDelta(t, 95.25, share(sum.within, sum.ranges), 2.25+20/math.Sqrt(rides))
}

// report logs a line of the table and asserts what must hold of a cell; of some hundred
// recordings or more all of it.
func (c *cell) report(t *testing.T, each int) {
	what, bias := c.worst()
	within := share(c.within, c.ranges)
	var line strings.Builder
	fmt.Fprintf(&line, "| %g | %g | %g | %d | %+.2f (%s) | %.1f | %.1f |", c.noise, c.rate, c.cadence, each, bias, what, within, share(c.used, c.turns))
	for _, fault := range []string{"spike", "exchange", "slip"} {
		fmt.Fprintf(&line, " %.1f |", share(c.named[fault], c.planted[fault]))
	}
	rock, n := 0.0, float64(len(c.rocking))
	for _, v := range c.rocking {
		rock += v / n
	}
	t.Logf("motion: %s %.1f | %+.2f |", line.String(), 100-share(c.falsely, c.clean), rock)
	if os.Getenv("FITGEOM_MISSED") != "" {
		for _, s := range append(c.missed, c.falseNames...) {
			t.Log("  missed ", s)
		}
	}
	if each >= 200 {
		assert.LessOrEqual(t, math.Abs(bias), 0.3, line.String())
		assert.InDelta(t, 95.25, within, 2.25, line.String())
		for fault, n := range c.planted {
			assert.GreaterOrEqual(t, share(c.named[fault], n), 98., line.String())
		}
		assert.GreaterOrEqual(t, 100-share(c.falsely, c.clean), 98., line.String())
	}
	assert.GreaterOrEqual(t, share(c.used, c.turns), 95., line.String())
	assert.InDelta(t, 0, rock, 1)
}

// rideCell simulates the rides of a cell, of which a quarter each have nothing but gaps, a
// spike, an exchange or a slip. The same seeds give the same rides.
func rideCell(t *testing.T, noise, rate, cadence float64, each int) *cell {
	fresh := func() *cell {
		return &cell{noise: noise, rate: rate, cadence: cadence, off: map[string][]float64{}, planted: map[string]int{}, named: map[string]int{}}
	}
	c := fresh()
	workers := runtime.GOMAXPROCS(0)
	parts := make([]*cell, workers)
	var group sync.WaitGroup
	for k := range parts {
		parts[k] = fresh()
		group.Go(func() {
			for i := k; i < each; i += workers {
				seed := uint64(i)*1_000_003 + uint64(noise*10) + uint64(rate)*101 + uint64(cadence)*100_003
				fault := []string{"", "spike", "exchange", "slip"}[i%4]
				parts[k].see(t, rides.New(rides.Plan{
					Seed: seed, Seconds: 20, Rate: rate, Cadence: cadence, Noise: noise, Gaps: true, Fault: fault, Rock: 15,
				}), fault, 15)
			}
		})
	}
	group.Wait()
	for _, p := range parts {
		for name, offs := range p.off {
			c.off[name] = append(c.off[name], offs...)
		}
		c.within, c.ranges, c.used, c.turns = c.within+p.within, c.ranges+p.ranges, c.used+p.used, c.turns+p.turns
		for fault, n := range p.planted {
			c.planted[fault] += n
			c.named[fault] += p.named[fault]
		}
		c.clean, c.falsely = c.clean+p.clean, c.falsely+p.falsely
		c.rocking, c.missed, c.falseNames = append(c.rocking, p.rocking...), append(c.missed, p.missed...), append(c.falseNames, p.falseNames...)
	}
	for _, offs := range c.off {
		slices.SortFunc(offs, cmp.Compare)
	}
	return c
}
