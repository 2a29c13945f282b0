package region

import (
	"cmp"
	"math"
	"slices"
)

// A vec is a point of the side view.
type vec struct{ x, z float64 }

// A convex is a convex polygon, against the clock; it may be a point or a line.
type convex []vec

// cross is positive if c lies to the left of the way from a to b.
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

// less is every difference of a point of c and one of d.
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

// nearest is the point from a to b that is nearest to v.
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

// joined appends a range, or makes the last one longer: pieces that follow one
// another mostly overlap.
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

// outlineGrid is the grid that outlines are drawn through, mm.
const outlineGrid = 0.5

// outline draws the polygons round the union of convex pieces: marching squares,
// with the place where each line of the grid crosses the edge told exactly.
func outline(pieces []convex, holds func(HeadPlace) bool) []Outline {
	if len(pieces) == 0 {
		return nil
	}
	lo, hi := vec{math.Inf(1), math.Inf(1)}, vec{math.Inf(-1), math.Inf(-1)}
	for _, c := range pieces {
		for _, p := range c {
			lo.x, lo.z = min(lo.x, p.x), min(lo.z, p.z)
			hi.x, hi.z = max(hi.x, p.x), max(hi.z, p.z)
		}
	}
	x0, z0 := math.Floor(lo.x/outlineGrid)-1, math.Floor(lo.z/outlineGrid)-1
	columns, rows := int(math.Ceil(hi.x/outlineGrid)-x0)+2, int(math.Ceil(hi.z/outlineGrid)-z0)+2
	x := func(i int) float64 { return (x0 + float64(i)) * outlineGrid }
	z := func(k int) float64 { return (z0 + float64(k)) * outlineGrid }
	lines := func(n int, at func(int) float64, from float64, upright bool) [][][2]float64 {
		all := make([][][2]float64, n)
		for _, c := range pieces {
			lo, hi := math.Inf(1), math.Inf(-1)
			for _, p := range c {
				v := p.z
				if upright {
					v = p.x
				}
				lo, hi = min(lo, v), max(hi, v)
			}
			for i := max(0, int(math.Floor(lo/outlineGrid-from))); i < n && at(i) <= hi; i++ {
				if lo, hi, ok := c.along(at(i), upright); ok {
					all[i] = joined(all[i], lo, hi)
				}
			}
		}
		for i := range all {
			all[i] = union(all[i])
		}
		return all
	}
	across, upright := lines(rows, z, z0, false), lines(columns, x, x0, true)
	inside := make([]bool, rows*columns)
	for k, spans := range across {
		for _, s := range spans {
			for i := max(0, int(math.Ceil(s[0]/outlineGrid-x0))); i < columns && x(i) <= s[1]; i++ {
				inside[k*columns+i] = true
			}
		}
	}
	// meet is where the edge lies between two neighbours of which one is inside.
	meet := func(spans [][2]float64, a, b float64, first bool) float64 {
		in := b
		if first {
			in = a
		}
		for _, s := range spans {
			if in >= s[0] && in <= s[1] {
				if first {
					return min(s[1], b)
				}
				return max(s[0], a)
			}
		}
		return in
	}
	// The edge of a cell is named by the node that it begins at, and its way.
	type edge struct {
		node int
		up   bool
	}
	place := func(e edge) HeadPlace {
		i, k := e.node%columns, e.node/columns
		if e.up {
			return HeadPlace{x(i), meet(upright[i], z(k), z(k+1), inside[e.node])}
		}
		return HeadPlace{meet(across[k], x(i), x(i+1), inside[e.node]), z(k)}
	}
	next := map[edge]edge{}
	var order []edge
	link := func(from, to edge) {
		next[from] = to
		order = append(order, from)
	}
	for k := range rows - 1 {
		for i := range columns - 1 {
			n := k*columns + i
			corner := 0
			for b, at := range [4]int{n, n + 1, n + columns + 1, n + columns} { // against the clock
				if inside[at] {
					corner |= 1 << b
				}
			}
			foot, right, top, left := edge{n, false}, edge{n + 1, true}, edge{n + columns, false}, edge{n, true}
			both := func() bool { return holds(HeadPlace{x(i) + outlineGrid/2, z(k) + outlineGrid/2}) }
			// What is inside lies to the left.
			switch corner {
			case 1:
				link(foot, left)
			case 2:
				link(right, foot)
			case 3:
				link(right, left)
			case 4:
				link(top, right)
			case 5:
				if both() {
					link(foot, right)
					link(top, left)
				} else {
					link(foot, left)
					link(top, right)
				}
			case 6:
				link(top, foot)
			case 7:
				link(top, left)
			case 8:
				link(left, top)
			case 9:
				link(foot, top)
			case 10:
				if both() {
					link(left, foot)
					link(right, top)
				} else {
					link(right, foot)
					link(left, top)
				}
			case 11:
				link(right, top)
			case 12:
				link(left, right)
			case 13:
				link(foot, right)
			case 14:
				link(left, foot)
			}
		}
	}
	var all []Outline
	for _, start := range order {
		var o Outline
		for at, ok := start, true; ok; {
			o.Places = append(o.Places, place(at))
			to, open := next[at]
			delete(next, at)
			if !open || to == start {
				ok = false
			}
			at = to
		}
		if len(o.Places) < 3 {
			continue
		}
		o.Places = straightened(o.Places)
		o.Hole = o.area() < 0
		all = append(all, o)
	}
	return all
}

// straightened leaves out places that lie on the straight line between others,
// to a thousandth of a mm.
func straightened(all []HeadPlace) []HeadPlace {
	const fine = 1e-3
	at := func(i int) vec { p := all[i%len(all)]; return vec{p.Reach, p.Stack} }
	out := []HeadPlace{all[0]}
	for from := 0; from < len(all); {
		to := from + 1
	grow:
		for to < len(all) && to-from < 400 {
			a, b := at(from), at(to+1)
			for i := from + 1; i <= to; i++ {
				if n := nearest(at(i), a, b); math.Hypot(n.x-at(i).x, n.z-at(i).z) > fine {
					break grow
				}
			}
			to++
		}
		from = to
		if from < len(all) {
			out = append(out, all[from])
		}
	}
	return out
}
