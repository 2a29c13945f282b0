package region

import "math"

// outlineGrid is the spacing of the grid on which outlines are traced, mm.
const outlineGrid = 0.5

// outline traces the polygons round the union of convex pieces by marching squares, with
// the exact places where the edge crosses the grid lines.
func outline(pieces []convex, holds func(HeadPlace) bool) []Outline {
	if len(pieces) == 0 {
		return nil
	}
	g := newGrid(pieces)
	next := map[edge]edge{}
	var order []edge
	for k := range g.rows - 1 {
		for i := range g.columns - 1 {
			n := k*g.columns + i
			corners := g.corners(n)
			ways := apart[corners]
			if together[corners] != nil && holds(HeadPlace{g.x(i) + outlineGrid/2, g.z(k) + outlineGrid/2}) {
				ways = together[corners]
			}
			for _, w := range ways {
				from := g.edge(n, w[0])
				next[from] = g.edge(n, w[1])
				order = append(order, from)
			}
		}
	}
	var all []Outline
	for _, start := range order {
		if o := g.follow(start, next); len(o.Places) >= 3 {
			o.Places = straightened(o.Places)
			o.Hole = o.area() < 0
			all = append(all, o)
		}
	}
	return all
}

// A grid holds lines across and upright, and the ranges in which they are inside a piece.
type grid struct {
	x0, z0          float64 // of the first lines, in steps
	columns, rows   int
	across, upright [][][2]float64 // the ranges of each line inside, by row and by column
	inside          []bool         // by node, row after row
}

func newGrid(pieces []convex) *grid {
	lo, hi := vec{math.Inf(1), math.Inf(1)}, vec{math.Inf(-1), math.Inf(-1)}
	for _, c := range pieces {
		for _, p := range c {
			lo.x, lo.z = min(lo.x, p.x), min(lo.z, p.z)
			hi.x, hi.z = max(hi.x, p.x), max(hi.z, p.z)
		}
	}
	g := &grid{x0: math.Floor(lo.x/outlineGrid) - 1, z0: math.Floor(lo.z/outlineGrid) - 1}
	g.columns, g.rows = int(math.Ceil(hi.x/outlineGrid)-g.x0)+2, int(math.Ceil(hi.z/outlineGrid)-g.z0)+2
	g.across, g.upright = g.lines(pieces, false), g.lines(pieces, true)
	g.inside = make([]bool, g.rows*g.columns)
	for k, spans := range g.across {
		for _, s := range spans {
			for i := max(0, int(math.Ceil(s[0]/outlineGrid-g.x0))); i < g.columns && g.x(i) <= s[1]; i++ {
				g.inside[k*g.columns+i] = true
			}
		}
	}
	return g
}

func (g *grid) x(i int) float64 { return (g.x0 + float64(i)) * outlineGrid }
func (g *grid) z(k int) float64 { return (g.z0 + float64(k)) * outlineGrid }

// lines returns the ranges of each line that are inside a piece.
func (g *grid) lines(pieces []convex, upright bool) [][][2]float64 {
	n, at, from := g.rows, g.z, g.z0
	if upright {
		n, at, from = g.columns, g.x, g.x0
	}
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

// An edge is one step of the grid, from a node across or upright.
type edge struct {
	node int
	up   bool
}

// place returns where the outline crosses an edge that has one end inside.
func (g *grid) place(e edge) HeadPlace {
	i, k := e.node%g.columns, e.node/g.columns
	if e.up {
		return HeadPlace{g.x(i), meet(g.upright[i], g.z(k), g.z(k+1), g.inside[e.node])}
	}
	return HeadPlace{meet(g.across[k], g.x(i), g.x(i+1), g.inside[e.node]), g.z(k)}
}

// meet returns where the spans end between a and b. If first, a is inside, otherwise b.
func meet(spans [][2]float64, a, b float64, first bool) float64 {
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

// The sides of a cell.
const (
	foot = iota
	right
	top
	left
)

// edge returns a side of the cell above and to the right of a node.
func (g *grid) edge(node, side int) edge {
	switch side {
	case foot:
		return edge{node, false}
	case right:
		return edge{node + 1, true}
	case top:
		return edge{node + g.columns, false}
	}
	return edge{node, true}
}

// corners returns which corners of a cell are inside, one bit each, anticlockwise from its
// node.
func (g *grid) corners(node int) int {
	bits := 0
	for b, at := range [4]int{node, node + 1, node + g.columns + 1, node + g.columns} {
		if g.inside[at] {
			bits |= 1 << b
		}
	}
	return bits
}

// For each set of corners inside, the sides from and to which the outline runs, with the
// inside to its left. If two opposite corners are inside, the middle of the cell decides
// whether they are connected.
var (
	apart = [16][][2]int{
		1:  {{foot, left}},
		2:  {{right, foot}},
		3:  {{right, left}},
		4:  {{top, right}},
		5:  {{foot, left}, {top, right}},
		6:  {{top, foot}},
		7:  {{top, left}},
		8:  {{left, top}},
		9:  {{foot, top}},
		10: {{right, foot}, {left, top}},
		11: {{right, top}},
		12: {{left, right}},
		13: {{foot, right}},
		14: {{left, foot}},
	}
	together = [16][][2]int{
		5:  {{foot, right}, {top, left}},
		10: {{left, foot}, {right, top}},
	}
)

// follow returns the outline that starts at an edge, and removes its edges from next.
func (g *grid) follow(start edge, next map[edge]edge) (o Outline) {
	for at, ok := start, true; ok; {
		o.Places = append(o.Places, g.place(at))
		to, open := next[at]
		delete(next, at)
		if !open || to == start {
			ok = false
		}
		at = to
	}
	return o
}

// straightened leaves out places that lie on the straight line between others, to a
// thousandth of a mm.
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
