package search

import (
	"math"
	"math/bits"
	"sort"

	"example.com/fitgeom/fitgeom"
	"gonum.org/v1/gonum/spatial/r3"
)

// A lead is a bar on a stem that may be the best, by their numbers, which are the same for all
// workers. That of the bar is one more; 0 is none.
type lead struct{ view, mate uint32 }

// A prospect is a lead and how good it can be.
type prospect struct {
	lead
	merit
}

func newLead(v *view, on *mate) lead { return lead{v.number + 1, on.number} }

// of returns the bar and the stem of a lead.
func (l lead) of(b *bounder) (*view, *mate) {
	v := &b.views[l.view-1]
	return v, &v.on[l.mate]
}

// holding lowers best to the least merit that front ends at a spot may have that hold, if it is
// no more; and reports whether it is. It knows that none is less than a floor, and tries that
// first which gave the floor.
func (b *bounder) holding(s *spot, best *merit, from lead, floor *merit) (found lead, any bool) {
	if from.view != 0 {
		v, m := from.of(b)
		if !best.beats(m.buys, m.pref) && b.stand(s, v, m, v.narrow.level(s.rx), best) {
			found, any = from, true
		}
	}
	b.each(s, best, func(v *view, m *mate, level int) bool {
		if any && best.compare(floor, true) <= 0 {
			return false
		}
		if b.stand(s, v, m, level, best) {
			found, any = newLead(v, m), true
		}
		return true
	})
	return found, any
}

// leads appends all that may hold at a spot and be no worse than a limit.
func (b *bounder) leads(all []prospect, s *spot, limit *merit) []prospect {
	b.each(s, limit, func(v *view, m *mate, level int) bool {
		if own := *limit; b.stand(s, v, m, level, &own) {
			all = append(all, prospect{newLead(v, m), own})
		}
		return true
	})
	return all
}

// each calls do with every bar on every stem that may hold at a spot by how far forward it is, and
// be no worse than a limit by what must be bought and by its points; until it returns false.
func (b *bounder) each(s *spot, limit *merit, do func(v *view, m *mate, level int) bool) {
	for i := range b.views {
		v := &b.views[i]
		w := &v.narrow
		if w.lo[0] > w.hi[0] {
			continue
		}
		if !b.q.w.meter.Do(1) {
			return
		}
		// Across the steerer, which leans back.
		lo := min(s.across(w.lo[0]-s.rx, w.lo[1]-s.rz), s.across(w.lo[0]-s.rx, w.hi[1]+s.rz))
		hi := max(s.across(w.hi[0]+s.rx, w.lo[1]-s.rz), s.across(w.hi[0]+s.rx, w.hi[1]+s.rz))
		level := w.level(s.rx)
		for _, g := range v.groups {
			if limit.beats(0, g.pref) {
				break // the same holds for all that follow
			}
			on := v.on[g.from:g.to]
			for k := sort.Search(len(on), func(k int) bool { return on[k].q >= lo }); k < len(on) && on[k].q <= hi; k++ {
				if !b.q.w.meter.Do(1) {
					return
				}
				if m := &on[k]; !limit.beats(m.buys, m.pref) && !do(v, m, level) {
					return
				}
			}
		}
	}
}

// stand lowers a limit to the least merit that a bar may have on a stem at a spot, if it is no more;
// and reports whether it is.
func (b *bounder) stand(s *spot, v *view, m *mate, level int, limit *merit) (any bool) {
	o := merit{buys: m.buys, room: b.q.w.mostRoom[0]} //exhaustruct:ignore
	w, foot, l := &v.narrow, s.foot(m), b.ladder(m)
	from, to := s.heights(w, &foot, 0)
	to = min(to, s.top(m))
	weighed := false
	for i := l.from(from); i < len(l.rungs) && l.rungs[i].up <= to; i++ {
		r := &l.rungs[i]
		if o.pref = m.pref + r.pref; limit.beats(o.buys, o.pref) {
			continue
		}
		at := r3.Vec{X: foot.X + r.up*s.up.X, Z: foot.Z + r.up*s.up.Z}
		in := w.at(at.X, level)
		if at.Z < in.lo-s.rz || at.Z > in.hi+s.rz {
			continue
		}
		if !weighed {
			weighed = true
			b.room(s, v, m, &o)
		}
		if o.compare(limit, true) > 0 {
			continue
		}
		own := o
		if s.r == 0 && v.exact {
			any = b.exactly(v, at, &own, limit) || any
			continue
		}
		own.cost = b.rounded(b.least(s, v, at))
		if own.compare(limit, true) <= 0 {
			*limit, any = own, true
		}
	}
	return any
}

