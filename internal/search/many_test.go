package search

import (
	"math/rand/v2"
	"strconv"
	"testing"

	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/rules"
	"example.com/fitgeom/internal/invented"
	"example.com/fitgeom/internal/work"
	"github.com/stretchr/testify/require"
)

// few makes room for next to nothing until the test ends.
func few(t *testing.T) {
	was := many
	t.Cleanup(func() { many = was })
	many.cockpits, many.perches, many.kept, many.mated, many.bounders, many.seatings, many.seats, many.paired = 2, 3, 5, 7, 1, 3, 2, 2
}

// drawn is how many are drawn.
func drawn(n int) int {
	if testing.Short() {
		return n / 5
	}
	return n
}

// drawnProblem is a problem with a drawn shelf, on the frame of its bike.
func drawnProblem(rng *rand.Rand) (*Problem, bool) {
	d := invented.Draw(rng, invented.BikeKinds[rng.IntN(len(invented.BikeKinds))], true)
	target, err := d.Build.Position()
	if err != nil {
		return nil, false
	}
	p := &Problem{Target: target, Frame: d.Build.Frame, Shelf: d.Shelf, Limit: 1 + rng.IntN(8), Grain: []float64{0, 0.1, 2}[rng.IntN(3)]}
	if rng.IntN(3) == 0 {
		p.Bike = d.Build
	}
	if rng.IntN(2) == 0 {
		p.Vary = part.AllKinds
	}
	if rng.IntN(2) == 0 { // seats of which some do not go with some front ends
		for _, f := range []rules.Figure{rules.GripsAboveSaddle, rules.NoseSetback} {
			if v, ok, _ := f.Of(d.Build); ok {
				p.Rules.Rules = append(p.Rules.Rules, rules.Rule{Bound: rules.Bound{Figure: f, Min: v - 12, Max: v + 0.01}})
			}
		}
	}
	p.Fill()
	return p, p.Frame.Validate() == nil
}

// What is done lot by lot, found again or not bounded is the same as what is done at once.
func TestFewAsMany(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 15))
	type answer struct {
		result Result
		err    error
	}
	var problems []*Problem
	var want []answer
	solve := func(p *Problem) answer {
		r, err := Solve(work.New(t.Context(), -1), p)
		return answer{r, err}
	}
	for len(problems) < drawn(200) {
		if p, ok := drawnProblem(rng); ok {
			problems, want = append(problems, p), append(want, solve(p))
		}
	}
	few(t)
	for i, p := range problems {
		require.Equal(t, want[i], solve(p))
	}
}

// drawnIndex is frames like that of a problem, some of which are alike.
func drawnIndex(t *testing.T, rng *rand.Rand, frame fitgeom.Frame, n int) *Index {
	sizes := make([]fitgeom.Size, n)
	odd := rng.IntN(3) == 0 // some take no parts of the shelf
	for i := range sizes {
		f := frame
		if odd && rng.IntN(2) == 0 {
			f.SeatpostDiameter, f.SeatpostInterface = 22.2, ""
		}
		g := &f.Geometry
		g.Stack += float64(rng.IntN(60) - 30)
		g.Reach += float64(rng.IntN(40) - 20)
		g.HeadAngle += float64(rng.IntN(4)) / 2
		g.SeatAngle += float64(rng.IntN(8)) / 4
		sizes[i] = fitgeom.Size{Family: "drawn", Label: strconv.Itoa(i), Frame: f}
	}
	x, _ := NewIndex(t.Context(), sizes)
	return x
}

// The same for a ranking. How many fronts were searched may differ, and nothing else.
func TestFewAsManyRanked(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 15))
	type question struct {
		p *Problem
		x *Index
	}
	type choice struct {
		place int
		best  fitgeom.Candidate
	}
	places := func(q question) (all []choice) {
		asked := q.x.Ask(work.New(t.Context(), -1), q.p)
		best, open := asked.Rank()
		require.Zero(t, open)
		for i := range best {
			s := &best[i]
			c := choice{place: s.Place()}
			if s.Fits() {
				c.best = asked.Candidate(s, &q.x.size(s.record).Frame)
			}
			all = append(all, c)
		}
		return all
	}
	var questions []question
	var want [][]choice
	for len(questions) < drawn(60) {
		p, ok := drawnProblem(rng)
		if !ok {
			continue
		}
		if x := drawnIndex(t, rng, p.Frame, 60); x != nil {
			p.Frame = fitgeom.Frame{}
			q := question{p, x}
			questions, want = append(questions, q), append(want, places(q))
		}
	}
	few(t)
	for i, q := range questions {
		require.Equal(t, want[i], places(q))
	}
}
