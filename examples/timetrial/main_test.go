package main

import (
	"bytes"
	"os"
	"testing"

	"example.com/fitgeom/fitgeom"
	"github.com/google/go-cmp/cmp"
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

func TestBuildsAreSound(t *testing.T) {
	target := position()
	r, err := fitgeom.Reproduce(target, frame(), shelf(), options())
	require.NoError(t, err)
	require.True(t, r.Holds())
	for _, c := range r.Candidates {
		require.NoError(t, fitgeom.Verify(target, frame(), shelf(), options(), c))
	}
}
