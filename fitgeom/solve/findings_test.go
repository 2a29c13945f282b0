package solve_test

import (
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/rank"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/invented"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What is implausible about target and frame goes with every answer, and stops none.
func TestFindingsGoWithTheAnswer(t *testing.T) {
	p := solve.Problem{Target: invented.Position(invented.Build()), Frame: invented.Road54(), Shelf: invented.Shelf()}
	r, err := p.Solve(t.Context())
	require.NoError(t, err)
	assert.Empty(t, r.Findings)

	a, _ := p.Target.Attitude(contact.SaddleReference)
	a.Tilt = 18
	p.Target.SetAttitude(contact.SaddleReference, a)
	p.Frame.Geometry.Axles.Drop *= -1
	r, err = p.Solve(t.Context())
	require.NoError(t, err)
	var paths []string
	for _, f := range r.Findings {
		paths = append(paths, f.Path)
	}
	assert.Equal(t, []string{"target.sites.saddle_reference.attitude.tilt_deg", "frame.geometry.axles.bb_drop_mm"}, paths)

	x, err := rank.NewIndex(t.Context(), []fitgeom.Size{{Family: "road", Label: "54", Frame: p.Frame}})
	require.NoError(t, err)
	p.Frame = fitgeom.Frame{}
	ranked, err := x.Rank(t.Context(), p)
	require.NoError(t, err)
	require.Len(t, ranked.Findings, 1)
	assert.Equal(t, paths[0], ranked.Findings[0].Path)
	assert.Len(t, ranked.Choices[0].Size.Frame.Geometry.Findings(), 1)
}
