package chart_test

import (
	"encoding/json"
	"os"
	"testing"

	"example.com/fitgeom/convert/chart"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// testdata/constraints.json was drawn by a general geometric constraint solver;
// the program that did it lies beside it.
func TestAgainstConstraintSolver(t *testing.T) {
	var doc struct {
		Charts []struct{ Entries, Found map[chart.Dimension]float64 }
	}
	data, err := os.ReadFile("../../testdata/constraints.json")
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(data, &doc))
	require.Len(t, doc.Charts, 50)

	for i, k := range doc.Charts {
		c := chart.Chart{Rounding: chart.Rounding{LengthStep: 1, AngleStep: 0.1}, EqualWheels: true, SeatTubeCentred: true}
		for _, d := range chart.Dimensions() {
			if v, ok := k.Entries[d]; ok {
				c.Entries = append(c.Entries, chart.Entry{Dimension: d, Value: v})
			}
		}
		done, err := c.Solve()
		require.NoError(t, err)
		for d, want := range k.Found {
			got, _, ok := done.Get(d)
			require.True(t, ok, "chart %d: %v", i, d)
			assert.InDelta(t, want, got, tolMM, "chart %d: %v", i, d)
		}
	}
}
