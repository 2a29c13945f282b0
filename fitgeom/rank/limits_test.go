package rank_test

import (
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/fitgeom/rank"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/invented"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// near is limits of an invented rider, off by so many degrees from what a position asks.
func near(t *testing.T, p contact.Position, by float64, all ...rider.Variable) rider.Limits {
	body, _ := invented.Rider()
	c, err := rider.NewChain(body, p)
	require.NoError(t, err)
	l := rider.Limits{Body: body}
	for _, v := range all {
		s, err := c.Span(v, contact.Left)
		require.NoError(t, err)
		one := rider.Limit{Variable: v, Bound: rider.AtLeast, Angle: s.Least - by}
		if v == rider.HipFlexion || v == rider.ShoulderFlexion {
			one.Bound, one.Angle = rider.AtMost, s.Most+by
		}
		l.Joints = append(l.Joints, one)
	}
	return l
}

// The ranking within limits is that of Problem.Solve on every frame: limits of the legs, which look
// at the seat alone, and of hip and trunk, which look at both ends.
func TestRankEqualsSolveLimits(t *testing.T) {
	sets := [][]rider.Variable{
		{rider.KneeFlexion}, {rider.HipFlexion}, {rider.KneeFlexion, rider.AnkleDorsiflexion, rider.TrunkLean},
	}
	frames, rounds := 20, 2*len(sets)
	if trial.Long() {
		frames, rounds = 300, 8*len(sets)
	}
	sizes := inventedSizes(frames, 0.5, 5)
	x, err := rank.NewIndex(t.Context(), sizes)
	require.NoError(t, err)
	holding, broken := 0, 0
	for i := range rounds {
		p := solve.Problem{Target: usual(uint64(i)), Shelf: ruledShelf(), Limit: 12}
		for side, at := range map[contact.Site]r3.Vec{contact.FootLeft: {X: 172.5, Y: 125, Z: 18}, contact.FootRight: {X: 172.5, Y: -125, Z: 18}} {
			p.Target.Set(side, at)
		}
		p.Limits = near(t, p.Target, []float64{-0.05, -0.02, 0.4}[i%3], sets[i%len(sets)]...)
		want := exhaustive(t, sizes, p)
		got, err := x.Rank(t.Context(), p)
		require.NoError(t, err)
		sameRanking(t, want, got, p.Limit, false)
		for _, c := range got.Choices {
			if c.Holds() {
				at, err := c.Best.Build.Position()
				require.NoError(t, err)
				assert.False(t, p.Limits.Breaks(at))
				holding++
			}
			for _, r := range c.Best.Rules {
				if r.Broken {
					broken++
					assert.False(t, c.Holds())
				}
			}
		}
	}
	t.Log(holding, "hold,", broken, "broken")
	assert.Positive(t, holding)
	assert.Positive(t, broken)
}
