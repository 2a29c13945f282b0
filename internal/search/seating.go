package search

import (
	"math"

	"example.com/fitgeom/internal/rig"
)

// A seating is what the best seats of a seat part cost, as an order of frames needs it.
type seating struct {
	part          seatPart // zero: none
	fits, holds   bool
	best, holding merit
}

// A seatPart is what the seat tubes of frames have in common, and how their wheels pitch them.
type seatPart struct{ angle, offset, top, diameter, insertion, depth, pitch float64 }

// seatPart is that of a record.
func (q *Question) seatPart(record uint32) seatPart {
	f := &q.x.size(record).Frame
	pitch, _ := f.Geometry.Pitch(q.p.Wheels)
	return seatPart{f.Geometry.SeatAngle, f.Geometry.SeatOffset, f.SeatTubeTop, rig.Socket(f.SeatpostInterface, f.SeatpostDiameter), f.SeatpostInsertion, f.SeatpostDepth, pitch}
}

// hash is a number that is most often another one for another part.
func (p *seatPart) hash() uint64 {
	n := uint64(0)
	for _, v := range [...]float64{p.angle, p.offset, p.top, p.diameter, p.insertion, p.depth, p.pitch} {
		n = (n ^ math.Float64bits(v)) * 0x9e3779b97f4a7c15
		n ^= n >> 29
	}
	return n
}

// A seatCache keeps what was found of seat parts, each where its hash has it, until another comes
// there. What it does not have any more is searched again.
type seatCache struct {
	sums []seating
	best []bestSeat
}

// A bestSeat is the best options of a seat part.
type bestSeat struct {
	part seatPart
	two  *leaders
}

// cache is the seat cache, which is made when it is first asked for.
func (q *Question) cache() *seatCache {
	if q.seats.sums == nil {
		room := func(n int) int { return min(max(1, n/max(1, q.p.Workers)), q.x.Len()) }
		q.seats = seatCache{make([]seating, room(many.seatings)), make([]bestSeat, room(many.seats))}
	}
	return &q.seats
}

// seatOf is the best seats of a frame.
func (q *Question) seatOf(record uint32) *leaders {
	part := q.seatPart(record)
	n, c := part.hash(), q.cache()
	at := &c.best[n%uint64(len(c.best))]
	if at.part != part {
		*at = bestSeat{part, q.seat(&q.x.size(record).Frame)}
		s := seating{part: part}
		if o := at.two.best; o != nil {
			s.fits, s.best = true, o.merit
		}
		if o := at.two.holding; o != nil {
			s.holds, s.holding = true, o.merit
		}
		c.sums[n%uint64(len(c.sums))] = s
	}
	return at.two
}

// seating is what the best seats of a frame cost.
func (q *Question) seating(record uint32) *seating {
	part := q.seatPart(record)
	n, c := part.hash(), q.cache()
	at := &c.sums[n%uint64(len(c.sums))]
	if at.part != part {
		c.best[n%uint64(len(c.best))].part = seatPart{} // so that it is searched
		q.seatOf(record)
	}
	return at
}