// exactly lowers a limit to the least merit of a bar that is as good as given but for its roll.
func (b *bounder) exactly(v *view, at r3.Vec, o, limit *merit) (any bool) {
	turned := &b.f.pref.Rotation
	for _, c := range v.mounts {
		if !b.q.w.meter.Do(5) {
			return any
		}
		if o.cost = b.rounded(c.fixed + c.form.least(at)); c.form.round && o.compare(limit, true) > 0 {
			continue
		}
		roll, is := c.settle(at)
		if !is.holds {
			continue
		}
		own := *o
		own.pref += min(turned.Steps(roll-1e-4), turned.Steps(roll+1e-4))
		if own.cost = b.rounded(is.cost); own.compare(limit, true) <= 0 {
			*limit, any = own, true
		}
	}
	return any
}

// heights is between which heights of spacers a clamp may lie in a window, or some mm above or
// below it.
func (s *spot) heights(w *window, foot *r3.Vec, beyond float64) (lo, hi float64) {
	lo, hi = (w.lo[1]-s.rz-beyond-foot.Z)/s.up.Z, (w.hi[1]+s.rz+beyond-foot.Z)/s.up.Z
	if s.up.X < 0 {
		lo, hi = max(lo, (w.hi[0]+s.rx-foot.X)/s.up.X), min(hi, (w.lo[0]-s.rx-foot.X)/s.up.X)
	}
	return lo - windowSlack, hi + windowSlack
}

// least is what a bar costs at least with its clamp close to a place.
func (b *bounder) least(s *spot, v *view, at r3.Vec) float64 {
	least := math.Inf(1)
	for i, c := range v.mounts {
		least = min(least, c.fixed+v.near(s, i, at))
	}
	return least
}

// near is what a bar, in one of the ways to mount its levers, costs at least with its clamp close to
// a place, but for what no place changes.
func (v *view) near(s *spot, k int, at r3.Vec) float64 {
	f := &v.forms[k]
	cost := v.boxes[k].near(at, max(s.rx, s.rz))
	if f.w > 0 {
		n := max(0, math.Sqrt(max(0, f.least(at)-costSlack))-math.Sqrt(f.w)*s.r)
		cost = max(cost, n*n, f.base)
	}
	return cost
}

// room takes from a merit what a bar on a stem lacks of the room that is wanted, in all ways to
// set the stem.
func (b *bounder) room(s *spot, v *view, m *mate, o *merit) {
	if b.wants.Up == 0 && b.wants.Down == 0 {
		return
	}
	w := &v.wide
	level := w.level(s.rx)
	mask := uint64(0) // bit 31 + n: held if it is moved up by n mm
	for t := m; ; {
		foot := s.foot(t)
		from, to := s.heights(w, &foot, fitgeom.RoomMost)
		l := b.ladder(t)
		to = min(to, s.top(t))
		for i := l.from(from); i < len(l.rungs) && l.rungs[i].up <= to; i++ {
			r := &l.rungs[i]
			z := foot.Z + r.up*s.up.Z
			in := w.at(foot.X+r.up*s.up.X, level)
			if in.lo > in.hi {
				continue
			}
			lo, hi := max(-31, z-s.rz-in.hi), min(31, z+s.rz-in.lo)
			if lo > hi {
				continue
			}
			mask |= (2<<(int(math.Floor(hi))+31) - 1) &^ (1<<(int(math.Ceil(lo))+31) - 1)
		}
		if t = &v.on[t.twins]; t == m {
			break
		}
	}
	up, down := min(fitgeom.RoomMost, bits.TrailingZeros64(^(mask>>32))), min(fitgeom.RoomMost, bits.LeadingZeros64(^(mask<<33)))
	least := b.q.w.mostRoom[0]
	if b.wants.Up > 0 {
		least = min(least, up)
		o.short, o.sum = max(o.short, b.wants.Up-up), o.sum+max(0, b.wants.Up-up)
	}
	if b.wants.Down > 0 {
		least = min(least, down)
		o.short, o.sum = max(o.short, b.wants.Down-down), o.sum+max(0, b.wants.Down-down)
	}
	o.room = least / fitgeom.RoomStep * fitgeom.RoomStep
}

