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
	counts bool       // whether what must be bought counts
	best   []Standing // best first, at most p.Limit

	seats    seatCache
	seatCost float64 // what every seat costs at least
	seatBuys int     // what must be bought for every seat
	noSeat   bool    // it is known that no seat holds
	done     []bool  // the points that were searched
	// What the seats of each point cost at least, once they are weighed.
	pointSeats []float64
}

// Ask prepares a question, for a problem that has been filled and checked.
func (x *Index) Ask(m *work.Meter, p *Problem) *Question {
	q := &Question{x: x, p: p, w: newWish(m, p), counts: p.Bike != fitgeom.Build{}}
	q.seats = newSeatCache(x.seats)
	q.floors()
	return q
}

// Rank returns the best frames, best first. If the meter stops it, they are the best of
// those that were searched, and open is the least score that another one may have and
// still belong among them.
func (q *Question) Rank() (best []Standing, open float64) {
	cost := 0.0
	if q.p.Wheels != (chart.Wheels{}) || q.w.laws.alone() {
		cost = q.each()
	} else {
		cost = q.search()
	}
	return q.best, q.w.score(q.w.least(cost))
}

// floors finds what cranks and pedals cost on every frame, and how many parts of
// the seat must be bought on every frame.
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
	if !math.IsInf(least, 1) {
		q.seatCost = least
	}
	if !q.counts {
		return
	}
	for _, have := range [...]bool{
		slices.Contains(s.Seatposts, now.Seatpost), slices.Contains(s.Saddles, now.Saddle), slices.Contains(s.Cranks, now.Crank),
		len(s.Pedals) == 0 || slices.Contains(s.Pedals, now.Pedal),
	} {
		if !have {
			q.seatBuys++
		}
	}
}

// each searches every frame. It returns what those cost at least that were not searched.
func (q *Question) each() float64 {
	for i := range q.x.records {
		s := q.alone(uint32(i), &q.x.size(uint32(i)).Frame)
		if q.w.meter.Stopped() {
			return q.seatCost
		}
		q.offer(s)
	}
	return 0
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

// limit is what a front end must be no worse than so that its frame can come among the best, if
// these all hold.
func (q *Question) limit() *merit {
	last := q.last()
	if last == nil {
		return nil
	}
	m := *last
	m.buys -= q.seatBuys
	m.room -= q.w.mostRoom[1]
	m.cost -= q.seatCost
	return &m
}

// last is the merit of the last of the best frames, if these all hold.
func (q *Question) last() *merit {
	if len(q.best) < q.p.Limit || !q.best[len(q.best)-1].Holds() {
		return nil
	}
	return &q.best[len(q.best)-1].merit
}

// front searches the front end of a frame, as far as the frame can come among the best. If the meter stops it the answer is of no use;
// the same holds for all that follows.
func (q *Question) front(frame *fitgeom.Frame) *leaders {
	q.Scored++
	ch := ChassisOf(frame, q.p.Wheels)
	l := newShortlist(1, q.counts, q.p.Vary, frontKinds)
	l.limit = q.limit()
	l.pairs = newPairs(newJob(q.w, q.p, frame, &ch, nil), 1, q.last())
	if _, err := newJob(q.w, q.p, frame, &ch, l).fronts(); err != nil {
		return &leaders{} // Solve says why
	}
	if l.pairs != nil {
		l.pairs.rest(l.limit)
	}
	two := l.leaders()
	for _, o := range [...]*option{two.best, two.holding} {
		if o != nil {
			o.pile = o.pile.alone()
		}
	}
	if two.pair != nil {
		two.pair.front.pile = two.pair.front.pile.alone()
	}
	return two
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
	barred := q.w.breaks(q.w.laws.frame, frame, pairing{})
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

// alone tells where a frame stands by a search of its own.
func (q *Question) alone(record uint32, frame *fitgeom.Frame) Standing {
	if q.p.Wheels.ValidateOn(frame.Geometry) != nil {
		return q.stand(record, frame, nil, nil)
	}
	return q.stand(record, frame, q.front(frame), q.seat(frame))
}

// offer puts a frame among the best if it belongs there.
func (q *Question) offer(s Standing) {
	if len(q.best) == q.p.Limit && s.compare(&q.best[len(q.best)-1]) >= 0 {
		return
	}
	at, _ := slices.BinarySearchFunc(q.best, &s, func(a Standing, b *Standing) int { return a.compare(b) })
	if len(q.best) == q.p.Limit {
		q.best = q.best[:len(q.best)-1]
	}
	q.best = slices.Insert(q.best, at, s)
}

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
	return q.alone(record, frame)
}
