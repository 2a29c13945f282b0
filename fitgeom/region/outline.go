package region

import (
	"cmp"
	"math"
	"slices"

	"example.com/fitgeom/internal/work"
)

// outlineGrid is the spacing of the grid on which outlines are traced, mm.
const outlineGrid = 0.5

// outline traces the polygons round the union of convex pieces by marching squares, with
// the exact places where the edge crosses the grid lines. It is of no use if the meter
// stops it, but for how many offsets were done.
func outline(m *work.Meter, p *pieces) (all []Outline, offsets int) {
	if p.empty() {
		return nil, 0
	}
	g := newGrid(m, p)
	if m.Stopped() {
		return nil, g.done
	}
	ways := g.ways(m, p)
	for _, start := range ways.start {
		if !m.Do(1) {
			return nil, g.done
		}
		if o := g.follow(m, start, &ways); len(o.Places) >= 3 {
			o.Places = straightened(m, o.Places)
			o.Hole = o.area() < 0
			all = append(all, o)
		}
	}
	return all, g.done
}

// A grid holds lines across and upright, and the ranges in which they are inside a piece.
type grid struct {
	x0, z0          float64 // of the first lines, in steps
	columns, rows   int
	across, upright []line   // by row and by column
	inside          []uint64 // a bit for each node, row after row
	done            int      // offsets, before the meter stopped it
}

func newGrid(m *work.Meter, p *pieces) *grid {
	b := p.box()
	g := &grid{x0: math.Floor(b.lo.x/outlineGrid) - 1, z0: math.Floor(b.lo.z/outlineGrid) - 1}
	g.columns, g.rows = int(math.Ceil(b.hi.x/outlineGrid)-g.x0)+2, int(math.Ceil(b.hi.z/outlineGrid)-g.z0)+2
	g.across, g.upright = make([]line, g.rows), make([]line, g.columns)
	across := scan{from: g.z0, lines: g.across, spans: make(line, g.rows)}
	upright := scan{from: g.x0, lines: g.upright, spans: make(line, g.columns), upright: true}
	every := func(i int, _ box) bool {
		g.done = i
		return false
	}
	p.each(every, func(c convex) bool {
		return m.Do(5 + (across.add(c)+upright.add(c))/10)
	})
	if m.Stopped() {
		return g
	}
	g.done = len(p.offsets)
	for _, lines := range [2][]line{g.across, g.upright} {
		for i := range lines {
			if !m.Do(len(lines[i])) {
				break
			}
			lines[i] = union(lines[i])
		}
	}
	g.inside = make([]uint64, (g.rows*g.columns+63)/64)
	for k, spans := range g.across {
		if !m.Do(g.columns / 16) {
			break
		}
		for _, s := range spans {
			for i := max(0, int(math.Ceil(s[0]/outlineGrid-g.x0))); i < g.columns && g.x(i) <= s[1]; i++ {
				n := k*g.columns + i
				g.inside[n/64] |= 1 << (n % 64)
			}
		}
	}
	return g
}

// in reports whether a node is inside.
func (g *grid) in(node int) bool { return g.inside[node/64]>>(node%64)&1 != 0 }

// A scan finds the ranges of parallel lines that are inside a piece.
type scan struct {
	from    float64 // of the first line, in steps
	lines   []line
	spans   line // of the piece at hand
	upright bool
}

// add adds the ranges of a piece, and returns on how many lines it was looked at. Each edge is looked
// at only on the lines that it meets.
func (s *scan) add(c convex) (count int) {
	b := c.box()
	lo, hi, left, right := b.lo.z, b.hi.z, b.lo.x, b.hi.x
	if s.upright {
		lo, hi, left, right = left, right, lo, hi
	}
	first := max(0, int(math.Floor(lo/outlineGrid-s.from)))
	last := min(len(s.lines)-1, int(math.Floor(hi/outlineGrid-s.from))+1)
	// Most pieces lie inside of what is known already, at least at their ends.
	for first <= last && s.lines[first].covers(left, right) {
		first++
	}
	for first <= last && s.lines[last].covers(left, right) {
		last--
	}
	for i := first; i <= last; i++ {
		s.spans[i] = [2]float64{math.Inf(1), math.Inf(-1)}
	}
	for k, p := range c {
		s.edge(p, c[(k+1)%len(c)], first, last)
	}
	for i := first; i <= last; i++ {
		if r := s.spans[i]; r[0] <= r[1] {
			s.lines[i].add(r[0], r[1])
		}
	}
	return last - first + 1
}

