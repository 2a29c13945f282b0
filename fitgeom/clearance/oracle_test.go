package clearance_test

import (
	"maps"
	"os"
	"slices"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom/clearance"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// An oracleCase is a bike with all that the oracle knows of it, or with one quantity near
// a limit.
type oracleCase struct {
	Bike  clearance.Bike                    `json:"bike"`
	Want  map[clearance.Quantity][]*float64 `json:"want"`
	Limit *struct {
		Quantity clearance.Quantity
		Side     contact.Side
		At       float64
		Value    float64
	} `json:"limit"`
}

// Sampled surfaces of random bikes (testdata/oracle/clearance.py), every tenth of them; all
// with FITGEOM_CLEARANCE, the name of a file that `.ci/prove clearance` has it write.
func TestOracleClearance(t *testing.T) {
	name := "../../testdata/oracle/clearance.json"
	if all := os.Getenv("FITGEOM_CLEARANCE"); all != "" {
		name = all
	}
	cases := trial.Cases[oracleCase](t, name)
	worst := map[clearance.Quantity]*trial.Worst{}
	bikes, near, wrong := 0, 0, 0
	for i, c := range cases {
		if c.Limit != nil {
			l := c.Limit
			near++
			got, ok, err := l.Quantity.Of(c.Bike, l.Side)
			require.NoError(t, err, "case %d", i)
			require.True(t, ok, "case %d", i)
			if (got.Value >= l.At) != (l.Value >= l.At) {
				wrong++
			}
			assert.InDelta(t, l.Value, got.Value, 0.05, "case %d: %v", i, l.Quantity)
			continue
		}
		bikes++
		for q, want := range c.Want {
			if worst[q] == nil {
				worst[q] = new(trial.Worst)
			}
			for j, w := range want {
				side := contact.Side(j + 1)
				if len(want) == 1 {
					side = contact.Centre
				}
				got, ok, err := q.Of(c.Bike, side)
				require.NoError(t, err, "case %d", i)
				if !assert.Equal(t, w != nil, ok, "case %d: %v %v", i, q, side) || w == nil {
					continue
				}
				worst[q].See(got.Value, *w)
				assert.InDelta(t, *w, got.Value, 0.05, "case %d: %v %v", i, q, side)
			}
		}
	}
	assert.Zero(t, wrong, "judged wrongly")
	for _, q := range slices.Sorted(maps.Keys(worst)) {
		t.Logf("oracle clearance %v: %d cases, worst %.1e %s", q, bikes, *worst[q], q.Unit())
	}
	t.Logf("oracle clearance limits: %d cases, %d of them within 0.3 of a limit, %d judged wrongly", len(cases), near, wrong)
}
