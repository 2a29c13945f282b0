package search

import (
	"cmp"
	"math"
	"math/bits"
	"slices"
	"sort"

	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/rig"
)

// A bounder bounds all points from below, in one pass, and collects those that may be among
// the best. A bound is never above the true value, so a point worse than the limit can be
// skipped.
type bounder struct {
	q     *Question
	limit bound // points with a worse bound are skipped
	all   bool  // whether to keep the limit as it is
	found []promise

	// The most promising points, with more frames than requested; they set the limit.
	top    []promise
	frames int

	ch    *rig.Chassis // of the column, with the head tube's top at 0
	arcs  []arc
	gates []gate

	seatCost    float64 // lower bound of the seat's cost for the current points
	best, keeps bound   // of the current point
	any         bool    // whether the current point has a bound within the limit
}

// An arc is a bar in a column, and the places wanted for its clamp: an arc, by its roll.
type arc struct {
	c      *cockpit
	form   form
	exact  bool    // the form is the exact cost, not only a lower bound
	loose  bool    // no site has a weight in the plane, so the form bounds nothing
	other  float64 // the aero bar's cost across, rounded
	least  float64 // least cost in the form and across, not rounded
	can    bool    // whether it may hold
	tq, ta float64 // mean of the target places
	radius float64 // distance of the sites' mean from the clamp
	on     []mated // stems, from front to rear
}

// A mated is a bar on a stem.
type mated struct {
	q, a    float64 // of the stem
	buys    int
	flipped int64
	ladders []*ladder // by cap
	low     float64   // lowest step of all ladders
	high    float64   // highest step
}

// A gate is the region in which a head tube's top must lie for a bar on a stem to come
// near enough to the arc: between two circles about the arc's centre, and within the
// arc's span. It contains every top from which the cost stays within the limit.
type gate struct {
	arc          *arc
	on           *mated
	x, loX, hiX  float64 // across: the stem from the circles' centre, and the span
	mid          float64 // along: the circles' centre from the stem
	lo, hi       float64 // along: the span
	outer, inner float64 // squares of the radii
	low, high    float64 // heights that cap and spacers can make
	below        int64   // the most spacers allowed, in tenths
	over, under  bool    // whether the upper and lower halves of the circles are in the span
}

// column bounds the points of a column.
func (b *bounder) column(col *column) {
	q := b.q
	key := frontKey{col.diameter, col.head, col.cut, 0, 0, col.most}
	frame := key.frame()
	ch := chassisOf(&frame, chart.Wheels{}) // with the head tube's top at 0
	r := newRanking(1, q.counts, q.p.Vary, frontKinds)
	f := newFront(q.w, r, &frame, &ch, &q.p.Shelf, &q.p.Bike)
	b.ch = &ch
	b.arcs = b.arcs[:0]
	for _, c := range f.cockpits {
		b.arcs = append(b.arcs, q.arc(&ch, c))
	}
	ladders := map[*[]Pile][]*ladder{}
	sorted := map[*carried][]*carried{}
	for i := range b.arcs {
		a := &b.arcs[i]
		if len(a.c.on) == 0 {
			continue
		}
		on, ok := sorted[&a.c.on[0]]
		if !ok {
			for j := range a.c.on {
				on = append(on, &a.c.on[j])
			}
			slices.SortStableFunc(on, func(a, b *carried) int { return cmp.Compare(b.q, a.q) })
			sorted[&a.c.on[0]] = on
		}
		a.on = make([]mated, 0, len(on))
		for _, s := range on {
			b.mate(f, a, s, ladders)
		}
	}
	const bucket = 12
	for from := col.from; from < col.to; from += bucket {
		b.bucket(from, min(col.to, from+bucket))
	}
}

// arc prepares a bar for bounding. If sites have different weights forward and up, its
// form is only a lower bound.
func (q *Question) arc(ch *rig.Chassis, c *cockpit) arc {
	a := arc{c: c, form: c.form, exact: c.aero == nil, can: c.across.holds && c.acrossAero.holds && !q.noSeat}
	if !c.form.round {
		a.form = lighter(ch, c)
	}
	if c.aero != nil {
		a.other = q.w.rounded(max(0, c.acrossAero.cost-costSlack))
	}
	a.least = c.across.cost
	f := &a.form
	if !(f.w > 0) {
		a.loose = true
		return a
	}
	a.least += f.base
	a.tq, a.ta = f.originQ+f.tq/f.w, f.originA+f.ta/f.w
	a.radius = math.Sqrt(f.hq*f.hq+f.ha*f.ha) / f.w
	return a
}

