package rank_test

import (
	"math"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/rank"
	"example.com/fitgeom/fitgeom/rules"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/invented"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// ruledShelf has bars, levers and pads that state what rules of a race look at, but for one bar.
func ruledShelf() fitgeom.Shelf {
	s := chooseShelf()
	everything := invented.Everything()
	for i := range s.Handlebars {
		h := &s.Handlebars[i]
		h.AeroDiameter = 31.8
		if i > 0 {
			h.Drop.Tube = 24
		}
	}
	narrow := s.Handlebars[1]
	narrow.Name, narrow.Drop.Width = "bar 370", 370
	s.Handlebars = append(s.Handlebars, narrow)
	for i := range s.Levers {
		s.Levers[i].Breadth = 36
	}
	s.AeroBars, s.Pedals = []part.AeroBar{everything.Aero}, []part.Pedal{everything.Pedal}
	return s
}

func atMost(f rules.Figure, v float64) rules.Rule {
	return rules.Rule{Bound: rules.Bound{Figure: f, Min: math.Inf(-1), Max: v}}
}

func atLeast(f rules.Figure, v float64) rules.Rule {
	return rules.Rule{Bound: rules.Bound{Figure: f, Min: v, Max: math.Inf(1)}}
}

// The ranking under rules is that of Problem.Solve on every frame: with rules of the front end, of
// the seat, of the frame, and such as look at several of these.
func TestRankEqualsSolveRules(t *testing.T) {
	on := rules.Date{Year: 2026, Month: 6, Day: 7}
	road, ok := rules.InForce(rules.Road, on)
	require.True(t, ok)
	trialed, ok := rules.InForce(rules.TimeTrial, on)
	require.True(t, ok)
	together := atMost(rules.StemAboveSteerer, 0)
	together.Bound, together.Unless = atLeast(rules.NoseSetback, 61.3).Bound, atMost(rules.FrontCentre, 581.3).Bound
	joint := atMost(rules.GripsAboveSaddle, 67.37)
	joint.Unless = atLeast(rules.NoseSetback, 66.31).Bound
	sets := []rules.Set{
		road, trialed,
		{Rules: []rules.Rule{atMost(rules.HandlebarWidth, 430), atLeast(rules.HoodsInside, 350)}},
		{Rules: []rules.Rule{atLeast(rules.NoseSetback, 64.7), atMost(rules.SaddleLength, 250)}},
		{Rules: []rules.Rule{atMost(rules.FrontCentre, 580.3), atMost(rules.FlareSide, 5)}},
		{Rules: []rules.Rule{atLeast(rules.ToeLevel, 120.7)}},
		{Rules: []rules.Rule{together}},
		{Rules: []rules.Rule{joint, atMost(rules.HandlebarWidth, 450)}},
		{Rules: []rules.Rule{atLeast(rules.HandlebarWidth, 1000)}},
	}
	frames, rounds := 40, len(sets)
	if trial.Long() {
		frames, rounds = 600, 10*len(sets)
	}
	sizes := inventedSizes(frames, 0.5, 5)
	x, err := rank.NewIndex(t.Context(), sizes)
	require.NoError(t, err)
	holding, broken, unknown := 0, 0, 0
	for i := range rounds {
		p := solve.Problem{Target: usual(uint64(i)), Shelf: ruledShelf(), Limit: 12, Rules: sets[i%len(sets)], Rider: rules.Rider{Height: 1790}}
		if i%len(sets) == 1 {
			b := invented.Everything()
			b.Settings.Extension = 262
			p.Target = invented.Position(b)
			for _, s := range []contact.Site{contact.FootLeft, contact.FootRight, contact.HoodsLeft, contact.HoodsRight} {
				p.Target.Forget(s)
			}
		}
		if i%2 == 1 {
			p.Bike = invented.Build()
		}
		want := exhaustive(t, sizes, p)
		got, err := x.Rank(t.Context(), p)
		require.NoError(t, err)
		sameRanking(t, want, got, p.Limit, false)
		for _, c := range got.Choices {
			if c.Holds() {
				holding++
			}
			for _, r := range c.Best.Rules {
				if r.Broken {
					broken++
					assert.False(t, c.Holds())
				} else {
					unknown++
				}
			}
		}
	}
	t.Log(holding, "hold,", broken, "broken,", unknown, "not known")
	assert.Positive(t, holding)
	assert.Positive(t, broken)
	assert.Positive(t, unknown)
}
