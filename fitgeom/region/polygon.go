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
		return convex(points)
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

// less returns all differences of a point of c and a point of d.
func (c convex) less(d convex) convex {
	all := make([]vec, 0, len(c)*len(d))
	for _, p := range c {
		for _, q := range d {
			all = append(all, vec{p.x - q.x, p.z - q.z})
		}
	}
	return hull(all)
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
	return true
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
		b := c[(i+1)%len(c)]
		if upright {
			a, b = vec{a.z, a.x}, vec{b.z, b.x}
		}
		if a.z > b.z {
			a, b = b, a
		}
		if at < a.z || at > b.z {
			continue
		}
		if a.z == b.z {
			lo, hi = min(lo, a.x, b.x), max(hi, a.x, b.x)
			continue
		}
		x := a.x + float64((b.x-a.x)*((at-a.z)/(b.z-a.z)))
		lo, hi = min(lo, x), max(hi, x)
	}
	return lo, hi, lo <= hi
}

// crossings returns where a line meets the union of polygons, in order.
func crossings(pieces []convex, at float64, upright bool) [][2]float64 {
	var all [][2]float64
	for _, c := range pieces {
		if lo, hi, ok := c.along(at, upright); ok {
			all = joined(all, lo, hi)
		}
	}
	return union(all)
}

// joined appends a range, or extends the last one if they overlap, as those of successive
// pieces mostly do.
func joined(all [][2]float64, lo, hi float64) [][2]float64 {
	if n := len(all); n > 0 && lo <= all[n-1][1] && hi >= all[n-1][0] {
		all[n-1] = [2]float64{min(lo, all[n-1][0]), max(hi, all[n-1][1])}
		return all
	}
	return append(all, [2]float64{lo, hi})
}

func union(all [][2]float64) [][2]float64 {
	slices.SortFunc(all, func(a, b [2]float64) int { return cmp.Compare(a[0], b[0]) })
	var out [][2]float64
	for _, s := range all {
		if n := len(out); n > 0 && s[0] <= out[n-1][1] {
			out[n-1][1] = max(out[n-1][1], s[1])
		} else {
			out = append(out, s)
		}
	}
	return out
}
