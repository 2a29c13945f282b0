package record_test

import (
	"math/rand/v2"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom/record"
	"example.com/fitgeom/internal/invented"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func init() { trial.Rapid(40, 2000, 1) }

// Of records of any positions: nothing changes from one to itself, what changes back is what
// changed, and what is anonymous changes by as much.
func TestCompareProperties(t *testing.T) {
	truth := invented.Position(invented.Everything())
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		draw := func() record.Record {
			sigma := rapid.Float64Range(0.1, 3).Draw(t, "sigma")
			r := drawn(rng, truth, sigma)
			for r.Fix.Position.Validate() != nil { // a foot lies within 10 mm of its pedal
				r = drawn(rng, truth, sigma)
			}
			for _, s := range rapid.SliceOfN(rapid.SampledFrom(contact.Sites()), 0, 5).Draw(t, "gone") {
				if s != contact.SaddleReference {
					r.Fix.Position.Forget(s)
				}
			}
			r.Personal.Notes = []string{"seen"}
			return r
		}
		a, b := draw(), draw()
		same, err := record.Compare(a, a, 0.95)
		require.NoError(t, err)
		for _, m := range same.Moves {
			assert.Equal(t, 1.0, m.Chance)
		}
		there, err := record.Compare(a, b, 0.95)
		require.NoError(t, err)
		back, err := record.Compare(b, a, 0.95)
		require.NoError(t, err)
		require.Len(t, back.Moves, len(there.Moves))
		for i, m := range there.Moves {
			assert.InDelta(t, m.Chance, back.Moves[i].Chance, 1e-9)
			assert.Equal(t, m.By.X, -back.Moves[i].By.X)
		}
		left, err := record.Compare(a.Anonymous(), b.Anonymous(), 0.95)
		require.NoError(t, err)
		assert.Equal(t, there.Moves, left.Moves)
	})
}
