package search

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/internal/invented"
	"example.com/fitgeom/internal/work"
	"github.com/stretchr/testify/require"
)

// A ranking is that of all frames each searched by itself: of bikes of every kind, on their own
// wheels and on others.
func TestRankedAsAlone(t *testing.T) {
	rng := rand.New(rand.NewPCG(20, 26))
	for tried := 0; tried < drawn(150); {
		p, ok := drawnProblem(rng)
		if !ok {
			continue
		}
		if tried++; tried%3 == 0 {
			p.Wheels = chart.Wheels{FrontRadius: 345, RearRadius: 338}
		}
		x := drawnIndex(t, rng, p.Frame, 60)
		p.Frame = fitgeom.Frame{}
		got, _ := x.Ask(work.New(t.Context(), -1), p).Rank()
		each := x.Ask(work.New(t.Context(), -1), p)
		for i := range x.records {
			each.offer(each.Stand(i, &x.size(uint32(i)).Frame))
		}
		require.Len(t, got, len(each.race.best))
		for i, want := range each.race.best {
			require.Equal(t, want.place, got[i].place)
			require.Zero(t, want.compare(&got[i]))
		}
	}
}

// What a ranking takes grows no faster than a tenth of its sizes, in work, not time: of sizes that
// are alike or not, where some hold and where none does.
func TestGrowth(t *testing.T) {
	sizes := func(n int, unlike bool) []fitgeom.Size {
		return invented.Catalogue(n, func(rng *rand.Rand, f *fitgeom.Frame) {
			g := &f.Geometry
			g.Stack, g.Reach = 480+float64(rng.IntN(180)), 350+float64(rng.IntN(80))
			g.HeadAngle, g.SeatAngle = 70+float64(rng.IntN(8))/2, 72+float64(rng.IntN(8))/2
			if unlike {
				g.Stack, g.Reach, g.HeadAngle = g.Stack+rng.Float64(), g.Reach+rng.Float64(), g.HeadAngle+rng.Float64()/2
			}
		})
	}
	for _, unlike := range []bool{false, true} {
		small, err := NewIndex(t.Context(), sizes(1_000, unlike))
		require.NoError(t, err)
		large, err := NewIndex(t.Context(), sizes(20_000, unlike))
		require.NoError(t, err)
		for _, higher := range []float64{0, 300} {
			p := Problem{Target: invented.Position(invented.Build()), Shelf: invented.Shelf(), Limit: 20}
			for _, s := range []contact.Site{contact.HoodsLeft, contact.HoodsRight} {
				at, _ := p.Target.At(s)
				at.Z += higher
				p.Target.Set(s, at)
			}
			p.Fill()
			units := func(x *Index) float64 {
				m := work.New(t.Context(), -1)
				best, _ := x.Ask(m, &p).Rank()
				require.Equal(t, higher == 0, best[0].Holds())
				return float64(m.Used())
			}
			few, many := units(small), units(large)
			t.Logf("unlike %v, higher by %v: %.0f and %.0f units, exponent %.2f", unlike, higher, few, many, math.Log(many/few)/math.Log(20))
			require.Less(t, many, 2*few)
		}
	}
}
