package design

import (
	"context"
	"math"
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/work"
)

// A Range is what a number may be in the frames that have all that is wished.
type Range struct {
	Subject Subject
	// From and To are the least and the greatest value, mm or degrees; equal for what is
	// settled.
	From, To float64
}

// Ranges returns what is still free: for every dimension and every setting, in their order,
// and for the clearances that are wished for, the least and the greatest value that it has in
// any frame that has all wishes. Each end is that of a frame of its own: not all can be had
// together.
//
// It looks for ends from several frames, by steps that are small where numbers bend. Errors
// are those of [Problem.Solve], and [contact.ErrConflict] for wishes that contradict.
func (p Problem) Ranges(ctx context.Context) ([]Range, error) {
	m := work.New(ctx, p.Budget.Work)
	if m.Stopped() {
		return nil, m.Err("before it began")
	}
	s, err := newSpace(&p)
	if err != nil {
		return nil, err
	}
	c := &course{s: s, meter: m}
	c.solver.Meter = m
	c.goals = s.middle()
	found, err := s.search(c, s.every(), false)
	if err != nil {
		return nil, err
	}
	if found.missed > held {
		return nil, fault.New("wishes", "", "wishes that do not contradict", contact.ErrConflict)
	}
	return s.ranges(c, found)
}

// ranges finds both ends of every number. Each course begins at the frame, of those found,
// in which the number is best, and all are looked at once more when all ends are known.
func (s *space) ranges(c *course, first place) ([]Range, error) {
	c.aim(s.every())
	c.whether = false
	known := []place{first}
	asked := s.reported()
	for round := range 2 {
		begins := s.turned(known)
		for _, n := range asked {
			for _, way := range [...]float64{1, -1} {
				best := 0
				for i := range known {
					if way*known[i].at.q[n] < way*known[best].at.q[n] {
						best = i
					}
				}
				from := []int{best}
				if round > 0 {
					from = append(from, begins...)
				}
				for _, i := range from {
					p := known[i]
					c.goals = []goal{{at: n, target: p.at.q[n], cost: 1, way: way}}
					if err := c.follow(&p); err != nil {
						return nil, err
					}
					if p.missed <= held && way*p.at.q[n] < way*known[best].at.q[n]-1e-9 {
						known = append(known, p)
						best = len(known) - 1
					}
				}
			}
		}
	}
	out := make([]Range, len(asked))
	for i, n := range asked {
		r := Range{n.subject(), math.Inf(1), math.Inf(-1)}
		for j := range known {
			r.From, r.To = min(r.From, known[j].at.q[n]), max(r.To, known[j].at.q[n])
		}
		out[i] = r
	}
	return out, nil
}

// turned returns which of some frames have the least and the greatest angles.
func (s *space) turned(known []place) (all []int) {
	for _, v := range [...]int{vHead, vSeat, vStemAngle} {
		least, most := 0, 0
		for i := range known {
			if known[i].x[v] < known[least].x[v] {
				least = i
			}
			if known[i].x[v] > known[most].x[v] {
				most = i
			}
		}
		for _, i := range [...]int{least, most} {
			if known[least].x[v] < known[most].x[v] && !slices.Contains(all, i) {
				all = append(all, i)
			}
		}
	}
	return all
}

// every is the places of all wishes.
func (s *space) every() []int {
	all := make([]int, len(s.wishes))
	for i := range all {
		all[i] = i
	}
	return all
}

// reported is the numbers of which there are ranges.
func (s *space) reported() (all []number) {
	for n := range firstLimit {
		if !s.unknown(n) {
			all = append(all, n)
		}
	}
	return all
}
