package search

import (
	"cmp"
	"math"
	"slices"
)

// Ranking is fast because lower bounds show, without a search, that most frames are worse
// than the best ones. For all frames with one head angle, stem, cap and spacers are fixed
// offsets from the head tube's top in steerer coordinates. The places wanted for a bar's
// clamp form an arc, by its roll. The cost grows with the distance between offset and
// arc, so the least distance gives a lower bound for the frame. The arc spans only a few
// mm across the steerer, which rules out most stems at once. Under a stem, only the
// heights near the arc are examined; they are found in closed form.
//
// The first pass bounds every front end and keeps the most promising. The second searches
// these, best bound first, and stops when a bound is worse than the last of the best
// frames: as no true value is better than its bound, all remaining frames are worse. If
// the first pass has kept too few, both are repeated with a wider limit.

// search ranks frames by their bounds. It looks first for frames that may hold.
func (q *Question) search() {
	limit, all := bound{class: holding, buys: math.MaxInt}, false
	done := map[uint32]bool{}
	for {
		found, reached := q.bounds(limit, all)
		slices.SortFunc(found, func(a, b promise) int {
			return cmp.Or(a.compare(&b.bound), cmp.Compare(a.point, b.point))
		})
		for i := range found {
			p := &found[i]
			if len(q.best) == q.p.Limit && p.compare(&q.best[len(q.best)-1].bound) > 0 {
				break
			}
			if !done[p.point] {
				done[p.point] = true
				q.point(p)
			}
		}
		// Every point that was skipped is worse than reached.
		full := len(q.best) == q.p.Limit
		switch {
		case reached.class > unfit, full && q.best[len(q.best)-1].bound.compare(&reached) <= 0:
			return
		}
		limit = bound{class: unfit + 1}
		if full {
			limit, all = q.best[len(q.best)-1].bound, true
		}
		if q.pointSeats == nil && q.weigh() {
			all = false
		}
	}
}

// weigh searches the seats of all frames. It finds the least cost of the seats of each
// point and whether any seat holds. This tightens the bounds if few or no seats hold. It
// does nothing if there are so many seats that it would take longer than it saves.
func (q *Question) weigh() bool {
	const most = 100_000
	if len(q.x.seats) > most {
		return false
	}
	q.pointSeats = make([]float64, len(q.x.points))
	holds := false
	for i := range q.x.points {
		p := &q.x.points[i]
		least := math.Inf(1)
		for _, r := range q.x.byFront[q.x.fronts[p.from].from:q.x.fronts[p.to-1].to] {
			if seat := q.seatOf(r); seat[0] != nil {
				least = min(least, seat[0].cost)
				holds = holds || seat[1] != nil
			}
		}
		if !math.IsInf(least, 1) {
			q.pointSeats[i] = least * (1 - 1e-12)
		}
	}
	q.noSeat = !holds
	return true
}

// floor returns a lower bound of the cost of all seats of a point.
func (q *Question) floor(point uint32) float64 {
	if q.pointSeats == nil {
		return q.seatCost
	}
	return q.pointSeats[point]
}

// A promise is the lower bound of a point of the index, and the value that its front end
// almost surely attains.
type promise struct {
	bound
	keeps bound
	point uint32
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
		for _, record := range records {
			switch {
			case front[0] == nil:
				q.offer(q.stand(record, nil, nil))
			case !q.hopeless(front, record):
				q.offer(q.stand(record, front, q.seatOf(record)))
			}
		}
	}
}

// seatOf returns the seat of a frame. Frames with the same seat tube share one search.
func (q *Question) seatOf(record uint32) *[2]*option {
	seat := &q.seats[q.x.records[record].seat]
	if *seat == nil {
		*seat = q.seat(&q.x.size(record).Frame)
	}
	return *seat
}

// promising reports whether a frame may be among the best, given its seat and the bound
// of its front end. The bound's cost includes the given floor for the seat, which is
// replaced by the true cost.
func (q *Question) promising(front *bound, floor float64, record uint32) bool {
	if len(q.best) < q.p.Limit {
		return true
	}
	last := &q.best[len(q.best)-1].bound
	if last.class == unfit {
		return true
	}
	seat := q.seatOf(record)
	with := func(class uint8, cost float64, o *option) bool {
		b := *front
		b.class = class
		b.cost = (max(0, cost-floor) + o.cost) * (1 - 1e-12)
		b.buys += o.buys - q.seatBuys
		return b.compare(last) <= 0
	}
	if front.class == holding && seat[1] != nil && with(holding, front.cost, seat[1]) {
		return true
	}
	if seat[0] == nil || last.class == holding {
		return false
	}
	if front.class == failing {
		return with(failing, front.cost, seat[0])
	}
	// A front end that does not hold may cost less than one that may hold, and have
	// other parts.
	return seat[0].cost*(1-1e-12) <= last.cost
}

// hopeless reports whether a frame cannot be among the best, whatever its seat.
func (q *Question) hopeless(front *[2]*option, record uint32) bool {
	if len(q.best) < q.p.Limit {
		return false
	}
	last := &q.best[len(q.best)-1]
	for class := range uint8(2) {
		o := front[1-class]
		if o == nil {
			continue
		}
		s := Standing{bound: bound{class, o.buys + q.seatBuys, float64(o.cost + q.seatCost), o.order[0], o.order[1], o.order[2]}, front: o.order, place: q.x.records[record].place}
		for i := range s.seat {
			s.seat[i] = math.MinInt64
		}
		if s.compare(last) < 0 {
			return false
		}
	}
	return true
}

// bounds returns the points with a bound no worse than a limit. Unless all is true, it
// lowers the limit as it finds promising points. It also returns the limit reached: the
// bounds of all other points are worse than that.
func (q *Question) bounds(limit bound, all bool) (found []promise, reached bound) {
	b := bounder{q: q, limit: limit, all: all}
	for i := range q.x.columns {
		b.column(&q.x.columns[i])
	}
	return b.found, b.limit
}
