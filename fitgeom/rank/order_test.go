package rank_test

import (
	"math"
	"testing"

	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// No first build has 10 mm more spacers than another, or its bar at the stop where another's is
// not, only because it is closer by less than a tenth of the tolerances.
func TestNothingForNothing(t *testing.T) {
	riders := uint64(150)
	if trial.Long() {
		riders = 1500
	}
	sizes := inventedSizes(40, 0.1, 5)
	p := solve.Problem{Shelf: chooseShelf(), Limit: 200}
	held := 0
	for seed := range riders {
		p.Target, p.Frame = riderAt(seed), sizes[int(seed)%len(sizes)].Frame
		r, err := p.Solve(t.Context())
		require.NoError(t, err)
		if !r.Holds() {
			continue
		}
		held++
		first := r.Candidates[0]
		atStop := func(c fitgeom.Candidate) bool {
			most := c.Build.Handlebar.RotationRange
			return most > 0 && math.Abs(math.Abs(c.Build.Settings.BarRotation)-most) < 1e-6
		}
		for _, c := range r.Candidates[1:] {
			if why, by := p.Decide(first, c); c.Holds() && why == fitgeom.ByCloseness && by < 0.1 {
				assert.Less(t, first.Build.Settings.Spacers-c.Build.Settings.Spacers, 10.0, seed)
				assert.False(t, atStop(first) && !atStop(c), seed)
			}
		}
	}
	assert.Greater(t, held, int(riders/20))
}
