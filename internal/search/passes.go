package search

import (
	"cmp"
	"math"
	"slices"
	"sync"

	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/internal/work"
)

// A task is some records to look at, with the bound of them all.
type task struct {
	bound
	first    uint32 // the least place among them
	from, to uint32 // in the tree's records
	node     uint32
	root     uint16
	stage    stage
	lead     lead // what gives the bound of its front ends
	fails    bool // whether it is known not to hold
	held     bool // whether the front end holds, so that those that fail do since their seats do not
}

// A stage is how far records have been looked at.
type stage uint8

const (
	below  stage = iota // a node
	front               // those of one front end, by its bound
	seated              // and by their seats
)

// compare is the order of tasks: those first that may be better, and of these those that come
// first in the catalogue.
func (a *task) compare(b *task) int {
	return cmp.Or(a.bound.compare(&b.bound), cmp.Compare(a.first, b.first), cmp.Compare(a.from, b.from))
}

// search ranks the frames of a tree by their bounds, the most promising first. If the meter
// stops it, it returns what the frames that were not searched cost at least.
func (q *Question) search(t *tree) float64 {
	q.tree = t
	workers, meters := []*Question{q}, []*work.Meter(nil)
	if q.p.Workers > 1 {
		meters = q.w.meter.Split(q.p.Workers)
		workers = workers[:0]
		for _, m := range meters {
			w := q.x.Ask(m, q.p)
			w.race, w.tree = q.race, t
			workers = append(workers, w)
		}
	}
	for i, w := range workers {
		w.plant(i == 0)
	}
	var all sync.WaitGroup
	for _, w := range workers[1:] {
		all.Go(w.run)
	}
	workers[0].run()
	all.Wait()
	q.w.meter.Join(meters)
	for _, w := range workers {
		if w != q {
			q.Scored += w.Scored
		}
	}
	if q.w.meter.Stopped() {
		return q.race.left(q.floor.cost)
	}
	for _, l := range t.lame {
		q.offer(q.stand(l, nil, nil, nil))
	}
	return 0
}

// plant prepares the bounds of all roots, and puts these among what is to be done.
func (q *Question) plant(first bool) {
	q.bounders = make([]*bounder, len(q.tree.roots))
	for i := range q.tree.roots {
		n := q.tree.roots[i].node
		q.bounders[i] = q.newBounder(&q.tree.nodes[n], &q.x.size(q.tree.records[q.tree.nodes[n].from]).Frame)
		if first {
			q.add(n, task{root: uint16(i)}) //exhaustruct:ignore
		}
	}
}

// run does what is to be done, until nothing is left or the meter stops it.
func (q *Question) run() {
	for {
		t, ok := q.race.next()
		if !ok {
			return
		}
		if !q.w.meter.Stopped() {
			q.do(&t)
		}
		q.race.done(&t, q.w.meter.Stopped())
	}
}

// limit is what a front end that holds must be no worse than for its frame to come among the best.
func (q *Question) limit() merit {
	if last := q.race.holds(); last != nil {
		return last.less(&q.floor)
	}
	return merit{short: math.MaxInt}
}

// add puts a node among what is to be done, of which it is known what is known of its parent.
func (q *Question) add(at uint32, t task) {
	t.node, t.stage = at, below
	q.put(&q.tree.nodes[at], t)
}

// put bounds a task and puts it among what is to be done, if it may be of use. A front end that may
// hold is searched at once, so that it is soon known how good others must be.
func (q *Question) put(n *node, t task) {
	t.first, t.from, t.to = n.first, n.from, n.to
	t.bound = q.bound(q.bounders[t.root], n, &t)
	switch {
	case t.stage == front && t.class == holding && !q.race.worse(&t) && !q.w.meter.Stopped():
		q.sit(&t)
	default:
		q.race.keep(t)
	}
}

