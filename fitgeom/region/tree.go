package region

import (
	"math"
	"slices"

	"example.com/fitgeom/internal/work"
)

// A tree cuts a square into quarters, and these into quarters, until each is inside one
// piece, outside of all, or has so few that they can be looked at one by one.
type tree struct {
	from   vec // lower corner
	size   float64
	nodes  []int32 // the place of four quarters, full, none, or a place in lists, as ^place
	lists  []int32 // how many pieces, and their numbers
	pieces []piece
}

const (
	none = math.MaxInt32
	full = math.MaxInt32 - 1
	few  = 6       // pieces of a leaf
	fine = 1. / 32 // mm: of a leaf, however many pieces it has
)

// holds reports whether a piece holds a place.
func (t *tree) holds(v vec) bool {
	if len(t.nodes) == 0 {
		return false
	}
	at, size, node := v.less(t.from), t.size, t.nodes[0]
	if !(at.x >= 0 && at.x < size && at.z >= 0 && at.z < size) {
		return false
	}
	for node >= 0 {
		if node >= full {
			return node == full
		}
		size /= 2
		if at.x >= size {
			at.x, node = at.x-size, node+1
		}
		if at.z >= size {
			at.z, node = at.z-size, node+2
		}
		node = t.nodes[node]
	}
	list := t.lists[^node:]
	for _, i := range list[1 : 1+list[0]] {
		if t.pieces[i].holds(v) {
			return true
		}
	}
	return false
}

// A grower makes a tree.
type grower struct {
	*pieces
	tree
	m        *work.Meter
	number   map[[2]int32]int32 // of a piece in the tree, by its offset and clamp
	made     []convex           // pieces that are looked at
	rooms    []convex           // for those that come next
	items    []item             // of the cells that are looked at, one in another
	parts    []share
	left     [][2]float64
	edges    []stretch
	brackets []bracket // of the offsets
	done     float64   // share of the square
	room     []corner
	clip     [2]convex
}

// What is inside of a piece by the margin is inside of it however pieces grow. A cell is
// looked at with a border, so that what is near its own is told the same from both sides.
const (
	margin = 2e-7
	border = 1e-6
)

// grow makes the tree of all pieces, and its edges.
func grow(m *work.Meter, p *pieces) *grower {
	g := &grower{pieces: p, m: m, number: map[[2]int32]int32{}}
	width := p.all.width() + 4*border
	g.size = 1
	for g.size < width {
		g.size *= 2
	}
	// No line that bounds have is likely to be one between quarters.
	const odd = 0.3819660113
	left := 2*border + float64(odd*(g.size-width))
	g.from = vec{p.all.lo.x - left, p.all.lo.z - left}
	items := make([]item, len(p.offsets))
	for i := range items {
		items[i] = item{offset: int32(i), level: int32(len(p.runs) - 1), made: -1}
	}
	g.nodes = append(g.nodes, none)
	g.cell(0, g.from, g.size, items)
	return g
}

// cell decides what a node is, of which the pieces are among the items.
func (g *grower) cell(node int, lo vec, size float64, among []item) {
	q := box{lo, vec{lo.x + size, lo.z + size}}
	kept, held := len(g.made), len(g.items)
	defer func() {
		g.rooms, g.made, g.items = append(g.rooms, g.made[kept:]...), g.made[:kept], g.items[:held]
	}()
	wide := q.by(border)
	if g.covered(wide, among) {
		g.nodes[node] = full
		g.end(size)
		return
	}
	items := g.near(wide, among, size/4)
	isFull := g.thin(wide, &items)
	if !isFull && len(items) <= 2*few && !single(items) {
		items = g.near(wide, items, 0)
		isFull = g.thin(wide, &items)
	}
	switch {
	case !g.m.Do(1 + len(items)/2):
	case isFull:
		g.nodes[node] = full
		g.end(size)
	case len(items) == 0:
		g.end(size)
	case len(items) <= few && single(items) || size <= fine:
		g.leaf(node, q, g.near(wide, items, 0))
		g.end(size)
	default:
		first := len(g.nodes)
		g.nodes[node] = int32(first)
		g.nodes = append(g.nodes, none, none, none, none)
		g.m.Do(64)
		for i := range 4 {
			g.cell(first+i, vec{lo.x + size/2*float64(i&1), lo.z + size/2*float64(i>>1)}, size/2, items)
		}
	}
}

