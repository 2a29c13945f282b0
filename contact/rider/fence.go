package rider

import (
	"math"
	"slices"

	"example.com/fitgeom/internal/num"
)

// An xz is a vector of the side view, in mm.
type xz struct{ x, z float64 }

func (a xz) plus(b xz) xz          { return xz{a.x + b.x, a.z + b.z} }
func (a xz) less(b xz) xz          { return xz{a.x - b.x, a.z - b.z} }
func (a xz) times(k float64) xz    { return xz{a.x * k, a.z * k} }
func (a xz) dot(b xz) float64      { return float64(a.x*b.x) + float64(a.z*b.z) }
func (a xz) cross(b xz) float64    { return float64(a.x*b.z) - float64(a.z*b.x) }
func (a xz) length() float64       { return math.Sqrt(a.dot(a)) }
func (a xz) slope() float64        { return num.Atan2(a.z, a.x) }
func direction(degrees float64) xz { sin, cos := num.Sincos(degrees); return xz{cos, sin} }

// A circle is what a limit makes of a limb of two links at one crank angle. The limb's far end,
// from its near end, is somewhere; with the joint at the limit it lies on the circle.
//
// Of a knee the circle is about the hip, and the limb's end must stay inside of it, or outside.
// Of the slope of a link it is about that link's own end, with the slope at the limit; which side
// is right changes on the line along the link, where the limb is stretched or folded.
type circle struct {
	q xz      // the limb's end, from the centre
	e xz      // how q changes for each mm that something moves
	r float64 // negative: nowhere is right
	u xz      // the link's direction, so that on its left the link would be too steep; or 0
}

// A side is where the limb's end may not be.
type side uint8

const (
	outside side = iota + 1 // of the circle
	inside
	left        // of the line along u, and inside of the circle
	right       // of the line along u, but for the inside of the circle
	rightInside // of the line along u and of the circle
)

// A fence is one limit, or the reach of a limb, as something moves along a line.
type fence struct {
	edge   Edge
	no     side
	circle func(crank float64) circle
	steps  int // 1 for what does not change over the stroke
	// profile says that the ankle's angle changes over it.
	profile bool
	drawn   []circle
}

// draw draws the circles of the steps.
func (f *fence) draw() {
	f.drawn = make([]circle, f.steps)
	for i := range f.drawn {
		f.drawn[i] = f.circle(f.crank(i))
	}
}

func (f *fence) crank(i int) float64 { return 360 * float64(i) / float64(f.steps) }

// A root is a place on the line where a fence stands.
type root uint8

const (
	none  root = iota
	near       // the lesser of the circle's two
	far        // the greater
	ahead      // that of the line along u
)

// A stop is an end of a stretch of the line that is not allowed.
type stop struct {
	t     float64
	root  root
	crank float64
	fence *fence
}

// A ban is a stretch of the line that is not allowed, its ends excepted.
type ban struct{ from, to stop }

// roots returns where the line meets the circle, or its nearest place to the centre twice, and
// by how much the line is inside of the circle.
func (c *circle) roots(shift xz) (a, b, depth float64) {
	q := c.q.plus(shift)
	n := c.e.dot(c.e) // 1 or 0
	if n == 0 {
		return 0, 0, c.r - q.length()
	}
	along, off := -q.dot(c.e), c.e.cross(q)
	depth = c.r - math.Abs(off)
	if depth <= 0 || c.r <= 0 {
		return along, along, depth
	}
	half := math.Sqrt(depth * (c.r + math.Abs(off)))
	return along - half, along + half, depth
}

// A crossing is a circle on a line, with its roots.
type crossing struct {
	*circle
	a, b, depth float64
	crank       float64
	shift       xz
}

