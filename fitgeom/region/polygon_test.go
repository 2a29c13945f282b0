package region

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// drawnConvex is a polygon, a line or a point, with edges that others have too.
func drawnConvex(rng *rand.Rand) convex {
	points := make([]vec, 1+rng.IntN(9))
	for i := range points {
		points[i] = vec{float64(rng.IntN(8)), float64(rng.IntN(8))}
		if rng.IntN(3) == 0 {
			points[i].x += rng.Float64()
		}
	}
	return hull(points)
}

// The sum of two polygons is the hull of all sums of their corners.
func TestAppendSum(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 15))
	kept := convex{{7, 7}}
	for range 20_000 {
		c, d := drawnConvex(rng), drawnConvex(rng)
		var all []vec
		for _, p := range c {
			for _, q := range d {
				all = append(all, vec{p.x + q.x, p.z + q.z})
			}
		}
		want, got := hull(all), appendSum(kept[:1:1], c, d)
		require.Equal(t, vec{7, 7}, got[0])
		got = got[1:]
		require.LessOrEqual(t, len(got), len(c)+len(d))
		require.Equal(t, want.box(), got.box())
		for range 8 {
			at, upright := 16*rng.Float64(), rng.IntN(2) == 0
			lo, hi, ok := want.along(at, upright)
			lo2, hi2, ok2 := got.along(at, upright)
			require.Equal(t, ok, ok2)
			if ok {
				require.InDelta(t, lo, lo2, 1e-9)
				require.InDelta(t, hi, hi2, 1e-9)
			}
			from, to := got.over(at-rng.Float64(), at+rng.Float64(), upright)
			require.True(t, !ok || from <= lo2+1e-9 && to >= hi2-1e-9)
			v := vec{16 * rng.Float64(), 16 * rng.Float64()}
			require.Equal(t, want.holds(v), got.holds(v))
		}
		// Between corners.
		i := rng.IntN(len(want))
		a, b := want[i], want[(i+1)%len(want)]
		require.True(t, got.holds(vec{(a.x + b.x) / 2, (a.z + b.z) / 2}))
	}
}

// The ranges of a line are their union, in whatever order they come.
func TestLine(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 15))
	for range 200 {
		var l line
		var all [][2]float64
		for range 1 + rng.IntN(400) {
			lo := 1000 * rng.Float64()
			hi := lo + math.Pow(rng.Float64(), 4)*20
			if l.covers(lo, hi) {
				require.True(t, union(append(line(nil), all...)).holds(lo, hi))
			}
			l.add(lo, hi)
			all = append(all, [2]float64{lo, hi})
		}
		l = union(l)
		for i := 1; i < len(l); i++ {
			require.Greater(t, l[i][0], l[i-1][1])
		}
		for range 200 {
			at, in := 1020*rng.Float64(), false
			for _, r := range all {
				in = in || at >= r[0] && at <= r[1]
			}
			require.Equal(t, in, l.holds(at, at))
		}
	}
}

// holds reports whether one of the ranges holds another.
func (l line) holds(lo, hi float64) bool {
	for _, r := range l {
		if lo >= r[0] && hi <= r[1] {
			return true
		}
	}
	return false
}
