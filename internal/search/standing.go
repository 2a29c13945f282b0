package search

import "cmp"

// A Standing is what a frame is sorted by. Its first numbers can be bounded.
type Standing struct {
	bound
	place   uint32
	record  uint32
	pairing pairing // none for a frame on which no parts fit
}

// A bound is the beginning of a Standing. Of two frames that differ in it, it tells which is better.
type bound struct {
	class uint8 // holding, failing or unfit
	merit
}

// The classes, best first.
const (
	holding = iota
	failing
	unfit
)

func (a *bound) compare(b *bound) int {
	if a.class != b.class {
		return cmp.Compare(a.class, b.class)
	}
	return a.merit.compare(&b.merit, a.class == holding)
}

func (a *Standing) compare(b *Standing) int {
	return cmp.Or(a.bound.compare(&b.bound), cmp.Compare(a.place, b.place))
}

// Place is the place of a frame in the sizes of its index.
func (s *Standing) Place() int { return int(s.place) }

// Before reports whether a comes before b.
func (a *Standing) Before(b *Standing) bool { return a.compare(b) < 0 }

// Fits reports whether parts fit on the frame.
func (s *Standing) Fits() bool { return s.class != unfit }

// Holds reports whether the frame's best build holds the position.
func (s *Standing) Holds() bool { return s.class == holding }
