package intervals

import (
	"encoding/json"
	"os"
	"strings"
	"testing"

	"example.com/fitgeom/convert"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/require"
)

// What `.ci/prove slips` runs of sheets and charts: FITGEOM_MISREAD names the files that
// misread.py wrote. Without it, some cases of its oracle.
func TestMisread(t *testing.T) {
	names := strings.Fields(os.Getenv("FITGEOM_MISREAD"))
	if len(names) == 0 {
		names = []string{"../../testdata/oracle/misread_sheet.jsonl", "../../testdata/oracle/misread_chart.jsonl"}
	}
	for _, name := range names {
		trial.Misreadings(t, name, func(text json.RawMessage) trial.Misread {
			if strings.Contains(string(text), `"dimension"`) {
				var c chart.Chart
				require.NoError(t, json.Unmarshal(text, &c))
				done, err := c.Solve()
				return trial.Misread{Suspects: done.Suspects, Chi2: done.Chi2, Err: err}
			}
			var s convert.Sheet
			require.NoError(t, json.Unmarshal(text, &s))
			sol, err := s.Solve()
			return trial.Misread{Suspects: sol.Suspects, Chi2: sol.Chi2, Err: err}
		})
	}
}
