package search

import (
	"math"
	"slices"

	"example.com/fitgeom/fitgeom"
)

// Place returns the place of the frame in the sizes of its index.
func (s *Standing) Place() int { return int(s.place) }

// Before reports whether a comes before b.
func (a *Standing) Before(b *Standing) bool { return a.compare(b) < 0 }

// Fits reports whether the shelf has parts that fit on the frame.
func (s *Standing) Fits() bool { return s.class != unfit }

// Holds reports whether the frame's best build holds the position.
func (s *Standing) Holds() bool { return s.class == holding }

// Candidate returns the best build of a frame on which parts fit. The frame is that of
// the index or a variant of it.
func (q *Question) Candidate(s *Standing, frame *fitgeom.Frame) fitgeom.Candidate {
	return q.w.candidate(q.p, frame, s.pairing)
}

// Stand searches a single frame: that of the index at a place, or a variant of it.
func (q *Question) Stand(place int, frame *fitgeom.Frame) Standing {
	record, _ := q.x.record(place)
	return q.alone(record, frame)
}

// Len returns how many frames there are.
func (x *Index) Len() int { return len(x.records) }

// Size returns the size at a place; false if the index has none there.
func (x *Index) Size(place int) (*fitgeom.Size, bool) {
	record, ok := x.record(place)
	if !ok {
		return nil, false
	}
	return x.size(record), true
}

// Family returns the places of a frame's family, from small to large, and the frame's
// index among them.
func (x *Index) Family(place int) (places []int, at int) {
	record, _ := x.record(place)
	family := x.records[record].family
	sizes := x.byFamily[x.ends[family]:x.ends[family+1]]
	for _, r := range sizes {
		places = append(places, int(x.records[r].place))
	}
	return places, slices.Index(sizes, record)
}

// A Decision is the rule that decides the order of two frames. Rules that are applied
// earlier have smaller numbers.
type Decision uint8

// The decisions.
const (
	ByFit Decision = iota + 1
	ByHolding
	ByScore
	ByPurchase
	BySpacers
	ByFlip
	ByRotation
	ByCrank
	ByRails
	ByShelf
	ByPlace
)

// Decide returns the rule that decides the order of two frames, and their difference in it.
func Decide(a, b *Standing) (Decision, float64) {
	off := func(x, y int64, unit float64) float64 { return math.Abs(float64(x-y)) / unit }
	cost, buys := a.cost != b.cost, a.buys != b.buys
	if a.class == holding && buys {
		cost = false
	}
	switch {
	case a.class != b.class && (a.class == unfit || b.class == unfit):
		return ByFit, 0
	case a.class != b.class:
		return ByHolding, 0
	case cost:
		return ByScore, 0
	case buys:
		return ByPurchase, math.Abs(float64(a.buys - b.buys))
	case a.spacers != b.spacers:
		return BySpacers, off(a.spacers, b.spacers, 1/tenth)
	case a.flipped != b.flipped:
		return ByFlip, 0
	case a.roll != b.roll:
		return ByRotation, off(a.roll, b.roll, 1e6)
	case a.front != b.front:
		return ByShelf, 0
	case a.seat[0] != b.seat[0]:
		return ByCrank, off(a.seat[0], b.seat[0], 1e6)
	case a.seat[1] != b.seat[1]:
		return ByRails, off(a.seat[1], b.seat[1], 1e6)
	case a.seat != b.seat:
		return ByShelf, 0
	}
	return ByPlace, 0
}

// An Extent holds the best and the worst standing that a frame may have.
type Extent struct{ best, worst bound }

// NewExtent returns the extent of a frame with one known standing.
func NewExtent(s *Standing) Extent { return Extent{s.bound, s.bound} }

// Add extends the extent to another possible standing of the frame.
func (e *Extent) Add(s *Standing) {
	if s.bound.compare(&e.best) < 0 {
		e.best = s.bound
	}
	if s.bound.compare(&e.worst) > 0 {
		e.worst = s.bound
	}
}

// Sure reports whether frame a comes before frame b for all their possible standings. If
// both extents are single and equal, the order of the ranking decides.
func Sure(a, b *Extent, ranked bool) bool {
	c := a.worst.compare(&b.best)
	return c < 0 || c == 0 && ranked && a.best == a.worst && b.best == b.worst
}