// end counts a node that has no quarters.
func (g *grower) end(size float64) { g.done += (size / g.size) * (size / g.size) }

func single(items []item) bool {
	for _, i := range items {
		if i.level != 0 {
			return false
		}
	}
	return true
}

// near returns those of the items that may meet a box, in runs of clamps that differ by no
// more than spread.
func (g *grower) near(q box, among []item, spread float64) []item {
	first := len(g.items)
	var add func(i item)
	add = func(i item) {
		switch {
		case !g.pieces.box(i).meets(q) || g.beside(i, q):
		case i.level > 0 && (g.runs[i.level][i.run].spread > spread || spread == 0):
			i.level, i.run, i.made = i.level-1, 2*i.run, -1
			add(i)
			if i.run++; int(i.run) < len(g.runs[i.level]) {
				add(i)
			}
		default:
			g.items = append(g.items, i)
		}
	}
	for _, i := range among {
		add(i)
	}
	items := g.items[first:len(g.items):len(g.items)]
	g.m.Do((len(among) + len(items)) / 4)
	return items
}

// beside reports whether an item is beyond a line along an edge of its offset.
func (g *grower) beside(i item, q box) bool {
	c := &g.runs[i.level][i.run].box
	for _, s := range g.sides[i.offset] {
		v := vec{q.lo.x - c.hi.x, q.lo.z - c.hi.z}
		if s.n.x < 0 {
			v.x = q.hi.x - c.lo.x
		}
		if s.n.z < 0 {
			v.z = q.hi.z - c.lo.z
		}
		if s.n.dot(v) > s.c+margin {
			return true
		}
	}
	return false
}

// polygon is the piece of an item, or that in the middle of its run.
func (g *grower) polygon(i *item) convex {
	if i.made < 0 {
		g.room = appendSum(g.room[:0], g.clamps[g.middle(*i)], g.offsets[i.offset])
		var c convex
		if n := len(g.rooms); n > 0 {
			c, g.rooms = g.rooms[n-1][:0], g.rooms[:n-1]
		}
		for _, v := range g.room {
			c = append(c, v.vec)
		}
		i.made = int32(len(g.made))
		g.made = append(g.made, c)
	}
	return g.made[i.made]
}

// A bid is an item and how good it seems.
type bid struct {
	of   int
	much float64
}

// best are the items that seem best, the best first, and no more than some.
type best [8]bid

func (b *best) add(of int, much float64) {
	next := bid{of, much}
	for i := range b {
		if next.much > b[i].much {
			next, b[i] = b[i], next
		}
	}
}

// covered reports whether one of the pieces that seem best holds all of a box.
func (g *grower) covered(q box, items []item) bool {
	var most best
	for k := range items {
		if b := g.boxes[items[k].offset].plus(g.runs[0][g.middle(items[k])].box); b.holds(q) {
			most.add(k, min(q.lo.x-b.lo.x, b.hi.x-q.hi.x, q.lo.z-b.lo.z, b.hi.z-q.hi.z))
		}
	}
	corners := q.corners()
	for _, b := range most {
		if b.much <= 0 {
			break
		}
		if i := items[b.of]; g.polygon(&i).inside(corners[:]) {
			return true
		}
	}
	return !g.m.Do(len(items)/8 + 8)
}

