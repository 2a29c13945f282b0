package main

import (
	"bytes"
	"math"
	"os"
	"path/filepath"
	"testing"

	"example.com/fitgeom/contact"
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

// What is printed is sound, and the far end of the stroke is as far from the
// saddle as it was: the distance and the crank add up.
func TestBuildsAreSound(t *testing.T) {
	target := position()
	options := fitgeom.Options{Keep: keep, Wheels: stance(), Limit: 3}
	r, err := fitgeom.Reproduce(target, frame(), shelf(), options)
	require.NoError(t, err)
	require.True(t, r.Holds())
	for _, c := range r.Candidates {
		require.NoError(t, fitgeom.Verify(target, frame(), shelf(), options, c))
		was, _ := target.At(contact.SaddleReference)
		is, _ := c.Wanted.At(contact.SaddleReference)
		l, _ := c.Position.At(contact.FootLeft)
		right, _ := c.Position.At(contact.FootRight)
		height := (l.Z + right.Z) / 2
		assert.InDelta(t, math.Hypot(was.X, was.Z-19.5)+175, math.Hypot(is.X, is.Z-height)+165, 1e-9, "19.5 mm is the mean height of the feet")
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
