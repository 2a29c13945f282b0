package work_test

import (
	"cmp"
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/work"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// count does work of so many units at a time until it is stopped, at most so often.
func count(m *work.Meter, units, times int) int {
	for i := range times {
		if !m.Do(units) {
			return i
		}
	}
	return times
}

// The last unit that a budget allows is done, and none after it, however they come.
func TestBudget(t *testing.T) {
	for _, most := range []int{1, 7, 999, 1000, 1001, 1002, 123_456} {
		assert.EqualValues(t, most, count(work.New(t.Context(), most), 1, 200_000), most)
		assert.EqualValues(t, most/7, count(work.New(t.Context(), most), 7, 200_000), most)
		m := work.New(t.Context(), most)
		count(m, 1, 200_000)
		assert.True(t, m.Stopped())
		assert.False(t, m.Ended())
		assert.False(t, m.Do(0))
		err := m.Err("half of it done")
		require.ErrorIs(t, err, contact.ErrBudget)
		assert.Contains(t, err.Error(), "half of it done")
		assert.Equal(t, "budget.work", contact.Faults(err)[0].Path)
	}
	m := work.New(t.Context(), work.Default)
	assert.True(t, m.Do(work.Default))
	assert.False(t, m.Do(1))
	m = work.New(t.Context(), 0)
	assert.True(t, m.Do(work.Default))
	assert.False(t, m.Do(1))
	m = work.New(t.Context(), -1)
	assert.True(t, m.Do(math.MaxInt32))
	require.NoError(t, m.Err(""))
}

func TestContext(t *testing.T) {
	ctx, cancel := context.WithCancelCause(t.Context())
	m := work.New(ctx, 0)
	assert.Equal(t, 5000, count(m, 1, 5000))
	cancel(errors.New("enough"))
	assert.LessOrEqual(t, count(m, 1, 5000), 1001)
	assert.True(t, m.Ended())
	require.ErrorIs(t, m.Err("far"), context.Canceled)
	assert.False(t, m.Do(0))
	assert.False(t, work.New(ctx, -1).Do(0), "one that has ended before")
	assert.Greater(t, m.Used(), int64(5000))
}

func TestSort(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	many := make([]int, 5000)
	for i := range many {
		many[i] = rng.IntN(1000)
	}
	stopped := slices.Clone(many)
	assert.False(t, work.Sort(work.New(t.Context(), 3000), stopped, cmp.Compare[int]))
	slices.Sort(stopped)
	sorted := slices.Clone(many)
	assert.True(t, work.Sort(work.New(t.Context(), 0), sorted, cmp.Compare[int]))
	assert.True(t, slices.IsSorted(sorted))
	assert.Equal(t, stopped, sorted, "nothing was lost")
	assert.PanicsWithValue(t, "mine", func() { work.Sort(nil, many, func(a, b int) int { panic("mine") }) })
}

func TestNone(t *testing.T) {
	var m *work.Meter
	assert.Equal(t, 5000, count(m, math.MaxInt32, 5000))
	assert.False(t, m.Stopped())
	assert.False(t, m.Ended())
	assert.Zero(t, m.Used())
	require.NoError(t, m.Err(""))
}

// What nothing can stop is waited for, but not beyond the end of the context.
func TestWait(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	m, n := work.New(ctx, -1), 0
	assert.True(t, m.Wait(func() { n = 1 }))
	assert.Equal(t, 1, n)
	release := make(chan struct{})
	defer close(release)
	assert.False(t, m.Wait(func() {
		cancel()
		<-release
	}))
	require.ErrorIs(t, m.Err("far"), context.Canceled)
	assert.False(t, m.Do(0))
	m = nil
	assert.True(t, m.Wait(func() { n = 2 }))
	assert.Equal(t, 2, n)
}

func BenchmarkDo(b *testing.B) {
	m := work.New(b.Context(), -1)
	for b.Loop() {
		m.Do(1)
	}
}

// Lists are made and copied, large ones too, but not once the context has ended. The race
// detector looks at what is then still being made.
func TestMakeAndClone(t *testing.T) {
	for _, n := range []int{0, 1, 999, 1000, 1001, 300_000} {
		list := make([]int, n)
		for i := range list {
			list[i] = i
		}
		m := work.New(t.Context(), -1)
		assert.Equal(t, list, work.Clone(m, list))
		assert.Len(t, work.Make[int](m, n), n)
	}
	assert.Nil(t, work.Clone(work.New(t.Context(), -1), []int(nil)))
	for range 20 {
		ctx, cancel := context.WithCancel(t.Context())
		m := work.New(ctx, -1)
		cancel()
		if all := work.Make[int](m, 300_000); all != nil { // it was made before the end was seen
			assert.Len(t, all, 300_000)
		}
		m.Do(10_000)
		assert.Nil(t, work.Make[int](m, 300_000))
	}
}
