package main

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"example.com/fitgeom/examples/internal/golden"
	"example.com/fitgeom/fitgeom"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestFilesAreAsInvented(t *testing.T) {
	const note = "Invented data: no such bike, rider or part exists."
	golden.Document(t, "position.json", &positionJSON, position(), note)
	golden.Document(t, "frame.json", &frameJSON, frame(), note)
	golden.Document(t, "shelf.json", &shelfJSON, shelf(), note)
}

func TestPage(t *testing.T) {
	p, err := build("", "", "")
	require.NoError(t, err)
	golden.Page(t, p)
}

func TestBuildsAreSound(t *testing.T) {
	target := position()
	r, err := fitgeom.Reproduce(target, frame(), shelf(), options(shelf()))
	require.NoError(t, err)
	require.True(t, r.Holds())
	for _, c := range r.Candidates {
		require.NoError(t, fitgeom.Verify(target, frame(), shelf(), options(shelf()), c))
	}
}

func TestBadInput(t *testing.T) {
	file := filepath.Join(t.TempDir(), "cut.json")
	require.NoError(t, os.WriteFile(file, frameJSON[:100], 0o666))
	for _, flag := range []string{"-position", "-frame", "-shelf"} {
		var b bytes.Buffer
		assert.ErrorContains(t, run([]string{flag, file}, &b), file)
		assert.Zero(t, b.Len(), "nothing is written")
	}
}
