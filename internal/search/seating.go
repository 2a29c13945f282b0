package search

// A seating is what the best seats of a seat part cost, as an order of frames needs it.
type seating struct {
	part          uint32 // one more than its number; 0: none
	fits, holds   bool
	best, holding merit
}

// A seatCache keeps what was found of seat parts: of as many as there are in catalogues of
// real size, and otherwise of those that were asked for last. What it does not have any
// more is searched again.
type seatCache struct {
	sums []seating
	best []bestSeat
}

// A bestSeat is the best options of a seat part.
type bestSeat struct {
	part uint32
	two  *leaders
}

func newSeatCache(parts int) seatCache {
	return seatCache{make([]seating, min(many.seatings, parts)), make([]bestSeat, min(many.seats, parts))}
}

// seatOf is the best seats of a frame.
func (q *Question) seatOf(record uint32) *leaders {
	part := q.x.records[record].seat
	at := &q.seats.best[int(part)%len(q.seats.best)]
	if at.part != part+1 {
		*at = bestSeat{part + 1, q.seat(&q.x.size(record).Frame)}
		s := seating{part: part + 1}
		if o := at.two.best; o != nil {
			s.fits, s.best = true, o.merit
		}
		if o := at.two.holding; o != nil {
			s.holds, s.holding = true, o.merit
		}
		q.seats.sums[int(part)%len(q.seats.sums)] = s
	}
	return at.two
}

// seating is what the best seats of a frame cost.
func (q *Question) seating(record uint32) *seating {
	part := q.x.records[record].seat
	at := &q.seats.sums[int(part)%len(q.seats.sums)]
	if at.part != part+1 {
		q.seats.best[int(part)%len(q.seats.best)].part = 0 // so that it is searched
		q.seatOf(record)
	}
	return at
}
