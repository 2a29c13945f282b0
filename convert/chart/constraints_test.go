package chart_test

import (
	"encoding/json"
	"os"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/convert/chart"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// testdata/constraints.json was drawn by a general geometric constraint solver;
// the program that did it lies beside it.
func TestAgainstConstraintSolver(t *testing.T) {
	var doc struct {
		Charts []struct{ Stated, Found map[chart.Dimension]float64 }
		Sheets []struct {
			Stated map[convert.Measure]float64
			Found  map[string][2]float64
		}
	}
	data, err := os.ReadFile("../testdata/constraints.json")
	require.NoError(t, err)
	require.NoError(t, json.Unmarshal(data, &doc))
	require.Len(t, doc.Charts, 50)
	require.Len(t, doc.Sheets, 50)

	for i, k := range doc.Charts {
		c := chart.Chart{LengthStep: 1, AngleStep: 0.1, EqualWheels: true, SeatTubeCentred: true}
		for _, d := range chart.Dimensions() {
			if v, ok := k.Stated[d]; ok {
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

	sites := map[string]contact.Site{"saddle_reference": contact.SaddleReference, "saddle_nose": contact.SaddleNose, "bar_clamp": contact.BarClamp, "grip": contact.GripLeft}
	for i, k := range doc.Sheets {
		var s convert.Sheet
		for _, m := range convert.Measures() {
			if v, ok := k.Stated[m]; ok {
				s = append(s, convert.Entry{Measure: m, Value: v, Sigma: 1})
			}
		}
		s = append(s, convert.Entry{Measure: convert.GripsWidth, Value: 700, Sigma: 1})
		sol, err := s.Solve(convert.Basis{}, convert.Options{Mirrored: true})
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
