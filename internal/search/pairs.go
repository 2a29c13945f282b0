package search

import (
	"math"
	"slices"

	"example.com/fitgeom/fitgeom/part"
)

// A pairs is the best builds that hold where laws look at both groups, so that the best of each
// need not go together: of each set of parts that vary the best one. Front ends come in one by
// one and are paired with all seats.
type pairs struct {
	job
	most  int
	limit *merit    // if not nil, those that are no worse are all that matters
	seats []*option // that hold, best first
	best  []pairing // best first
}

func (p *pairs) full() bool { return len(p.best) == p.most }

// admits reports whether a front end could make a build that is kept.
func (p *pairs) admits(front *merit) bool {
	return len(p.seats) > 0 && p.near(front.plus(&p.seats[0].merit))
}

// near reports whether a build of some merit could be kept.
func (p *pairs) near(m merit) bool {
	if p.limit != nil && m.compare(p.limit, true) > 0 {
		return false
	}
	if !p.full() {
		return true
	}
	last := p.best[p.most-1].merit()
	return m.compare(&last, true) <= 0
}

// add pairs a front end that holds.
func (p *pairs) add(front *option) {
	var own *option
	for _, seat := range p.seats {
		pair := pairing{front, seat}
		if !p.near(pair.merit()) || !p.meter.Do(1) {
			return
		}
		twin := slices.IndexFunc(p.best, func(b pairing) bool { return b.key() == pair.key() })
		if twin >= 0 && p.best[twin].compare(pair, true) <= 0 || p.breaks(p.laws.joint, p.frame, pair) {
			continue
		}
		if own == nil {
			own = new(option)
			*own = *front
		}
		pair.front = own
		if twin >= 0 {
			p.best = slices.Delete(p.best, twin, twin+1)
		}
		at, _ := slices.BinarySearchFunc(p.best, pair, func(a, b pairing) int { return a.compare(b, true) })
		p.best = slices.Insert(p.best, at, pair)
		p.best = p.best[:min(len(p.best), p.most)]
	}
}

// newPairs returns what takes the front ends of a frame; nil if no law looks at both groups.
func newPairs(j job, most int, limit *merit) *pairs {
	if len(j.laws.joint) == 0 {
		return nil
	}
	p := &pairs{job: j, most: most, limit: limit}
	p.lot()
	return p
}

// lot takes the best seats that hold, of those that come after the ones that it has; false if
// there are none.
func (p *pairs) lot() bool {
	l := newShortlist(many.paired, p.counts, part.AllKinds, seatKinds)
	l.limit, l.apart = &merit{short: math.MaxInt}, true
	if n := len(p.seats); n > 0 {
		l.after = p.seats[n-1]
	}
	j := p.job
	j.list = l
	j.seats()
	p.seats = l.holding.list()
	// All of them are kept, but builds differ in what varies alone.
	vary := newShortlist(1, p.counts, p.problem.Vary, seatKinds)
	for _, o := range p.seats {
		o.key = vary.key(o, false)
	}
	return len(p.seats) > 0
}

// rest pairs all front ends with the seats for which there was no room; false if the meter
// stopped it.
func (p *pairs) rest(limit *merit) bool {
	if limit == nil {
		limit = &merit{short: math.MaxInt}
	}
	for len(p.seats) == many.paired && p.lot() && !p.meter.Stopped() {
		l := newShortlist(1, p.counts, p.problem.Vary, frontKinds)
		l.limit, l.pairs = limit, p
		j := p.job
		j.list = l
		if _, err := j.fronts(); err != nil {
			break // the first search says why
		}
	}
	return !p.meter.Stopped()
}
