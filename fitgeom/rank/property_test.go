package rank_test

import (
	"math"
	"slices"
	"testing"

	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/rank"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/invented"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func init() { trial.Rapid(20, 1000, 5) }

func TestMain(m *testing.M) { trial.Main(m) }

// A catalogue in another order: the same frames with the same scores, since the
// order decides between equals alone. What Rank finds of a frame is what
// Problem.Solve finds of it.
func TestPropertyCatalogueOrder(t *testing.T) {
	shelf := chooseShelf()
	rapid.Check(t, func(t *rapid.T) {
		sizes := inventedSizes(24, rapid.SampledFrom([]float64{0.1, 0.5}).Draw(t, "angles"), rapid.Uint64().Draw(t, "seed"))
		target := riderAt(rapid.Uint64Range(0, 500).Draw(t, "rider"))
		p := solve.Problem{Target: target, Shelf: shelf, Limit: 8}
		order := func(sizes []fitgeom.Size) rank.Ranking {
			x, err := rank.NewIndex(t.Context(), sizes)
			require.NoError(t, err)
			require.Equal(t, len(sizes), x.Len())
			r, err := x.Rank(t.Context(), p)
			require.NoError(t, err)
			return r
		}
		want, got := order(sizes), order(rapid.Permutation(sizes).Draw(t, "order"))
		for i, c := range want.Choices {
			d := got.Choices[i]
			require.Equal(t, c.Holds(), d.Holds())
			require.InDelta(t, c.Best.Distance(), d.Best.Distance(), 1e-7)
			on := p
			on.Frame = c.Size.Frame
			r, err := on.Solve(t.Context())
			if c.Fault != nil {
				require.Error(t, err)
				continue
			}
			require.NoError(t, err)
			require.Equal(t, r.Candidates[0], c.Best)
			require.Equal(t, sizes[c.Place].Frame, c.Size.Frame)
		}
		// The best of a part of the catalogue, in their order.
		half := order(sizes[:12])
		next := 0
		for _, c := range want.Choices {
			if c.Place < 12 && next < len(half.Choices) {
				require.Equal(t, c.Place, half.Choices[next].Place)
				next++
			}
		}
	})
}

// Every reason there is for one frame to come before the next, told from the best
// builds of both by the order that the package documents.
func TestPropertyReasons(t *testing.T) {
	shelf := chooseShelf()
	shelf.Cranks = append(slices.Clone(shelf.Cranks), part.Crank{Name: "crank 160", Length: 160, QFactor: 146})
	expected := func(a, b *rank.Choice, p solve.Problem) (fitgeom.Reason, float64) {
		c, d := &a.Best, &b.Best
		v, w := c.Merit, d.Merit
		holds := c.Holds()
		off := func(a, b int) float64 { return math.Abs(float64(a - b)) }
		buys := func(c *fitgeom.Candidate) float64 {
			if p.Bike == (fitgeom.Build{}) {
				return 0
			}
			return float64(c.Purchases)
		}
		switch {
		case (a.Fault != nil) != (b.Fault != nil):
			return fitgeom.ByFit, 0
		case c.Holds() != d.Holds():
			return fitgeom.ByHolding, 0
		case holds && v.Shortfall != w.Shortfall:
			return fitgeom.ByShortfall, off(v.Shortfall, w.Shortfall)
		case holds && v.ShortfallSum != w.ShortfallSum:
			return fitgeom.ByShortfall, off(v.ShortfallSum, w.ShortfallSum)
		case buys(c) != buys(d):
			return fitgeom.ByPurchase, math.Abs(buys(c) - buys(d))
		case v.Preference != w.Preference:
			return fitgeom.ByPreference, off(v.Preference, w.Preference)
		case holds && v.Room != w.Room:
			return fitgeom.ByRoom, off(v.Room, w.Room)
		}
		return fitgeom.ByPlace, 0
	}
	seen := map[fitgeom.Reason]int{}
	rapid.Check(t, func(t *rapid.T) {
		target := riderAt(rapid.Uint64Range(0, 500).Draw(t, "rider"))
		sizes := inventedSizes(1, 0.5, rapid.Uint64Range(0, 50).Draw(t, "seed"))
		for i := range 4 { // the next of a family, off by a little here or there
			next := sizes[i]
			next.Label, next.Frame.Name = next.Label+"+", next.Frame.Name+"+"
			g := &next.Frame.Geometry
			switch rapid.IntRange(0, 6).Draw(t, "change") {
			case 0:
				g.Reach++
			case 1:
				g.SeatAngle += 0.5
			case 2:
				g.Stack += 10
			case 3:
				g.HeadAngle += 0.5
			case 4:
				next.Frame.SeatpostDiameter = 30.9 // for which there is no post
			case 5:
				next.Frame.MaxUnderStem -= 20
			}
			g.Stack += 1e-3 // the next in stack
			sizes = append(sizes, next)
		}
		p := solve.Problem{Target: target, Shelf: shelf, Grain: 10, Limit: len(sizes)} // scores count for nothing
		if rapid.Bool().Draw(t, "bike") {
			p.Bike = invented.Build()
		}
		x, err := rank.NewIndex(t.Context(), sizes)
		require.NoError(t, err)
		r, err := x.Rank(t.Context(), p)
		require.NoError(t, err)
		of := map[int]*rank.Choice{}
		for i := range r.Choices {
			of[r.Choices[i].Place] = &r.Choices[i]
		}
		for i := range sizes {
			near, err := x.Neighbours(t.Context(), p, i)
			require.NoError(t, err)
			for _, n := range near {
				a, b := of[i], of[n.Choice.Place]
				if n.Reason == fitgeom.ByCloseness || a.Fault != nil && b.Fault != nil {
					continue // of builds that are far off the scores count, in steps of 10
				}
				want, by := expected(a, b, p)
				require.Equal(t, want, n.Reason, "%v", n)
				require.InDelta(t, by, n.By, 2e-5, "%v", n)
				seen[n.Reason]++
			}
		}
	})
	for _, r := range []fitgeom.Reason{
		fitgeom.ByFit, fitgeom.ByHolding, fitgeom.ByShortfall, fitgeom.ByPurchase, fitgeom.ByPreference, fitgeom.ByPlace,
	} {
		assert.True(t, seen[r] > 0 || testing.Short(), r)
	}
}
