package main

import (
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/examples/internal/golden"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestPage(t *testing.T) { golden.Page(t, example()) }

// The misprint is the fork's offset, which was 45 and reads 54.
func TestFindsTheMisprint(t *testing.T) {
	c := golden.Read[chart.Chart](t, chartJSON)
	done, err := c.Solve()
	require.NoError(t, err)
	require.False(t, done.Consistent)
	require.Len(t, done.Suspects, 1)
	wrong := done.Suspects[0].Reading
	assert.Equal(t, chart.ForkOffset, c.Entries[wrong].Dimension)
	assert.InDelta(t, 9, done.Suspects[0].Against, 1.5)
	assert.Contains(t, done.Suspects[0].Slips, contact.Slip{Kind: contact.DigitsExchanged, Value: 45})

	c.Entries[wrong].Value = 45
	done, err = c.Solve()
	require.NoError(t, err)
	assert.True(t, done.Consistent)
	assert.Empty(t, done.Free)
}

func TestBadInput(t *testing.T) {
	for name, c := range map[string]struct{ flag, file, want string }{
		"unknown measure":   {"-sheet", golden.Edited(t, sheetJSON, "saddle_tilt", "saddle_slope"), "line 13: /entries/4/measure"},
		"unknown dimension": {"-chart", golden.Edited(t, chartJSON, "fork_offset", "rake"), "line 18: /entries/8/dimension"},
		"no uncertainty":    {"-sheet", golden.Edited(t, sheetJSON, `"value_mm": 738, "sigma_mm": 1`, `"value_mm": 738`), "entries[0].sigma_mm missing"},
		"head angle":        {"-chart", golden.Edited(t, chartJSON, "72.8", "7.28"), "line 13: /entries/3/value_deg"},
		"malformed":         {"-chart", golden.Edited(t, chartJSON, `"entries": [`, `"entries": {`), "line"},
		"no height":         {"-sheet", golden.Edited(t, sheetJSON, `"bottom_bracket_height_mm": 268,`, ""), "bottom_bracket_height_mm missing: want it for saddle_height_ground"},
	} {
		t.Run(name, func(t *testing.T) { _ = golden.Refused(t, example(), c.file+": "+c.want, c.flag, c.file) })
	}
}

func TestBadFiles(t *testing.T) { golden.BadFiles(t, example) }
