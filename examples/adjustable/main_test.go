package main

import (
	"bytes"
	"strings"
	"testing"

	"example.com/fitgeom/examples/internal/golden"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestPage(t *testing.T) { golden.Page(t, example()) }

// Every file that is bad is refused, with its name and line.
func TestBadFiles(t *testing.T) {
	golden.BadFiles(t, example)
	_ = golden.Refused(t, example(), `line 3: way "sideways": want up, down, forward or back`, "-scales", golden.Edited(t, scalesCSV, "slide,saddle,back", "slide,saddle,sideways"))
}

// Where a scale has its zero changes no number that follows from it.
func TestZero(t *testing.T) {
	page := func(args ...string) string {
		var b bytes.Buffer
		require.NoError(t, example().Run(args, &b))
		_, after, ok := strings.Cut(b.String(), "## 2.")
		require.True(t, ok)
		after, _, _ = strings.Cut(after, "## What this page was made from")
		return after
	}
	assert.Equal(t, page(), page("-scales", golden.Edited(t, scalesCSV, "412,418", "12,18")))
}
