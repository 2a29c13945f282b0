package search

import (
	"cmp"
	"math"
	"slices"

	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
)

// A Standing holds the numbers by which a frame is sorted. The bound, which comes first,
// can be bounded from below without a search.
type Standing struct {
	bound
	front, seat [orderLength]int64
	place       uint32
	record      uint32
	pairing     pairing // nil for a frame on which no parts fit
}

// A bound holds the first numbers of a Standing, in their order, or lower bounds of them.
type bound struct {
	class uint8 // 0: holds; 1: does not; 2: no parts fit
	buys  int
	cost  float64
	// Of the front end.
	spacers, flipped, roll int64
}

const (
	holding = iota
	failing
	unfit
)

func (a *bound) compare(b *bound) int {
	if a.class != b.class {
		return cmp.Compare(a.class, b.class)
	}
	cost, buys := cmp.Compare(a.cost, b.cost), cmp.Compare(a.buys, b.buys)
	if a.class == holding {
		cost, buys = buys, cost
	}
	if cost != 0 {
		return cost
	}
	if buys != 0 {
		return buys
	}
	return cmp.Or(cmp.Compare(a.spacers, b.spacers), cmp.Compare(a.flipped, b.flipped), cmp.Compare(a.roll, b.roll))
}

func (a *Standing) compare(b *Standing) int {
	return cmp.Or(a.bound.compare(&b.bound), slices.Compare(a.front[:], b.front[:]), slices.Compare(a.seat[:], b.seat[:]), cmp.Compare(a.place, b.place))
}

// A Question is a ranking in progress.
type Question struct {
	// Scored is how many front ends were searched.
	Scored int

	x      *Index
	p      *Problem
	w      *wish
	counts bool
	best   []Standing // best first, at most p.Limit

	seats    []*[2]*option // by seat: the best of all, the best that holds; empty if nothing fits
	seatCost float64       // lower bound of the cost of all seats
	seatBuys int
	noSeat   bool // it is known that no seat holds
	// Lower bounds of the cost of the seats of each point, after weigh.
	pointSeats []float64
}

// Ask prepares a question, for a problem that has been filled and checked.
func (x *Index) Ask(p *Problem) *Question {
	q := &Question{x: x, p: p, w: newWish(p), counts: p.Bike != fitgeom.Build{}}
	q.seats = make([]*[2]*option, len(x.seats))
	q.floors()
	return q
}

// Rank returns the best frames, best first.
func (q *Question) Rank() []Standing {
	if q.p.Wheels != (chart.Wheels{}) {
		q.each()
	} else {
		q.search()
	}
	return q.best
}

// floors finds the least cost of cranks and pedals and the least number of seat parts to
// buy; both hold for every frame.
func (q *Question) floors() {
	s, now := &q.p.Shelf, &q.p.Bike
	lifts := Lifts(s.CleatShims)
	least := math.Inf(1)
	for ci := range s.Cranks {
		for pi := range max(1, len(s.Pedals)) {
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

// each searches every frame.
func (q *Question) each() {
	for i := range q.x.records {
		q.offer(q.alone(uint32(i), &q.x.size(uint32(i)).Frame))
	}
}

// front returns the best front end of a frame, and the best that holds.
func (q *Question) front(frame *fitgeom.Frame) *[2]*option {
	q.Scored++
	ch := chassisOf(frame, q.p.Wheels)
	r := newRanking(1, q.counts, q.p.Vary, frontKinds)
	q.w.fronts(r, frame, &ch, &q.p.Shelf, &q.p.Bike)
	return leaders(r)
}

// seat does the same for the seat.
func (q *Question) seat(frame *fitgeom.Frame) *[2]*option {
	ch := chassisOf(frame, q.p.Wheels)
	r := newRanking(1, q.counts, q.p.Vary, seatKinds)
	q.w.seats(r, frame, &ch, &q.p.Shelf, &q.p.Bike)
	return leaders(r)
}

func leaders(r *ranking) *[2]*option {
	l := new([2]*option)
	if len(r.all) > 0 {
		l[0] = &r.all[0]
	}
	if len(r.holding) > 0 {
		l[1] = &r.holding[0]
	}
	return l
}

// stand returns the standing of a frame, from its best front ends and seats.
func (q *Question) stand(record uint32, front, seat *[2]*option) Standing {
	s := Standing{bound: bound{class: unfit}, place: q.x.records[record].place, record: record}
	if front == nil || seat == nil || front[0] == nil || seat[0] == nil {
		return s
	}
	s.class = failing
	s.pairing = pairing{front[0], seat[0]}
	if front[1] != nil && seat[1] != nil {
		s.class = holding
		s.pairing = pairing{front[1], seat[1]}
	}
	f, t := s.pairing.front, s.pairing.seat
	s.cost, s.buys = float64(f.cost+t.cost), f.buys+t.buys
	s.front, s.seat = f.order, t.order
	s.spacers, s.flipped, s.roll = f.order[0], f.order[1], f.order[2]
	return s
}

// alone returns the standing of a frame, from a search of this frame alone.
func (q *Question) alone(record uint32, frame *fitgeom.Frame) Standing {
	if q.p.Wheels.ValidateOn(frame.Geometry) != nil {
		return q.stand(record, nil, nil)
	}
	return q.stand(record, q.front(frame), q.seat(frame))
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
