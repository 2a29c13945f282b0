package search

import (
	"math"
	"slices"

	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/internal/work"
)

// A Question is one ranking in the making.
type Question struct {
	// Scored is how many front ends were searched.
	Scored int

	x      *Index
	p      *Problem
	w      *wish
	counts bool // whether what must be bought counts

	seats seatCache
	floor merit // what seats are no better than

	race     *race // with the other workers
	tree     *tree
	made     int                      // bounders
	bounders []*bounder               // of its roots
	fronts   map[float64]*frontSearch // by socket
}

// Ask prepares a question, for a problem that has been filled and checked.
func (x *Index) Ask(m *work.Meter, p *Problem) *Question {
	q := &Question{x: x, p: p, w: newWish(m, p), counts: p.Bike != fitgeom.Build{}, fronts: map[float64]*frontSearch{}, race: newRace(p.Limit)}
	q.floors()
	return q
}

// Rank returns the best frames, best first. If the meter stops it, they are the best of
// those that were searched, and open is the least score that another one may have and
// still belong among them.
func (q *Question) Rank() (best []Standing, open float64) {
	t := q.x.own
	if q.p.Wheels != (chart.Wheels{}) && q.x.Len() > 0 {
		t = q.x.newTree(q.w.meter, q.p.Wheels)
	}
	cost := 0.0
	switch {
	case t != nil:
		cost = q.search(t)
	case q.x.Len() > 0:
		cost = q.floor.cost
	}
	return q.race.best, q.w.score(q.w.least(cost, 4)) // bar, aero bar, seat and feet
}

// floors finds what seats are no better than on any frame: by cranks and pedals, by seatposts,
// and by what must be bought.
func (q *Question) floors() {
	s, now := &q.p.Shelf, &q.p.Bike
	lifts := Lifts(s.CleatShims)
	least := math.Inf(1)
	for ci := range s.Cranks {
		for pi := range max(1, len(s.Pedals)) {
			if !q.w.meter.Do(5 + len(lifts)/8) {
				return
			}
			if f, ok := q.w.feet(&s.Cranks[ci], s.Pedals, pi, lifts); ok {
				least = min(least, q.w.rounded(f.cost))
			}
		}
	}
	q.floor.room = q.w.mostRoom[1]
	if !math.IsInf(least, 1) {
		q.floor.cost = least
	}
	points := math.MaxInt
	for i := range s.Seatposts {
		points = min(points, q.p.Preference.Setback.Steps(s.Seatposts[i].Setback))
	}
	if len(s.Seatposts) > 0 {
		q.floor.pref = points
	}
	if !q.counts {
		return
	}
	for _, have := range [...]bool{
		slices.Contains(s.Seatposts, now.Seatpost), slices.Contains(s.Saddles, now.Saddle), slices.Contains(s.Cranks, now.Crank),
		len(s.Pedals) == 0 || slices.Contains(s.Pedals, now.Pedal),
	} {
		if !have {
			q.floor.buys++
		}
	}
}

// leaders is the best option of a group, and the best that holds, or the best pair of those that
// hold if laws look at both; nil if there is none.
type leaders struct {
	best, holding *option
	pair          *pairing
}

func (l *shortlist) leaders() *leaders {
	var two leaders
	if all := l.all.list(); len(all) > 0 {
		two.best = all[0]
	}
	if all := l.holding.list(); len(all) > 0 {
		two.holding = all[0]
	}
	if l.pairs != nil && len(l.pairs.best) > 0 {
		two.pair = &l.pairs.best[0]
	}
	return &two
}

// alone is the leaders without what others have in common with them.
func (l *leaders) alone() *leaders {
	for _, o := range [...]*option{l.best, l.holding} {
		if o != nil {
			o.pile = o.pile.alone()
		}
	}
	if l.pair != nil {
		l.pair.front.pile = l.pair.front.pile.alone()
	}
	return l
}

// searchOf is the search of all front ends of the socket of a frame, on which it is then.
func (q *Question) searchOf(frame *fitgeom.Frame) (f *frontSearch, err error) {
	ch, l := ChassisOf(frame, q.p.Wheels), newShortlist(1, q.counts, q.p.Vary, frontKinds)
	socket := socketOf(frame)
	if f = q.fronts[socket]; f != nil {
		return f, f.move(frame, &ch, l)
	}
	if len(q.fronts) == many.bounders {
		clear(q.fronts)
	}
	f, err = newFrontSearch(newJob(q.w, q.p, frame, &ch, l))
	q.fronts[socket] = f
	return f, err
}

// front searches the front end of a frame; if there is a last, as far as the frame holds and is no
// worse than that. If the meter stops it the answer is of no use; the same holds for all that
// follows.
func (q *Question) front(frame *fitgeom.Frame, last *merit) *leaders {
	q.Scored++
	f, err := q.searchOf(frame)
	if err != nil {
		return &leaders{} // Solve says why
	}
	l := f.list
	if last != nil {
		limit := last.less(&q.floor)
		l.limit = &limit
	}
	l.pairs = newPairs(f.job, 1, last)
	if f.all(); l.pairs != nil {
		l.pairs.rest(l.limit)
	}
	return l.leaders().alone()
}

// seat searches the seat of a frame.
func (q *Question) seat(frame *fitgeom.Frame) *leaders {
	ch := ChassisOf(frame, q.p.Wheels)
	l := newShortlist(1, q.counts, q.p.Vary, seatKinds)
	newJob(q.w, q.p, frame, &ch, l).seats()
	return l.leaders()
}

// stand tells where a frame stands, by its best front ends and seats.
func (q *Question) stand(record uint32, frame *fitgeom.Frame, front, seat *leaders) Standing {
	s := Standing{bound: bound{class: unfit}, place: q.x.records[record].place, record: record}
	if front == nil || seat == nil {
		return s
	}
	barred := q.barred(frame)
	switch {
	case front.pair != nil && !barred:
		s.class, s.pairing = holding, *front.pair
	case front.holding != nil && seat.holding != nil && !barred:
		s.class, s.pairing = holding, pairing{front.holding, seat.holding}
	case front.best != nil && seat.best != nil:
		s.class, s.pairing = failing, pairing{front.best, seat.best}
	default: // no parts fit, or it was not looked for what does not hold
		return s
	}
	s.merit = s.pairing.merit()
	return s
}

// barred reports whether a law bars a frame whatever is on it.
func (q *Question) barred(frame *fitgeom.Frame) bool {
	return q.w.breaks(q.w.laws.frame, frame, pairing{})
}

// alone tells where a frame stands by a search of its own; if there is a last, as far as it holds
// and is no worse than that.
func (q *Question) alone(record uint32, frame *fitgeom.Frame, last *merit) Standing {
	if q.p.Wheels.ValidateOn(frame.Geometry) != nil {
		return q.stand(record, frame, nil, nil)
	}
	return q.stand(record, frame, q.front(frame, last), q.seat(frame))
}

// offer puts a frame among the best if it belongs there.
func (q *Question) offer(s Standing) { q.race.offer(s) }

// Candidate returns the best build of a frame on which parts fit. The frame may be
// the one of the index, or one like it.
func (q *Question) Candidate(s *Standing, frame *fitgeom.Frame) fitgeom.Candidate {
	return q.w.candidate(frame, s.pairing)
}

// Goes reports whether the meter has not stopped it.
func (q *Question) Goes() bool { return !q.w.meter.Stopped() }

// Stand searches a frame by itself: that of the index at a place, or one like it.
func (q *Question) Stand(place int, frame *fitgeom.Frame) Standing {
	record, _ := q.x.record(place)
	return q.alone(record, frame, nil)
}
