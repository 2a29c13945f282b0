package design

import (
	"math"
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
)

// conflict finds what contradicts, the least changes, and the frame that they leave.
func (d *Design) conflict(c *course) error {
	s := d.s
	left := s.every()
	for {
		found, err := s.search(c, left, true)
		if err != nil {
			return err
		}
		if found.missed <= held {
			break
		}
		if len(left) == 0 {
			return fault.New("target", "", "a position for which there is a frame at all", contact.ErrConflict)
		}
		core, err := s.core(c, left)
		if err != nil {
			return err
		}
		if len(core) == 0 {
			return fault.New("target", "", "a position for which there is a frame at all", contact.ErrConflict)
		}
		d.Contradictions = append(d.Contradictions, Contradiction{Wishes: core})
		left = slices.DeleteFunc(left, func(i int) bool { return slices.Contains(core, i) })
	}
	if err := d.settle(c); err != nil {
		return err
	}
	for i := range d.Contradictions {
		core := &d.Contradictions[i]
		var err error
		if core.Changes, err = d.single(c, core.Wishes, slices.Concat(core.Wishes, left)); err != nil {
			return err
		}
	}
	return nil
}

// core returns wishes that contradict of which none can be left out: one after another is
// left out for good if what remains still contradicts, half of them at a time where that
// does, the last ones first: those are what the parts are, and a rider has words for the others.
func (s *space) core(c *course, all []int) ([]int, error) {
	core := slices.Clone(all)
	for size := max(1, len(core)/2); ; size /= 2 {
		for end := len(core); end > 0; {
			at := max(0, end-size)
			without := slices.Concat(core[:at], core[end:])
			found, err := s.search(c, without, true)
			if err != nil {
				return nil, err
			}
			if found.missed > held {
				core = without
			}
			end = at
		}
		if size == 1 {
			return core, nil
		}
	}
}

// single returns the least change of each wish of a contradiction that leaves a frame for
// all others of some wishes. Courses begin at a frame that has the others, and at the design.
func (d *Design) single(c *course, core, among []int) (all []Change, err error) {
	s := d.s
	for _, i := range core {
		others := slices.DeleteFunc(slices.Clone(among), func(j int) bool { return j == i })
		found, err := s.search(c, others, true)
		if err != nil {
			return nil, err
		}
		if found.missed > held {
			continue
		}
		n, in := s.demand(i)
		own := len(c.demands)
		for _, limit := range n.limits() {
			c.demands = append(c.demands, demand{limit, in, 1})
		}
		c.goals, c.whether = s.nearby(1e-6), false
		best, least := 0.0, math.Inf(1)
		for _, x := range append(c.begins()[:1:1], found.x, d.x) {
			p := place{x: x}
			if err := c.follow(&p); err != nil {
				return nil, err
			}
			off := 0.0
			for j := range n.limits() {
				off += c.demands[own+j].missed(&p.at)
			}
			if p.missed-off <= held && off < least {
				best, least = beyond(p.at.q[n], in), off
			}
		}
		if !math.IsInf(least, 1) {
			all = append(all, Change{i, best})
		}
	}
	return all, nil
}

// beyond is how far a number is beyond the ends of a span.
func beyond(v float64, in span) float64 {
	switch {
	case v > in.to:
		return v - in.to
	case v < in.from:
		return v - in.from
	}
	return 0
}

// settle finds the frame with the least changes of all wishes together.
func (d *Design) settle(c *course) error {
	s := d.s
	c.aim(nil)
	for i := range s.wishes {
		n, in := s.demand(i)
		for _, limit := range n.limits() {
			c.demands = append(c.demands, demand{limit, in, 1})
		}
	}
	best := place{missed: math.Inf(1)}
	begins := c.begins()
	for _, x := range begins[:min(3, len(begins))] {
		p := place{x: x}
		// Usual numbers count next to nothing: the changes are to be the least.
		c.goals, c.whether = s.nearby(1e-6), false
		if err := c.follow(&p); err != nil {
			return err
		}
		if p.missed < best.missed {
			best = p
		}
	}
	d.x, *d.view = best.x, best.at
	for i := range s.wishes {
		n, in := s.demand(i)
		if by := beyond(d.view.q[n], in); by*n.perUnit() > held || -by*n.perUnit() > held {
			d.Changes = append(d.Changes, Change{i, by})
		}
	}
	return nil
}
