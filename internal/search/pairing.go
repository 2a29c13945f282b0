package search

import (
	"cmp"
	"slices"
)

// A pairing is one option of each group: a whole build.
type pairing struct{ front, seat *option }

// key is the parts in which candidates differ.
func (p pairing) key() [2][6]int { return [2][6]int{p.front.key, p.seat.key} }

// compare is the order of builds of which all hold, or of all builds.
func (p pairing) compare(u pairing, holding bool) int {
	a, b := p.merit(), u.merit()
	return cmp.Or(a.compare(&b, holding), slices.Compare(p.front.order[:], u.front.order[:]), slices.Compare(p.seat.order[:], u.seat.order[:]))
}

// merit is that of the whole build.
func (p pairing) merit() merit { return p.front.plus(&p.seat.merit) }

// merge returns the best builds that options of both groups make. The groups do
// not touch one another, so that a build whose options are the i-th and the j-th
// of their groups has at least ij - 1 builds before it.
func merge(front, seat []*option, most int, holding bool) []pairing {
	var all []pairing
	for i := range front {
		for j := range seat {
			if (i+1)*(j+1) > most {
				break
			}
			all = append(all, pairing{front[i], seat[j]})
		}
	}
	slices.SortFunc(all, func(a, b pairing) int { return a.compare(b, holding) })
	return all[:min(len(all), most)]
}

// bestOf returns the best builds of two groups: first those that hold, then the
// nearest of all that are no build again. None holds on a frame that is barred by a law.
func bestOf(front, seat *shortlist, limit int, barred bool) []pairing {
	var best []pairing
	switch {
	case barred:
	case front.pairs != nil:
		best = front.pairs.best
	default:
		best = merge(front.holding.list(), seat.holding.list(), limit, true)
	}
	if len(best) == limit {
		return best
	}
	seen := map[[2][6]int]bool{} // they are all that hold
	for _, p := range best {
		seen[p.key()] = true
	}
	for _, p := range merge(front.all.list(), seat.all.list(), 2*limit, false) {
		if len(best) < limit && !seen[p.key()] {
			best = append(best, p)
		}
	}
	return best
}