// thin leaves out items that are outside of the box, or inside of another piece as far as
// they are in it, and reports whether one piece holds all of it.
func (g *grower) thin(q box, items *[]item) (isFull bool) {
	all, corners := *items, q.corners()
	var most best
	for k := range all {
		b := g.pieces.box(all[k]).and(q)
		most.add(k, (b.hi.x-b.lo.x)*(b.hi.z-b.lo.z))
	}
	var by [len(most)]convex
	var within [len(most)]box // of by, since most items are beyond it
	for n, b := range most {
		if b.much > 0 {
			by[n] = g.polygon(&all[b.of])
		}
		if by[n].inside(corners[:]) {
			return true
		}
		within[n] = by[n].box()
	}
	left := all[:0]
	for k := range all {
		b, hidden := g.pieces.box(all[k]).and(q), false
		corners = b.corners()
		for n := range by {
			hidden = hidden || within[n].holds(b) && most[n].of != k && by[n].inside(corners[:])
		}
		if !hidden {
			left = append(left, all[k])
		}
	}
	*items = left
	if !g.m.Do(len(all)/2) || len(left) > many && q.width() > 2.1 {
		return false
	}
	return g.shape(q, items)
}

// many is more items than are looked at one by one in a cell of more than 2 mm.
const many = 400

// shape is thin by the shapes of pieces.
func (g *grower) shape(q box, items *[]item) (isFull bool) {
	all, corners := (*items)[:0], q.corners()
	parts := g.parts[:0] // of the items, as far as they are in the box
	defer func() { g.parts = parts }()
	for _, i := range *items {
		if !g.m.Do(4) {
			return false
		}
		b := g.pieces.box(i)
		if b.holds(q) && g.polygon(&i).inside(corners[:]) {
			return true
		}
		var p share
		if i.level == 0 {
			p.corners = g.polygon(&i).cut(q, &g.clip)
		} else {
			c := b.and(q).corners()
			g.clip[0] = append(g.clip[0][:0], c[:]...)
			p.corners = g.clip[0]
		}
		if len(p.corners) == 0 {
			continue
		}
		if n := len(parts); n < cap(parts) {
			p.corners = append(parts[:n+1][n].corners[:0], p.corners...)
		} else {
			p.corners = slices.Clone(p.corners)
		}
		p.area = p.corners.area()
		all, parts = append(all, i), append(parts, p)
	}
	for range few {
		most := -1
		for k := range parts {
			if !parts[k].tried && (most < 0 || parts[k].area > parts[most].area) {
				most = k
			}
		}
		if most < 0 || !g.m.Do(len(all)) {
			break
		}
		parts[most].tried = true
		by, left := g.polygon(&all[most]), 0
		for k := range all {
			if parts[k].tried || !by.inside(parts[k].corners) {
				all[left] = all[k]
				parts[left], parts[k] = parts[k], parts[left]
				left++
			}
		}
		all, parts = all[:left], parts[:left]
	}
	*items = all
	return false
}

// A share is what an item has in a cell.
type share struct {
	corners convex
	area    float64
	tried   bool
}

// leaf makes a node of the pieces of a few items, and adds their edges.
func (g *grower) leaf(node int, q box, items []item) {
	place, held := len(g.lists), false
	g.lists = append(g.lists, int32(len(items)))
	for _, i := range items {
		of := [2]int32{i.offset, i.run}
		n, ok := g.number[of]
		if !ok {
			if !g.m.Do(1000) { // as much as keeps the memory in bounds
				return
			}
			n = int32(len(g.tree.pieces))
			g.number[of] = n
			g.tree.pieces = append(g.tree.pieces, g.piece(int(n), i.offset, i.run, g.room))
		}
		g.lists = append(g.lists, n)
	}
	list, before := g.lists[place+1:], len(g.edges)
	if g.stretches(q, list); len(g.edges) == before {
		for _, n := range list {
			held = held || g.tree.pieces[n].holds(vec{(q.lo.x + q.hi.x) / 2, (q.lo.z + q.hi.z) / 2})
		}
		if held { // they hold it together
			g.nodes[node], g.lists = full, g.lists[:place]
			return
		}
	}
	g.m.Do(20 * (1 + len(list)))
	g.nodes[node] = ^int32(place)
}
