package solve_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/rules"
	"example.com/fitgeom/fitgeom/solve"
	"github.com/stretchr/testify/require"
)

// Rules against enumeration: every build is looked at by itself, and one that is known to break a
// rule does not hold.

// alone is figures that rules limit by themselves, of the front end, the seat and the frame.
var alone = []rules.Figure{
	rules.HandlebarWidth, rules.HoodsInside, rules.FlareSide, rules.LeverTilt, rules.StemAboveSteerer, rules.ExtensionReach, rules.ExtensionRise,
	rules.ExtensionHeight, rules.PadSlope, rules.FlatBarWidth, rules.NoseSetback, rules.SaddleLength, rules.SeatpostMark, rules.BottomBracketHeight,
	rules.ToeLevel, rules.PedalLean,
}

// together is pairs of figures that are judged together, of which some look at both groups.
var together = [][2]rules.Figure{
	{rules.ExtensionReach, rules.NoseSetback},
	{rules.NoseSetback, rules.ExtensionReach},
	{rules.GripsAboveSaddle},
	{rules.StemAboveSteerer, rules.SaddleLength},
	{rules.NoseSetback, rules.HandlebarWidth},
	{rules.NoseSetback, rules.ExtensionRise},
}

// limitNear draws a bound that some of the builds are within and others not, and none is at.
func limitNear(rng *rand.Rand, f rules.Figure, all []scored) rules.Bound {
	b := rules.Bound{Figure: f, Min: math.Inf(-1), Max: math.Inf(1)}
	var values []float64
	for range 40 {
		if v, known, err := f.Of(all[rng.IntN(len(all))].build); err == nil && known {
			values = append(values, v)
		}
	}
	if len(values) == 0 {
		b.Max = 0
		return b
	}
	limit := values[0] + pick(rng, -0.03, 0.03, 0.031, 4.03)
	if rng.IntN(2) == 0 {
		b.Min = limit
	} else {
		b.Max = limit
	}
	return b
}

// ruleOut draws rules for a problem of which these are the builds, and tells which of them they
// leave.
func ruleOut(t *testing.T, rng *rand.Rand, p *solve.Problem, all []scored) {
	var near []scored // rules that do not matter would prove little
	for _, s := range all {
		if s.holds {
			near = append(near, s)
		}
	}
	if len(near) == 0 {
		near = all
	}
	if len(near) == 0 {
		return
	}
	p.Rider = rules.Rider{Height: pick(rng, 0, 1750.0, 1820)}
	for range 1 + rng.IntN(3) {
		r := rules.Rule{RiderFrom: pick(rng, 0, 0, 1800.0)}
		if rng.IntN(2) == 0 {
			r.Bound = limitNear(rng, pick(rng, alone...), near)
		} else {
			two := pick(rng, together...)
			r.Bound = limitNear(rng, two[0], near)
			if two[1] != 0 {
				r.Unless = limitNear(rng, two[1], near)
			}
		}
		p.Rules.Rules = append(p.Rules.Rules, r)
	}
	for i := range all {
		if !all[i].holds {
			continue
		}
		found, err := p.Rules.Check(all[i].build, p.Rider)
		require.NoError(t, err)
		for _, f := range found {
			if f.Known && !f.Kept {
				all[i].holds = false
			}
		}
	}
}

// stateSizes has bars and levers of a problem state what rules look at, or not.
func stateSizes(rng *rand.Rand, p *solve.Problem) {
	tube, breadth := pick(rng, 0, 24.0), pick(rng, 0, 36.0)
	state := func(h *part.Handlebar, l *part.Lever) {
		if h.Drop != (part.DropBar{}) {
			h.Drop.Tube = tube
		}
		if *l != (part.Lever{}) {
			l.Breadth = breadth
		}
	}
	p.Shelf.Handlebars, p.Shelf.Levers = slices.Clone(p.Shelf.Handlebars), slices.Clone(p.Shelf.Levers)
	for i := range p.Shelf.Handlebars {
		state(&p.Shelf.Handlebars[i], new(part.Lever))
	}
	for i := range p.Shelf.Levers {
		state(new(part.Handlebar), &p.Shelf.Levers[i])
	}
	state(&p.Bike.Handlebar, &p.Bike.Lever)
}

// ruled counts what candidates there are under rules.
type ruled struct{ problems, holding, broken, unknown int }

func (r *ruled) count(got solve.Result) {
	r.problems++
	for _, c := range got.Candidates {
		if c.Holds() {
			r.holding++
		}
		for _, u := range c.Rules {
			if u.Broken {
				r.broken++
			} else {
				r.unknown++
			}
		}
	}
}

func (r ruled) String() string {
	return fmt.Sprintf("%d under rules: %d candidates hold, %d rules broken and %d not known to be kept", r.problems, r.holding, r.broken, r.unknown)
}