// failing returns the least that front ends at a spot may cost, and of what; false if none fit. It
// knows that none costs less than a floor, and tries that first which gave the floor.
func (b *bounder) failing(s *spot, from lead, floor *merit) (found lead, least merit, any bool) {
	c := climb{b: b, s: s, most: math.Inf(1), merit: merit{cost: math.Inf(1)}, arcs: b.arcs} //exhaustruct:ignore
	defer func() { b.arcs = c.arcs }()
	take := func(v *view, m *mate) {
		if c.all(v, m) {
			found = newLead(v, m)
		}
	}
	if from.view != 0 {
		take(from.of(b))
	}
	for i := range b.views {
		v := &b.views[i]
		if v.floor > c.merit.cost || from.view != 0 && c.merit.compare(floor, false) <= 0 {
			break // the same holds for all that follow
		}
		for j := range v.on {
			if j%16 == 0 && !b.q.w.meter.Do(1) {
				return found, c.merit, c.any
			}
			take(v, &v.on[j])
		}
	}
	return found, c.merit, c.any
}

// A climb looks for the least cost of front ends at a spot.
type climb struct {
	b     *bounder
	s     *spot
	any   bool    // whether any fit
	merit merit   // the least
	most  float64 // what is more is rounded to more than its cost
	of    *view
	arcs  []arc // of its mounts
}

// An arc is between which places a clamp is wanted, across a steerer and along it.
type arc struct{ lo, hi [2]float64 }

// all looks at all heights of a bar on a stem, and reports whether the least is there.
func (c *climb) all(v *view, m *mate) (less bool) {
	s := c.s
	rungs := c.b.ladder(m).below(s.top(m))
	if len(rungs) == 0 {
		return false
	}
	if c.any = true; c.of != v {
		c.of, c.arcs = v, c.arcs[:0]
		for k := range v.mounts {
			lo, hi := v.forms[k].reach(s.up)
			c.arcs = append(c.arcs, arc{lo, hi})
		}
	}
	for k := range v.mounts {
		less = c.one(v, k, m, rungs) || less
	}
	return less
}

// one is all of one way to mount the levers.
func (c *climb) one(v *view, k int, m *mate, rungs []rung) (less bool) {
	s, f, at, arc := c.s, &v.forms[k], v.mounts[k], &c.arcs[k]
	foot := s.foot(m)
	// What lies further from the arc than far costs too much.
	far := func() float64 {
		if f.w == 0 || math.IsInf(c.most, 1) {
			return math.Inf(1)
		}
		d := math.Sqrt(max(0, c.most-at.fixed-f.base)/f.w) + s.r
		return d * d
	}
	q, a := foot.X*s.up.Z-foot.Z*s.up.X, foot.X*s.up.X+foot.Z*s.up.Z
	across := max(0, arc.lo[0]-q, q-arc.hi[0])
	limit := far()
	if across*across > limit || at.fixed+f.base > c.most {
		return false
	}
	for i := range rungs {
		up := rungs[i].up
		along := max(0, arc.lo[1]-a-up, a+up-arc.hi[1])
		if across*across+along*along > limit {
			continue
		}
		p := r3.Vec{X: foot.X + up*s.up.X, Z: foot.Z + up*s.up.Z}
		cost := at.fixed + v.near(s, k, p)
		if cost > c.most {
			continue
		}
		o := merit{buys: m.buys, pref: m.pref + rungs[i].pref, cost: c.b.rounded(cost)} //exhaustruct:ignore
		if at.aero != nil {
			o.cost += c.b.rounded(at.acrossAero.cost + at.padBox.near(p, max(s.rx, s.rz)) + at.tipBox.near(p, max(s.rx, s.rz)))
		}
		if o.compare(&c.merit, false) < 0 {
			c.merit, less = o, true
			c.most = c.b.q.w.most(o.cost)
			limit = far()
		}
	}
	return less
}
