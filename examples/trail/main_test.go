package main

import (
	"bytes"
	"math"
	"os"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestOutput(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, run(&b))
	if os.Getenv("UPDATE_GOLDEN") != "" {
		require.NoError(t, os.WriteFile("output.txt", b.Bytes(), 0o666))
	}
	want, err := os.ReadFile("output.txt")
	require.NoError(t, err)
	if d := cmp.Diff(string(want), b.String()); d != "" {
		t.Fatal(d)
	}
}

// What is printed is sound, and the far end of the stroke is as far from the
// saddle as it was: the distance and the crank add up.
func TestBuildsAreSound(t *testing.T) {
	target := position()
	options := fitgeom.Options{Keep: keep, Stance: stance(), Limit: 3}
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
