package photo

import (
	"context"
	"strconv"
	"sync/atomic"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/work"
)

// mostWork is how much work is done, in units: some two minutes'. Five photographs with a slip
// in each take a tenth of it, and eight take half.
const mostWork = 1_000_000_000

// A counter counts what a computation does, and leaves it once its context has ended. A nil
// counter counts nothing.
type counter struct {
	meter       *work.Meter
	units, done atomic.Int64
}

// An ended is what do panics with, and within recovers from.
type ended struct{}

// do counts units of work. Once the context has ended it does not return.
func (c *counter) do(units int) {
	if c == nil {
		return
	}
	c.units.Add(int64(units))
	if !c.meter.Do(units) {
		panic(ended{})
	}
}

// step counts that a fit, or whatever the steps are, is done.
func (c *counter) step() {
	if c != nil {
		c.done.Add(1)
	}
}

// within does a computation and waits for it or for the end of the context, whichever comes
// first, since to factorize a large matrix takes longer than anyone is to wait. After the
// end the computation goes on to where it counts next, so it uses only what is its own. The
// error says how many steps were done, such as "12 fits".
func within(ctx context.Context, steps string, compute func(*counter)) error {
	m, c := work.New(ctx, mostWork), &counter{meter: work.New(ctx, mostWork)}
	m.Wait(func() {
		defer func() {
			if r := recover(); r != nil && r != any(ended{}) {
				panic(r)
			}
		}()
		compute(c)
	})
	m.Do(int(c.units.Load()))
	far := strconv.FormatInt(c.done.Load(), 10) + " " + steps
	if m.Stopped() && !m.Ended() {
		return &contact.Error{Path: "photographs", Value: "that need too much work: no end after " + far, Want: "fewer photographs or marks, or fewer that contradict", Class: contact.ErrBudget}
	}
	return m.Err(far)
}
