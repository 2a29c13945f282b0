package region

import (
	"cmp"
	"math"
	"slices"

	"example.com/fitgeom/internal/work"
)

// A stretch is a part of an edge, with the inside to its left.
type stretch struct {
	a, b         vec
	piece, plane int32
}

// stretches adds what of the edges of pieces is in a cell and not inside of another piece.
// Each piece has grown by another little length: of two edges on one line one is inside.
func (g *grower) stretches(q box, list []int32) {
	for _, n := range list {
		p := &g.tree.pieces[n]
		for k := range p.planes {
			s := &p.planes[k]
			o, d := vec{s.n.x * (s.c + p.grow), s.n.z * (s.c + p.grow)}, vec{0 - s.n.z, s.n.x}
			lo, hi := q.cut(o, d)
			if lo < hi {
				lo, hi = p.cut(o, d, lo, hi, k)
			}
			if !(lo < hi) {
				continue
			}
			g.m.Do(1 + len(list)/2)
			left := append(g.left[:0], [2]float64{lo, hi})
			for _, other := range list {
				if other == n || len(left) == 0 {
					continue
				}
				if from, to := g.tree.pieces[other].cut(o, d, lo, hi, -1); from < to {
					left = without(left, from, to)
				}
			}
			for _, r := range left {
				g.m.Do(100) // for the memory
				g.edges = append(g.edges, stretch{
					vec{o.x + float64(r[0]*d.x), o.z + float64(r[0]*d.z)}, vec{o.x + float64(r[1]*d.x), o.z + float64(r[1]*d.z)}, n, int32(k),
				})
			}
			g.left = left
		}
	}
}

// without takes a range out of ranges.
func without(all [][2]float64, from, to float64) [][2]float64 {
	for i := 0; i < len(all); i++ {
		switch r := &all[i]; {
		case to <= r[0] || from >= r[1]:
		case from <= r[0] && to >= r[1]:
			all = slices.Delete(all, i, i+1)
			i--
		case from <= r[0]:
			r[0] = to
		case to >= r[1]:
			r[1] = from
		default:
			next := [2]float64{to, r[1]}
			r[1] = from
			all = slices.Insert(all, i+1, next)
			i++
		}
	}
	return all
}

// cut returns in what part of a line it is: the places o + t d. Of its sides, two belong to
// the boxes beside it.
func (b box) cut(o, d vec) (lo, hi float64) {
	lo, hi = math.Inf(-1), math.Inf(1)
	for _, s := range [2][4]float64{{o.x, d.x, b.lo.x, b.hi.x}, {o.z, d.z, b.lo.z, b.hi.z}} {
		if s[1] == 0 {
			if s[0] < s[2] || s[0] >= s[3] {
				return 1, 0
			}
			continue
		}
		from, to := (s[2]-s[0])/s[1], (s[3]-s[0])/s[1]
		lo, hi = max(lo, min(from, to)), min(hi, max(from, to))
	}
	return lo, hi
}

// joins finds which stretch begins where each ends, -1 if none does within the last of the
// distances. The closest are joined first.
func joins(m *work.Meter, all []stretch) []int32 {
	byPlace := make([]int32, len(all))
	for i := range all {
		byPlace[i] = int32(i)
	}
	work.Sort(m, byPlace, func(i, k int32) int {
		return cmp.Or(cmp.Compare(all[i].a.x, all[k].a.x), cmp.Compare(all[i].a.z, all[k].a.z))
	})
	next, taken := make([]int32, len(all)), make([]bool, len(all))
	for i := range next {
		next[i] = -1
	}
	for _, reach := range [...]float64{1e-11, 1e-8, 3e-6} {
		for i := range all {
			if next[i] >= 0 || !m.Do(4) {
				continue
			}
			b, best, least := all[i].b, int32(-1), reach
			from, _ := slices.BinarySearchFunc(byPlace, b.x-reach, func(k int32, x float64) int { return cmp.Compare(all[k].a.x, x) })
			for _, k := range byPlace[from:] {
				if all[k].a.x > b.x+reach || !m.Do(1) {
					break
				}
				if d := b.to(all[k].a); !taken[k] && d <= least {
					best, least = k, d
				}
			}
			if best >= 0 {
				next[i], taken[best] = best, true
			}
		}
	}
	return next
}

// loops joins stretches to closed ways round a region and its holes. Each begins at its
// lowest place, and the lowest comes first. What is shorter than tiny is left out.
func loops(m *work.Meter, all []stretch) [][]stretch {
	const tiny = 1e-7 // mm, and mm²
	next := joins(m, all)
	var ways [][]stretch
	for start := range all {
		var way []stretch
		for i := int32(start); i >= 0 && next[i] != gone && m.Do(1); {
			s := all[i]
			if n := len(way); n > 0 && way[n-1].piece == s.piece && way[n-1].plane == s.plane {
				way[n-1].b = s.b // through the side of a cell
			} else {
				way = append(way, s)
			}
			i, next[i] = next[i], gone
		}
		if n := len(way); n > 1 && way[0].piece == way[n-1].piece && way[0].plane == way[n-1].plane {
			way[0].a, way = way[n-1].a, way[:n-1]
		}
		way = slices.DeleteFunc(way, func(s stretch) bool { return s.a.to(s.b) < tiny })
		if len(way) < 3 || math.Abs(around(way)) < tiny {
			continue
		}
		low := 0
		for i, s := range way {
			if lower(s.a, way[low].a) < 0 {
				low = i
			}
		}
		ways = append(ways, slices.Concat(way[low:], way[:low]))
	}
	slices.SortFunc(ways, func(a, b []stretch) int { return lower(a[0].a, b[0].a) })
	return ways
}

// gone is the next of a stretch that is in a way.
const gone = -2

// lower compares places by their height, and by their reach if they are level but for
// rounding.
func lower(a, b vec) int {
	if math.Abs(a.z-b.z) < 1e-7 {
		return cmp.Compare(a.x, b.x)
	}
	return cmp.Compare(a.z, b.z)
}

// around is the area inside of a way, negative for a hole.
func around(way []stretch) (area float64) {
	for _, s := range way {
		area += cross(way[0].a, s.a, s.b)
	}
	return area / 2
}

// between is the corner where a stretch ends and another begins, as it is without growth.
func (g *grower) between(s, t *stretch) vec {
	p, q := &g.tree.pieces[s.piece].planes[s.plane], &g.tree.pieces[t.piece].planes[t.plane]
	turn := float64(p.n.x*q.n.z) - float64(p.n.z*q.n.x)
	if math.Abs(turn) < 1e-6 {
		return t.a
	}
	v := vec{(float64(p.c*q.n.z) - float64(q.c*p.n.z)) / turn, (float64(q.c*p.n.x) - float64(p.c*q.n.x)) / turn}
	if v.to(t.a) > 1e-6 { // something tiny between them was left out
		return t.a
	}
	return v
}
