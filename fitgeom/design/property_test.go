package design_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom/design"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func init() { trial.Rapid(10, 300, 1) }

// Wishes that a frame was read for are held, wherever it stands within them; the design lies
// in its ranges, ranges lie in what is wished, and one more wish never widens them.
func TestPropertyRanges(t *testing.T) {
	rapid.Check(t, func(check *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(check, "seed"), 9))
		b := drawn(rng)
		p := problem(t, b)
		for _, w := range readOff(rng, b) {
			a, c := rng.Float64(), rng.Float64()
			if rng.IntN(2) == 0 {
				a, c = 0, 0
			}
			p.Wishes = append(p.Wishes, design.Wish{Subject: w.Subject, From: w.From - 3*a, To: w.To + 3*c})
		}
		p.Wishes = append(p.Wishes, exactly(of(chart.AxleToCrown), 380), exactly(of(chart.LowerHeadset), 4))
		d, err := p.Solve(t.Context())
		require.NoError(check, err)
		require.True(check, d.Holds(), "%v %v", p.Wishes, d.Changes)
		holds(t, p, d, p.Wishes)
		all, err := p.Ranges(t.Context())
		require.NoError(check, err)
		for _, r := range all {
			v, _, ok := d.Value(r.Subject)
			require.True(check, ok)
			assert.True(check, v >= r.From-1e-6 && v <= r.To+1e-6, "%v %v", r, v)
		}
		for _, w := range p.Wishes {
			r := all[slices.IndexFunc(all, func(r design.Range) bool { return r.Subject == w.Subject })]
			assert.True(check, r.From >= w.From-1e-6 && r.To <= w.To+1e-6, "%v %v", w, r)
		}
		cut := all[rng.IntN(len(chart.Dimensions()))]
		middle := cut.From + (cut.To-cut.From)*rng.Float64()
		if cut.To-cut.From < 1e-3 {
			return // rounding
		}
		p.Wishes = append(p.Wishes, design.Wish{Subject: cut.Subject, From: middle, To: math.Inf(1)})
		fewer, err := p.Ranges(t.Context())
		require.NoError(check, err, "%v from %v", cut, middle)
		for i, r := range fewer {
			assert.True(check, r.From >= all[i].From-1e-5 && r.To <= all[i].To+1e-5, "%v was %v", r, all[i])
		}
	})
}
