package chart_test

import (
	"testing"

	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Charts of sixty mixes of dimensions, drawn by a general constraint solver
// (testdata/oracle/charts.mjs).
func TestOracleCharts(t *testing.T) {
	cases := trial.Cases[struct {
		Height  float64 `json:"seat_angle_height"`
		Entries map[chart.Dimension]float64
		Found   map[chart.Dimension]float64
	}](t, "../../testdata/oracle/charts.json")
	require.Len(t, cases, 60)
	var length, angle trial.Worst
	for i, k := range cases {
		c := chart.Chart{Rounding: chart.Rounding{LengthStep: 1, AngleStep: 0.1}, SeatAngleHeight: k.Height}
		for _, d := range chart.Dimensions() {
			if v, ok := k.Entries[d]; ok {
				c.Entries = append(c.Entries, chart.Entry{Dimension: d, Value: v})
			}
		}
		done, err := c.Solve()
		require.NoError(t, err, "case %d", i)
		assert.Len(t, k.Found, 23)
		for d, want := range k.Found {
			got, _, ok := done.Get(d)
			if !assert.True(t, ok, "case %d: %v", i, d) {
				continue
			}
			var here trial.Worst
			here.See(got, want)
			assert.Less(t, float64(here), tolMM, "case %d: %v", i, d)
			if d.Unit() == "mm" {
				length = max(length, here)
			} else {
				angle = max(angle, here)
			}
		}
	}
	t.Logf("oracle charts: %d cases, worst %.1e mm", len(cases), length)
	t.Logf("oracle charts angles: %d cases, worst %.1e degrees", len(cases), angle)
}
