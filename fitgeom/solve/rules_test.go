package solve_test

import (
	"context"
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
	"gonum.org/v1/gonum/spatial/r3"
)

// Rules against enumeration: every build is looked at by itself, and one that is known to break a
// rule does not hold. What is chosen of settings follows the package documentation.

// alone is figures that rules limit by themselves, of the front end, the seat and the frame.
var alone = []rules.Figure{
	rules.HandlebarWidth, rules.HoodsInside, rules.FlareSide, rules.LeverTilt, rules.StemAboveSteerer, rules.ExtensionReach, rules.ExtensionRise,
	rules.ExtensionHeight, rules.PadSlope, rules.FlatBarWidth, rules.NoseSetback, rules.SaddleLength, rules.SeatpostMark, rules.BottomBracketHeight,
	rules.ToeLevel, rules.PedalLean,
}

// ends is figures by which settings are chosen, with the end that limits how far forward a site is.
var ends = map[rules.Figure]bool{rules.ExtensionReach: true, rules.NoseSetback: false}

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
func limitNear(rng *rand.Rand, f rules.Figure, all []fitgeom.Candidate) rules.Bound {
	b := rules.Bound{Figure: f, Min: math.Inf(-1), Max: math.Inf(1)}
	var values []float64
	for range 3 {
		if v, known, err := f.Of(all[rng.IntN(len(all))].Build); err == nil && known {
			values = append(values, v)
		}
	}
	if len(values) == 0 {
		b.Max = 0
		return b
	}
	limit := values[0] + pick(rng, -0.53, -0.03, 0.03, 0.531, 2.03, -2.03)
	above := rng.IntN(2) == 0
	if forward, ok := ends[f]; ok && rng.IntN(4) > 0 {
		above = forward
	}
	if above {
		b.Max = limit
	} else {
		b.Min = limit
	}
	return b
}

// drawRules draws rules near the builds that a problem has without them.
func drawRules(rng *rand.Rand, p *solve.Problem, near []fitgeom.Candidate) {
	p.Rules = rules.Set{}
	p.Rider = rules.Rider{Height: pick(rng, 0, 1750.0, 1820)}
	for range 1 + rng.IntN(3) {
		r := rules.Rule{RiderFrom: pick(rng, 0, 0, 1800.0)}
		switch rng.IntN(3) {
		case 0:
			r.Bound = limitNear(rng, pick(rng, alone...), near)
		case 1:
			r.Bound = limitNear(rng, pick(rng, rules.ExtensionReach, rules.NoseSetback), near)
		default:
			two := pick(rng, together...)
			r.Bound = limitNear(rng, two[0], near)
			if two[1] != 0 {
				r.Unless = limitNear(rng, two[1], near)
			}
		}
		p.Rules.Rules = append(p.Rules.Rules, r)
	}
}

// drawRuled draws a problem with rules, of which most would hold without them.
func drawRuled(rng *rand.Rand, kind string, disturb float64) (solve.Problem, fitgeom.Build) {
	kind = pick(rng, kind, kind, "time trial", "clip-on") // which have most of the rules
	for {
		p, b := pick(rng, drawProblem, drawProblem, drawDirected)(rng, kind+pick(rng, "", "", renewing), disturb)
		stateSizes(rng, &p)
		got, err := p.Solve(context.Background())
		small := got.Combinations < draws(500, 1_000_000) // soon enumerated
		if err == nil && small && (got.Holds() || rng.IntN(10) == 0) {
			drawRules(rng, &p, got.Candidates)
			return p, b
		}
		disturb /= 2
	}
}

// A lot is some rules with the rider for whom they are.
type lot struct {
	rules.Set
	rider rules.Rider
}

// kept reports whether a build is not known to break one of them.
func (l lot) kept(t *testing.T, b fitgeom.Build) bool {
	found, err := l.Check(b, l.rider)
	require.NoError(t, err)
	return !slices.ContainsFunc(found, func(f rules.Finding) bool { return f.Known && !f.Kept })
}

// rulesFor is what the reference needs to know of rules: all of them, those of the front end alone,
// and how far forward tips and nose may be, by each by itself and then by those of front and seat
// together.
type rulesFor struct {
	all, front  lot
	tips, noses []*float64
}

func rulesOf(p *solve.Problem) rulesFor {
	u := rulesFor{all: lot{p.Rules, p.Rider}, front: lot{rider: p.Rider}, tips: []*float64{nil}, noses: []*float64{nil}}
	lesser := func(a, b *float64) *float64 {
		if a == nil || b != nil && *b < *a {
			return b
		}
		return a
	}
	var either [][2]*float64
	for _, r := range p.Rules.Rules {
		if applies, known := r.For(p.Rider); !applies || !known {
			continue
		}
		front := r.DependsOn(contact.OnHandlebar) || r.DependsOn(contact.OnAeroBar)
		seat := r.DependsOn(contact.OnSaddle) || r.DependsOn(contact.OnPedals) || r.DependsOn(contact.OnFeet)
		if front && !seat {
			u.front.Rules = append(u.front.Rules, r)
		}
		for _, b := range []rules.Bound{r.Bound, r.Unless} {
			var tip, nose *float64
			if v := b.Max; b.Figure == rules.ExtensionReach && !math.IsInf(v, 1) {
				tip = &v
			}
			if v := -b.Min; b.Figure == rules.NoseSetback && !math.IsInf(v, 1) {
				nose = &v
			}
			if r.Unless.Figure == 0 {
				u.tips[0], u.noses[0] = lesser(u.tips[0], tip), lesser(u.noses[0], nose)
			} else if front && seat {
				either = append(either, [2]*float64{tip, nose})
			}
		}
	}
	for _, e := range either {
		if e[0] != nil {
			u.tips = append(u.tips, lesser(e[0], u.tips[0]))
		}
		if e[1] != nil {
			u.noses = append(u.noses, lesser(e[1], u.noses[0]))
		}
	}
	return u
}

