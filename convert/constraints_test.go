package convert_test

import (
	"encoding/json"
	"os"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// testdata/constraints.json was drawn by a general geometric constraint solver;
// the program that did it lies beside it.
func TestAgainstConstraintSolver(t *testing.T) {
	var doc struct {
		Sheets []struct {
			Entries map[convert.Measure]float64
			Found   map[string][2]float64
		}
	}
	data, err := os.ReadFile("../testdata/constraints.json")
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(data, &doc))
	require.Len(t, doc.Sheets, 50)

	sites := map[string]contact.Site{"saddle_reference": contact.SaddleReference, "saddle_nose": contact.SaddleNose, "bar_clamp": contact.BarClamp, "grip": contact.GripLeft}
	for i, k := range doc.Sheets {
		var s []convert.Entry
		for _, m := range convert.Measures() {
			if v, ok := k.Entries[m]; ok {
				s = append(s, convert.Entry{Measure: m, Value: v, Sigma: 1})
			}
		}
		s = append(s, convert.Entry{Measure: convert.GripsWidth, Value: 700, Sigma: 1})
		sol, err := solve(s, convert.Basis{}, true)
		require.NoError(t, err)
		require.Empty(t, sol.Free)
		for name, want := range k.Found {
			got, ok := sol.Position.At(sites[name])
			require.True(t, ok)
			assert.InDelta(t, want[0], got.X, tolMM, "sheet %d: %s", i, name)
			assert.InDelta(t, want[1], got.Z, tolMM, "sheet %d: %s", i, name)
		}
	}
}
