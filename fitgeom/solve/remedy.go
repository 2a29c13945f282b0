package solve

import (
	"math"
	"slices"

	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/internal/lp"
	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/work"
)

// A knob is a setting or a part dimension that Explain may change. The zero knob is none.
type knob struct {
	more, less fitgeom.Limit
	lo, hi     float64   // its range
	steps      []float64 // its possible values within the range, lowest first; nil for any
	linear     bool      // an angle that moves nothing but angles, by as much
}

// turns reports whether the knob is an angle of which what it does is not linear.
func (k *knob) turns() bool { return !k.linear && k.more.Unit() == "degrees" }

// beyond returns the change that setting the knob to v requires; false if v is within its
// range.
func (k *knob) beyond(v float64) (c Change, ok bool) {
	switch {
	case v > k.hi+verifyMM:
		return Change{k.more, v - k.hi}, true
	case v < k.lo-verifyMM:
		return Change{k.less, k.lo - v}, true
	}
	return Change{}, false
}

// knobMost is how many knobs there are at most.
const knobMost = 16

// values is the values of knobs.
type values [knobMost]float64

// A cell is a part of one knob's range, or of the values beyond it. Over and under say
// that the knob may leave it upwards or downwards, which counts as a change.
type cell struct {
	lo, hi      float64
	over, under bool
}

// half is half the length of the cell of an angle, in radians.
func (c *cell) half() float64 { return (c.hi - c.lo) / 2 * num.Rad }

// A row is what has to be in a span: a number, and so much for each knob times its value,
// where the factors may be off by as much as is loose.
type row struct {
	at        float64
	by, loose values
	in        span
}

// A remedy is the search for the changes with the smallest sum with which some knobs can
// bring everything to where it has to be.
//
// It goes through the cells of the angles. In a cell the rows say what is possible at
// least: they are a linear program, and its cost is a bound. While it is less than the best so
// far, a knob that lies between two steps is tried on either side of them, and the cell of
// an angle is halved.
type remedy struct {
	meter *work.Meter
	knobs []knob
	// rows returns the rows for the cells, or for values very near to some.
	rows func(cells *[knobMost]cell, near *values) []row

	cells [knobMost]cell
	best  values
	least float64 // what the best costs; infinity while there is none

	program program
	solver  lp.Solver
	loose   bool // whether a row of the cells that were last solved for is loose
}

const (
	gain     = 3e-7 // mm: a difference of costs that is none
	coarse   = 1e-3 // the same as a share of the best, where rows are loose
	exact    = 1e-8 // mm by which a row may be beyond its span
	shortest = 1e-5 // radians: half the shortest cell
	farAway  = 2000 // mm: changes that cost more are not looked for
)

// search looks for something that costs less than the least so far, with changes of one
// knob alone, up or down, or with -1 of all.
func (r *remedy) search(only int, up bool) {
	before := r.least
	if r.combine(0, 0, only, up); only < 0 && r.least < before {
		r.settle()
	}
}

// combine goes through the cells of a knob and of those after it, with a floor of what those
// before it cost.
func (r *remedy) combine(i int, floor float64, only int, up bool) {
	if floor >= r.least-gain || r.meter.Stopped() {
		return
	}
	if i == len(r.knobs) {
		r.branch()
		return
	}
	k := &r.knobs[i]
	for _, c := range r.parts(k, k.more != 0 && (only < 0 || only == i && up), k.more != 0 && (only < 0 || only == i && !up)) {
		r.cells[i] = c
		nearest, _ := k.beyond(max(c.lo, min(c.hi, (k.lo+k.hi)/2)))
		r.combine(i+1, floor+nearest.weight(), only, up)
	}
}

// parts returns the cells of a knob: each step of an angle that has steps, the range of
// one that has not, and what is beyond; of any other knob a single one.
func (r *remedy) parts(k *knob, over, under bool) (all []cell) {
	if !k.turns() {
		return []cell{{k.lo, k.hi, over, under}}
	}
	for _, v := range k.steps {
		all = append(all, cell{lo: v, hi: v})
	}
	if k.steps == nil {
		all = append(all, cell{lo: k.lo, hi: k.hi})
	}
	far := min(farthest, r.least/degree)
	if over {
		all = append(all, cell{lo: k.hi, hi: k.hi + far})
	}
	if under {
		all = append(all, cell{lo: k.lo - far, hi: k.lo})
	}
	return all
}

