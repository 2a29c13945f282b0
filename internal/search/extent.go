package search

// An Extent is what a frame may be at best and at worst.
type Extent struct{ best, worst bound }

// NewExtent is a frame as it stands.
func NewExtent(s *Standing) Extent { return Extent{s.bound, s.bound} }

// Add makes room for another way in which the frame may stand.
func (e *Extent) Add(s *Standing) {
	if s.bound.compare(&e.best) < 0 {
		e.best = s.bound
	}
	if s.bound.compare(&e.worst) > 0 {
		e.worst = s.bound
	}
}

// Sure reports whether a frame comes before another whatever they are; as
// ranked, where nothing that is compared here changes.
func Sure(a, b *Extent, ranked bool) bool {
	c := a.worst.compare(&b.best)
	return c < 0 || c == 0 && ranked && a.best == a.worst && b.best == b.worst
}
