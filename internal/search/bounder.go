package search

import (
	"cmp"
	"math"
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"gonum.org/v1/gonum/spatial/r3"
)

// A bounder bounds the front ends of one kind of steerer.
type bounder struct {
	q     *Question
	f     *frontSearch
	blind bool // there is so much on the shelf that nothing is bounded
	views []view
	steps ladder  // with spacers
	bare  ladder  // caps alone
	long  float64 // no bar's clamp is further from the head tube's top
	wants fitgeom.RoomWish
	found []prospect // its memory serves one front end after another
	arcs  []arc      // the same
}

// A view is a bar with its levers and an aero bar, in all ways to mount them, on all stems.
type view struct {
	number       uint32
	mounts       []*cockpit
	forms        []form // of the mounts: what they cost at least
	boxes        []box  // the same
	floor        float64
	narrow, wide window
	exact        bool    // whether nothing but the roll is to be settled
	on           []mate  // by points, and of these those furthest back first
	groups       []group // of them, by points
}

// A group is the stems with so many points.
type group struct{ pref, from, to int }

// A mate is a stem under a bar, as it may be set.
type mate struct {
	number uint32
	s      *carried
	q, a   float64 // of its foot from the head tube's top
	buys   int
	pref   int // points, but for spacers and roll
	twins  int // the next way to set the same stem: a ring
}

// A rung is a height that caps and spacers can make.
type rung struct {
	up   float64 // of the stem's lower edge above the head tube
	pref int     // points of the spacers
}

// A spot is some front ends close together: head tubes' tops about a place, and their directions
// about one.
type spot struct {
	at, up    r3.Vec
	rx, rz, r float64 // how far a clamp may be off: forward, up, and in any direction
	most, cut float64
}

// newBounder prepares the bounds of the front ends below a node of the tree, of which a frame is one.
func (q *Question) newBounder(n *node, frame *fitgeom.Frame) *bounder {
	b := &bounder{q: q} //exhaustruct:ignore
	if q.made++; q.made > many.bounders {
		b.blind = true
		return b
	}
	own := *frame
	own.MaxUnderStem, own.SteererCut = n.most, 0
	f, err := q.searchOf(&own)
	if b.f = f; err != nil {
		b.blind = true
		return b
	}
	if len(f.on) == 0 && !f.turned {
		return b // nothing fits
	}
	ch := f.ch
	b.ladders()
	turned := max(math.Abs(ch.HeadAngle-n.lo[2]), math.Abs(n.hi[2]-ch.HeadAngle))
	f.lay(func(last bool) bool {
		if b.blind = !last; last {
			b.look(turned)
		}
		return false
	})
	return b
}

// ladders lists what caps and spacers can make.
func (b *bounder) ladders() {
	f := b.f
	var bare, steps []rung
	for _, ci := range f.caps {
		lift := f.shelf.Caps[ci].Height
		bare = append(bare, rung{lift, 0})
		for i := range f.piles.from[:len(f.piles.from)-1] {
			below := float64(f.piles.all[f.piles.from[i]].below) / 10
			steps = append(steps, rung{lift + below, f.pref.Spacers.Steps(below)})
		}
	}
	b.bare, b.steps = newLadder(bare), newLadder(steps)
}

// A ladder is heights, lowest first.
type ladder struct {
	rungs []rung
	next  []uint16 // by whole mm: the first rung that is not lower
}

// newLadder sorts rungs, of each height that with the fewest points.
func newLadder(all []rung) (l ladder) {
	slices.SortFunc(all, func(a, b rung) int { return cmp.Or(cmp.Compare(a.up, b.up), cmp.Compare(a.pref, b.pref)) })
	l.rungs = slices.CompactFunc(all, func(a, b rung) bool { return a.up == b.up })
	for n := 0; n < len(l.rungs); {
		for n < len(l.rungs) && l.rungs[n].up < float64(len(l.next)) {
			n++
		}
		l.next = append(l.next, uint16(n))
	}
	return l
}

// from is the first rung that is no lower than given.
func (l *ladder) from(lo float64) int {
	i := int(max(0, min(lo, float64(len(l.next)))))
	if i == len(l.next) {
		return len(l.rungs)
	}
	n := int(l.next[i])
	for n < len(l.rungs) && l.rungs[n].up < lo {
		n++
	}
	return n
}

// top is the highest rung.
func (l *ladder) top() float64 {
	if len(l.rungs) == 0 {
		return 0
	}
	return l.rungs[len(l.rungs)-1].up
}

// below is the rungs up to a height.
func (l *ladder) below(hi float64) []rung {
	n := len(l.rungs)
	for n > 0 && l.rungs[n-1].up > hi {
		n--
	}
	return l.rungs[:n]
}

