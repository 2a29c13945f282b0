package survey_test

import (
	"encoding/json"
	"os"
	"strings"
	"testing"

	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/require"
)

// What `.ci/prove slips` runs of tape surveys: FITGEOM_MISREAD names the files that
// misread.py wrote. Without it, some cases of its oracle.
func TestMisread(t *testing.T) {
	names := strings.Fields(os.Getenv("FITGEOM_MISREAD"))
	if len(names) == 0 {
		names = []string{"../../testdata/oracle/misread_tape.jsonl"}
	}
	for _, name := range names {
		trial.Misreadings(t, name, func(text json.RawMessage) trial.Misread {
			var s survey.TapeSurvey
			require.NoError(t, json.Unmarshal(text, &s))
			fix, err := s.Solve()
			m := trial.Misread{Suspects: fix.Suspects, Err: err}
			if s.Validate() == nil {
				m.Chi2 = s.Chi2()
			}
			return m
		})
	}
}