// farthest is how far forward tips and nose may be, mm; nil: anywhere.
type farthest struct{ tip, nose *float64 }

// offs appends how far they are beyond, as shares of a tolerance that reaches far the other way and
// costs nothing.
func (f farthest) offs(all []share, p *contact.Position, in func(contact.Site) bool) []share {
	const half = 200
	for _, c := range []struct {
		site contact.Site
		most *float64
	}{{contact.ExtensionLeft, f.tip}, {contact.SaddleNose, f.nose}} {
		if at, ok := p.At(c.site); ok && c.most != nil && in(c.site) {
			all = append(all, share{(at.X-*c.most)/half + 1, 0})
		}
	}
	return all
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

func (r *ruled) count(t *testing.T, p solve.Problem, got solve.Result, round int) {
	r.explained(t, p, got, round)
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

// Settings keep rules where they can within tolerance: an extension is shortened to its limit, the
// saddle slid back to its own, one of both where either would do, and pads set level.
func TestSettingsKeepRules(t *testing.T) {
	b := invented.Everything()
	shelf := invented.Shelf()
	shelf.Handlebars, shelf.AeroBars, shelf.Pedals = []part.Handlebar{b.Handlebar}, []part.AeroBar{b.Aero}, []part.Pedal{b.Pedal}
	shelf.Saddles, shelf.Seatposts, shelf.Cranks = shelf.Saddles[:1], shelf.Seatposts[:1], shelf.Cranks[:1]
	shelf.Caps, shelf.Stems, shelf.Levers, shelf.Spacers = shelf.Caps[:1], shelf.Stems[:1], shelf.Levers[:1], nil
	b.Settings.Spacers = 0
	target := invented.Position(b)
	tip, _ := target.At(contact.ExtensionLeft)
	nose, _ := target.At(contact.SaddleNose)
	tol := r3.Vec{X: 8, Z: 8}
	p := solve.Problem{Target: target, Frame: b.Frame, Shelf: shelf, Limit: 1, Keep: []fitgeom.Keep{
		{Site: contact.SaddleReference, Tolerance: tol}, {Site: contact.PadLeft, Tolerance: tol}, {Site: contact.ExtensionLeft, Tolerance: r3.Vec{X: 8, Z: 40}},
	}}
	reach := rules.Bound{Figure: rules.ExtensionReach, Min: math.Inf(-1), Max: tip.X - 3}
	back := rules.Bound{Figure: rules.NoseSetback, Min: 2 - nose.X, Max: math.Inf(1)}
	far := rules.Bound{Figure: rules.NoseSetback, Min: 50 - nose.X, Max: math.Inf(1)} // out of tolerance
	level := rules.Bound{Figure: rules.PadSlope, Min: math.Inf(-1), Max: 4}
	for name, c := range map[string]struct {
		rules     []rules.Rule
		tip, nose float64 // further back than in the target
		tilt      float64
	}{
		"none":         {nil, 0, 0, 5},
		"reach":        {[]rules.Rule{{Bound: reach}}, 3, 0, 5},
		"less":         {[]rules.Rule{{Bound: reach, Below: true}}, 3, 0, 5},
		"nose":         {[]rules.Rule{{Bound: back}}, 0, 2, 5},
		"either":       {[]rules.Rule{{Bound: reach, Unless: back}}, 0, 2, 5}, // 2 of 8 mm cost less than 3
		"if it can":    {[]rules.Rule{{Bound: reach, Unless: far}}, 3, 0, 5},
		"either way":   {[]rules.Rule{{Bound: back, Unless: reach}}, 0, 2, 5},
		"one and both": {[]rules.Rule{{Bound: back}, {Bound: reach, Unless: far}}, 3, 2, 5},
		"level":        {[]rules.Rule{{Bound: level}}, 0, 0, 0},
	} {
		t.Run(name, func(t *testing.T) {
			q := p.Closest()
			q.Rules.Rules = c.rules
			r, err := q.Solve(t.Context())
			require.NoError(t, err)
			require.True(t, r.Holds())
			got := r.Candidates[0]
			is := invented.Position(got.Build)
			atTip, _ := is.At(contact.ExtensionLeft)
			atNose, _ := is.At(contact.SaddleNose)
			require.Empty(t, got.Rules)
			require.Equal(t, c.tilt, got.Build.Settings.AeroTilt)
			if c.tilt == 5 {
				require.InDelta(t, tip.X-c.tip, atTip.X, 2e-6)
			}
			require.InDelta(t, nose.X-c.nose, atNose.X, 2e-6)
		})
	}

	// Room ends at a rule too: the tips may be 5.3 mm further forward, and 8 mm short of where they are wanted.
	q := p.Closest()
	q.Rules.Rules = []rules.Rule{{Bound: rules.Bound{Figure: rules.ExtensionReach, Min: math.Inf(-1), Max: tip.X + 5.3}}}
	room, err := q.Reach(t.Context(), solve.Movement{Group: contact.OnAeroBar, Most: 20})
	require.NoError(t, err)
	require.Equal(t, 13, room.Forward.MM)
	require.Len(t, room.Forward.Ends, 1)
	require.Equal(t, []int{0}, room.Forward.Ends[0].Rules[0].Places)
	free, err := p.Closest().Reach(t.Context(), solve.Movement{Group: contact.OnAeroBar, Most: 20})
	require.NoError(t, err)
	require.Equal(t, 20, free.Forward.MM)
}
