package fitgeom

import (
	"cmp"
	"math"
	"math/bits"
	"slices"
	"sort"

	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// Ranking is quick because most frames are shown to be worse than the best ones
// without a search. In steerer coordinates stem, cap and spacers are fixed
// offsets from the head tube's top, for all frames of one head angle; and where
// a bar is wanted is an arc, by its roll. The bound of a frame is the least of
// what it costs that an offset lies off an arc: whole stems are passed by, since
// the arc spans a few mm across the steerer, and of the spacers under one only
// those are looked at that lie on the arc, which are told in closed form.
//
// A first pass bounds every front end and keeps the most promising; a second
// searches those, best first, until the bound is worse than the last of the
// best. If more are needed than the first pass kept, it is done again.

// search ranks frames by their bounds. What can hold is looked for first.
func (q *question) search() {
	limit, all := bound{class: holding, buys: math.MaxInt}, false
	done := map[uint32]bool{}
	for {
		found, reached := q.bounds(limit, all)
		slices.SortFunc(found, func(a, b promise) int {
			return cmp.Or(a.compare(&b.bound), cmp.Compare(a.point, b.point))
		})
		for i := range found {
			p := &found[i]
			if len(q.best) == q.opt.Limit && p.compare(&q.best[len(q.best)-1].bound) > 0 {
				break
			}
			if !done[p.point] {
				done[p.point] = true
				q.point(p)
			}
		}
		// Everything that was passed by is worse than what was reached.
		full := len(q.best) == q.opt.Limit
		switch {
		case reached.class > unfit, full && q.best[len(q.best)-1].bound.compare(&reached) <= 0:
			return
		}
		limit = bound{class: unfit + 1}
		if full {
			limit, all = q.best[len(q.best)-1].bound, true
		}
		if q.pointSeats == nil && q.weigh() {
			all = false
		}
	}
}

// weigh searches the seats of all frames, for what those of each point cost at
// least and whether any holds: where few or none do, fronts alone tell little. It
// does nothing if there are so many seats that it would take longer than it saves.
func (q *question) weigh() bool {
	const most = 100_000
	if len(q.x.seats) > most {
		return false
	}
	q.pointSeats = make([]float64, len(q.x.points))
	holds := false
	for i := range q.x.points {
		p := &q.x.points[i]
		least := math.Inf(1)
		for _, r := range q.x.byFront[q.x.fronts[p.from].from:q.x.fronts[p.to-1].to] {
			if seat := q.seatOf(r); seat[0] != nil {
				least = min(least, seat[0].cost)
				holds = holds || seat[1] != nil
			}
		}
		if !math.IsInf(least, 1) {
			q.pointSeats[i] = least * (1 - 1e-12)
		}
	}
	q.noSeat = !holds
	return true
}

// floor is what every seat of a point costs at least.
func (q *question) floor(point uint32) float64 {
	if q.pointSeats == nil {
		return q.seatCost
	}
	return q.pointSeats[point]
}

// A promise is the bound of a point of the index, and what it is nearly sure to keep.
type promise struct {
	bound
	keeps bound
	point uint32
}

// point searches the front ends of a point and offers their frames.
func (q *question) point(promised *promise) {
	p := &q.x.points[promised.point]
	for i := p.from; i < p.to; i++ {
		f := &q.x.fronts[i]
		records := q.x.byFront[f.from:f.to]
		if promised.class < unfit && !slices.ContainsFunc(records, func(r uint32) bool { return q.promising(&promised.bound, q.floor(promised.point), r) }) {
			continue
		}
		col := &q.x.columns[f.column]
		key := frontKey{col.diameter, col.head, col.cut, f.reach, f.stack, f.most}
		frame := key.frame()
		front := q.front(&frame)
		for _, record := range records {
			switch {
			case front[0] == nil:
				q.offer(q.stand(record, nil, nil))
			case !q.hopeless(front, record):
				q.offer(q.stand(record, front, q.seatOf(record)))
			}
		}
	}
}

// seatOf is the seat of a frame, which is searched once.
func (q *question) seatOf(record uint32) *[2]*option {
	seat := &q.seats[q.x.records[record].seat]
	if *seat == nil {
		size := q.x.size(record)
		*seat = q.seat(&size.Frame)
	}
	return *seat
}

// promising reports whether a frame may come among the best, by the bound of its
// front end, of which a floor is for the seat, and by its seat.
func (q *question) promising(front *bound, floor float64, record uint32) bool {
	if len(q.best) < q.opt.Limit {
		return true
	}
	last := &q.best[len(q.best)-1].bound
	if last.class == unfit {
		return true
	}
	seat := q.seatOf(record)
	with := func(class uint8, cost float64, o *option) bool {
		b := *front
		b.class = class
		b.cost = (max(0, cost-floor) + o.cost) * (1 - 1e-12)
		b.buys += o.buys - q.seatBuys
		return b.compare(last) <= 0
	}
	if front.class == holding && seat[1] != nil && with(holding, front.cost, seat[1]) {
		return true
	}
	if seat[0] == nil || last.class == holding {
		return false
	}
	if front.class == failing {
		return with(failing, front.cost, seat[0])
	}
	// What does not hold may cost less than what may hold, and be of other parts.
	return seat[0].cost*(1-1e-12) <= last.cost
}

// hopeless reports whether a frame cannot come among the best, whatever its seat.
func (q *question) hopeless(front *[2]*option, record uint32) bool {
	if len(q.best) < q.opt.Limit {
		return false
	}
	last := &q.best[len(q.best)-1]
	for class := range uint8(2) {
		o := front[1-class]
		if o == nil {
			continue
		}
		s := standing{bound: bound{class, o.buys + q.seatBuys, float64(o.cost + q.seatCost), o.order[0], o.order[1], o.order[2]}, front: o.order, place: q.x.records[record].place}
		for i := range s.seat {
			s.seat[i] = math.MinInt64
		}
		if s.compare(last) < 0 {
			return false
		}
	}
	return true
}

// bounds returns the points of which the bound is no worse than a limit, and
// which, unless all of these are wanted, are among the best so far; and how far
// they reach: the bounds of all others are worse than that.
func (q *question) bounds(limit bound, all bool) (found []promise, reached bound) {
	b := bounder{q: q, limit: limit, all: all}
	for i := range q.x.columns {
		b.column(&q.x.columns[i])
	}
	return b.found, b.limit
}

// A bounder is a pass over all points.
type bounder struct {
	q     *question
	limit bound // what is worse is passed by
	all   bool  // the limit stays as it is
	found []promise

	// What sets the limit: the most promising points, with more frames than are wanted.
	top    []promise
	frames int

	ch    *chassis // of the column, with the head tube's top at 0
	arcs  []arc
	gates []gate

	seatCost    float64 // the floor of the points or the point at hand
	best, keeps bound   // of the point at hand
	any         bool    // whether it is one
}

// An arc is a bar in a column, and where its clamp is wanted.
type arc struct {
	c      *cockpit
	form   form
	exact  bool    // the form is what it costs, not only a bound of it
	loose  bool    // nothing is asked in the plane that could be bounded
	other  float64 // what else it costs, rounded
	least  float64 // unrounded, in the form and across
	can    bool
	tq, ta float64 // where the sites are wanted on average
	radius float64 // how far they are from the clamp on average
	on     []mated // stems, those furthest forward first
}

// A mated is a bar on a stem.
type mated struct {
	q, a    float64 // of the stem
	buys    int
	flipped int64
	ladders []*ladder // by cap
	low     float64   // of all of them
	high    float64
}

// A ladder is what cap and spacers can make, lowest first.
type ladder struct {
	steps     []rung
	from      float64 // the lowest step
	units     float64 // per mm: all steps are whole units from there
	low, high float64
	next      []uint16 // by whole mm: the first step that is not lower
}

type rung struct {
	up    float64
	below int64 // spacers in tenths
}

// rungSlack is for rounding, mm.
const rungSlack = 1e-7

// between reports whether a step may lie between two heights.
func (l *ladder) between(lo, hi float64) bool {
	last := (hi + rungSlack - l.from) * l.units
	return last >= 0 && float64(int(last)) >= (lo-rungSlack-l.from)*l.units
}

func newLadder(lift float64, stacks []stack) *ladder {
	l := &ladder{from: lift + stacks[0].below}
	unit := 0
	for i := range stacks {
		l.steps = append(l.steps, rung{lift + stacks[i].below, int64(stacks[i].belowT)})
		unit = gcd(unit, stacks[i].belowT-stacks[0].belowT)
	}
	l.units = 1 / (tenth * float64(max(1, unit)))
	l.low, l.high = l.from-rungSlack, l.steps[len(l.steps)-1].up+rungSlack
	n := 0
	for mm := 0; n < len(l.steps); mm++ {
		for n < len(l.steps) && l.steps[n].up < float64(mm) {
			n++
		}
		l.next = append(l.next, uint16(n))
	}
	return l
}

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

// column bounds the points of a column.
func (b *bounder) column(col *column) {
	q := b.q
	key := frontKey{col.diameter, col.head, col.cut, 0, 0, col.most}
	frame := key.frame()
	ch := newChassis(&frame, &Stance{}) // with the head tube's top at 0
	r := newRanking(1, q.counts, q.opt.Vary, [5]part.Kinds{part.Caps, part.Stems, part.Bars, part.Levers, part.AeroBars})
	f := newFront(q.w, r, &frame, &ch, &q.x.shelf, &q.opt.Bike)
	b.ch = &ch
	b.arcs = b.arcs[:0]
	for _, c := range f.cockpits {
		b.arcs = append(b.arcs, q.arc(&ch, c))
	}
	ladders := map[*[]stack][]*ladder{}
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

// arc prepares a bar.
func (q *question) arc(ch *chassis, c *cockpit) arc {
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

// lighter is a form that costs no more than a bar of which sites weigh more
// forward than up or less: each with the lesser of its weights.
func lighter(ch *chassis, c *cockpit) form {
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

// mate puts a bar on a stem if they go together.
func (b *bounder) mate(f *front, a *arc, s *carried, ladders map[*[]stack][]*ladder) {
	q := b.q
	buy := a.c.buy | s.buy
	if !a.c.bar.OnePiece() {
		shim, ok := f.shelf.shim(a.c.bar.ClampDiameter, s.stem.BarDiameter, f.now.BarShim)
		if !ok {
			return
		}
		buy |= bought(part.Shims, shim == f.now.BarShim || shim == part.Shim{})
	}
	m := mated{q: s.q, a: s.a, flipped: yes(s.flipped)}
	if q.counts {
		m.buys = bits.OnesCount16(uint16(buy)) + q.seatBuys // a cap counts nothing here
	}
	if len(s.stacks) == 0 {
		return
	}
	all, ok := ladders[&s.stacks[0]]
	if !ok {
		for i, stacks := range s.stacks {
			if len(stacks) > 0 {
				all = append(all, newLadder(f.shelf.Caps[f.caps[i]].Height, stacks))
			}
		}
		ladders[&s.stacks[0]] = all
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

// bucket bounds some points that lie close to one another across the steerer.
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

// spare is how many times more frames than wanted set the limit: some do not
// keep what they promise.
const spare = 4

// keep notes a promising point, and lowers the limit once there are enough frames.
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
		if b.frames-n < spare*b.q.opt.Limit {
			break
		}
		b.frames -= n
		b.top = b.top[:len(b.top)-1]
	}
	if b.frames >= spare*b.q.opt.Limit {
		// Never higher, since it tells what was passed by.
		if last := &b.top[len(b.top)-1].keeps; last.compare(&b.limit) < 0 {
			b.limit = *last
		}
		if len(b.found) > 4*len(b.top)+1000 {
			b.found = slices.DeleteFunc(b.found, func(p promise) bool { return p.compare(&b.limit) > 0 })
		}
	}
}

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
	c := bound{class: failing, buys: g.on.buys, cost: b.q.w.rounded(max(0, a.least-costSlack)) + a.other + b.seatCost}
	if a.can {
		c.class = holding
	}
	b.take(&c, &c)
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
		if s.up > hi || s.up > at.most+1e-6 || s.below > g.below {
			return
		}
		b.step(g, at, s)
	}
}

// step takes the bound of a bar on a stem on cap and spacers.
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
		// As the search finds it, with a trace less.
		roll, v := a.c.settle(b.ch, b.plane(q, up))
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

// plane turns steerer coordinates back.
func (b *bounder) plane(q, a float64) r3.Vec {
	u := b.ch.steererUp
	return r3.Vec{X: float64(q*u.Z) + float64(a*u.X), Z: float64(a*u.Z) - float64(q*u.X)}
}
