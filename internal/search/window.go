package search

import (
	"math"

	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/rig"
	"gonum.org/v1/gonum/spatial/r3"
)

// A window is where the clamp of a bar may be for the bar to hold at some roll: in columns from
// back to front, each from a lowest place to a highest. What holds lies in it; what lies in it
// may not hold.
type window struct {
	lo, hi [2]float64 // of all columns, forward and up
	step   float64    // of the columns
	levels [windowLevels][]span
}

// A span is the places in a column; lo is above hi if there are none.
type span struct{ lo, hi float64 }

// How fine windows are, and how far they reach.
const (
	windowColumns = 64
	windowLevels  = 7
	wide          = 1e6  // mm: as far as anything may be
	windowSlack   = 1e-6 // mm: for rounding
)

// noWindow is a window of nothing.
func noWindow() window {
	return window{lo: [2]float64{wide, wide}, hi: [2]float64{-wide, -wide}} //exhaustruct:ignore
}

// A patch is a rectangle of a window.
type patch struct{ lo, hi [2]float64 }

// windowOf is the window of a bar in all ways to mount its levers, if it may be turned by some
// degrees more than it can roll.
func windowOf(mounts []*cockpit, turned float64) window {
	var all []patch
	for _, c := range mounts {
		if c.across.holds && c.acrossAero.holds {
			all = c.patches(all, turned)
		}
	}
	w := noWindow()
	for _, p := range all {
		for i := range 2 {
			w.lo[i], w.hi[i] = min(w.lo[i], p.lo[i]), max(w.hi[i], p.hi[i])
		}
	}
	if len(all) == 0 {
		return w
	}
	columns := windowColumns
	if w.hi[0]-w.lo[0] > wide {
		columns = 1 // no coordinate forward is asked for
	}
	w.step = (w.hi[0] - w.lo[0]) / float64(columns)
	w.step = max(w.step, 0.02)
	w.levels[0] = empty(columns)
	for _, p := range all {
		from, to := w.column(p.lo[0]-windowSlack), w.column(p.hi[0]+windowSlack)
		for i := max(0, from); i <= min(columns-1, to); i++ {
			s := &w.levels[0][i]
			s.lo, s.hi = min(s.lo, p.lo[1]), max(s.hi, p.hi[1])
		}
	}
	for k := 1; k < windowLevels; k++ {
		w.levels[k] = w.wider(1 << (k - 1))
	}
	return w
}

func empty(n int) []span {
	all := make([]span, n)
	for i := range all {
		all[i] = span{wide, -wide}
	}
	return all
}

// wider is the columns, each with its neighbours within some, and as many more at both ends.
func (w *window) wider(by int) []span {
	own := w.levels[0]
	all := empty(len(own) + 2*by)
	for i := range own {
		for j := i; j <= i+2*by; j++ {
			all[j].lo, all[j].hi = min(all[j].lo, own[i].lo), max(all[j].hi, own[i].hi)
		}
	}
	return all
}

// column is the number of the column in which a place lies.
func (w *window) column(x float64) int { return int(math.Floor((x - w.lo[0]) / w.step)) }

// level is the level that serves places that may be off by some mm forward.
func (w *window) level(r float64) int {
	if r == 0 {
		return 0
	}
	n := r/w.step + 1
	for k := 1; k < windowLevels; k++ {
		if float64(int(1)<<(k-1)) >= n {
			return k
		}
	}
	return windowLevels
}

// at is the places of a column and its neighbours.
func (w *window) at(x float64, level int) span {
	if level == windowLevels {
		return span{w.lo[1], w.hi[1]}
	}
	own := w.levels[level]
	i := w.column(x)
	if level > 0 {
		i += 1 << (level - 1)
	}
	if uint(i) >= uint(len(own)) {
		return span{wide, -wide}
	}
	return own[i]
}

// patches appends rectangles that cover where the clamp may be.
func (c *cockpit) patches(all []patch, turned float64) []patch {
	ranges := [][2]float64{{-c.most - turned, c.most + turned}}
	reach := 0.0
	for i := range c.hands {
		h := &c.hands[i]
		if h.turns && turned == 0 {
			ranges = rig.Held(ranges, &h.forward, &h.left, h.want.facing, h.want.turn.Angles())
		}
		reach = max(reach, math.Hypot(h.at.X, h.at.Z))
	}
	const fine = 0.2 // mm
	for _, r := range ranges {
		lo, hi := r[0]-1e-6, r[1]+1e-6
		n := max(1, min(200, int((hi-lo)*num.Rad*reach/fine)))
		for i := range n {
			from, to := lo+(hi-lo)*float64(i)/float64(n), lo+(hi-lo)*float64(i+1)/float64(n)
			if p, ok := c.patch((from+to)/2, (to-from)/2); ok {
				all = append(all, p)
			}
		}
	}
	return all
}

// patch is where the clamp may be at rolls of a half range about a middle; false if nowhere.
func (c *cockpit) patch(mid, half float64) (patch, bool) {
	p := patch{[2]float64{-wide, -wide}, [2]float64{wide, wide}}
	narrow := func(i int, at, tolerance, lo, hi float64) {
		if tolerance != 0 {
			t := tolerance*(1+num.Leeway) + windowSlack
			p.lo[i], p.hi[i] = max(p.lo[i], at-t-hi), min(p.hi[i], at+t-lo)
		}
	}
	narrow(0, c.clamp.at.X, c.clamp.tolerance.X, 0, 0)
	narrow(1, c.clamp.at.Z, c.clamp.tolerance.Z, 0, 0)
	f := form{} //exhaustruct:ignore
	f.sin, f.cos = num.Sincos(half)
	sin, cos := num.Sincos(mid)
	for i := range c.hands {
		h := &c.hands[i]
		at := num.Turned(r3.Vec{X: h.at.X, Z: h.at.Z}, sin, cos)
		lo, hi := f.span(at.X, -at.Z)
		narrow(0, h.want.at.X, h.want.tolerance.X, lo, hi)
		lo, hi = f.span(at.Z, at.X)
		narrow(1, h.want.at.Z, h.want.tolerance.Z, lo, hi)
	}
	if c.aero != nil {
		c.padBox.cut(&p)
		c.tipBox.cut(&p)
	}
	return p, p.lo[0] <= p.hi[0] && p.lo[1] <= p.hi[1]
}

// cut cuts a patch down to where the sites of a box may be within tolerance.
func (b *box) cut(p *patch) {
	for i, w := range b.weight {
		if w > 0 {
			d := b.tolerance[i]*(1+num.Leeway) + windowSlack
			p.lo[i], p.hi[i] = max(p.lo[i], b.lo[i]-d), min(p.hi[i], b.hi[i]+d)
		}
	}
}