// look makes the views, of bars that may be turned by some degrees more than they can roll if
// they are in one piece with their stem.
func (b *bounder) look(turned float64) {
	f := b.f
	count := 0
	wish := -1
	for _, r := range f.wish.rooms[0] {
		if r.Group == contact.OnHandlebar && (r.Up > 0 || r.Down > 0) {
			b.wants, wish = *r.RoomWish, r.place
		}
	}
	all := slices.Clone(f.cockpits)
	slices.SortStableFunc(all, func(a, b *cockpit) int { return slices.Compare(a.part[:], b.part[:]) })
	for len(all) > 0 {
		n := 1
		for n < len(all) && all[n].part == all[0].part {
			n++
		}
		mounts := all[:n:n]
		all = all[n:]
		const least = 80 // that windows count for
		if count += max(least, len(mounts)*len(mounts[0].on)); count > many.mated || !f.meter.Do(600*len(mounts)) {
			b.blind = true
			return
		}
		v := view{mounts: mounts, floor: math.Inf(1)} //exhaustruct:ignore
		by := 0.0
		if mounts[0].bar.OnePiece() {
			by = turned
		}
		v.exact = mounts[0].aero == nil && by == 0
		v.narrow = windowOf(mounts, by)
		if wish >= 0 {
			v.wide = windowOf(f.widened(wish, mounts[0].part, mounts[0].on), by)
		}
		for _, c := range mounts {
			v.forms = append(v.forms, c.lightest(by))
			f := &v.forms[len(v.forms)-1]
			v.boxes = append(v.boxes, barBox(c.hands, c.clamp, c.most+by))
			v.floor = min(v.floor, b.rounded(c.fixed+f.base)+b.rounded(c.acrossAero.cost))
		}
		b.mate(&v)
		if len(v.on) > 0 {
			b.views = append(b.views, v)
		}
	}
	slices.SortStableFunc(b.views, func(a, b view) int { return cmp.Compare(a.floor, b.floor) })
	for i := range b.views {
		b.views[i].number = uint32(i)
	}
}

// lightest is a form that costs no more than a bar that may be turned by some degrees more than
// it can roll. Of sites that weigh more forward than up or less it takes the lesser weight.
func (c *cockpit) lightest(turned float64) form {
	if c.form.round && turned == 0 {
		return c.form
	}
	even := func(w *wanted) *wanted {
		e := *w
		e.weight.X = min(e.weight.X, e.weight.Z)
		e.weight.Z = e.weight.X
		return &e
	}
	hands := make([]hand, len(c.hands))
	for i, h := range c.hands {
		hands[i] = hand{at: h.at, want: even(h.want)} //exhaustruct:ignore
	}
	return newForm(hands, even(c.clamp), c.most+turned)
}

// rounded is a cost rounded as the search does, less what rounding may add.
func (b *bounder) rounded(cost float64) float64 {
	const trace = 1e-10
	root := max(0, math.Sqrt(max(0, cost-costSlack))-trace)
	return b.q.w.rounded(root * root)
}

// costSlack is by how much a form may be off by rounding.
const costSlack = 1e-8

// mate puts a bar on all stems.
func (b *bounder) mate(v *view) {
	c := v.mounts[0]
	for i := range c.on {
		s := &c.on[i]
		shim, buy, ok := b.f.joint(c, s)
		if !ok {
			continue
		}
		m := mate{s: s, q: s.q, a: s.a, pref: s.pref, buys: b.f.list.buys(buy)} //exhaustruct:ignore
		if shim != (part.Shim{}) {
			m.pref += b.f.pref.Shim
		}
		v.on = append(v.on, m)
		b.long = max(b.long, math.Hypot(m.q, m.a), math.Hypot(m.q, m.a+b.ladder(&m).top()))
	}
	slices.SortStableFunc(v.on, func(a, b mate) int { return cmp.Or(cmp.Compare(a.pref, b.pref), cmp.Compare(a.q, b.q)) })
	last := map[int]int{} // by place of the stem
	for i := range v.on {
		m := &v.on[i]
		m.number, m.twins = uint32(i), i
		if k, ok := last[m.s.place]; ok {
			m.twins, v.on[k].twins = v.on[k].twins, i
		}
		last[m.s.place] = i
		if i == 0 || m.pref > v.on[i-1].pref {
			v.groups = append(v.groups, group{pref: m.pref, from: i, to: i})
		}
		v.groups[len(v.groups)-1].to = i + 1
	}
}

// ladder is what may be under a stem.
func (b *bounder) ladder(m *mate) *ladder {
	if m.s.stem.Quill != (part.Steps{}) {
		return &b.bare
	}
	return &b.steps
}

// spot is where the front ends of a node are.
func (b *bounder) spot(n *node) spot {
	half := func(i int) float64 { return (n.hi[i] - n.lo[i]) / 2 }
	s := spot{at: r3.Vec{X: n.lo[0] + half(0), Z: n.lo[1] + half(1)}, most: n.most, cut: n.cut} //exhaustruct:ignore
	s.up = chart.Geometry{HeadAngle: n.lo[2] + half(2)}.SteererUp()                             //exhaustruct:ignore
	turn := b.long * half(2) * math.Pi / 180
	s.rx, s.rz = half(0)+turn, half(1)+turn
	s.r = math.Hypot(half(0), half(1)) + turn
	return s
}

// top is how high a stem may be at most.
func (s *spot) top(m *mate) float64 {
	return min(s.most, s.cut+fitgeom.SteererGap-m.s.stem.Height) + 1e-6
}

// foot is where a stem holds the bar with nothing under it.
func (s *spot) foot(m *mate) r3.Vec {
	return r3.Vec{X: s.at.X + m.q*s.up.Z + m.a*s.up.X, Z: s.at.Z + m.a*s.up.Z - m.q*s.up.X}
}

// across is a place across the steerer, from the head tube's top.
func (s *spot) across(x, z float64) float64 { return (x-s.at.X)*s.up.Z - (z-s.at.Z)*s.up.X }
