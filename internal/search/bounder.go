package search

import (
	"cmp"
	"slices"

	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/internal/rig"
	"example.com/fitgeom/internal/work"
)

// A bounder is a pass over all points.
type bounder struct {
	q     *Question
	limit bound // what is worse is passed by
	all   bool  // the limit stays as it is
	found []promise
	sift  int      // how many make it worth while to drop those that are worse than the limit
	more  *promise // the first for which there was no room; nil if there was

	// What sets the limit: the most promising points, with more frames than are wanted.
	top    []promise
	frames int

	ch    *rig.Chassis // of the column, with the head tube's top at 0
	arcs  []arc
	on    []mated // of the arcs; its memory serves one column after another
	gates []gate

	seatCost    float64 // the floor of the points or the point at hand
	best, keeps bound   // of the point at hand
	any         bool    // whether it is one
}

// column bounds the points of a column.
func (b *bounder) column(col *column) {
	q := b.q
	key := frontKey{col.diameter, col.head, col.cut, 0, 0, col.most}
	frame := key.frame()
	ch := ChassisOf(&frame, chart.Wheels{}) // with the head tube's top at 0
	b.ch = &ch
	b.arcs = b.arcs[:0]
	f, err := newFrontSearch(newJob(q.w, q.p, &frame, &ch, newShortlist(1, q.counts, q.p.Vary, frontKinds)))
	fits := err == nil
	if fits {
		f.lay(func(last bool) bool {
			fits = last && b.mateAll(f)
			return false
		})
	}
	if !fits {
		b.arcs = append(b.arcs[:0], anyArc(q.seatBuys))
	}
	const bucket = 12
	for from := col.from; from < col.to && !q.w.meter.Stopped(); from += bucket {
		b.bucket(from, min(col.to, from+bucket))
	}
}

// mateAll puts all bars on all stems; false if there are too many.
func (b *bounder) mateAll(f *frontSearch) bool {
	count := 0
	for _, c := range f.cockpits {
		if count += len(c.on); count > many.mated || f.kept >= many.kept {
			return false
		}
		b.arcs = append(b.arcs, b.q.arc(b.ch, c))
	}
	b.on = slices.Grow(b.on[:0], count)
	ladders := map[*[]Pile][]*ladder{}
	sorted := map[*carried][]*carried{}
	for i := range b.arcs {
		a := &b.arcs[i]
		if len(a.c.on) == 0 {
			continue
		}
		if !b.q.w.meter.Do(len(a.c.on)) {
			return true
		}
		on, ok := sorted[&a.c.on[0]]
		if !ok {
			for j := range a.c.on {
				on = append(on, &a.c.on[j])
			}
			slices.SortStableFunc(on, func(a, b *carried) int { return cmp.Compare(b.q, a.q) })
			sorted[&a.c.on[0]] = on
		}
		from := len(b.on)
		for _, s := range on {
			b.mate(f, a, s, ladders)
		}
		a.on = b.on[from:]
	}
	return true
}

// bucket bounds some points that lie close to one another across the steerer.
func (b *bounder) bucket(from, to uint32) {
	points := b.q.x.points
	b.seatCost = b.q.floor(from)
	for i := from + 1; i < to; i++ {
		b.seatCost = min(b.seatCost, b.q.floor(i))
	}
	if !b.q.w.meter.Do(len(b.arcs)) {
		return
	}
	b.open(points[from].q, points[to-1].q)
	for i := from; i < to; i++ {
		if !b.q.w.meter.Do(1 + len(b.gates)/16) {
			return
		}
		b.seatCost = b.q.floor(i)
		if b.limit.class == failing && b.seatCost > b.limit.cost {
			continue
		}
		if b.bound(&points[i]) {
			b.keep(promise{b.best, b.keeps, i})
		}
	}
}

// spare is how many times more frames than wanted set the limit: some do not
// keep what they promise.
const spare = 4

// keep notes a promising point, and lowers the limit once there are enough frames.
func (b *bounder) keep(p promise) {
	if !b.q.done[p.point] && (b.more == nil || comparePromises(p, *b.more) < 0) {
		if len(b.found) == many.promises/4 { // all at once, not one large list beside another
			b.found = slices.Grow(b.found, many.promises-len(b.found))
		}
		b.found = append(b.found, p)
	}
	if len(b.found) == many.promises {
		work.Sort(b.q.w.meter, b.found, comparePromises)
		first := b.found[many.promises/2]
		b.more = &first
		b.found = b.found[:many.promises/2]
	}
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
		// Never higher, since it tells what was passed by.
		if last := &b.top[len(b.top)-1].keeps; last.compare(&b.limit) < 0 {
			b.limit = *last
		}
		if len(b.found) > max(4*len(b.top)+1000, b.sift) {
			b.found = slices.DeleteFunc(b.found, func(p promise) bool { return p.compare(&b.limit) > 0 })
			b.sift = 2 * len(b.found)
		}
	}
}
