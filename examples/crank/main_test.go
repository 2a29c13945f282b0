package main

import (
	"bytes"
	"path/filepath"
	"strings"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/examples/internal/golden"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestPage(t *testing.T) {
	p, err := build(165)
	require.NoError(t, err)
	golden.Page(t, p)
}

// What the program says must be so by plain geometry: with the saddle kept, the
// far end comes nearer by about the difference of the cranks, so that the knee
// is flexed more there and less at the top; with the saddle moved, the far end
// is as it was.
func TestVariants(t *testing.T) {
	body, before := invented()
	v, up, err := compare(body, before, 165)
	require.NoError(t, err)
	assert.InDelta(t, 10, up, 0.5)
	var spans [3]rider.Span
	for i := range v {
		c, err := rider.NewChain(body, v[i].position)
		require.NoError(t, err)
		spans[i], _ = c.Span(rider.KneeFlexion, contact.Left)
		assert.Zero(t, spans[i].Gap)
	}
	assert.Greater(t, spans[1].Least, spans[0].Least+2)
	assert.Less(t, spans[1].Most, spans[0].Most)
	assert.InDelta(t, spans[0].Least, spans[2].Least, 1e-9)
	assert.Less(t, spans[2].Most, spans[1].Most)
}

// The crank that is there already changes nothing.
func TestSameCrank(t *testing.T) {
	body, before := invented()
	_, up, err := compare(body, before, oldCrank)
	require.NoError(t, err)
	assert.InDelta(t, 0, up, 1e-9)
}

func TestBadInput(t *testing.T) {
	for name, c := range map[string]struct {
		args []string
		want string
	}{
		"cm":        {[]string{"-crank", "16.5"}, "centimetres"},
		"long":      {[]string{"-crank", "300"}, "foot_left"},
		"no number": {[]string{"-crank", "long"}, "invalid value"},
		"no folder": {[]string{"-o", filepath.Join("main.go", "nowhere")}, "main.go"},
	} {
		t.Run(name, func(t *testing.T) {
			var b bytes.Buffer
			err := run(c.args, &b)
			require.Error(t, err)
			assert.True(t, strings.Contains(err.Error(), c.want), err)
			assert.Zero(t, b.Len())
		})
	}
}
