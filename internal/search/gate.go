package search

import (
	"math"
	"sort"

	"example.com/fitgeom/internal/num"
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
	below        int64   // the most spacers, in tenths
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
				if _, ok := b.allowed(a, a.on[j].buys, &b.limit); ok {
					b.gates = append(b.gates, gate{arc: a, on: &a.on[j], loX: 1, hiX: -1})
				}
			}
			continue
		}
		buys, most, ok := -1, 0.0, false
		var g gate
		var loQ, hiQ float64
		at := 0
		for j := 0; j < len(a.on); j++ {
			if j < at && !b.q.counts {
				j = at
				if j == len(a.on) {
					break
				}
			}
			m := &a.on[j]
			if m.buys != buys {
				buys = m.buys
				most, ok = b.allowed(a, buys, &b.limit)
				if ok {
					g, loQ, hiQ = b.gate(a, buys, most)
					// Those that lie too far forward even for the rearmost point.
					at = sort.Search(len(a.on), func(k int) bool { return lo+a.on[k].q <= hiQ })
				}
			}
			if over := !ok || hi+m.q < loQ; over && !b.q.counts {
				break // the same holds for all that follow
			} else if over || j < at {
				continue
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
func (b *bounder) gate(a *arc, buys int, most float64) (g gate, loQ, hiQ float64) {
	f := a.form
	// What allowed gives for rounding is for forms, which subtract large
	// numbers; circles need less.
	const far = 1e4 // mm: from everywhere to everywhere
	d := min(far, math.Sqrt(max(0, most-a.least-costSlack+1e-10)/f.w)+1e-7)
	g = gate{arc: a, below: math.MaxInt64}
	l := &b.limit
	if floor := b.q.w.rounded(max(0, a.least-costSlack)) + a.other + b.seatCost; l.class == holding && l.buys == buys && l.cost <= floor {
		// It can be no better than the limit but by spacers and what comes after them.
		g.below = l.spacers
		if l.spacers == 0 && l.flipped == 0 && a.exact {
			if turn := float64(l.roll+3) * 1e-6; turn < a.c.most {
				f.sin, f.cos = num.Sincos(turn)
			}
		}
	}
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

// allowed returns the most that the sites of a bar in the plane may cost, with
// what they cost across, so that a front end is no worse than a limit; false if
// none can be.
func (b *bounder) allowed(a *arc, buys int, limit *bound) (float64, bool) {
	w := b.q.w
	within := func() float64 {
		rest := limit.cost - b.seatCost - a.other
		if rest < 0 {
			return -1
		}
		n := (math.Sqrt(rest)*(1+1e-12) + 0.5) * w.grain
		return n*n + costSlack
	}
	most := math.Inf(1)
	switch limit.class {
	case holding:
		if !a.can || buys > limit.buys {
			return 0, false
		}
		most = a.c.asked + 1e-3
		if buys == limit.buys {
			most = min(most, within())
		}
	case failing:
		most = within()
		if a.can {
			most = max(most, a.c.asked+1e-3)
		}
	}
	return most, most >= a.least-costSlack
}