// lighter returns a round form that never costs more than the bar: each site gets the
// smaller of its two weights.
func lighter(ch *rig.Chassis, c *cockpit) form {
	even := func(w *wanted) *wanted {
		e := *w
		e.weight.X = min(e.weight.X, e.weight.Z)
		e.weight.Z = e.weight.X
		return &e
	}
	hands := make([]hand, len(c.hands))
	for i, h := range c.hands {
		hands[i] = hand{h.at, even(h.want)}
	}
	return newForm(ch, hands, even(c.clamp), c.most)
}

// mate puts a bar on a stem if they fit together.
func (b *bounder) mate(f *front, a *arc, s *carried, ladders map[*[]Pile][]*ladder) {
	q := b.q
	buy := a.c.buy | s.buy
	if !a.c.bar.OnePiece() {
		shim, ok := shimFor(f.shelf, a.c.bar.ClampDiameter, s.stem.BarDiameter, f.now.BarShim)
		if !ok {
			return
		}
		buy |= bought(part.Shims, shim == f.now.BarShim || shim == part.Shim{})
	}
	m := mated{q: s.q, a: s.a, flipped: yes(s.flipped)}
	if q.counts {
		m.buys = bits.OnesCount16(uint16(buy)) + q.seatBuys // without the cap, since this is a lower bound
	}
	if len(s.piles) == 0 {
		return
	}
	all, ok := ladders[&s.piles[0]]
	if !ok {
		for i, piles := range s.piles {
			if len(piles) > 0 {
				all = append(all, newLadder(f.shelf.Caps[f.caps[i]].Height, piles))
			}
		}
		ladders[&s.piles[0]] = all
	}
	m.ladders = all
	m.low, m.high = math.Inf(1), math.Inf(-1)
	for _, l := range all {
		m.low, m.high = min(m.low, l.low), max(m.high, l.high)
	}
	if len(m.ladders) > 0 {
		a.on = append(a.on, m)
	}
}

// bucket bounds some points that lie close together across the steerer. Gates made for
// the whole range contain those of each point.
func (b *bounder) bucket(from, to uint32) {
	points := b.q.x.points
	b.seatCost = b.q.floor(from)
	for i := from + 1; i < to; i++ {
		b.seatCost = min(b.seatCost, b.q.floor(i))
	}
	b.open(points[from].q, points[to-1].q)
	for i := from; i < to; i++ {
		b.seatCost = b.q.floor(i)
		if b.limit.class == failing && b.seatCost > b.limit.cost {
			continue
		}
		if b.bound(&points[i]) {
			b.keep(promise{b.best, b.keeps, i})
		}
	}
}

// open makes the gates for head tube tops from lo to hi across the steerer, through which
// everything passes that is no worse than the limit.
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
					// Stems before at lie too far forward even for the rearmost point.
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