func (g *grid) x(i int) float64 { return (g.x0 + float64(i)) * outlineGrid }
func (g *grid) z(k int) float64 { return (g.z0 + float64(k)) * outlineGrid }

// edge widens the spans of the lines that an edge of the piece meets.
func (s *scan) edge(a, b vec, first, last int) {
	u, v := a.z, b.z
	if s.upright {
		u, v = a.x, b.x
	}
	u, v = min(u, v), max(u, v)
	first = max(first, int(math.Floor(u/outlineGrid-s.from)))
	for i := first; i <= last; i++ {
		at := (s.from + float64(i)) * outlineGrid
		if at > v {
			return
		}
		if lo, hi, ok := edgeAt(a, b, at, s.upright); ok {
			to := &s.spans[i]
			to[0], to[1] = min(to[0], lo), max(to[1], hi)
		}
	}
}

// An edge is one step of the grid, from a node across or upright: twice the node, and one
// more for upright.
type edge uint32

// ways is how outlines run over the edges of the grid, from edge to edge.
type ways struct {
	start, next []edge   // in the order in which cells have them
	from        []uint32 // places in start, sorted by their edges
}

// ways returns the ways through all cells.
func (g *grid) ways(m *work.Meter, p *pieces) (w ways) {
	for k := range g.rows - 1 {
		if !m.Do(g.columns / 8) {
			return ways{}
		}
		for i := range g.columns - 1 {
			n := k*g.columns + i
			corners := g.corners(n)
			sides := apart[corners]
			if together[corners] != nil && p.hold(vec{g.x(i) + outlineGrid/2, g.z(k) + outlineGrid/2}) {
				sides = together[corners]
			}
			for _, s := range sides {
				w.from = append(w.from, uint32(len(w.start)))
				w.start, w.next = append(w.start, g.edge(n, s[0])), append(w.next, g.edge(n, s[1]))
			}
		}
	}
	work.Sort(m, w.from, func(a, b uint32) int { return cmp.Compare(w.start[a], w.start[b]) })
	return w
}

// take returns where the way from an edge leads, once.
func (w *ways) take(e edge) (to edge, open bool) {
	at, ok := slices.BinarySearchFunc(w.from, e, func(i uint32, e edge) int { return cmp.Compare(w.start[i], e) })
	if !ok || w.next[w.from[at]] == taken {
		return 0, false
	}
	next := &w.next[w.from[at]]
	to, *next = *next, taken
	return to, true
}

const taken = math.MaxUint32

// place returns where the outline crosses an edge that has one end inside.
func (g *grid) place(e edge) HeadPlace {
	node := int(e / 2)
	i, k := node%g.columns, node/g.columns
	if e%2 != 0 {
		return HeadPlace{g.x(i), meet(g.upright[i], g.z(k), g.z(k+1), g.in(node))}
	}
	return HeadPlace{meet(g.across[k], g.x(i), g.x(i+1), g.in(node)), g.z(k)}
}

// meet returns where the spans end between a and b. If first, a is inside, otherwise b.
func meet(spans line, a, b float64, first bool) float64 {
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
		return edge(2 * node)
	case right:
		return edge(2*node + 3)
	case top:
		return edge(2 * (node + g.columns))
	}
	return edge(2*node + 1)
}

// corners returns which corners of a cell are inside, one bit each, anticlockwise from its
// node.
func (g *grid) corners(node int) int {
	bits := 0
	for b, at := range [4]int{node, node + 1, node + g.columns + 1, node + g.columns} {
		if g.in(at) {
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

// follow returns the outline that starts at an edge, and takes its ways.
func (g *grid) follow(m *work.Meter, start edge, ways *ways) (o Outline) {
	for at, ok := start, true; ok && m.Do(2); {
		o.Places = append(o.Places, g.place(at))
		to, open := ways.take(at)
		ok = open && to != start
		at = to
	}
	return o
}

// straightened leaves out places that lie on the straight line between others, to a
// thousandth of a mm.
func straightened(m *work.Meter, all []HeadPlace) []HeadPlace {
	const fine = 1e-3
	at := func(i int) vec { p := all[i%len(all)]; return vec{p.Reach, p.Stack} }
	out := []HeadPlace{all[0]}
	for from := 0; from < len(all); {
		to := from + 1
	grow:
		for to < len(all) && to-from < 400 && m.Do(1+(to-from)/8) {
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
