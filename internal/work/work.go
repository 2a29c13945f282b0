// Package work counts what a computation does, so that it can be stopped: when its
// context ends, or when it has done as much work as its budget allows. Work is counted in
// units and not timed, so that the same input and budget give the same answer on every
// machine.
package work

import (
	"context"
	"errors"
	"fmt"
	"iter"
	"math"
	"reflect"
	"runtime"
	"slices"
	"strconv"

	"example.com/fitgeom/internal/fault"
)

// Default is the budget that the zero value stands for, in units.
const Default = 100_000_000

// poll is after how many units a meter looks at its context. A unit is about 0.1 µs, so
// that an end is seen within about 0.1 ms, and looking costs nothing beside the work.
const poll = 1000

// A Meter counts the work of one answer. A nil Meter counts nothing and never stops. It
// must not be used by two goroutines at once.
type Meter struct {
	ctx  context.Context
	used int64
	next int64 // when to look again
	most int64
	end  error // why it stopped: that of the context, or fault.ErrBudget
}

// New returns a meter for a budget in units; 0 means [Default], and a negative one that
// there is no end.
func New(ctx context.Context, most int) *Meter {
	m := &Meter{ctx: ctx, most: int64(most)}
	switch {
	case most == 0:
		m.most = Default
	case most < 0:
		m.most = math.MaxInt64
	}
	m.look()
	return m
}

// Do counts units of work and reports whether to go on. Once it has returned false it
// always does.
func (m *Meter) Do(units int) bool {
	if m == nil {
		return true
	}
	m.used += int64(units)
	return m.used < m.next || m.look()
}

// Range counts a unit for each number from 0 to n-1, until the meter stops it.
func (m *Meter) Range(n int) iter.Seq[int] {
	return func(yield func(int) bool) {
		for i := 0; i < n && m.Do(1) && yield(i); i++ {
		}
	}
}

// look decides whether to go on, and when to look again.
func (m *Meter) look() bool {
	if m.end == nil {
		if runtime.GOARCH == "wasm" {
			runtime.Gosched() // one thread: nothing else would let a timer run
		}
		m.end = m.ctx.Err()
	}
	if m.end == nil && m.used > m.most {
		m.end = fault.ErrBudget
	}
	if m.end != nil {
		m.next = math.MinInt64
		return false
	}
	m.next = m.used + min(poll, m.most-m.used) + 1
	return true
}

// Wait does something that nothing can stop, such as to allocate much memory, and returns
// whether to go on: it waits for that or for the end of the context, whichever comes
// first. After the end nothing may use what it does, since it may still be doing it.
func (m *Meter) Wait(do func()) bool {
	if m == nil {
		do()
		return true
	}
	done := make(chan struct{})
	go func() {
		defer close(done)
		do()
	}()
	select {
	case <-done:
	case <-m.ctx.Done():
	}
	return m.look()
}

// Make returns n zero values, nil if the meter stopped it: 300 MB take 0.1 s.
func Make[T any](m *Meter, n int) []T {
	if n*int(reflect.TypeFor[T]().Size()) < 1<<20 {
		return make([]T, n)
	}
	var all []T // and no result, to which a return would write at the same time
	if !m.Wait(func() { all = make([]T, n) }) {
		return nil
	}
	return all
}

// Clone copies a list, nil if it is nil or the meter stopped it.
func Clone[T any](m *Meter, list []T) []T {
	if list == nil {
		return nil
	}
	all := Make[T](m, len(list))
	for rest, from := all, list; len(rest) > 0 && m.Do(10); {
		n := copy(rest[:min(1000, len(rest))], from)
		rest, from = rest[n:], from[n:]
	}
	return all
}

// Stopped reports whether the meter has said to stop.
func (m *Meter) Stopped() bool { return m != nil && m.end != nil }

// Ended reports whether it was the context that stopped it.
func (m *Meter) Ended() bool { return m.Stopped() && !errors.Is(m.end, fault.ErrBudget) }

// Used returns the units of work that were done.
func (m *Meter) Used() int64 {
	if m == nil {
		return 0
	}
	return m.used
}

// Split returns meters for as many goroutines, which share what the budget leaves. A nil Meter has
// nil ones.
func (m *Meter) Split(n int) []*Meter {
	all := make([]*Meter, n)
	for i := range all {
		if m == nil {
			continue
		}
		own := *m
		own.used = 0
		if m.most < math.MaxInt64 {
			own.most = max(0, (m.most-m.used)/int64(n))
		}
		own.next = 0 // it looks at once
		all[i] = &own
	}
	return all
}

// Join counts what the meters of [Meter.Split] did. If one of them stopped, so does the meter.
func (m *Meter) Join(all []*Meter) {
	for _, own := range all {
		if own == nil {
			continue
		}
		m.used += own.used
		if m.end == nil && own.end != nil {
			m.end, m.next = own.end, math.MinInt64
		}
	}
	m.Do(0)
}

// Err returns why the meter stopped, with words on how far the work came, such as "12 of
// 30 handlebars searched"; nil if it did not. It wraps the error of the context, or is a
// fault of class fault.ErrBudget.
func (m *Meter) Err(far string) error {
	switch {
	case !m.Stopped():
		return nil
	case m.Ended():
		return fmt.Errorf("stopped after %d units of work, %s: %w", m.used, far, m.end)
	}
	return fault.New("budget.work", strconv.FormatInt(m.most, 10)+" units", "more for this input; at its end "+far, m.end)
}

// Answer tells what to do with what was found: whether it is an answer, and the error that
// goes with it. Asked says that there is something and that it is wanted even if the meter
// stopped; far is for Err.
func (m *Meter) Answer(asked bool, far string) (ok bool, err error) {
	switch {
	case !m.Stopped():
		return true, nil
	case !asked || m.Ended():
		return asked, m.Err(far)
	}
	return true, nil
}

// Sort sorts as slices.SortFunc does and reports whether it came to the end; if the meter
// stopped it, the order is any. It counts a unit for each comparison.
func Sort[E any](m *Meter, all []E, compare func(a, b E) int) (done bool) {
	type stop struct{} // nothing else ends a sort before its end
	defer func() {
		if r := recover(); r != nil && r != any(stop{}) {
			panic(r)
		}
	}()
	slices.SortFunc(all, func(a, b E) int {
		if !m.Do(1) {
			panic(stop{})
		}
		return compare(a, b)
	})
	return true
}
