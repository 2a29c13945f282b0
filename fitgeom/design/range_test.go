package design_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/design"
	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A frame of the sampled search: of a bike whose front end is known, with other spacers,
// another head angle and other axles, so that the clamp stays. Its numbers come from the
// methods of package chart and from the definitions beside its dimensions.
type sample struct {
	bike       fitgeom.Build
	clampX     float64
	clampZ     float64
	fork, down float64 // axle to crown; lower headset
}

func sampleOf(t *testing.T, b fitgeom.Build) sample {
	p, err := b.Position()
	require.NoError(t, err)
	clamp, ok := p.At(contactBarClamp)
	require.True(t, ok)
	return sample{bike: b, clampX: clamp.X, clampZ: clamp.Z, fork: 375, down: 5}
}

// sampled is the numbers that are looked at.
var sampled = [...]design.Subject{
	of(chart.Stack), of(chart.Reach), of(chart.HeadAngle), of(chart.ForkOffset), of(chart.Trail), of(chart.Drop), of(chart.Chainstay),
	of(chart.HeadTube), of(chart.FrontCentreHorizontal), of(chart.FrontCentre), of(chart.Wheelbase), of(chart.RearCentre),
	of(chart.BottomBracketHeight), of(chart.DropBelowAxles), of(chart.AxleToCrownSteerer), set(design.StemUp),
}

// at returns these of a frame.
func (s *sample) at(head, up, offset, drop, stay float64) (q [len(sampled)]float64) {
	b := &s.bike
	angle := b.Stem.Angle
	if b.Settings.Flipped {
		angle = -angle
	}
	g := b.Frame.Geometry
	sin, cos := num.Sincos(head)
	rise, run := num.Sincos(90 - head + angle)
	g.HeadAngle = head
	g.Reach = s.clampX - b.Stem.Length*run + (up+b.Stem.Height/2)*cos
	g.Stack = s.clampZ - b.Stem.Length*rise - (up+b.Stem.Height/2)*sin
	g.Axles.ForkOffset, g.Axles.Drop, g.Axles.Chainstay = offset, drop, stay
	front, _ := g.FrontAxle()
	rear, _ := g.RearAxle()
	trail, _ := g.Trail()
	base, _ := g.Wheelbase()
	height, _ := g.BottomBracketHeight()
	down, _ := g.SteererToAxle()
	axial := math.Sqrt(s.fork*s.fork - offset*offset)
	return [...]float64{
		g.Stack, g.Reach, head, offset, trail, drop, stay, down - s.down - axial, front.X, math.Hypot(front.X, front.Z), base, -rear.X,
		height, rear.Z + (front.Z-rear.Z)*-rear.X/base, axial, up,
	}
}

// What is free, by a search of samples every 0.1 mm and 0.05°: none lies outside the ranges,
// and as near to their ends as samples come there is one. Of head angle, spacers, fork
// offset, drop and chainstay three are free, within ranges, and two numbers that follow cut
// off a part of these.
func TestRangesSampled(t *testing.T) {
	n := 5
	if trial.Long() {
		n = 50
	}
	rng := rand.New(rand.NewPCG(21, 3))
	worst := 0.0
	for i := range n {
		b := drawn(rng)
		p := problem(t, b)
		p.MaxUnderStem = 100
		s := sampleOf(t, b)
		a := b.Frame.Geometry.Axles
		middle := [5]float64{b.Frame.Geometry.HeadAngle, p.Front.Up, a.ForkOffset, a.Drop, a.Chainstay}
		steps := [5]float64{0.05, 0.1, 0.1, 0.1, 0.1}
		whose := [5]design.Subject{of(chart.HeadAngle), set(design.StemUp), of(chart.ForkOffset), of(chart.Drop), of(chart.Chainstay)}
		var counts [5]int
		for _, k := range rng.Perm(5)[:3] {
			counts[k] = 10 + rng.IntN(15)
		}
		p.Wishes = append(p.Wishes, exactly(of(chart.FrontRadius), a.FrontRadius), exactly(of(chart.RearRadius), a.RearRadius),
			exactly(of(chart.AxleToCrown), s.fork), exactly(of(chart.LowerHeadset), s.down), exactly(of(chart.SeatAngle), b.Frame.Geometry.SeatAngle))
		for k, w := range whose {
			half := float64(counts[k]) * steps[k] / 2
			p.Wishes = append(p.Wishes, design.Wish{Subject: w, From: middle[k] - half, To: middle[k] + half})
		}
		here := s.at(middle[0], middle[1], middle[2], middle[3], middle[4])
		var cut [len(sampled)]struct{ from, to float64 }
		for j := range cut {
			cut[j].from, cut[j].to = math.Inf(-1), math.Inf(1)
		}
		for _, j := range [...]int{[...]int{4, 8, 10}[rng.IntN(3)], [...]int{0, 1, 7, 9}[rng.IntN(4)]} {
			cut[j].from, cut[j].to = here[j]-0.3-rng.Float64(), here[j]+0.3+rng.Float64()
			p.Wishes = append(p.Wishes, design.Wish{Subject: sampled[j], From: cut[j].from, To: cut[j].to})
		}
		ranges, err := p.Ranges(t.Context())
		require.NoError(t, err, "case %d", i)
		found := map[design.Subject]design.Range{}
		for _, r := range ranges {
			found[r.Subject] = r
		}

		var low, high, coarse [len(sampled)]float64
		for j := range low {
			low[j], high[j] = math.Inf(1), math.Inf(-1)
		}
		var x [5]float64
		var walk func(k int)
		walk = func(k int) {
			if k < 5 {
				for c := range counts[k] + 1 {
					x[k] = middle[k] + (float64(c)-float64(counts[k])/2)*steps[k]
					walk(k + 1)
				}
				return
			}
			q := s.at(x[0], x[1], x[2], x[3], x[4])
			for j, v := range q {
				if v < cut[j].from || v > cut[j].to {
					return
				}
			}
			for j, v := range q {
				low[j], high[j] = min(low[j], v), max(high[j], v)
			}
		}
		walk(0)
		// How far a step moves each number, and how far the ones that cut can move it.
		for k := range middle {
			if counts[k] == 0 {
				continue
			}
			moved := middle
			moved[k] += steps[k]
			for j, v := range s.at(moved[0], moved[1], moved[2], moved[3], moved[4]) {
				coarse[j] += math.Abs(v - here[j])
			}
		}
		for j, w := range sampled {
			r, ok := found[w]
			require.True(t, ok)
			assert.GreaterOrEqual(t, low[j], r.From-1e-6, "case %d, %v", i, w)
			assert.LessOrEqual(t, high[j], r.To+1e-6, "case %d, %v", i, w)
			if coarse[j] > 0 {
				worst = max(worst, (low[j]-r.From)/coarse[j], (r.To-high[j])/coarse[j])
			}
			// The ends themselves are frames: one that has the number there has all wishes.
			for _, end := range [...]float64{r.From, r.To} {
				q := p
				q.Wishes = append(p.Wishes[:len(p.Wishes):len(p.Wishes)], exactly(w, end))
				if d, err := q.Solve(t.Context()); assert.NoError(t, err) && assert.True(t, d.Holds(), "case %d, %v at %v", i, w, end) {
					holds(t, q, d, q.Wishes)
				}
			}
		}
	}
	t.Logf("design: ranges of %d cases end within %.2f steps of the samples", n, worst)
	assert.Less(t, worst, 2.)
}
