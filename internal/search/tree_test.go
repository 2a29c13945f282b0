package search

import (
	"math/rand/v2"
	"testing"

	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
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

// What a tree takes, by the numbers of its sizes, grows no faster than they do: in work, not time.
func TestGrowth(t *testing.T) {
	rng := rand.New(rand.NewPCG(20, 27))
	var p *Problem
	for p == nil {
		p, _ = drawnProblem(rng)
		if p != nil && (len(p.Rules.Rules) > 0 || p.Frame.Validate() != nil) {
			p = nil
		}
	}
	frame := p.Frame
	p.Frame = fitgeom.Frame{}
	units := func(n int) float64 {
		x := drawnIndex(t, rand.New(rand.NewPCG(1, 1)), frame, n)
		m := work.New(t.Context(), -1)
		x.Ask(m, p).Rank()
		return float64(m.Used())
	}
	require.Less(t, units(20_000), 2*units(2_000))
}
