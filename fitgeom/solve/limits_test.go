package solve_test

import (
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/rules"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/invented"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// A rider on an invented bike with pedals, and what the left knee does there.
func onPedals(t *testing.T) (solve.Problem, rider.Body, float64) {
	everything := invented.Everything()
	shelf := invented.Shelf()
	shelf.Pedals = []part.Pedal{everything.Pedal}
	b := invented.Build()
	p := solve.Problem{Target: invented.Position(b), Frame: b.Frame, Shelf: shelf, Limit: 2}
	for site, at := range map[contact.Site]r3.Vec{
		contact.FootLeft: {X: b.Crank.Length, Y: 125, Z: everything.Pedal.FootHeight}, contact.FootRight: {X: b.Crank.Length, Y: -125, Z: everything.Pedal.FootHeight},
	} {
		p.Target.Set(site, at)
	}
	body, _ := invented.Rider()
	c, err := rider.NewChain(body, p.Target)
	require.NoError(t, err)
	s, err := c.Span(rider.KneeFlexion, contact.Left)
	require.NoError(t, err)
	return p, body, s.Least
}

func TestSolveWithinLimits(t *testing.T) {
	p, body, least := onPedals(t)
	knee := rider.Limit{Variable: rider.KneeFlexion, Bound: rider.AtLeast, Angle: least - 1}
	p.Limits = rider.Limits{Body: body, Joints: []rider.Limit{knee}}
	r, err := p.Solve(t.Context())
	require.NoError(t, err)
	require.True(t, r.Holds())
	assert.Empty(t, r.Candidates[0].Rules)
	assert.Empty(t, p.Findings())

	// What no build within tolerance keeps is in the way, and named.
	p.Limits.Joints = append(p.Limits.Joints, rider.Limit{Variable: rider.KneeFlexion, Side: contact.Right, Bound: rider.AtLeast, Angle: least + 5, Source: "seen while riding"})
	p.Rules.Rules = []rules.Rule{{Bound: rules.Bound{Figure: rules.NoseSetback, Min: -1000, Max: 1000}}}
	r, err = p.Solve(t.Context())
	require.NoError(t, err)
	require.False(t, r.Holds())
	c := r.Candidates[0]
	require.Len(t, c.Rules, 1)
	assert.Equal(t, 2, c.Rules[0].Place, "after the rule and the first limit")
	assert.True(t, c.Rules[0].Broken)
	require.NoError(t, p.Verify(c))
	why, err := p.Explain(t.Context(), c)
	require.NoError(t, err)
	require.Len(t, why, 1)
	require.Len(t, why[0].Rules, 1)
	assert.Equal(t, []int{2}, why[0].Rules[0].Places)
	assert.Contains(t, why[0].String(), "without this rule the position is held: limit of the rider: right knee_flexion at least")
	found := p.Findings()
	require.Len(t, found, 1, "the target itself is beyond it")
	assert.Equal(t, "limits.joints[1]", found[0].Path)
	assert.NotEmpty(t, found[0].String())
}

// Without pedals nobody knows where the feet are.
func TestSolveLimitsNotKnown(t *testing.T) {
	p, body, least := onPedals(t)
	p.Shelf.Pedals = nil
	p.Limits = rider.Limits{Body: body, Joints: []rider.Limit{{Variable: rider.KneeFlexion, Bound: rider.AtLeast, Angle: least + 5}}}
	r, err := p.Solve(t.Context())
	require.NoError(t, err)
	require.True(t, r.Holds())
	require.Len(t, r.Candidates[0].Rules, 1)
	assert.False(t, r.Candidates[0].Rules[0].Broken)
	cautions, err := r.Candidates[0].Cautions()
	require.NoError(t, err)
	assert.Contains(t, cautions, fitgeom.CautionRuleNotKnown)

	p.Limits.Joints[0].Bound = 9
	_, err = p.Solve(t.Context())
	require.ErrorIs(t, err, contact.ErrUnknown)
	assert.Equal(t, "limits.joints[0].bound", contact.Faults(err)[0].Path)
}
