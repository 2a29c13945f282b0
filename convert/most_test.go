package convert_test

import (
	"slices"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A sheet has at most 200 entries.
func TestMostEntries(t *testing.T) {
	s := convert.Sheet{Entries: slices.Repeat([]convert.Entry{{Measure: convert.SaddleSetback, Value: 203, Sigma: 1}}, 200)}
	_, err := s.Solve()
	require.NoError(t, err)
	s.Entries = append(s.Entries, s.Entries[0])
	_, err = s.Solve()
	assert.True(t, trial.FaultAt(err, "entries", contact.ErrRange), err)
}