// gate returns the gate of an arc without its stem, and the range of the clamp across
// the steerer. The cost grows with the square of the distance d from the arc, so a cost
// within the limit means a distance of at most d.
func (b *bounder) gate(a *arc, buys int, most float64) (g gate, loQ, hiQ float64) {
	f := a.form
	// The slack of allowed is for forms, which subtract large numbers; circles need
	// less.
	const far = 1e4 // mm, more than any distance on a bike
	d := min(far, math.Sqrt(max(0, most-a.least-costSlack+1e-10)/f.w)+1e-7)
	g = gate{arc: a, below: math.MaxInt64}
	l := &b.limit
	if floor := b.q.w.rounded(max(0, a.least-costSlack)) + a.other + b.seatCost; l.class == holding && l.buys == buys && l.cost <= floor {
		// Buys and cost can at best equal the limit's, so spacers and the rules after
		// them decide.
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

// costSlack is an allowance for the rounding errors of a form.
const costSlack = 1e-8

// allowed returns the highest cost that the sites of a bar may have, in the plane and
// across, with a front end no worse than a limit. It returns false if no front end with
// the bar can be that good.
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

// spare is the ratio of the frames that set the limit to those requested: some turn out
// worse than promised.
const spare = 4

// keep adds a promising point, and lowers the limit once there are enough frames.
func (b *bounder) keep(p promise) {
	b.found = append(b.found, p)
	if b.all {
		return
	}
	frames := func(p *promise) int {
		at := &b.q.x.points[p.point]
		return int(b.q.x.fronts[at.to-1].to - b.q.x.fronts[at.from].from)
	}
	at, _ := slices.BinarySearchFunc(b.top, &p, func(a promise, c *promise) int { return a.keeps.compare(&c.keeps) })
	b.top = slices.Insert(b.top, at, p)
	b.frames += frames(&p)
	for {
		last := &b.top[len(b.top)-1]
		n := frames(last)
		if b.frames-n < spare*b.q.p.Limit {
			break
		}
		b.frames -= n
		b.top = b.top[:len(b.top)-1]
	}
	if b.frames >= spare*b.q.p.Limit {
		// The limit must never rise: points worse than it were skipped.
		if last := &b.top[len(b.top)-1].keeps; last.compare(&b.limit) < 0 {
			b.limit = *last
		}
		if len(b.found) > 4*len(b.top)+1000 {
			b.found = slices.DeleteFunc(b.found, func(p promise) bool { return p.compare(&b.limit) > 0 })
		}
	}
}

// bound finds the least bound of a point over all gates, and reports whether it is no
// worse than the limit. Front ends outside all gates are worse than the limit.
func (b *bounder) bound(at *point) bool {
	b.best, b.any = b.limit, false
	if b.limit.class >= unfit {
		b.best, b.any = bound{class: unfit}, true // even a frame that no parts fit may count
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
		// Heights along the steerer above a stem without cap and spacers.
		mid := g.mid - at.a
		lo, hi := mid+g.lo, mid+g.hi
		if hi < g.low || lo > g.high {
			continue
		}
		if g.arc != arc || x != last { // an inverted stem may have the same x
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

// take stores a bound if it is the least so far, with the bound it will almost surely keep.
func (b *bounder) take(c, keeps *bound) {
	if n := c.compare(&b.best); n < 0 || n == 0 && !b.any {
		b.best, b.keeps, b.any = *c, *keeps, true
	}
}

// loose takes the bound of a bar that has no form to bound it.
func (b *bounder) loose(g *gate) {
	a := g.arc
	c := bound{class: failing, buys: g.on.buys, cost: b.q.w.rounded(max(0, a.least-costSlack)) + a.other + b.seatCost}
	if a.can {
		c.class = holding
	}
	b.take(&c, &c)
}

// climb bounds the steps of a ladder between two heights.
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
		if s.up > hi || s.up > at.most+1e-6 || s.below > g.below {
			return
		}
		b.step(g, at, s)
	}
}

// step takes the bound of a bar on a stem with cap and spacers.
func (b *bounder) step(g *gate, at *point, s *rung) {
	a := g.arc
	q, up := at.q+g.on.q, at.a+g.on.a+s.up
	cost := a.c.across.cost + a.form.least(q, up)
	most, ok := b.allowed(a, g.on.buys, &b.best)
	if !ok || cost-costSlack > most {
		return
	}
	c := bound{class: failing, buys: g.on.buys, spacers: s.below, flipped: g.on.flipped}
	if a.can && cost <= a.c.asked+1e-3 {
		c.class = holding
	}
	lower, upper := max(0, cost-costSlack), cost+costSlack
	keeps := c
	if a.exact {
		// The cost that the search will find, less a trace for rounding.
		roll, v := a.c.settle(b.ch, b.ch.Plane(q, up))
		const trace = 1e-10
		root := math.Sqrt(v.cost)
		lower, upper = max(0, root-trace), root+trace
		lower *= lower
		upper *= upper
		keeps.roll = millionths(math.Abs(roll)) + 2
		if v.holds || !a.can {
			c.roll = max(0, keeps.roll-4)
		}
	}
	c.cost = b.q.w.rounded(lower) + a.other + b.seatCost
	keeps.cost = b.q.w.rounded(upper) + a.other + b.seatCost
	b.take(&c, &keeps)
}
