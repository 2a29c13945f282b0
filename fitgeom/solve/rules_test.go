package solve_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/rules"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/invented"
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
type ruled struct{ problems, holding, broken, unknown, costs int }

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
	return fmt.Sprintf("%d under rules: %d candidates hold, %d rules broken and %d not known to be kept; in the way of %d", r.problems, r.holding, r.broken, r.unknown, r.costs)
}

// explained compares what Explain says of rules with what Solve finds without them.
func (r *ruled) explained(t *testing.T, p solve.Problem, got solve.Result, round int) {
	why, err := p.Explain(t.Context(), got.Candidates[0])
	require.NoError(t, err, "round %d", round)
	var costs []solve.RuleCost
	for _, o := range why {
		costs = append(costs, o.Rules...)
	}
	p.Limit = 1
	without := func(i int) solve.Result {
		q := p
		q.Rules.Rules = slices.Delete(slices.Clone(p.Rules.Rules), i, i+1)
		r, err := q.Solve(t.Context())
		require.NoError(t, err)
		return r
	}
	free := p
	free.Rules = rules.Set{}
	all, err := free.Solve(t.Context())
	require.NoError(t, err)
	if got.Holds() || !all.Holds() {
		require.Empty(t, costs, "round %d", round)
		return
	}
	r.costs++
	alone := map[int]solve.Result{}
	for i := range p.Rules.Rules {
		if r := without(i); r.Holds() {
			alone[i] = r
		}
	}
	if len(alone) == 0 {
		require.Len(t, costs, 1, "round %d", round)
		require.Greater(t, len(costs[0].Places), 1, "round %d", round)
		sameBuild(t, all.Candidates[0].Build, costs[0].Best.Build, round)
		require.Contains(t, why[len(why)-1].String(), "without these rules together")
		return
	}
	require.Len(t, costs, len(alone), "round %d", round)
	for _, c := range costs {
		require.Len(t, c.Places, 1)
		sameBuild(t, alone[c.Places[0]].Candidates[0].Build, c.Best.Build, round)
		require.Contains(t, c.Sentence().String(), "without this rule the position is held: "+p.Rules.Rules[c.Places[0]].String())
		broken := 0
		for _, b := range c.Best.Rules {
			if b.Broken {
				require.Equal(t, c.Places[0], b.Place)
				broken++
			}
		}
		require.Equal(t, 1, broken, "no other rule is broken")
	}
}

// A road bike of 2026 with a bar of 380 mm between the middles of its tube, whose hoods are not
// stated: what is known decides, what is not is told.
func TestRules(t *testing.T) {
	b := invented.Build()
	shelf := invented.Shelf()
	narrow := b.Handlebar
	narrow.Name, narrow.Drop.Width, narrow.Drop.DropsWidth, narrow.Drop.Tube = "bar 374", 374, 0, 24
	shelf.Handlebars = []part.Handlebar{narrow}
	set, ok := rules.InForce(rules.Road, rules.Date{Year: 2026, Month: 6, Day: 7})
	require.True(t, ok)
	b.Handlebar = narrow
	p := solve.Problem{Target: invented.Position(b), Frame: b.Frame, Shelf: shelf, Limit: 3, Rules: set}
	r, err := p.Solve(t.Context())
	require.NoError(t, err)
	require.False(t, r.Holds(), "374 + 24 mm is less than 400 mm")
	c := r.Candidates[0]
	require.Less(t, c.Score(), 1.0)
	states := map[rules.Figure]bool{}
	for _, f := range c.Rules {
		states[set.Rules[f.Place].Figure] = f.Broken
		require.NotEmpty(t, f.Sentence().String())
	}
	require.True(t, states[rules.HandlebarWidth])
	broken, said := states[rules.HoodsInside]
	require.True(t, said)
	require.False(t, broken)
	cautions, err := c.Cautions()
	require.NoError(t, err)
	require.Contains(t, cautions, fitgeom.CautionRuleNotKnown)
	why, err := p.Explain(t.Context(), c)
	require.NoError(t, err)
	require.Len(t, why, 1)
	require.Len(t, why[0].Rules, 1)
	require.Contains(t, why[0].String(), "without this rule the position is held: handlebar between its outer edges at least 400 mm")

	// One of 377 mm holds, and by so little.
	p.Shelf.Handlebars[0].Drop.Width = 377
	r, err = p.Solve(t.Context())
	require.NoError(t, err)
	require.True(t, r.Holds())
	require.NotEmpty(t, r.Candidates[0].Rules)
	p.Rules.Rules = slices.DeleteFunc(p.Rules.Rules, func(r rules.Rule) bool { return r.Figure == rules.HoodsInside })
	wider, err := p.Solve(t.Context())
	require.NoError(t, err)
	require.Len(t, wider.Candidates[0].Rules, len(r.Candidates[0].Rules)-1)
}

// What is wrong with rules is found with all else.
func TestFaultyRules(t *testing.T) {
	b := invented.Build()
	p := solve.Problem{Target: invented.Position(b), Frame: b.Frame, Shelf: invented.Shelf(), Rider: rules.Rider{Height: 17}, Rules: rules.Set{Rules: []rules.Rule{
		{Bound: rules.Bound{Figure: 99}},
		{Bound: rules.Bound{Figure: rules.NoseSetback, Min: math.NaN(), Max: math.Inf(1)}, Margin: -1},
		{Bound: rules.Bound{Figure: rules.NoseSetback}, Unless: rules.Bound{Figure: rules.ExtensionReach, Max: 1e7}, RiderFrom: math.Inf(1)},
	}}}
	var paths []string
	for _, f := range contact.Faults(p.Validate()) {
		paths = append(paths, f.Path)
	}
	require.Equal(t, []string{
		"rules.rules[0].figure", "rules.rules[1].min", "rules.rules[1].margin", "rules.rules[2].unless.max", "rules.rules[2].rider_from_mm", "rider.height_mm",
	}, paths)
	p.Rules.Rules = make([]rules.Rule, rules.MostRules+1)
	require.ErrorIs(t, p.Validate(), contact.ErrRange)
}
