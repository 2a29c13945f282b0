package search

import (
	"cmp"
	"math"
	"slices"

	"example.com/fitgeom/internal/work"
)

// search ranks frames by their bounds. What can hold is looked for first. If the meter
// stops it, it returns what the frames that were not searched cost at least.
func (q *Question) search() float64 {
	limit, all := bound{class: holding, merit: merit{short: math.MaxInt}}, false
	q.done = make([]bool, len(q.x.points))
	for {
		found, reached, more := q.bounds(limit, all)
		if q.w.meter.Stopped() {
			return q.seatCost
		}
		work.Sort(q.w.meter, found, comparePromises)
		for i := range found {
			p := &found[i]
			if q.worse(&p.bound) {
				more = false
				break
			}
			q.done[p.point] = true
			if q.point(p); q.w.meter.Stopped() {
				if more {
					return q.seatCost
				}
				return q.open(found[i:], &reached)
			}
		}
		if more {
			continue // with those for which there was no room
		}
		// Everything that was passed by is worse than what was reached.
		full := len(q.best) == q.p.Limit
		if reached.class > unfit || full && q.best[len(q.best)-1].bound.compare(&reached) <= 0 {
			return 0
		}
		limit = bound{class: unfit + 1}
		if full {
			limit, all = q.best[len(q.best)-1].bound, true
		}
		if q.pointSeats == nil && q.weigh() {
			all = false
		}
		if q.w.meter.Stopped() {
			return q.seatCost
		}
	}
}

// worse reports whether what has this bound cannot come among the best.
func (q *Question) worse(b *bound) bool {
	return len(q.best) == q.p.Limit && b.compare(&q.best[len(q.best)-1].bound) > 0
}

// open is what frames cost at least that may belong among the best: those of promises,
// the best one first, and those that were passed by since they are worse than reached.
func (q *Question) open(promises []promise, reached *bound) float64 {
	least := math.Inf(1)
	add := func(b *bound, floor float64) {
		switch {
		case q.worse(b):
		case b.class == failing:
			least = min(least, b.cost)
		default: // what cannot hold may cost less, and so may what is worse otherwise
			least = min(least, floor)
		}
	}
	for i := range promises {
		add(&promises[i].bound, q.floor(promises[i].point))
	}
	if reached.class <= unfit {
		add(reached, q.seatCost)
	}
	if math.IsInf(least, 1) {
		return 0
	}
	return least
}

// weigh searches the seats of all frames, for what those of each point cost at
// least and whether any holds: where few or none do, fronts alone tell little. It
// does nothing if there are so many seats that it would take longer than it saves.
func (q *Question) weigh() bool {
	const most = 100_000
	if q.x.seats > most {
		return false
	}
	q.pointSeats = make([]float64, len(q.x.points))
	holds := false
	for i := range q.x.points {
		p := &q.x.points[i]
		least := math.Inf(1)
		for _, r := range q.x.byFront[q.x.fronts[p.from].from:q.x.fronts[p.to-1].to] {
			seat := q.seating(r)
			if q.w.meter.Stopped() {
				q.pointSeats = nil
				return false
			}
			if seat.fits {
				least = min(least, seat.best.cost)
				holds = holds || seat.holds
			}
		}
		if !math.IsInf(least, 1) {
			q.pointSeats[i] = least * (1 - 1e-12)
		}
	}
	q.noSeat = !holds
	return true
}

// floor is what every seat of a point costs at least.
func (q *Question) floor(point uint32) float64 {
	if q.pointSeats == nil {
		return q.seatCost
	}
	return q.pointSeats[point]
}

// A promise is the bound of a point of the index, and what it is nearly sure to keep.
type promise struct {
	bound
	keeps bound
	point uint32
}

// comparePromises is the order in which points are searched.
func comparePromises(a, b promise) int {
	return cmp.Or(a.compare(&b.bound), cmp.Compare(a.point, b.point))
}

// point searches the front ends of a point and offers their frames.
func (q *Question) point(promised *promise) {
	p := &q.x.points[promised.point]
	for i := p.from; i < p.to; i++ {
		f := &q.x.fronts[i]
		records := q.x.byFront[f.from:f.to]
		if promised.class < unfit && !slices.ContainsFunc(records, func(r uint32) bool { return q.promising(&promised.bound, q.floor(promised.point), r) }) {
			continue
		}
		col := &q.x.columns[f.column]
		key := frontKey{col.diameter, col.head, col.cut, f.reach, f.stack, f.most}
		frame := key.frame()
		front := q.front(&frame)
		if q.w.meter.Stopped() {
			return
		}
		for _, record := range records {
			switch {
			case front.best == nil && front.holding == nil && q.limit() != nil: // it holds too little, or nothing
			case front.best == nil && front.holding == nil:
				q.offer(q.stand(record, nil, nil, nil))
			case !q.hopeless(front, record):
				seat := q.seatOf(record)
				if q.w.meter.Stopped() {
					return
				}
				q.offer(q.stand(record, &q.x.size(record).Frame, front, seat))
			}
		}
	}
}

// promising reports whether a frame may come among the best, by the bound of its
// front end, of which a floor is for the seat, and by its seat.
func (q *Question) promising(front *bound, floor float64, record uint32) bool {
	if len(q.best) < q.p.Limit {
		return true
	}
	last := &q.best[len(q.best)-1].bound
	if last.class == unfit {
		return true
	}
	seat := q.seating(record)
	with := func(class uint8, seat merit) bool {
		b := bound{class, front.merit}
		b.cost = max(0, b.cost-floor)
		b.buys -= q.seatBuys
		b.room -= q.w.mostRoom[1]
		b.merit = b.plus(&seat)
		b.cost *= 1 - 1e-12
		return b.compare(last) <= 0
	}
	if front.class == holding && seat.holds && with(holding, seat.holding) {
		return true
	}
	if !seat.fits || last.class == holding {
		return false
	}
	if front.class == failing {
		return with(failing, seat.best)
	}
	// What does not hold may cost less than what may hold, and be of other parts.
	return seat.best.cost*(1-1e-12) <= last.cost
}

// hopeless reports whether a frame cannot come among the best, whatever its seat.
func (q *Question) hopeless(front *leaders, record uint32) bool {
	if len(q.best) < q.p.Limit {
		return false
	}
	last := &q.best[len(q.best)-1]
	for class, o := range [...]*option{holding: front.holding, failing: front.best} {
		if o == nil {
			continue
		}
		seat := merit{buys: q.seatBuys, room: q.w.mostRoom[1], cost: q.seatCost}
		s := Standing{bound: bound{uint8(class), o.plus(&seat)}, place: q.x.records[record].place}
		if s.compare(last) < 0 {
			return false
		}
	}
	return true
}

// bounds returns the points of which the bound is no worse than a limit, and
// which, unless all of these are wanted, are among the best so far; and how far
// they reach: the bounds of all others are worse than that. It leaves out the points that
// are done. If there are too many it returns the best of them, and that there are more.
func (q *Question) bounds(limit bound, all bool) (found []promise, reached bound, more bool) {
	b := bounder{q: q, limit: limit, all: all}
	for i := range q.x.columns {
		if b.column(&q.x.columns[i]); q.w.meter.Stopped() {
			break
		}
	}
	return b.found, b.limit, b.more != nil
}
