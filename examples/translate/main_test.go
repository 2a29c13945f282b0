package main

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/examples/internal/golden"
	"example.com/fitgeom/fitgeom/exchange"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestPage(t *testing.T) {
	p, err := build("", "")
	require.NoError(t, err)
	golden.Page(t, p)
}

// The misprint is the fork's offset, which was 45 and reads 54.
func TestFindsTheMisprint(t *testing.T) {
	chart, _, err := exchange.Read[chart.Chart](bytes.NewReader(chartJSON))
	require.NoError(t, err)
	done, err := chart.Solve()
	require.NoError(t, err)
	require.False(t, done.Consistent)
	wrong := done.Suspects[0]
	assert.Equal(t, chart.ForkOffset, chart.Entries[wrong].Dimension)
	assert.InDelta(t, 9, done.Checks[wrong].Against, 1.5)

	chart.Entries[wrong].Value = 45
	done, err = chart.Solve()
	require.NoError(t, err)
	assert.True(t, done.Consistent)
	assert.Empty(t, done.Free)
}

func TestBadInput(t *testing.T) {
	edited := func(data []byte, old, new string) string {
		require.Contains(t, string(data), old)
		file := filepath.Join(t.TempDir(), "edited.json")
		require.NoError(t, os.WriteFile(file, bytes.ReplaceAll(data, []byte(old), []byte(new)), 0o666))
		return file
	}
	for name, c := range map[string]struct{ flag, file, want string }{
		"unknown measure":   {"-sheet", edited(sheetJSON, "saddle_tilt", "saddle_slope"), "line 13: /readings/4/measure"},
		"unknown dimension": {"-chart", edited(chartJSON, "fork_offset", "rake"), "line 18: /stated/8/dimension"},
		"no uncertainty":    {"-sheet", edited(sheetJSON, `"value_mm": 738, "sigma_mm": 1`, `"value_mm": 738`), "sheet[0].saddle_height.sigma"},
		"head angle":        {"-chart", edited(chartJSON, "72.8", "7.28"), "line 13: /stated/3/value_deg"},
		"malformed":         {"-chart", edited(chartJSON, `"entries": [`, `"entries": {`), "line"},
		"no height":         {"-sheet", edited(sheetJSON, `"bottom_bracket_height_mm": 268,`, ""), "sheet[1].saddle_height_ground"},
	} {
		t.Run(name, func(t *testing.T) {
			var b bytes.Buffer
			assert.ErrorContains(t, run([]string{c.flag, c.file}, &b), c.file+": "+c.want)
			assert.Zero(t, b.Len(), "nothing is written")
		})
	}
}
