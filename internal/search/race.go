package search

import (
	"cmp"
	"math"
	"slices"
	"sync"
)

// A race is what workers share: what is to be done, and the best frames so far.
type race struct {
	mu    sync.Mutex
	more  *sync.Cond // there may be more to do, or nothing any more
	open  tasks
	busy  int // workers at a task
	ended bool
	most  int
	best  []Standing // best first, at most so many
}

func newRace(most int) *race {
	r := &race{most: most} //exhaustruct:ignore
	r.more = sync.NewCond(&r.mu)
	return r
}

// next returns the most promising task, once there is one; false if there is nothing left to do.
func (r *race) next() (t task, ok bool) {
	r.mu.Lock()
	defer r.mu.Unlock()
	for {
		switch {
		case r.ended, len(r.open) == 0 && r.busy == 0:
			r.more.Broadcast()
			return t, false
		case len(r.open) == 0:
			r.more.Wait()
			continue
		}
		if t = r.open.pop(); r.over(&t) {
			r.open = r.open[:0] // the others are no better
			continue
		}
		r.busy++
		return t, true
	}
}

// done ends a task; all ends if it was stopped.
func (r *race) done(t *task, stopped bool) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.busy--
	if stopped {
		r.ended = true
		r.open.push(*t)
	}
	if r.busy == 0 || stopped {
		r.more.Broadcast()
	}
}

// keep puts a task among what is to be done, if it may be of use.
func (r *race) keep(t task) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if !r.over(&t) {
		r.open.push(t)
		r.more.Signal()
	}
}

// offer puts a frame among the best if it belongs there.
func (r *race) offer(s Standing) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if len(r.best) == r.most && s.compare(&r.best[len(r.best)-1]) >= 0 {
		return
	}
	at, _ := slices.BinarySearchFunc(r.best, &s, func(a Standing, b *Standing) int { return a.compare(b) })
	if len(r.best) == r.most {
		r.best = r.best[:len(r.best)-1]
	}
	r.best = slices.Insert(r.best, at, s)
}

// worse reports whether no frame of a task can come among the best.
func (r *race) worse(t *task) bool {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.over(t)
}

// over is worse, with the lock held.
func (r *race) over(t *task) bool {
	if len(r.best) < r.most {
		return false
	}
	last := &r.best[len(r.best)-1]
	return cmp.Or(t.bound.compare(&last.bound), cmp.Compare(t.first, last.place)) > 0
}

// last is the merit of the last of the best frames; false unless these all hold.
func (r *race) last() (m merit, ok bool) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if len(r.best) < r.most || !r.best[len(r.best)-1].Holds() {
		return m, false
	}
	return r.best[len(r.best)-1].merit, true
}

// left is what frames cost at least that may belong among the best, which no seat undercuts.
func (r *race) left(floor float64) float64 {
	least := math.Inf(1)
	for i := range r.open {
		switch t := &r.open[i]; {
		case r.over(t):
		case t.class == failing:
			least = min(least, t.cost)
		default: // what cannot hold may cost less, and so may what is worse otherwise
			least = min(least, floor)
		}
	}
	if math.IsInf(least, 1) {
		return 0
	}
	return least
}

// tasks is a heap.
type tasks []task

func (h *tasks) push(t task) {
	a := append(*h, t)
	*h = a
	for i := len(a) - 1; i > 0; {
		up := (i - 1) / 2
		if a[up].compare(&a[i]) <= 0 {
			break
		}
		a[up], a[i] = a[i], a[up]
		i = up
	}
}

func (h *tasks) pop() task {
	a := *h
	t := a[0]
	last := len(a) - 1
	a[0] = a[last]
	a = a[:last]
	*h = a
	for i := 0; ; {
		down := 2*i + 1
		if down+1 < last && a[down+1].compare(&a[down]) < 0 {
			down++
		}
		if down >= last || a[i].compare(&a[down]) <= 0 {
			break
		}
		a[i], a[down] = a[down], a[i]
		i = down
	}
	return t
}
