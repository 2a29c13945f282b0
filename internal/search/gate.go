package search

import (
	"math"
	"sort"
)

// A gate is what a head tube's top must pass for a bar on a stem to come near
// the arc: it lies between two circles, and in the arc's span.
type gate struct {
	arc          *arc
	on           *mated
	x, loX, hiX  float64 // across: of the stem from the circles' centre, and the span
	mid          float64 // along: of the circles' centre from the stem
	lo, hi       float64 // and the span
	outer, inner float64 // squares of the radii
	low, high    float64 // what cap and spacers can make
	over, under  bool    // which halves of the circles are in the span
}

// open makes the gates for head tubes' tops that lie from lo to hi across the
// steerer, for what is no worse than the limit.
func (b *bounder) open(lo, hi float64) {
	b.gates = b.gates[:0]
	for i := range b.arcs {
		a := &b.arcs[i]
		if a.loose {
			for j := range a.on {
				if _, ok := b.allowed(a, a.on[j].buys, a.on[j].pref, &b.limit); ok {
					b.gates = append(b.gates, gate{arc: a, on: &a.on[j], loX: 1, hiX: -1})
				}
			}
			continue
		}
		widest, ok := b.widest(a, &b.limit)
		if !ok {
			continue
		}
		g, loQ, hiQ := b.gate(a, widest)
		most := widest
		// From the first that does not lie too far forward even for the rearmost point.
		for j := sort.Search(len(a.on), func(k int) bool { return lo+a.on[k].q <= hiQ }); j < len(a.on) && hi+a.on[j].q >= loQ; j++ {
			m := &a.on[j]
			now, ok := b.allowed(a, m.buys, m.pref, &b.limit)
			if !ok {
				continue
			}
			if now != most {
				most = now
				g, _, _ = b.gate(a, now)
			}
			g.on = m
			g.x = m.q - a.tq
			g.mid = a.ta - m.a
			g.low, g.high = m.low, m.high
			b.gates = append(b.gates, g)
		}
	}
}

// gate makes the gate of an arc, but for the stem: and where the clamp may be
// across the steerer.
func (b *bounder) gate(a *arc, most float64) (g gate, loQ, hiQ float64) {
	f := a.form
	// What allowed gives for rounding is for forms, which subtract large
	// numbers; circles need less.
	const far = 1e4 // mm: from everywhere to everywhere
	d := min(far, math.Sqrt(max(0, most-a.least-costSlack+1e-10)/f.w)+1e-7)
	g = gate{arc: a}
	lo, hi := f.span(f.hq, -f.ha)
	loQ, hiQ = a.tq-hi/f.w-d, a.tq-lo/f.w+d
	g.loX, g.hiX = loQ-a.tq, hiQ-a.tq
	lo, hi = f.span(f.ha, f.hq)
	g.lo, g.hi = -hi/f.w-d, -lo/f.w+d
	g.over, g.under = g.hi >= 0, g.lo <= 0
	g.outer = (a.radius + d) * (a.radius + d)
	if a.radius > d {
		g.inner = (a.radius - d) * (a.radius - d)
	}
	return g, loQ, hiQ
}

// costSlack is by how much a form may be off by rounding.
const costSlack = 1e-8

// widest returns the most that the sites of a bar in the plane may cost, with what they cost
// across, so that on any stem a front end is no worse than a limit; false if none can be.
func (b *bounder) widest(a *arc, limit *bound) (float64, bool) {
	most := math.Inf(1)
	switch limit.class {
	case holding:
		if !a.can {
			return 0, false
		}
		most = a.c.asked + 1e-3
	case failing:
		most = b.within(a, limit)
		if a.can {
			most = max(most, a.c.asked+1e-3)
		}
	}
	return most, most >= a.least-costSlack
}

// within is the most that they may cost so that all together costs no more than the limit.
func (b *bounder) within(a *arc, limit *bound) float64 {
	rest := limit.cost - b.seatCost - a.other
	if rest < 0 {
		return -1
	}
	n := (math.Sqrt(rest)*(1+1e-12) + 0.5) * b.q.w.grain
	return n*n + costSlack
}

// allowed is widest on a stem with so many parts to buy and so many points.
func (b *bounder) allowed(a *arc, buys, pref int, limit *bound) (float64, bool) {
	most, ok := b.widest(a, limit)
	if !ok || limit.class != holding || limit.short > 0 || limit.sum > 0 {
		return most, ok
	}
	switch {
	case buys > limit.buys || buys == limit.buys && pref > limit.pref:
		return 0, false
	case buys == limit.buys && pref == limit.pref && limit.room >= b.q.w.mostRoom[0]+b.q.w.mostRoom[1]:
		most = min(most, b.within(a, limit))
	}
	return most, most >= a.least-costSlack
}
