package design

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom/region"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/work"
)

// A Design is a frame to build for a position, with its parts. It does not change after it
// is made. The zero Design has no frame.
type Design struct {
	// Wishes is all that was asked for: the wishes of the problem, in their order, those of
	// the room that is wanted, and what the parts are and can do.
	Wishes []Wish
	// Contradictions is which of them cannot all be had. None: the frame has all.
	Contradictions []Contradiction
	// Changes is the least changes of wishes, together, that leave a frame, which is this
	// one: the sum over all is least, where a tenth of a degree counts as a mm.
	Changes []Change

	s     *space
	x     free
	view  *view
	byAll [][]contact.Derivative // of numbers by the position's coordinates, where it is uncertain
}

// A Contradiction is wishes that cannot all be had, whatever others there are: without any
// one of them the others can.
type Contradiction struct {
	// Wishes is their places in [Design.Wishes].
	Wishes []int `json:"wishes"`
	// Changes is the least change of each of the wishes that by itself leaves a frame for
	// all others of the design's wishes, those of other contradictions aside. A wish for
	// which there is none is left out.
	Changes []Change `json:"changes,omitempty"`
}

// A Change is a wish whose range is widened.
type Change struct {
	// Wish is its place in [Design.Wishes].
	Wish int `json:"wish" range:"0 to 1000"`
	// By is how far beyond its end the number has to be, mm or degrees: positive above To,
	// negative below From.
	By float64 `json:"by"`
}

// Holds reports whether the frame has all that was asked for.
func (d Design) Holds() bool { return d.s != nil && len(d.Contradictions) == 0 }

// Geometry returns the frame's side view; of the zero Design the zero Geometry.
func (d Design) Geometry() chart.Geometry {
	if d.s == nil {
		return chart.Geometry{}
	}
	return d.view.g
}

// Front returns the front end on the frame: that of the problem, with what wishes leave
// free.
func (d Design) Front() region.FrontEnd {
	if d.s == nil {
		return region.FrontEnd{}
	}
	f := d.s.p.Front
	f.Up, f.Stem.Length = d.x[vUp], d.x[vStem]
	angle := d.x[vStemAngle]
	if f.Flipped {
		angle = -angle
	}
	if d.s.adjustable() {
		f.StemAngle = angle
	} else {
		f.Stem.Angle = angle
	}
	return f
}

// Value returns any number of the frame, of its parts and of its clearances, in mm or
// degrees, with its standard uncertainty from the position's; false if there is none, and
// for a clearance that was not wished for. The uncertainty is 0 where it is not known: of
// clearances, and of a frame that does not hold.
//
// What is wished exactly is exact; what follows from it and the position errs with the
// position; what is free is where the position's errors leave it in the middle of what is
// wished. First order (JCGM 100:2008).
func (d Design) Value(of Subject) (value, sigma float64, ok bool) {
	n, ok := of.number()
	if d.s == nil || !ok || d.s.unknown(n) {
		return 0, 0, false
	}
	return d.view.q[n], d.sigma(n), true
}

// unknown reports whether a number is a clearance that nobody wished for.
func (s *space) unknown(n number) bool {
	if n < firstClearance {
		return false
	}
	for _, w := range s.wishes {
		if m, _ := w.Subject.number(); m == n {
			return false
		}
	}
	return true
}

// Get returns a dimension of the frame as [Design.Value] does.
func (d Design) Get(dim chart.Dimension) (value, sigma float64, ok bool) {
	return d.Value(Subject{Dimension: dim})
}

// Chart returns every dimension of the frame as a chart that states a rounding; the numbers
// themselves are not rounded. The zero Design has none.
func (d Design) Chart(r chart.Rounding) chart.Chart {
	c := chart.Chart{Rounding: r}
	if d.s == nil {
		return c
	}
	for _, dim := range chart.Dimensions() {
		c.Entries = append(c.Entries, chart.Entry{Dimension: dim, Value: d.view.q[ofDimension(dim)]})
	}
	return c
}

// solve finds the design.
func (s *space) solve(m *work.Meter) (Design, error) {
	d := Design{Wishes: s.wishes, s: s, view: &view{}}
	c := &course{s: s, meter: m}
	c.solver.Meter = m
	c.goals = s.middle()
	found, err := s.search(c, s.every(), false)
	if err != nil {
		return Design{}, err
	}
	if found.missed <= held {
		d.x, *d.view = found.x, found.at
		if err := d.spread(c); err != nil {
			return Design{}, err
		}
		return d, nil
	}
	if err := d.conflict(c); err != nil {
		return Design{}, err
	}
	return d, nil
}

