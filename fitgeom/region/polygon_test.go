package region

import (
	"math/rand/v2"
	"testing"

	"example.com/fitgeom/internal/work"
	"github.com/stretchr/testify/assert"
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

// drawnClamps are boxes, and what two boxes span.
func drawnClamps(rng *rand.Rand, n int) (all []clampPiece) {
	for range n {
		var corners []vec
		for range 1 + rng.IntN(2) {
			lo := vec{float64(rng.IntN(30)), float64(rng.IntN(30))}
			if rng.IntN(2) == 0 {
				lo.x += rng.Float64()
			}
			c := box{lo, vec{lo.x + 0.1 + float64(rng.IntN(3)), lo.z + 0.1 + float64(rng.IntN(3))}}.corners()
			corners = append(corners, c[:]...)
		}
		all = append(all, clampPiece{convex: hull(corners)})
	}
	return all
}

// The sum of two polygons is the hull of all sums of their corners.
func TestPieceIsHull(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 15))
	for range 3_000 {
		c, d := drawnClamps(rng, 1), drawnConvex(rng)
		p := newPieces(c, []convex{d})
		var all []vec
		for _, a := range p.clamps[0] {
			for _, b := range d {
				all = append(all, a.plus(b))
			}
		}
		want, got := hull(all), p.piece(7, 0, 0, nil)
		require.LessOrEqual(t, len(got.planes), len(c[0].convex)+len(d))
		for _, v := range all {
			require.True(t, got.holds(v))
		}
		for range 8 {
			v := vec{40 * (rng.Float64() - 0.5), 40 * (rng.Float64() - 0.5)}
			in := true
			for i, a := range want {
				in = in && cross(a, want[(i+1)%len(want)], v) >= 0
			}
			require.Equal(t, in, got.holds(v))
			require.Equal(t, in, want.inside([]vec{v}))
		}
		b := box{want[0], vec{want[0].x + 3, want[0].z + 2}}
		var rooms [2]convex
		for _, v := range want.cut(b, &rooms) {
			require.True(t, got.holds(v))
			require.True(t, b.by(1e-9).holds(box{v, v}))
		}
	}
}

// A tree holds what one of the pieces holds, all looked at one by one, and its edges are
// closed ways between what is held and what is not, with as much between them as is held.
// Many of the pieces' edges lie on one line.
func TestTreeEqualsPieces(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 15))
	joined, held := 0, 0
	for n := range 300 {
		var offsets []convex
		for range 1 + rng.IntN(12) {
			offsets = append(offsets, drawnConvex(rng))
		}
		p := newPieces(drawnClamps(rng, 1+rng.IntN(20)), offsets)
		g := grow(work.New(t.Context(), -1), p)
		require.InDelta(t, 1, g.done, 1e-9)
		var all []piece
		for o := range p.offsets {
			for c := range p.clamps {
				all = append(all, p.piece(len(all), int32(o), int32(c), nil))
			}
		}
		brute := func(v vec) bool {
			for i := range all {
				if all[i].holds(v) {
					return true
				}
			}
			return false
		}
		for range 100 {
			v := vec{60 * (rng.Float64() - 0.5), 60 * (rng.Float64() - 0.5)}
			require.Equal(t, brute(v), g.tree.holds(v), "%d: %v", n, v)
		}
		for _, next := range joins(nil, g.edges) {
			require.GreaterOrEqual(t, next, int32(0), n)
			joined++
		}
		for _, way := range loops(nil, g.edges) {
			for i, s := range way {
				require.InDelta(t, 0, s.b.to(way[(i+1)%len(way)].a), 1e-6)
				long := s.a.to(s.b)
				if long < 1e-5 {
					continue
				}
				mid, out := s.a.on(s.b, rng.Float64()*0.8+0.1), vec{(s.b.z - s.a.z) / long, (s.a.x - s.b.x) / long}
				require.True(t, brute(vec{mid.x - 1e-6*out.x, mid.z - 1e-6*out.z}), n)
				require.False(t, brute(vec{mid.x + 1e-6*out.x, mid.z + 1e-6*out.z}), n)
				held++
			}
		}
	}
	assert.Greater(t, joined, held)
	assert.Greater(t, held, 3000)
}
