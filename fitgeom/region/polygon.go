package region

import (
	"cmp"
	"math"
	"slices"
)

// A vec is a point of the side view.
type vec struct{ x, z float64 }

// A convex is a convex polygon, anticlockwise; it may be a point or a line.
type convex []vec

// cross returns a positive number if c lies to the left of the way from a to b.
func cross(a, b, c vec) float64 {
	return float64((b.x-a.x)*(c.z-a.z)) - float64((b.z-a.z)*(c.x-a.x))
}

// hull returns the convex hull of points (Andrew's monotone chain).
func hull(points []vec) convex {
	slices.SortFunc(points, func(a, b vec) int { return cmp.Or(cmp.Compare(a.x, b.x), cmp.Compare(a.z, b.z)) })
	points = slices.Compact(points)
	if len(points) < 3 {
		return slices.Clone(convex(points))
	}
	h := make(convex, 0, 2*len(points))
	half := func() {
		from := len(h)
		for _, p := range points {
			for len(h) >= from+2 && cross(h[len(h)-2], h[len(h)-1], p) <= 0 {
				h = h[:len(h)-1]
			}
			h = append(h, p)
		}
		h = h[:len(h)-1]
	}
	half()
	slices.Reverse(points)
	half()
	return slices.Clip(h)
}

// appendSum appends all sums of a point of c and a point of d, as a polygon: the edges of
// both in the order of their directions. Both are as hull returns them.
func appendSum(to, c, d convex) convex {
	edges := func(c convex) int {
		if len(c) == 1 {
			return 0
		}
		return len(c)
	}
	i, j, m, n := 0, 0, edges(c), edges(d)
	for {
		p, q := c[i%len(c)], d[j%len(d)]
		to = append(to, vec{p.x + q.x, p.z + q.z})
		turn := 0.0 // positive: the edge of c comes first
		switch {
		case i < m && j < n:
			turn = before(c.edge(i), d.edge(j))
		case i < m:
			turn = 1
		case j < n:
			turn = -1
		}
		if turn >= 0 {
			i++
		}
		if turn <= 0 {
			j++
		}
		if i >= m && j >= n {
			return to
		}
	}
}

// edge is the way from a corner to the next.
func (c convex) edge(i int) vec {
	a, b := c[i], c[(i+1)%len(c)]
	return vec{b.x - a.x, b.z - a.z}
}

// before returns a positive number if an edge comes before another on the way round from
// the leftmost corner, negative if after, 0 if they are parallel.
func before(a, b vec) float64 {
	forth := func(v vec) bool { return v.x > 0 || v.x == 0 && v.z > 0 }
	switch f, g := forth(a), forth(b); {
	case f && !g:
		return 1
	case g && !f:
		return -1
	}
	return float64(a.x*b.z) - float64(a.z*b.x)
}

func (c convex) holds(v vec) bool {
	const slack = 1e-9
	if len(c) < 3 {
		return len(c) > 0 && math.Hypot(nearest(v, c[0], c[len(c)-1]).x-v.x, nearest(v, c[0], c[len(c)-1]).z-v.z) <= slack
	}
	for i, a := range c {
		if !(cross(a, c[(i+1)%len(c)], v) >= -slack) { // nor if it is not a number
			return false
		}
	}
	return c.box().holds(v, slack) // a thin one has more on the line of its edges
}

// A box holds the places from lo to hi.
type box struct{ lo, hi vec }

func (c convex) box() box {
	b := nothing
	for _, p := range c {
		b.add(box{p, p})
	}
	return b
}

// nothing is the box of no places.
var nothing = box{vec{math.Inf(1), math.Inf(1)}, vec{math.Inf(-1), math.Inf(-1)}}

func (b *box) add(c box) {
	b.lo.x, b.lo.z = min(b.lo.x, c.lo.x), min(b.lo.z, c.lo.z)
	b.hi.x, b.hi.z = max(b.hi.x, c.hi.x), max(b.hi.z, c.hi.z)
}

func (b box) holds(v vec, slack float64) bool {
	return v.x >= b.lo.x-slack && v.x <= b.hi.x+slack && v.z >= b.lo.z-slack && v.z <= b.hi.z+slack
}

// plus is the box of all sums of places of two boxes.
func (b box) plus(c box) box {
	return box{vec{b.lo.x + c.lo.x, b.lo.z + c.lo.z}, vec{b.hi.x + c.hi.x, b.hi.z + c.hi.z}}
}

// nearest returns the point between a and b that is closest to v.
func nearest(v, a, b vec) vec {
	dx, dz := b.x-a.x, b.z-a.z
	n := float64(dx*dx) + float64(dz*dz)
	if n == 0 {
		return a
	}
	t := max(0, min(1, (float64((v.x-a.x)*dx)+float64((v.z-a.z)*dz))/n))
	return vec{a.x + float64(t*dx), a.z + float64(t*dz)}
}

// along returns where the polygon meets the line z = at, or x = at if upright.
func (c convex) along(at float64, upright bool) (lo, hi float64, ok bool) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for i, a := range c {
		if x, y, ok := edgeAt(a, c[(i+1)%len(c)], at, upright); ok {
			lo, hi = min(lo, x), max(hi, y)
		}
	}
	return lo, hi, lo <= hi
}

// edgeAt returns where an edge meets the line z = at, or x = at if upright: from lo to hi
// if it lies on the line.
func edgeAt(a, b vec, at float64, upright bool) (lo, hi float64, ok bool) {
	if upright {
		a, b = vec{a.z, a.x}, vec{b.z, b.x}
	}
	if a.z > b.z {
		a, b = b, a
	}
	if at < a.z || at > b.z {
		return 0, 0, false
	}
	if a.z == b.z {
		return min(a.x, b.x), max(a.x, b.x), true
	}
	x := a.x + float64((b.x-a.x)*((at-a.z)/(b.z-a.z)))
	return x, x, true
}

// A line is the ranges of a line that are inside a piece.
type line [][2]float64

// add adds a range: it extends the last one if they overlap, as those of successive pieces
// mostly do.
func (l *line) add(lo, hi float64) {
	all := *l
	if n := len(all); n > 0 && lo <= all[n-1][1] && hi >= all[n-1][0] {
		all[n-1] = [2]float64{min(lo, all[n-1][0]), max(hi, all[n-1][1])}
		return
	}
	if len(all) >= 32 && len(all) == cap(all) {
		all = union(all)
		if half := cap(all) / 2; len(all) > half { // they do not overlap: make room
			all = slices.Grow(all, cap(all)-len(all)+half)
		}
	}
	*l = append(all, [2]float64{lo, hi})
}

// covers reports whether the last range holds another one.
func (l line) covers(lo, hi float64) bool {
	n := len(l)
	return n > 0 && lo >= l[n-1][0] && hi <= l[n-1][1]
}

// union sorts ranges and joins those that overlap, in place.
func union(all line) line {
	slices.SortFunc(all, func(a, b [2]float64) int { return cmp.Compare(a[0], b[0]) })
	out := all[:0]
	for _, s := range all {
		if n := len(out); n > 0 && s[0] <= out[n-1][1] {
			out[n-1][1] = max(out[n-1][1], s[1])
		} else {
			out = append(out, s)
		}
	}
	return out
}
