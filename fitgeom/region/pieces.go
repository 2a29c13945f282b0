package region

import (
	"math"
	"slices"
)

// pieces is a region as the convex pieces that it is made of: each place of the clamp with
// each way from there to the head tube's top. There may be millions, so they are put
// together when they are looked at, and many are looked at together: those of an offset
// with some clamps that follow one another.
type pieces struct {
	origin  vec // of all places but those that go in and out
	clamps  []convex
	offsets []convex
	boxes   []box     // of the offsets
	sides   [][]plane // of the offsets, but for short ones
	runs    [][]clamp // of 1, 2, 4 ... clamps
	all     box
}

// A clamp is one place of the clamp, or a run of them.
type clamp struct {
	box
	spread float64 // by how much their own boxes differ
	lo, hi box     // of the corners of their boxes
}

func newPieces(clamps []clampPiece, offsets []convex) *pieces {
	p := &pieces{offsets: offsets, all: nothing}
	all := nothing
	for i := range clamps {
		all.add(clamps[i].box())
	}
	for _, o := range offsets {
		p.boxes, p.sides = append(p.boxes, o.box()), append(p.sides, o.sides(1))
		p.all.add(p.boxes[len(p.boxes)-1].plus(all))
	}
	p.origin = vec{math.Round((p.all.lo.x + p.all.hi.x) / 2), math.Round((p.all.lo.z + p.all.hi.z) / 2)}
	var run []clamp
	for i := range clamps {
		c := slices.Clone(clamps[i].convex)
		for k := range c {
			c[k] = c[k].less(p.origin)
		}
		b := c.box()
		p.clamps = append(p.clamps, c)
		run = append(run, clamp{box: b, lo: box{b.lo, b.lo}, hi: box{b.hi, b.hi}})
	}
	p.runs = append(p.runs, run)
	for len(run) > 1 {
		var longer []clamp
		for i := 0; i < len(run); i += 2 {
			c := run[i]
			if i+1 < len(run) {
				d := run[i+1]
				c.add(d.box)
				c.lo.add(d.lo)
				c.hi.add(d.hi)
			}
			c.spread = max(c.lo.width(), c.hi.width())
			longer = append(longer, c)
		}
		p.runs, run = append(p.runs, longer), longer
	}
	p.all = box{p.all.lo.less(p.origin), p.all.hi.less(p.origin)}
	return p
}

// An item is the pieces of an offset with a run of clamps.
type item struct {
	offset, run int32
	level       int32 // of runs
	made        int32 // place in what is made of the one piece, -1 if it is not
}

func (p *pieces) box(i item) box { return p.boxes[i.offset].plus(p.runs[i.level][i.run].box) }

// middle is the clamp in the middle of a run.
func (p *pieces) middle(i item) int32 {
	return min((2*i.run+1)<<i.level>>1, int32(len(p.clamps))-1)
}

// A plane is the side of a line on which a piece lies: n·v <= c.
type plane struct {
	n        vec
	c        float64
	from, to uint8 // corners of the offset between which it is
}

// sides are the planes of the edges that are longer than some.
func (c convex) sides(than float64) (all []plane) {
	for i, a := range c {
		e := c.edge(i)
		if length := math.Hypot(e.x, e.z); length > than {
			s := plane{n: vec{e.z / length, 0 - e.x/length}}
			s.c = s.n.dot(a)
			all = append(all, s)
		}
	}
	return all
}

// A piece is one convex polygon of a region, as an edge has it.
type piece struct {
	offset, clamp int32
	planes        []plane
	grow          float64 // by how much it is larger, so that no two edges lie on one line
}

// slack is more than rounding can make of a place.
const slack = 1e-9

func (p *piece) holds(v vec) bool {
	for i := range p.planes {
		if !(p.planes[i].n.dot(v) <= p.planes[i].c+slack) { // nor if it is not a number
			return false
		}
	}
	return true
}

// straight reports whether two edges have one direction, to rounding.
func straight(a, b vec) bool {
	turn := float64(a.x*b.z) - float64(a.z*b.x)
	return turn*turn <= 1e-20*a.dot(a)*b.dot(b) && a.dot(b) >= 0
}

// piece makes the one with a number.
func (p *pieces) piece(number int, offset, clamp int32, room []corner) piece {
	corners := appendSum(room[:0], p.clamps[clamp], p.offsets[offset])
	made := piece{offset: offset, clamp: clamp, planes: make([]plane, 0, len(corners))}
	// Numbers that follow one another have growths that are far apart.
	_, part := math.Modf(float64(number) * (math.Phi - 1))
	made.grow = slack * (1 + part)
	var along vec
	for i, a := range corners {
		s := plane{from: a.of, to: corners[(i+1)%len(corners)].of}
		if n := len(made.planes); n > 0 && straight(along, a.along) {
			a.along, s.from = a.along.plus(along), made.planes[n-1].from
			made.planes = made.planes[:n-1]
		}
		along = a.along
		length := math.Hypot(along.x, along.z)
		if length == 0 {
			continue
		}
		s.n = vec{along.z / length, 0 - along.x/length}
		for k, b := range corners {
			if c := s.n.dot(b.vec); k == 0 || c > s.c {
				s.c = c
			}
		}
		made.planes = append(made.planes, s)
	}
	return made
}

// In what part of a line, from lo to hi, it is inside: the places o + t d. The piece has grown.
func (p *piece) cut(o, d vec, lo, hi float64, but int) (float64, float64) {
	for i := range p.planes {
		if i == but {
			continue
		}
		s := &p.planes[i]
		left, rate := s.c+p.grow-s.n.dot(o), s.n.dot(d)
		switch {
		case rate > 1e-13:
			hi = min(hi, left/rate)
		case rate < -1e-13:
			lo = max(lo, left/rate)
		case left < 0:
			return 1, 0
		}
		if !(lo < hi) {
			return 1, 0
		}
	}
	return lo, hi
}