// branch searches the cells, and leaves them as they were.
func (r *remedy) branch() {
	v, cost, ok := r.solve(nil)
	if !ok || cost >= r.least-gain || r.meter.Stopped() {
		return
	}
	if i, below, above := r.between(&v); i >= 0 {
		old := r.cells[i]
		halves := [2]cell{{old.lo, below, false, old.under}, {above, old.hi, old.over, false}}
		if above-v[i] < v[i]-below {
			slices.Reverse(halves[:])
		}
		r.each(i, halves[:])
		return
	}
	enough := float64(gain)
	if r.loose {
		enough = max(gain, coarse*r.least)
	}
	far, angle := r.off(&v)
	if far <= exact {
		r.best, r.least = v, cost
		return
	}
	r.polish(v)
	if angle < 0 || cost >= r.least-enough {
		return
	}
	old := r.cells[angle]
	middle := (old.lo + old.hi) / 2
	halves := [2]cell{{lo: old.lo, hi: middle}, {lo: middle, hi: old.hi}}
	if v[angle] > middle {
		slices.Reverse(halves[:])
	}
	r.each(angle, halves[:])
}

// each searches with each of some cells for a knob.
func (r *remedy) each(i int, all []cell) {
	old := r.cells[i]
	for _, c := range all {
		r.cells[i] = c
		r.branch()
	}
	r.cells[i] = old
}

// between returns the first knob that lies between two of its steps; -1 if none does.
func (r *remedy) between(v *values) (i int, below, above float64) {
	const same = 1e-7
	for i := range r.knobs {
		k := &r.knobs[i]
		if k.turns() || k.steps == nil || v[i] < k.lo-same || v[i] > k.hi+same {
			continue
		}
		n := slices.IndexFunc(k.steps, func(s float64) bool { return s >= v[i]-same })
		if n > 0 && k.steps[n] > v[i]+same {
			return i, k.steps[n-1], k.steps[n]
		}
	}
	return -1, 0, 0
}

// polish keeps to the steps of some values and goes to the best near to them by Newton's
// method, which becomes the best of all if it costs less.
func (r *remedy) polish(v values) {
	old := r.cells
	for i := range r.knobs {
		if k := &r.knobs[i]; !k.turns() && k.steps != nil {
			if _, beyond := k.beyond(v[i]); !beyond {
				r.cells[i] = cell{lo: v[i], hi: v[i]}
			}
		}
	}
	defer func() { r.cells = old }()
	for range 12 {
		next, cost, ok := r.solve(&v)
		if !ok {
			return
		}
		far := 0.0
		for i := range v {
			far = max(far, math.Abs(next[i]-v[i]))
		}
		v = next
		if far < 1e-9 {
			far, _ := r.off(&v)
			i, _, _ := r.between(&v) // one that was beyond its range may have come back
			if i < 0 && cost < r.least-gain && far <= exact {
				r.best, r.least = v, cost
			}
			return
		}
	}
}

// settle goes from the best values to the best near them: it turns each angle, less and
// less far, and lets the rest follow. It keeps to the steps.
func (r *remedy) settle() {
	for i := range r.knobs {
		k, c := &r.knobs[i], &r.cells[i]
		*c = cell{lo: k.lo, hi: k.hi, over: k.more != 0, under: k.more != 0}
		switch change, beyond := k.beyond(r.best[i]); {
		case k.turns() || k.steps != nil && !beyond:
			*c = cell{lo: r.best[i], hi: r.best[i]}
		case k.steps != nil && change.Limit == k.more:
			*c = cell{lo: k.hi, hi: k.hi, over: true}
		case k.steps != nil:
			*c = cell{lo: k.lo, hi: k.lo, under: true}
		}
	}
	for far := 1.0; far > 1e-9; far /= 2 {
		for i := range r.knobs {
			if k := &r.knobs[i]; k.turns() && (k.steps == nil && k.hi > k.lo || r.best[i] < k.lo || r.best[i] > k.hi) {
				r.turn(i, far)
				r.turn(i, -far)
			}
		}
	}
}

// turn turns an angle of the best values by so much, as often as that costs less. It does
// not leave the part of the knob's values in which it is.
func (r *remedy) turn(i int, by float64) {
	const less = 1e-12
	k := &r.knobs[i]
	part := span{k.lo, k.hi}
	switch {
	case r.best[i] > k.hi:
		part = span{k.hi, k.hi + farthest}
	case r.best[i] < k.lo:
		part = span{k.lo - farthest, k.lo}
	}
	for range 100 {
		to := part.nearest(r.best[i] + by)
		r.cells[i] = cell{lo: to, hi: to}
		v, cost, ok := r.solve(nil)
		if !ok || cost >= r.least-less {
			break
		}
		r.best, r.least = v, cost
	}
	r.cells[i] = cell{lo: r.best[i], hi: r.best[i]}
}