// A place is a frame that was found.
type place struct {
	x      free
	at     view
	missed float64
}

// search looks for a frame that has some wishes, and comes near to goals.
func (s *space) search(c *course, some []int, whether bool) (best place, err error) {
	best.missed = math.Inf(1)
	if !c.aim(some) {
		return best, nil
	}
	if c.whether = whether; whether {
		c.goals = s.nearby(1e-3)
	}
	for _, x := range c.begins() {
		p := place{x: x}
		if err := c.follow(&p); err != nil {
			return best, err
		}
		if p.missed < best.missed {
			best = p
		}
		if best.missed <= held {
			break
		}
	}
	return best, nil
}

// follow runs a course from a place, first without the background and then with what of it
// and of clearances is missed, which stays demanded of further ones.
func (c *course) follow(p *place) error {
	for range 4 {
		var ok bool
		if p.missed, ok = c.run(&p.x, &p.at); !ok {
			if c.meter.Stopped() {
				return c.meter.Err("in the search for a frame")
			}
			return fault.New("wishes", "", "numbers that can be worked with", contact.ErrRange)
		}
		if len(c.s.asked) > 0 && !c.clear {
			c.s.look(&p.x, &p.at, true)
		}
		more := false
		for _, list := range [...][]demand{background, c.later} {
			for _, b := range list {
				more = b.missed(&p.at) > held/100 && c.add(b) || more
			}
		}
		if !more {
			break
		}
	}
	return nil
}

// add adds a demand that is not there yet.
func (c *course) add(d demand) bool {
	for i := range c.demands {
		if c.demands[i].at == d.at && c.demands[i].in == d.in {
			return false
		}
	}
	c.demands = append(c.demands, d)
	return true
}

// aim sets what some wishes demand: boxes of the numbers from which others follow, and
// demands of the others. It is false where boxes leave nothing.
func (c *course) aim(some []int) bool {
	c.demands, c.later = c.demands[:0], c.later[:0]
	for i, b := range basis {
		c.box[i] = ranges[b.is]
	}
	for _, i := range some {
		n, in := c.s.demand(i)
		if at := freeOf[n]; at > 0 {
			if c.box[at-1] = c.box[at-1].meets(in); c.box[at-1].from > c.box[at-1].to {
				return false
			}
			continue
		}
		for _, limit := range n.limits() {
			if d := (demand{limit, in, dear}); limit.slow() {
				c.later = append(c.later, d)
			} else {
				c.demands = append(c.demands, d)
			}
		}
	}
	return true
}

// demand is what a wish demands of a number.
func (s *space) demand(i int) (number, span) {
	w := s.wishes[i]
	n, _ := w.Subject.number()
	return n, span{w.From, w.To}.meets(ranges[n])
}

// middle is where a design shall be: in the middle of each range that is wished; otherwise
// near to what is usual, which counts little, but for a seat tube's axis through the bottom
// bracket; and in the middle of what the parts can do, which counts least.
func (s *space) middle() (goals []goal) {
	all, stated := [numberCount]span{}, [numberCount]span{}
	for i := range all {
		all[i] = span{math.Inf(-1), math.Inf(1)}
		stated[i] = all[i]
	}
	for i, w := range s.wishes {
		n, in := s.demand(i)
		all[n] = all[n].meets(in)
		if i < len(s.p.Wishes) {
			stated[n] = stated[n].meets(span{w.From, w.To})
		}
	}
	for i := range all {
		n, in := number(i), all[i]
		if in.from == in.to {
			continue
		}
		g := goal{at: n, target: in.from + (in.to-in.from)/2}
		half := (stated[n].to - stated[n].from) / 2 * n.perUnit()
		switch own := freeOf[n] - 1; {
		case !math.IsInf(half, 1):
			g.cost = 1 / max(1, half)
		case own == vSeatOffset:
			g.target, g.cost = basis[own].usual, 0.1
		case own >= 0 && own != vSeatTop && own != vUp && own != vRail:
			g.target, g.cost = basis[own].usual, 1e-3
		case !math.IsInf(in.to-in.from, 1):
			g.cost = 1e-4
		default:
			continue
		}
		goals = append(goals, g)
	}
	return goals
}

// nearby keeps free numbers near to usual ones where nothing else says where they are.
func (s *space) nearby(cost float64) (goals []goal) {
	for _, b := range basis {
		goals = append(goals, goal{at: b.is, target: b.usual, cost: cost})
	}
	return goals
}