// bound is what frames of a node are no better than, and finds which front end may be as good.
func (q *Question) bound(b *bounder, n *node, t *task) bound {
	if b.blind {
		if t.fails {
			return bound{failing, merit{buys: q.floor.buys, cost: q.floor.cost}}
		}
		return bound{holding, q.floor.plus(&merit{room: q.w.mostRoom[0]})}
	}
	s, front := b.spot(n), q.limit()
	if !t.fails {
		found, any := b.holding(&s, &front, &t.lead)
		if any {
			t.lead = found
			return bound{holding, front.plus(&q.floor)}
		}
	}
	if q.race.holds() != nil {
		return bound{class: unfit + 1} // it is of no use
	}
	if !t.fails {
		t.lead, t.fails = lead{}, true //exhaustruct:ignore
	}
	least, any := b.failing(&s, &t.lead)
	if t.lead = least; any {
		return bound{failing, least.plus(&merit{buys: q.floor.buys, pref: q.floor.pref, cost: q.floor.cost})}
	}
	return bound{class: unfit}
}

// do looks closer at what is to be done.
func (q *Question) do(t *task) {
	n := &q.tree.nodes[t.node]
	switch {
	case t.stage == below && n.second != 0:
		q.add(t.node+1, *t)
		q.add(n.second, *t)
	case t.stage == below && n.alike:
		t.stage = front
		q.race.keep(*t)
	case t.stage == below:
		for from := n.from; from < n.to; {
			one := q.one(from)
			for one.to = from + 1; one.to < n.to; one.to++ {
				if next := q.one(one.to); next.lo != one.lo || next.most != one.most || next.cut != one.cut {
					break
				}
				one.first = min(one.first, q.x.records[q.tree.records[one.to]].place)
			}
			own := *t
			own.stage = front
			q.put(&one, own)
			from = one.to
		}
	case t.stage == front:
		q.sit(t)
	default:
		q.settle(t)
	}
}

// one is the node of one record of the tree alone.
func (q *Question) one(at uint32) node {
	r := q.tree.records[at]
	frame := &q.x.size(r).Frame
	ch := ChassisOf(frame, q.p.Wheels)
	n := node{most: frame.MaxUnderStem, cut: cmp.Or(frame.SteererCut, math.Inf(1)), first: q.x.records[r].place, from: at, to: at + 1, alike: true} //exhaustruct:ignore
	n.lo = [3]float64{ch.HeadTop.X, ch.HeadTop.Z, ch.HeadAngle}
	n.hi = n.lo
	return n
}

// again puts the records of a front end among what is to be done if they are known not to hold.
func (q *Question) again(t *task) {
	one := q.one(t.from)
	one.first, one.to = t.first, t.to
	own := *t
	own.stage, own.lead, own.fails = front, lead{}, true //exhaustruct:ignore
	q.put(&one, own)
}

// sit adds to the bound of a front end what seats cost at least.
func (q *Question) sit(t *task) {
	next := *t
	next.stage = seated
	if !q.w.laws.whole { // otherwise a seat may hold on one frame and not on another
		b, first, ok := q.atLeast(t)
		switch {
		case q.w.meter.Stopped():
			return
		case ok:
			next.bound, next.first = b, first
		case t.class == holding:
			q.again(t)
			return
		default:
			next.bound = bound{class: unfit}
		}
	}
	if next.class == holding && !q.race.worse(&next) {
		q.settle(&next)
		return
	}
	q.race.keep(next)
}

// atLeast is what the frames of a front end are no better than, by their seats, and the place of the
// best; false if no seat holds or, of those that fail, none fits.
func (q *Question) atLeast(t *task) (least bound, first uint32, ok bool) {
	floor := q.floor
	if t.class != holding {
		floor.room = 0
	}
	own := t.less(&floor)
	for _, r := range q.tree.records[t.from:t.to] {
		seat := q.seating(r)
		if q.w.meter.Stopped() {
			return least, first, false
		}
		b := bound{class: t.class}
		switch {
		case t.class == holding && seat.holds:
			b.merit = own.plus(&seat.holding)
		case t.class == failing && seat.fits:
			b.merit = own.plus(&seat.best)
		default:
			continue
		}
		place := q.x.records[r].place
		if !ok || cmp.Or(b.compare(&least), cmp.Compare(place, first)) < 0 {
			least, first, ok = b, place, true
		}
	}
	return least, first, ok
}