// bans appends what of the line is not allowed at one crank angle.
func (f *fence) bans(to []ban, c *crossing) []ban {
	crank, shift, a, b, depth := c.crank, c.shift, c.a, c.b, c.depth
	low, high := stop{t: math.Inf(-1), crank: crank, fence: f}, stop{t: math.Inf(1), crank: crank, fence: f}
	x := stop{t: a, root: near, crank: crank, fence: f}
	y := stop{t: b, root: far, crank: crank, fence: f}
	if c.r < 0 || c.e == (xz{}) && f.shut(c) { // no place is right
		return append(to, ban{low, high})
	}
	if c.e == (xz{}) {
		return to
	}
	switch f.no {
	case outside:
		if depth < 0 {
			return append(to, ban{low, high})
		}
		return append(to, ban{low, x}, ban{y, high})
	case inside:
		if depth > 0 {
			to = append(to, ban{x, y})
		}
		return to
	case left, right, rightInside:
	}
	// The line along u is crossed at p, and beyond p, or before it, the limb's end is on its left.
	rate, at := c.u.cross(c.e), c.u.cross(c.q.plus(shift))
	p := stop{t: -at / rate, root: ahead, crank: crank, fence: f}
	whole := math.Abs(rate) < 1e-12
	if f.no == left {
		switch {
		case whole && at > 0:
			return append(to, ban{low, high})
		case whole:
		case rate > 0:
			to = append(to, ban{p, high})
		default:
			to = append(to, ban{low, p})
		}
		if depth > 0 {
			to = append(to, ban{x, y})
		}
		return to
	}
	// On its right, and in the circle or but for its inside.
	from, till := low, p
	switch {
	case whole && at >= 0:
		return to
	case whole:
		till = high
	case rate < 0:
		from, till = p, high
	}
	clear := depth <= 0 || b <= from.t || a >= till.t
	switch {
	case clear && f.no == right:
		return append(to, ban{from, till})
	case clear:
		return to
	}
	into, out := from, till // the circle
	if a > from.t {
		into = x
	}
	if b < till.t {
		out = y
	}
	if f.no == rightInside {
		return append(to, ban{into, out})
	}
	return append(to, ban{from, into}, ban{out, till})
}

// shut reports whether nothing is right where nothing moves.
func (f *fence) shut(c *crossing) bool {
	turn, depth := c.u.cross(c.q.plus(c.shift)), c.depth
	switch f.no {
	case outside:
		return depth < -reachLeeway
	case inside:
		return depth > reachLeeway
	case left:
		return turn > reachLeeway || depth > reachLeeway
	case right:
		return turn < -reachLeeway && depth < -reachLeeway
	default:
		return turn < -reachLeeway && depth > reachLeeway
	}
}

// reachLeeway is what rounding may make of a place, mm.
const reachLeeway = 1e-9

// value returns where a root is at a crank angle.
func (f *fence) value(r root, crank float64, shift xz) float64 {
	c := f.circle(num.Turn(crank))
	if r == ahead {
		return -c.u.cross(c.q.plus(shift)) / c.u.cross(c.e)
	}
	a, b, _ := c.roots(shift)
	if r == near {
		return a
	}
	return b
}

// graze is the depth, mm, by which a line may be just inside of a circle between two steps, or just
// outside.
const graze = 1.

// A walk finds what of a line is allowed.
type walk struct {
	shift  xz      // of the line
	lo, hi float64 // its ends
	bans   []ban   // sorted, and apart from one another
	room   []ban
	turns  []turn
}

// A turn is a step of a fence at which a root is an extreme of the steps. Between the steps it may be
// more by up to reach.
type turn struct {
	stop
	sign, reach float64 // as push has it
}

// add adds what is not allowed at one crank angle, and returns how far the line is inside of the
// circle.
func (w *walk) add(f *fence, c *circle, crank float64) (x crossing) {
	x = crossing{circle: c, crank: crank, shift: w.shift}
	x.a, x.b, x.depth = c.roots(w.shift)
	if !w.told(f.no, &x) {
		w.room = f.bans(w.room[:0], &x)
		for _, b := range w.room {
			w.ban(b)
		}
	}
	return x
}

// told reports whether it is plain that a circle adds nothing.
func (w *walk) told(no side, c *crossing) bool {
	if c.e == (xz{}) || c.r < 0 {
		return false
	}
	switch {
	case no == inside && (c.depth <= 0 || c.b <= w.lo || c.a >= w.hi):
		return true
	case no == inside:
		return len(w.bans) > 0 && c.a >= w.bans[0].from.t && c.b <= w.bans[0].to.t
	case no == outside && c.depth > 0 && len(w.bans) > 0:
		n := len(w.bans) - 1
		low := c.a <= w.lo || w.bans[0].from.t <= w.lo && c.a <= w.bans[0].to.t
		high := c.b >= w.hi || w.bans[n].to.t >= w.hi && c.b >= w.bans[n].from.t
		return low && high
	}
	return false
}

// ban adds a stretch.
func (w *walk) ban(b ban) {
	if !(b.to.t > w.lo && b.from.t < w.hi && b.from.t < b.to.t) {
		return
	}
	i := 0
	for i < len(w.bans) && w.bans[i].to.t < b.from.t {
		i++
	}
	j := i
	for j < len(w.bans) && w.bans[j].from.t <= b.to.t {
		if w.bans[j].from.t <= b.from.t {
			b.from = w.bans[j].from
		}
		if w.bans[j].to.t >= b.to.t {
			b.to = w.bans[j].to
		}
		j++
	}
	if j == i+1 {
		w.bans[i] = b
		return
	}
	w.bans = slices.Replace(w.bans, i, j, b)
}

