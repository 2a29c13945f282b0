package region

import "math"

// pieces is a region as the convex pieces that it is made of: each place of the clamp with
// each way from there to the head tube's top. There may be millions, so they are put
// together when they are looked at.
type pieces struct {
	clamps, offsets   []convex
	ofClamp, ofOffset []box
	ofBlock           []box // of some clamps that follow one another
	all               box   // of all clamps
}

// block is how many clamps a block has.
const block = 16

func newPieces(clamps []clampPiece, offsets []convex) pieces {
	p := pieces{offsets: offsets, all: nothing}
	for i := range clamps {
		p.clamps = append(p.clamps, clamps[i].convex)
		b := clamps[i].box()
		p.ofClamp = append(p.ofClamp, b)
		if i%block == 0 {
			p.ofBlock = append(p.ofBlock, nothing)
		}
		p.ofBlock[i/block].add(b)
		p.all.add(b)
	}
	for _, o := range offsets {
		p.ofOffset = append(p.ofOffset, o.box())
	}
	return p
}

func (p *pieces) empty() bool { return len(p.clamps) == 0 || len(p.offsets) == 0 }

// box is the box of all pieces.
func (p *pieces) box() box {
	b := nothing
	for _, o := range p.ofOffset {
		b.add(o.plus(p.all))
	}
	return b
}

// each calls do with every piece, until it returns false, but for those that skip tells to
// leave out: it is asked of an offset and a box that holds some of the clamps. The piece
// is there only until do returns.
func (p *pieces) each(skip func(offset int, clamps box) bool, do func(convex) bool) {
	var piece convex
	for i, o := range p.offsets {
		if skip(i, p.all) {
			continue
		}
		for k, b := range p.ofBlock {
			if skip(i, b) {
				continue
			}
			for c := k * block; c < min(k*block+block, len(p.clamps)); c++ {
				if skip(i, p.ofClamp[c]) {
					continue
				}
				piece = appendSum(piece[:0], p.clamps[c], o)
				if !do(piece) {
					return
				}
			}
		}
	}
}

// slack is more than rounding can make of a place.
const slack = 1e-6

// hold reports whether a piece holds a place.
func (p *pieces) hold(v vec) (yes bool) {
	p.each(
		func(i int, c box) bool {
			if !p.ofOffset[i].plus(c).holds(v, slack) {
				return true
			}
			lo, hi := p.across(i, c, v.z, false)
			return !(v.x >= lo && v.x <= hi)
		},
		func(c convex) bool {
			yes = c.holds(v)
			return !yes
		},
	)
	return yes
}

// across returns a range that holds where a line meets the sums of an offset and of what
// is in a box.
func (p *pieces) across(i int, c box, at float64, upright bool) (lo, hi float64) {
	if upright {
		lo, hi = p.offsets[i].over(at-c.hi.x-slack, at-c.lo.x+slack, true)
		return lo + c.lo.z - slack, hi + c.hi.z + slack
	}
	lo, hi = p.offsets[i].over(at-c.hi.z-slack, at-c.lo.z+slack, false)
	return lo + c.lo.x - slack, hi + c.hi.x + slack
}

// crossings returns where a line meets the union of the pieces, in order.
func (p *pieces) crossings(at float64, upright bool) line {
	var all line
	p.each(
		func(i int, c box) bool {
			lo, hi := p.across(i, c, at, upright)
			return !(lo <= hi) || all.covers(lo, hi)
		},
		func(c convex) bool {
			if lo, hi, ok := c.along(at, upright); ok {
				all.add(lo, hi)
			}
			return true
		},
	)
	return union(all)
}

// over returns the range of the polygon between the lines z = from and z = to, or x if
// upright; none, so that lo is the greater, if it is not there.
func (c convex) over(from, to float64, upright bool) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for i, a := range c {
		b := c[(i+1)%len(c)]
		if upright {
			a, b = vec{a.z, a.x}, vec{b.z, b.x}
		}
		if a.z > b.z {
			a, b = b, a
		}
		if b.z < from || a.z > to {
			continue
		}
		x, y := a.x, b.x
		if d := b.z - a.z; d > 0 {
			if a.z < from {
				x += (b.x - a.x) * ((from - a.z) / d)
			}
			if b.z > to {
				y -= (b.x - a.x) * ((b.z - to) / d)
			}
		}
		lo, hi = min(lo, x, y), max(hi, x, y)
	}
	return lo, hi
}
