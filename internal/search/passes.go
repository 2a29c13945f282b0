package search

import (
	"cmp"
	"math"
	"slices"
	"sync"

	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/internal/rig"
	"example.com/fitgeom/internal/work"
)

// A task is some records to look at, with the bound of them all.
type task struct {
	bound
	first    uint32 // the least place among them
	from, to uint32 // in the tree's records
	node     uint32
	root     uint32
	lead     lead // what gives the bound of its front ends
	stage    stage
	fails    bool // whether it is known not to hold
	held     bool // whether the front end holds, so that those that fail do since their seats do not
}

// A stage is how far records have been looked at.
type stage uint8

const (
	unseen stage = iota // a root of the tree, of which nothing is known
	below               // a node
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
	q.tree, q.bounders = t, make([]*bounder, len(t.roots))
	workers, meters := []*Question{q}, []*work.Meter(nil)
	if q.p.Workers > 1 {
		meters = q.w.meter.Split(q.p.Workers)
		workers = workers[:0]
		for _, m := range meters {
			w := q.x.Ask(m, q.p)
			w.race, w.tree, w.bounders = q.race, t, make([]*bounder, len(t.roots))
			workers = append(workers, w)
		}
	}
	for i := range t.roots {
		n := t.roots[i].node
		at := &t.nodes[n]
		q.race.keep(task{bound: bound{holding, q.best()}, first: at.first, from: at.from, to: at.to, node: n, root: uint32(i)}) //exhaustruct:ignore
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
		if !q.w.meter.Do(1) {
			return q.floor.cost
		}
		q.offer(q.stand(l, nil, nil, nil))
	}
	return 0
}

// best is what no frame is better than.
func (q *Question) best() merit { return q.floor.plus(&merit{room: q.w.mostRoom[0]}) }

// bounder is that of a root, which is made when it is first asked for.
func (q *Question) bounder(root uint32) *bounder {
	b := q.bounders[root]
	if b == nil {
		n := &q.tree.nodes[q.tree.roots[root].node]
		b = q.newBounder(n, &q.x.size(q.tree.records[n.from]).Frame)
		q.bounders[root] = b
	}
	return b
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
	if last, ok := q.race.last(); ok {
		return last.less(&q.floor)
	}
	return merit{short: math.MaxInt}
}

// last is the merit of the last of the best frames, if these all hold.
func (q *Question) last() *merit {
	if last, ok := q.race.last(); ok {
		return &last
	}
	return nil
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
	b := q.bound(q.bounder(t.root), n, &t)
	if q.w.meter.Stopped() {
		q.race.keep(t) // by its parent's bound
		return
	}
	t.bound = b
	if t.stage == front && t.class == holding && !q.race.worse(&t) {
		q.sit(&t)
		return
	}
	q.race.keep(t)
}

// bound is what frames of a node are no better than, and finds which front end may be as good.
func (q *Question) bound(b *bounder, n *node, t *task) bound {
	if b.blind {
		if t.fails {
			return bound{failing, merit{buys: q.floor.buys, cost: q.floor.cost}}
		}
		return bound{holding, q.best()}
	}
	s, front, floor := b.spot(n), q.limit(), t.less(&q.floor)
	if !t.fails {
		found, any := b.holding(&s, &front, t.lead, &floor)
		if any {
			t.lead = found
			return bound{holding, front.plus(&q.floor)}
		}
	}
	if front.short < math.MaxInt {
		return bound{class: unfit + 1} // it is of no use
	}
	if !t.fails {
		t.lead, t.fails = lead{}, true //exhaustruct:ignore
	}
	found, least, any := b.failing(&s, t.lead, &floor)
	if t.lead = found; any {
		return bound{failing, least.plus(&merit{buys: q.floor.buys, pref: q.floor.pref, cost: q.floor.cost})}
	}
	return bound{class: unfit}
}

// do looks closer at what is to be done.
func (q *Question) do(t *task) {
	n := &q.tree.nodes[t.node]
	switch {
	case t.stage == unseen:
		q.add(t.node, *t)
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
	n := nodeOf(frame, &ch)
	n.first, n.from, n.to = q.x.records[r].place, at, at+1
	return n
}

// nodeOf is the node of a frame alone, but for its place.
func nodeOf(frame *fitgeom.Frame, ch *rig.Chassis) node {
	at := [3]float64{ch.HeadTop.X, ch.HeadTop.Z, ch.HeadAngle}
	return node{lo: at, hi: at, most: frame.MaxUnderStem, cut: cmp.Or(frame.SteererCut, math.Inf(1)), alike: true} //exhaustruct:ignore
}

// again puts the records of a front end among what is to be done if they are known not to hold.
func (q *Question) again(t *task) {
	one := q.one(t.from)
	for _, r := range q.tree.records[t.from:t.to] {
		if !q.w.meter.Do(1) {
			return
		}
		one.first = min(one.first, q.x.records[r].place)
	}
	one.to = t.to
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
		if !q.w.meter.Do(1) {
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
			if s := q.alone(r, frame(r), q.last()); !q.w.meter.Stopped() {
				q.offer(s)
			}
		}
	case t.class == holding:
		found := q.holder(q.bounder(t.root), frame(records[0]))
		for _, r := range records {
			if found.holding == nil || !q.w.meter.Do(1) {
				break
			}
			if q.seating(r).holds {
				if s := q.stand(r, frame(r), found, q.seatOf(r)); s.class == holding && !q.w.meter.Stopped() {
					q.offer(s)
				}
			}
		}
		if !q.w.meter.Stopped() && q.last() == nil {
			t.held = found.holding != nil
			q.again(t)
		}
	default:
		found := q.nearest(q.bounder(t.root), t.lead, frame(records[0]))
		for _, r := range records {
			if !q.w.meter.Do(1) {
				return
			}
			if t.held && q.seating(r).holds && !q.barred(frame(r)) {
				continue // it was offered
			}
			if s := q.stand(r, frame(r), found, q.seatOf(r)); !q.w.meter.Stopped() {
				q.offer(s)
			}
		}
	}
}

// nearest searches the front end of a frame for the nearest, whether it holds or not. A lead is
// tried first, so that others are soon out of the race.
func (q *Question) nearest(b *bounder, from lead, frame *fitgeom.Frame) *leaders {
	q.Scored++
	f, err := q.searchOf(frame)
	if err != nil {
		return &leaders{}
	}
	f.list.nearest = true
	if from.view != 0 && f == b.f {
		if v, m := from.of(b); !v.mounts[0].bar.OnePiece() {
			for _, c := range v.mounts {
				f.stem(c, m.s, 0)
			}
		}
	}
	f.all()
	return f.list.leaders().alone()
}

// holder searches the front end of a frame for the best that holds, as far as the frame can come
// among the best.
func (q *Question) holder(b *bounder, frame *fitgeom.Frame) *leaders {
	if b.blind {
		return q.front(frame, q.last())
	}
	q.Scored++
	l := newShortlist(1, q.counts, q.p.Vary, frontKinds)
	limit := q.limit()
	l.limit = &limit
	ch := ChassisOf(frame, q.p.Wheels)
	if b.f.move(frame, &ch, l) != nil {
		return &leaders{}
	}
	b.follow(frame, &limit)
	return l.leaders().alone()
}

// follow searches what may hold, the most promising first.
func (b *bounder) follow(frame *fitgeom.Frame, limit *merit) {
	f := b.f
	n := nodeOf(frame, f.ch)
	s := b.spot(&n)
	b.found = b.leads(b.found[:0], &s, limit)
	slices.SortStableFunc(b.found, func(a, c prospect) int { return a.compare(&c.merit, true) })
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
