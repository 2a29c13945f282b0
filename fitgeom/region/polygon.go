package region

import (
	"cmp"
	"math"
	"slices"

	"example.com/fitgeom/internal/num"
)

// A vec is a point of the side view.
type vec struct{ x, z float64 }

// A convex is a convex polygon, anticlockwise; it may be a point or a line.
type convex []vec

func (v vec) less(w vec) vec    { return vec{v.x - w.x, v.z - w.z} }
func (v vec) plus(w vec) vec    { return vec{v.x + w.x, v.z + w.z} }
func (v vec) dot(w vec) float64 { return float64(v.x*w.x) + float64(v.z*w.z) }
func (v vec) to(w vec) float64  { return math.Hypot(w.x-v.x, w.z-v.z) }

// on is the place at a share of the way to another.
func (v vec) on(w vec, share float64) vec {
	return vec{v.x + float64((w.x-v.x)*share), v.z + float64((w.z-v.z)*share)}
}

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

// A corner is one of a sum: of which corners, and the direction of the edge to the next.
type corner struct {
	vec
	along vec
	of    uint8 // corner of the second polygon
}

// appendSum appends all sums of a point of c and a point of d, as a polygon: the edges of
// both in the order of their directions. Both are as hull returns them.
func appendSum(to []corner, c, d convex) []corner {
	edges := func(c convex) int {
		if len(c) == 1 {
			return 0
		}
		return len(c)
	}
	i, j, m, n := 0, 0, edges(c), edges(d)
	for {
		p, q := c[i%len(c)], d[j%len(d)]
		at := corner{vec: vec{p.x + q.x, p.z + q.z}, of: uint8(j % len(d))}
		turn := 0.0 // positive: the edge of c comes first
		switch {
		case i < m && j < n:
			turn = before(c.edge(i), d.edge(j))
		case i < m:
			turn = 1
		case j < n:
			turn = -1
		}
		if turn >= 0 && i < m {
			at.along = c.edge(i)
			i++
		}
		if turn <= 0 && j < n {
			e := d.edge(j)
			at.along = vec{at.along.x + e.x, at.along.z + e.z}
			j++
		}
		to = append(to, at)
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

// inside reports whether all places are inside of the polygon by the margin.
func (c convex) inside(all []vec) bool {
	if len(c) < 3 {
		return false
	}
	a := c[len(c)-1]
	for _, b := range c {
		e := b.less(a)
		long := math.Abs(e.x) + math.Abs(e.z)
		if long > margin { // what a shorter one leaves out is within the margin of those beside it
			for _, v := range all {
				if float64(e.x*(v.z-a.z))-float64(e.z*(v.x-a.x)) < margin*long {
					return false
				}
			}
		}
		a = b
	}
	return true
}

// area returns the area in mm².
func (c convex) area() float64 {
	sum := 0.0
	for i := 2; i < len(c); i++ {
		sum += cross(c[0], c[i-1], c[i])
	}
	return sum / 2
}

// thin reports whether the polygon is narrower than rounding tells.
func (c convex) thin() bool {
	long := 0.0
	for _, v := range c {
		long = max(long, c[0].to(v))
	}
	return !(c.area() > 1e-8*long)
}

// far is how far the polygon goes in a direction.
func (c convex) far(n vec) float64 {
	most := math.Inf(-1)
	for _, v := range c {
		most = max(most, n.dot(v))
	}
	return most
}

// cut returns what of the polygon is in a box, in one of two rooms.
func (c convex) cut(q box, rooms *[2]convex) convex {
	for side := range 4 {
		if len(c) == 0 {
			return nil
		}
		left := func(v vec) float64 {
			return [...]float64{v.x - q.lo.x, q.hi.x - v.x, v.z - q.lo.z, q.hi.z - v.z}[side]
		}
		to := convex(num.Clip(rooms[side&1][:0], c, left, vec.on))
		rooms[side&1], c = to, to
	}
	return c
}

// A box holds the places from lo to hi.
type box struct{ lo, hi vec }

// corners are those of the box, anticlockwise.
func (b box) corners() [4]vec {
	return [4]vec{b.lo, {b.hi.x, b.lo.z}, b.hi, {b.lo.x, b.hi.z}}
}

// width is the greater of its two.
func (b box) width() float64 { return max(b.hi.x-b.lo.x, b.hi.z-b.lo.z) }

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

// meets reports whether two boxes have a place in common.
func (b box) meets(c box) bool {
	return b.lo.x <= c.hi.x && b.hi.x >= c.lo.x && b.lo.z <= c.hi.z && b.hi.z >= c.lo.z
}

// holds reports whether a box is inside.
func (b box) holds(c box) bool {
	return c.lo.x >= b.lo.x && c.hi.x <= b.hi.x && c.lo.z >= b.lo.z && c.hi.z <= b.hi.z
}

// and is what two boxes have in common. On some processors min and max, which look for what
// is not a number, are calls.
func (b box) and(c box) box {
	if c.lo.x > b.lo.x {
		b.lo.x = c.lo.x
	}
	if c.lo.z > b.lo.z {
		b.lo.z = c.lo.z
	}
	if c.hi.x < b.hi.x {
		b.hi.x = c.hi.x
	}
	if c.hi.z < b.hi.z {
		b.hi.z = c.hi.z
	}
	return b
}

// by is the box with so much more on each side.
func (b box) by(d float64) box {
	return box{vec{b.lo.x - d, b.lo.z - d}, vec{b.hi.x + d, b.hi.z + d}}
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