// off returns how far something is beyond where it has to be, in mm, and the angle with a
// cell to halve that turns what is farthest of all that such angles turn, of several the one
// with the longest cell; -1 if there is none.
func (r *remedy) off(v *values) (far float64, angle int) {
	angle = -1
	turned, widest := float64(exact), math.Inf(1)
	for _, w := range r.rows(&r.cells, v) {
		at := w.at
		for i, by := range w.by {
			at += by * v[i]
		}
		off := max(w.in.lo-at, at-w.in.hi)
		far = max(far, off)
		for i := range r.knobs {
			half := r.cells[i].half()
			if w.by[i] != 0 && r.knobs[i].turns() && half > shortest && (off > turned || off == turned && half > widest) {
				turned, angle, widest = off, i, half
			}
		}
	}
	return far, angle
}

// changes returns what the best values require.
func (r *remedy) changes() (all []Change) {
	for i := range r.knobs {
		if c, ok := r.knobs[i].beyond(r.best[i]); ok {
			all = append(all, c)
		}
	}
	return all
}

// solve returns the best values for the rows of the cells, or for those near to some
// values, and what they cost.
func (r *remedy) solve(near *values) (v values, cost float64, ok bool) {
	p := &r.program
	p.begin(r.knobs, &r.cells)
	copy(p.add(min(r.least, farAway)-p.constant), p.Cost)
	r.loose = false
	for _, w := range r.rows(&r.cells, near) {
		loose := p.row(&w)
		r.loose = r.loose || near == nil && loose
	}
	r.solver.Meter = r.meter
	x, end := r.solver.Minimize(&p.Program)
	if end != lp.Optimal {
		return v, 0, false
	}
	cost = p.constant
	for i, t := range x {
		cost += p.Cost[i] * t
	}
	at := func(column int) float64 {
		if column < 0 {
			return 0
		}
		return x[column]
	}
	for i := range r.knobs {
		v[i] = r.cells[i].lo + at(p.above[i]) - at(p.under[i])
	}
	return v, cost, true
}

// A program is rows and cells as a linear program. Its unknowns are, for each knob that
// can move, its distance above the lower end of its cell and how far it leaves the cell
// over the upper end or under the lower one.
type program struct {
	lp.Program
	cells              *[knobMost]cell
	above, over, under [knobMost]int // columns of each knob; -1: none
	constant           float64       // the cost with all unknowns at 0
	free               []float64     // memory for rows
}

func (p *program) column(cost float64) int {
	p.Cost = append(p.Cost, cost)
	return len(p.Cost) - 1
}

// add adds a row of zeros, which are to be no more than a number.
func (p *program) add(most float64) []float64 {
	n := len(p.Cost)
	if cap(p.free)-len(p.free) < n {
		p.free = make([]float64, 0, 64*n)
	}
	from := len(p.free)
	p.free = p.free[:from+n]
	row := p.free[from:]
	clear(row)
	p.Rows, p.Right = append(p.Rows, row), append(p.Right, most)
	return row
}

// begin sets up the unknowns and their costs, and the rows that keep each knob in its cell.
func (p *program) begin(knobs []knob, cells *[knobMost]cell) {
	p.Cost, p.Rows, p.Right, p.free = p.Cost[:0], p.Rows[:0], p.Right[:0], p.free[:0]
	p.cells, p.constant = cells, 0
	for i := range p.above {
		p.above[i], p.over[i], p.under[i] = -1, -1, -1
	}
	for i := range knobs {
		k, c := &knobs[i], &cells[i]
		more, less := Change{k.more, 1}.weight(), Change{k.less, 1}.weight()
		slope := 0.0
		switch { // a cell beyond the range
		case c.lo >= k.hi && c.hi > k.hi:
			slope = more
			p.constant += more * (c.lo - k.hi)
		case c.hi <= k.lo && c.lo < k.lo:
			slope = -less
			p.constant += less * (k.lo - c.lo)
		}
		if c.hi > c.lo || c.over {
			p.above[i] = p.column(slope)
		}
		if c.over {
			p.over[i] = p.column(more)
		}
		if c.under {
			p.under[i] = p.column(less)
		}
	}
	for i, c := range cells {
		if p.above[i] < 0 {
			continue
		}
		row := p.add(c.hi - c.lo)
		row[p.above[i]] = 1
		if c.over {
			row[p.over[i]] = -1
		}
	}
}

// row adds a row: two of the program, or one if the span has one end. It returns true if
// something that can move is loose in it.
func (p *program) row(w *row) (loose bool) {
	at := w.at
	for i, by := range w.by {
		at += by * p.cells[i].lo
	}
	for _, side := range [2]struct{ sign, room float64 }{{1, w.in.hi - at}, {-1, at - w.in.lo}} {
		if math.IsInf(side.room, 1) {
			continue
		}
		row := p.add(side.room)
		for i, by := range w.by {
			if j := p.above[i]; j >= 0 {
				row[j] = side.sign*by - w.loose[i]
				loose = loose || w.loose[i] != 0
			}
			if j := p.under[i]; j >= 0 {
				row[j] = -side.sign*by - w.loose[i]
				loose = loose || w.loose[i] != 0
			}
		}
	}
	return loose
}
