package search

import "math"

// bound is the least bound of a point over all gates, if it is no worse than the limit.
func (b *bounder) bound(at *point) bool {
	b.best, b.any = b.limit, false
	if b.limit.class >= unfit {
		b.best, b.any = bound{class: unfit}, true // no parts may fit
		b.keeps = b.best
	}
	var arc *arc
	var last, outer, inner float64
	for i := range b.gates {
		g := &b.gates[i]
		x := at.q + g.x
		if x < g.loX || x > g.hiX {
			if g.arc.loose {
				b.loose(g)
			}
			continue
		}
		// Along the steerer, from the stem with nothing under it.
		mid := g.mid - at.a
		lo, hi := mid+g.lo, mid+g.hi
		if hi < g.low || lo > g.high {
			continue
		}
		if g.arc != arc || x != last { // stems upside down are as far forward
			arc, last = g.arc, x
			outer = math.Sqrt(max(0, g.outer-x*x))
			inner = math.Sqrt(max(0, g.inner-x*x))
		}
		for _, l := range g.on.ladders {
			if g.over {
				if lo, hi := max(lo, mid+inner), min(hi, mid+outer); lo <= hi && l.between(lo, hi) {
					b.climb(g, at, l, lo, hi)
				}
			}
			if g.under {
				if lo, hi := max(lo, mid-outer), min(hi, mid-inner); lo <= hi && l.between(lo, hi) {
					b.climb(g, at, l, lo, hi)
				}
			}
		}
	}
	return b.any
}

// take notes a bound if it is the least, with what it is nearly sure to keep.
func (b *bounder) take(c, keeps *bound) {
	if n := c.compare(&b.best); n < 0 || n == 0 && !b.any {
		b.best, b.keeps, b.any = *c, *keeps, true
	}
}

// loose takes the bound of a bar of which the form tells nothing.
func (b *bounder) loose(g *gate) {
	a := g.arc
	c := bound{class: failing, merit: b.likely(g.on, g.on.pref, b.q.w.rounded(max(0, a.least-costSlack)))}
	c.cost += a.other
	if a.can {
		c.class = holding
	}
	b.take(&c, &c)
}

// likely is the merit of a bar on a stem that is no worse than given, with all the room that
// counts.
func (b *bounder) likely(on *mated, pref int, cost float64) merit {
	return merit{buys: on.buys, pref: pref, room: b.q.w.mostRoom[0] + b.q.w.mostRoom[1], cost: cost + b.seatCost}
}

// climb looks at the steps of a ladder between two heights.
func (b *bounder) climb(g *gate, at *point, l *ladder, lo, hi float64) {
	lo = max(lo-rungSlack, 0)
	hi += rungSlack
	if hi < lo || lo >= float64(len(l.next)) {
		return
	}
	i := int(l.next[int(lo)])
	for i < len(l.steps) && l.steps[i].up < lo {
		i++
	}
	for ; i < len(l.steps); i++ {
		s := &l.steps[i]
		if s.up > hi || s.up > at.most+1e-6 {
			return
		}
		b.step(g, at, s)
	}
}

// step takes the bound of a bar on a stem on cap and spacers.
func (b *bounder) step(g *gate, at *point, s *rung) {
	a := g.arc
	q, up := at.q+g.on.q, at.a+g.on.a+s.up
	pref := g.on.pref + s.pref
	most, ok := b.allowed(a, g.on.buys, pref, &b.best)
	if !ok {
		return
	}
	cost := a.c.fixed + a.form.least(q, up)
	if cost-costSlack > most {
		return
	}
	if !b.q.w.meter.Do(10) {
		return
	}
	c := bound{class: failing, merit: b.likely(g.on, pref, 0)}
	if a.can && cost <= a.c.asked+1e-3 {
		c.class = holding
	}
	lower, upper := max(0, cost-costSlack), cost+costSlack
	keeps := c
	if a.exact {
		// As the search finds it, with a trace less.
		roll, v := a.c.settle(b.ch, b.ch.Plane(q, up))
		const trace = 1e-10
		root := math.Sqrt(v.cost)
		lower, upper = max(0, root-trace), root+trace
		lower *= lower
		upper *= upper
		turned := &b.q.p.Preference.Rotation
		keeps.pref += turned.Steps(roll)
		c.pref += min(turned.Steps(roll-1e-4), turned.Steps(roll+1e-4))
		if !v.holds {
			c.class, keeps.class = failing, failing
		}
	}
	c.cost += b.q.w.rounded(lower) + a.other
	keeps.cost += b.q.w.rounded(upper) + a.other
	b.take(&c, &keeps)
}