// all reports whether nothing is left.
func (w *walk) all() bool {
	return len(w.bans) == 1 && w.bans[0].from.t <= w.lo && w.bans[0].to.t >= w.hi
}

// over adds all that a fence does not allow over the stroke, at its steps and where between them
// the line just enters or leaves a circle.
func (w *walk) over(f *fence) {
	n := len(f.drawn)
	var last [3]crossing
	for i := range n + 2 {
		k := i % n
		last[0], last[1], last[2] = last[1], last[2], w.add(f, &f.drawn[k], f.crank(k))
		if w.all() || n == 1 {
			return
		}
		if i < 2 {
			continue
		}
		w.turn(f, &last)
		d := last[1].depth
		up := d <= 0 && d > -graze && d >= last[0].depth && d >= last[2].depth
		down := d >= 0 && d < graze && d <= last[0].depth && d <= last[2].depth
		if !up && !down {
			continue
		}
		sign := 1.
		if up {
			sign = -1
		}
		step := 360 / float64(n)
		at := num.Turn(dip(f.crank(i-1)-step, f.crank(i-1)+step, f.profile, func(crank float64) float64 {
			c := f.circle(crank)
			_, _, depth := c.roots(w.shift)
			return sign * depth
		}))
		c := f.circle(at)
		w.add(f, &c, at)
	}
}

// turn notes which roots turn at the second of three steps.
func (w *walk) turn(f *fence, at *[3]crossing) {
	note := func(r root, of func(c *crossing) float64) {
		a, b, c := of(&at[0]), of(&at[1]), of(&at[2])
		reach := max(math.Abs(a-b), math.Abs(c-b))
		if b <= a && b <= c {
			w.turns = append(w.turns, turn{stop{t: b, root: r, crank: at[1].crank, fence: f}, 1, reach})
		} else if b >= a && b >= c {
			w.turns = append(w.turns, turn{stop{t: b, root: r, crank: at[1].crank, fence: f}, -1, reach})
		}
	}
	if at[1].depth > 0 {
		note(near, func(c *crossing) float64 { return c.a })
		note(far, func(c *crossing) float64 { return c.b })
	}
	if f.no >= left {
		note(ahead, func(c *crossing) float64 { return -c.u.cross(c.q.plus(c.shift)) / c.u.cross(c.e) })
	}
}

// sharpen moves the ends of what is not allowed to where they are furthest between the steps: those
// that are furthest at the steps, and those that could come before them, or into the line.
func (w *walk) sharpen() {
	at := []float64{w.lo, w.hi}
	for i := range w.bans {
		at = append(at, w.bans[i].from.t, w.bans[i].to.t)
	}
	for i := range w.turns {
		if t := &w.turns[i]; slices.ContainsFunc(at, t.near) {
			w.push(t.stop, t.sign)
		}
	}
	const rounds = 3
	for range rounds {
		was := slices.Clone(w.bans)
		for _, b := range was {
			w.push(b.from, 1)
			w.push(b.to, -1)
		}
		if len(was) == len(w.bans) {
			return
		}
	}
}

// near reports whether a turn of a root may come before an end.
func (t *turn) near(end float64) bool { return math.Abs(t.t-end) <= t.reach }

// push looks for the crank angle near to that of an end at which it is furthest: least for a
// sign of 1, most for -1.
func (w *walk) push(s stop, sign float64) {
	if s.root == none || s.fence.steps == 1 {
		return
	}
	step := 360 / float64(s.fence.steps)
	at := num.Turn(dip(s.crank-step, s.crank+step, s.fence.profile, func(crank float64) float64 {
		return sign * s.fence.value(s.root, crank, w.shift)
	}))
	c := s.fence.circle(at)
	w.add(s.fence, &c, at)
}

// allowed returns what is left of the line.
func (w *walk) allowed(to []Interval) []Interval {
	from := Edge{At: w.lo, Place: Open}
	take := func(till Edge) {
		if till.At-from.At > shortest {
			to = append(to, Interval{from, till})
		}
	}
	for i := range w.bans {
		b := &w.bans[i]
		if b.from.t > w.lo {
			take(b.from.edge())
		}
		from = Edge{At: math.Inf(1), Place: Open}
		if b.to.t < w.hi {
			from = b.to.edge()
		}
	}
	take(Edge{At: w.hi, Place: Open})
	return to
}

// shortest is the length of the shortest interval, mm.
const shortest = 1e-6

// edge is the limit that a stop is at.
func (s *stop) edge() Edge {
	e := s.fence.edge
	if e.At = s.t; s.fence.steps > 1 {
		e.CrankAngle = s.crank
	}
	return e
}
