package solve

import (
	"slices"

	"example.com/fitgeom/internal/lp"
)

// shortfall is the cost of a millimetre out of tolerance: so high that any possible change
// is cheaper.
const shortfall = 1e4

// A linear is the problem linearized at a point: offs there, and their derivatives by the
// knobs.
type linear struct {
	knobs  []knob
	by     []float64
	offs   []float64
	slopes [][]float64 // by coordinate and knob
	ranges []cell

	tolerances []float64 // of the coordinates, mm
}

func (e *explainer) linear(by []float64, ranges []cell) *linear {
	b := e.turned(by)
	l := &linear{knobs: e.knobs, by: by, offs: e.offs(nil, &b), ranges: slices.Clone(ranges), tolerances: e.tolerances()}
	l.slopes = make([][]float64, len(l.offs))
	const h = 1e-3
	for i := range e.knobs {
		at := slices.Clone(by)
		at[i] += h
		more := e.turned(at)
		at[i] -= 2 * h
		less := e.turned(at)
		m, s := e.offs(nil, &more), e.offs(nil, &less)
		for k := range l.slopes {
			l.slopes[k] = append(l.slopes[k], (m[k]-s[k])/(2*h))
		}
	}
	return l
}

// hopeless reports whether some coordinate, even by itself, cannot be brought within its
// tolerance, widened a little, by changes that cost no more than a limit.
func (l *linear) hopeless(limit, more float64) bool {
	for c, off := range l.offs {
		lo, hi := off, off
		for i, s := range l.slopes[c] {
			k, r := &l.knobs[i], l.ranges[i]
			if r.over {
				r.hi += limit / Change{k.more, 1}.weight()
			}
			if r.under {
				r.lo -= limit / Change{k.less, 1}.weight()
			}
			if s == 0 {
				continue // avoids infinity times zero
			}
			a, b := s*(r.lo-k.at-l.by[i]), s*(r.hi-k.at-l.by[i])
			lo += min(a, b)
			hi += max(a, b)
		}
		if within := 1 + more/l.tolerances[c]; lo > within || hi < -within {
			return true
		}
	}
	return false
}

// branch solves with steps, by branch and bound: while a knob lies between two steps, it
// is tried at or below the lower and at or above the upper one, at most depth levels
// deep. It returns false if no answer costs less than the limit.
func (l *linear) branch(depth int, limit float64) ([]float64, float64, bool) {
	by, cost, ok := l.relaxed()
	if !ok || cost > limit-1e-9 {
		return nil, limit, false
	}
	for i := range l.knobs {
		k := &l.knobs[i]
		v := k.at + by[i]
		if k.each || k.steps == nil || v < k.lo-1e-7 || v > k.hi+1e-7 {
			continue
		}
		above := slices.IndexFunc(k.steps, func(s float64) bool { return s >= v-1e-7 })
		if above < 1 || k.steps[above] <= v+1e-7 || depth == 0 {
			continue
		}
		old := l.ranges[i]
		var best []float64
		for _, half := range [2]cell{{k.steps[above], old.hi, old.over, false}, {old.lo, k.steps[above-1], false, old.under}} {
			l.ranges[i] = half
			if b, c, found := l.branch(depth-1, limit); found {
				best, limit = b, c
			}
		}
		l.ranges[i] = old
		return best, limit, best != nil
	}
	return by, cost, true
}

// relaxed solves without steps. It returns the change of each knob and, last, how far
// the worst coordinate stays out of tolerance, in mm.
func (l *linear) relaxed() (by []float64, cost float64, ok bool) {
	r := l.relaxation()
	r.cells()
	r.coordinates()
	x, ok := r.Solve()
	if !ok {
		return nil, 0, false
	}
	cost = r.constant
	for i, v := range x {
		cost += r.Cost[i] * v
	}
	return r.turned(x), cost, true
}

// A relaxation is the problem without steps as a linear program. Its unknowns are how far
// the worst coordinate stays out of tolerance (short) and, for each knob that can move,
// its distance above the lower end of its cell and how far it leaves the cell over the
// upper end or under the lower one.
type relaxation struct {
	lp.Program
	l                  *linear
	short              int
	above, over, under []int   // columns of each knob; -1: none
	constant           float64 // the cost with all unknowns at 0
}

func (r *relaxation) column(cost float64) int {
	r.Cost = append(r.Cost, cost)
	return len(r.Cost) - 1
}

// relaxation sets up the unknowns and their costs.
func (l *linear) relaxation() *relaxation {
	n := len(l.knobs)
	r := &relaxation{l: l, above: make([]int, n), over: make([]int, n), under: make([]int, n)}
	r.short = r.column(shortfall)
	for i := range l.knobs {
		k, c := &l.knobs[i], &l.ranges[i]
		r.above[i], r.over[i], r.under[i] = -1, -1, -1
		more, less := Change{k.more, 1}.weight(), Change{k.less, 1}.weight()
		slope := 0.0
		switch { // a cell beyond the range
		case c.lo >= k.hi && c.hi > k.hi:
			slope = more
			r.constant += more * (c.lo - k.hi)
		case c.hi <= k.lo && c.lo < k.lo:
			slope = -less
			r.constant += less * (k.lo - c.lo)
		}
		if c.hi > c.lo || c.over {
			r.above[i] = r.column(slope)
		}
		if c.over {
			r.over[i] = r.column(more)
		}
		if c.under {
			r.under[i] = r.column(less)
		}
	}
	return r
}

// cells adds the rows that keep each knob in its cell.
func (r *relaxation) cells() {
	for i, c := range r.l.ranges {
		if r.above[i] < 0 {
			continue
		}
		row := make([]float64, len(r.Cost))
		row[r.above[i]] = 1
		if c.over {
			row[r.over[i]] = -1
		}
		r.Rows = append(r.Rows, row)
		r.Right = append(r.Right, c.hi-c.lo)
	}
}

// coordinates adds the rows that keep each coordinate within its tolerance plus short.
func (r *relaxation) coordinates() {
	l := r.l
	for c, off := range l.offs {
		more, less := make([]float64, len(r.Cost)), make([]float64, len(r.Cost))
		base := off
		for i, s := range l.slopes[c] {
			base += s * (l.ranges[i].lo - l.knobs[i].at - l.by[i])
			if j := r.above[i]; j >= 0 {
				more[j], less[j] = s, -s
			}
			if j := r.under[i]; j >= 0 {
				more[j], less[j] = -s, s
			}
		}
		more[r.short], less[r.short] = -1/l.tolerances[c], -1/l.tolerances[c]
		r.Rows = append(r.Rows, more, less)
		r.Right = append(r.Right, 1-base, 1+base)
	}
}

// turned returns the change of each knob in a solution and, last, short.
func (r *relaxation) turned(x []float64) []float64 {
	at := func(column int) float64 {
		if column < 0 {
			return 0
		}
		return x[column]
	}
	n := len(r.l.knobs)
	by := make([]float64, n+1)
	for i, c := range r.l.ranges {
		by[i] = c.lo + at(r.above[i]) - at(r.under[i]) - r.l.knobs[i].at
	}
	by[n] = x[r.short]
	return by
}
