package main

import (
	"testing"

	"example.com/fitgeom/examples/internal/golden"
	"github.com/stretchr/testify/require"
)

func TestFilesAreAsInvented(t *testing.T) {
	const note = "Invented data: no such bike, rider or part exists."
	golden.Document(t, "position.json", &positionJSON, position(), note)
	golden.Document(t, "frame.json", &frameJSON, frame(), note)
	golden.Document(t, "shelf.json", &shelfJSON, shelf(), note)
	golden.Document(t, "request.json", &requestJSON, asked(), "Invented: no such rider asked for this.")
}

func TestPage(t *testing.T) { golden.Page(t, example()) }

func TestBuildsAreSound(t *testing.T) {
	ask := asked()
	ask.Target.Position, ask.Frame, ask.Shelf = position(), frame(), shelf()
	q, err := ask.Problem()
	require.NoError(t, err)
	r, err := q.Solve(t.Context())
	require.NoError(t, err)
	require.True(t, r.Holds())
	for _, c := range r.Candidates {
		require.NoError(t, q.Verify(c))
		golden.FollowSheet(t, c)
	}
}

func TestBadFiles(t *testing.T) { golden.BadFiles(t, example) }