// settle searches a front end and offers its frames.
func (q *Question) settle(t *task) {
	records := q.tree.records[t.from:t.to]
	frame := func(r uint32) *fitgeom.Frame { return &q.x.size(r).Frame }
	switch {
	case q.w.laws.alone():
		for _, r := range records {
			if s := q.alone(r, frame(r), q.race.holds()); !q.w.meter.Stopped() {
				q.offer(s)
			}
		}
	case t.class == holding:
		found := q.holder(q.bounders[t.root], frame(records[0]))
		for _, r := range records {
			if q.w.meter.Stopped() || found.holding == nil {
				break
			}
			if q.seating(r).holds {
				if s := q.stand(r, frame(r), found, q.seatOf(r)); s.class == holding && !q.w.meter.Stopped() {
					q.offer(s)
				}
			}
		}
		if !q.w.meter.Stopped() && q.race.holds() == nil {
			t.held = found.holding != nil
			q.again(t)
		}
	default:
		found := q.nearest(frame(records[0]))
		for _, r := range records {
			if t.held && q.seating(r).holds && !q.barred(frame(r)) {
				continue // it was offered
			}
			if s := q.stand(r, frame(r), found, q.seatOf(r)); !q.w.meter.Stopped() {
				q.offer(s)
			}
		}
	}
}

// nearest searches the front end of a frame for the nearest, whether it holds or not.
func (q *Question) nearest(frame *fitgeom.Frame) *leaders {
	q.Scored++
	f, err := q.searchOf(frame)
	if err != nil {
		return &leaders{}
	}
	f.list.nearest = true
	f.all()
	return f.list.leaders().alone()
}

// holder searches the front end of a frame for the best that holds, as far as the frame can come
// among the best.
func (q *Question) holder(b *bounder, frame *fitgeom.Frame) *leaders {
	q.Scored++
	f := b.f
	l := newShortlist(1, q.counts, q.p.Vary, frontKinds)
	limit := q.limit()
	l.limit = &limit
	ch := ChassisOf(frame, q.p.Wheels)
	if f.move(frame, &ch, l) != nil {
		return &leaders{}
	}
	if b.blind {
		f.all()
	} else {
		b.follow(frame, &limit)
	}
	return l.leaders().alone()
}

// follow searches what may hold, the most promising first.
func (b *bounder) follow(frame *fitgeom.Frame, limit *merit) {
	f := b.f
	n := node{most: frame.MaxUnderStem, cut: cmp.Or(frame.SteererCut, math.Inf(1))} //exhaustruct:ignore
	n.lo = [3]float64{f.ch.HeadTop.X, f.ch.HeadTop.Z, f.ch.HeadAngle}
	n.hi = n.lo
	s := b.spot(&n)
	b.found = b.leads(b.found[:0], &s, limit)
	slices.SortStableFunc(b.found, func(a, c lead) int { return a.compare(&c.merit, true) })
	for i := range b.found {
		d := &b.found[i]
		if f.meter.Stopped() {
			break
		}
		f.lacks = merit{short: d.short, sum: d.sum, room: d.room}
		if best := f.list.holding.last; best != nil && d.compare(&best.merit, true) > 0 {
			break
		}
		v, m := d.of(b)
		mounts := v.mounts
		if mounts[0].bar.OnePiece() {
			mounts = f.cockpitsOf(mounts[0].part, mounts[0].on) // as they are on this frame
		}
		for _, c := range mounts {
			f.stem(c, m.s, 0)
		}
	}
	f.lacks = merit{room: f.mostRoom[0]}
}
