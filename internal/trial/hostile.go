package trial

import (
	"context"
	"math"
	"runtime"
	"runtime/debug"
	"runtime/metrics"
	"strings"
	"testing"
	"time"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"github.com/stretchr/testify/assert"
)

// A Hostile is a call with an input that was made to do harm: to take memory or time, to
// drown the caller in faults, or not to end.
type Hostile struct {
	Name string
	// Input is the size of the input, and Live the most bytes that may be in use beside it
	// at any time. The package documentation states both as a rule.
	Input, Live int
	// Do makes the call. It returns what is kept of its answer.
	Do func(ctx context.Context) (kept any, err error)
}

// Patience is after how long a call is told to stop, and Stop how soon it then must.
const (
	Patience = 20 * time.Millisecond
	Stop     = 5 * time.Millisecond
)

// Run makes the call, looks at its faults, and makes it again under a sampler of the heap
// and with a context that ends. It logs the figures in a line that .ci/prove reads, and
// returns the call's error.
//
// How soon a call ends is measured by the clock. A busy machine now and then makes it look
// slow, so the best of several times counts, and the test fails only far beyond what
// .ci/prove is to show. It also makes the collector slow, which counts as in use all that
// is allocated while it looks, so that the least of several measurements counts.
func (h Hostile) Run(t *testing.T) error {
	t.Helper()
	start := time.Now()
	_, err := h.Do(t.Context())
	took := time.Since(start)
	live := h.measure(t.Context())
	for try := 1; live > h.Live && try < 5; try++ {
		live = min(live, h.measure(t.Context()))
	}
	assert.LessOrEqual(t, live, h.Live, "bytes in use")
	faults, text := len(contact.Faults(err)), 0
	if err != nil {
		text = len(err.Error())
	}
	assert.LessOrEqual(t, faults, fault.MaxFaults+1, "faults")
	assert.LessOrEqual(t, text, fault.MaxText+4096, "bytes of the error's text")
	end := h.stop(t, Patience)
	if Long() {
		for _, part := range []float64{0.25, 0.5, 0.75, 0.9} {
			end = max(end, h.stop(t, time.Duration(part*float64(took))))
		}
	}
	assert.Less(t, end, 40*Stop, "until it ends")
	const mib = 1 << 20
	t.Logf("hostile %s | %.1f | %.1f of %.0f | %.0f | %d | %.0f | %.1f", h.Name, float64(h.Input)/mib, float64(live)/mib, float64(h.Live)/mib,
		float64(took)/1e6, faults, math.Ceil(float64(text)/1024), float64(end)/1e6)
	return err
}

// measure makes the call and returns the most bytes in use at any time, beyond those before.
func (h Hostile) measure(ctx context.Context) int {
	runtime.GC()
	before := inUse()
	// The collector runs each time that the heap has grown by a fifth, and what it finds in
	// use is counted.
	defer debug.SetGCPercent(debug.SetGCPercent(20))
	defer debug.SetMemoryLimit(debug.SetMemoryLimit(int64(before + h.Live + 64<<20)))
	done, most := make(chan struct{}), make(chan int)
	go func() {
		m := 0
		for tick := time.NewTicker(time.Millisecond); ; {
			m = max(m, inUse())
			select {
			case <-tick.C:
			case <-done:
				tick.Stop()
				most <- m
				return
			}
		}
	}()
	kept, _ := h.Do(ctx)
	runtime.GC()
	close(done)
	live := max(<-most, inUse()) - before
	runtime.KeepAlive(kept)
	return max(live, 0)
}

// inUse returns the bytes that the collector last found in use.
func inUse() int {
	sample := []metrics.Sample{{Name: "/gc/heap/live:bytes"}}
	metrics.Read(sample)
	return int(sample[0].Value.Uint64())
}

// stop makes the call with a context that ends after some time, and returns how long it
// then goes on, whatever it returns; 0 if it ends before.
func (h Hostile) stop(t *testing.T, after time.Duration) time.Duration {
	t.Helper()
	best := time.Hour
	for range 5 {
		ctx, cancel := context.WithCancel(t.Context())
		var told time.Time
		timer := time.AfterFunc(after, func() {
			told = time.Now()
			cancel()
		})
		kept, _ := h.Do(ctx)
		end := time.Now()
		runtime.KeepAlive(kept)
		if timer.Stop() {
			cancel()
			return 0
		}
		<-ctx.Done()
		if best = min(best, end.Sub(told)); best <= Stop {
			break
		}
	}
	return best
}

// Repeat repeats a text up to a size, between two others.
func Repeat(before, text, after string, size int) string {
	return before + strings.Repeat(text, max(1, (size-len(before)-len(after))/len(text))) + after
}

// Spending returns a function that tells how many bytes were taken from the heap since,
// given back or not: no less than were ever in use.
func Spending() func() int {
	taken := func() int {
		sample := []metrics.Sample{{Name: "/gc/heap/allocs:bytes"}}
		metrics.Read(sample)
		return int(sample[0].Value.Uint64())
	}
	before := taken()
	return func() int { return taken() - before }
}
