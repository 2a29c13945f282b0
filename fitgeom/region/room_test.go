package region_test

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/region"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// Level lines are the edge of the places that hold with the hands at every whole mm up to
// the room, looked at one by one.
func TestAtLeast(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 15))
	in, on := 0, 0
	for n := range 60 {
		c := newRegionCase(uint64(n))
		if n%2 == 0 {
			c.bounds.StemLength.Step, c.bounds.Up.Step = 0, 0
		}
		for k := range c.keep {
			c.keep[k].Tolerance = r3.Scale(1+float64(n%3), c.keep[k].Tolerance)
		}
		r, err := region.New(t.Context(), c.target, c.bounds, c.keep)
		require.NoError(t, err)
		best, ok := r.Best()
		if !ok {
			continue
		}
		least := region.Room{Up: rng.IntN(4), Down: rng.IntN(4), Forward: rng.IntN(3), Back: rng.IntN(3)}
		lines, err := r.AtLeast(t.Context(), least)
		require.NoError(t, err)
		holds := func(at region.HeadPlace) bool {
			room, ok := r.Room(at, 5)
			return ok && room.Up >= least.Up && room.Down >= least.Down && room.Forward >= least.Forward && room.Back >= least.Back
		}
		for range 100 {
			at := region.HeadPlace{Reach: best.Reach + 20*(rng.Float64()-0.5), Stack: best.Stack + 20*(rng.Float64()-0.5)}
			got := holds(at)
			require.Equal(t, got, within(lines, at), "%d: %v", n, at)
			if got {
				in++
			}
		}
		for _, o := range lines {
			require.Len(t, o.Stretches, len(o.Places))
			area := 0.
			for i, a := range o.Places {
				b := o.Places[(i+1)%len(o.Places)]
				area += a.Reach*b.Stack - b.Reach*a.Stack
				long := math.Hypot(b.Reach-a.Reach, b.Stack-a.Stack)
				if long < 1e-4 {
					continue
				}
				share := 0.1 + 0.8*rng.Float64()
				side := func(by float64) region.HeadPlace {
					return region.HeadPlace{Reach: a.Reach + share*(b.Reach-a.Reach) + by*(b.Stack-a.Stack)/long, Stack: a.Stack + share*(b.Stack-a.Stack) - by*(b.Reach-a.Reach)/long}
				}
				require.True(t, holds(side(-1e-6)), "%d", n)
				require.False(t, holds(side(1e-6)), "%d", n)
				on++
			}
			require.Equal(t, o.Hole, area < 0)

			// With what a stretch says, the hands are on the edge of what is held at some move.
			made, a, b := o.Stretches[0], o.Places[0], o.Places[1]
			just := c.bounds
			just.Flip = false
			fixed := func(a, b float64) part.Steps { return part.Steps{From: (a + b) / 2, To: (a + b) / 2} }
			just.StemLength, just.Up, just.StemAngle = fixed(made.From.StemLength, made.To.StemLength), fixed(made.From.Up, made.To.Up), fixed(made.From.StemAngle, made.To.StemAngle)
			if made.From.Flipped {
				just.StemAngle = fixed(-made.From.StemAngle, -made.To.StemAngle)
			}
			one, err := region.New(t.Context(), c.target, just, c.keep)
			require.NoError(t, err)
			off := math.Inf(1)
			for mm := range 4 {
				for _, by := range [][2]float64{{0, -1}, {0, 1}, {-1, 0}, {1, 0}} {
					p, ok := one.Place(region.HeadPlace{Reach: (a.Reach+b.Reach)/2 + float64(mm)*by[0], Stack: (a.Stack+b.Stack)/2 + float64(mm)*by[1]})
					require.True(t, ok)
					off = min(off, math.Abs(p.Distance))
				}
			}
			require.Less(t, off, 0.012)
		}
	}
	assert.Greater(t, in, 100)
	assert.Greater(t, on, 300)
}

// No room asked for is the region itself, and more room is less of it. What is out of range
// is an error, and so is the end of the context.
func TestAtLeastOfNothing(t *testing.T) {
	c := newRegionCase(4)
	r, err := region.New(t.Context(), c.target, c.bounds, c.keep)
	require.NoError(t, err)
	same, err := r.AtLeast(t.Context(), region.Room{})
	require.NoError(t, err)
	require.Len(t, same, len(r.Outlines()))
	for i, o := range r.Outlines() {
		require.Len(t, same[i].Places, len(o.Places))
	}
	none, err := r.AtLeast(t.Context(), region.Room{Up: 100})
	require.NoError(t, err)
	require.Empty(t, none)
	none, err = region.Region{}.AtLeast(t.Context(), region.Room{Up: 1})
	require.NoError(t, err)
	require.Empty(t, none)
	_, err = r.AtLeast(t.Context(), region.Room{Up: -1, Back: 101})
	require.True(t, trial.FaultAt(err, "room.up", contact.ErrRange), err)
	require.True(t, trial.FaultAt(err, "room.back", contact.ErrRange), err)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err = r.AtLeast(ctx, region.Room{Up: 1})
	require.ErrorIs(t, err, context.Canceled)
	_, ok := r.Room(region.HeadPlace{Reach: math.NaN()}, 10)
	require.False(t, ok)
}

// The room of a place is the reach of a frame there, as fitgeom/solve follows it step by step.
func TestRoomEqualsReach(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 15))
	told := 0
	for n := range 20 {
		c := newRegionCase(uint64(n))
		r, err := region.New(t.Context(), c.target, c.bounds, c.keep)
		require.NoError(t, err)
		best, ok := r.Best()
		if !ok {
			continue
		}
		at := region.HeadPlace{Reach: best.Reach + 3*(rng.Float64()-0.5), Stack: best.Stack + 3*(rng.Float64()-0.5)}
		room, ok := r.Room(at, 4)
		if !ok {
			continue
		}
		near := false // to the edge, closer than what chords are off
		for mm := range 5 {
			for _, by := range [][2]float64{{0, 1}, {0, -1}, {1, 0}, {-1, 0}} {
				p, _ := r.Place(region.HeadPlace{Reach: at.Reach + float64(mm)*by[0], Stack: at.Stack + float64(mm)*by[1]})
				near = near || math.Abs(p.Distance) < 0.02
			}
		}
		if near {
			continue
		}
		f := c.frame
		f.Geometry.Reach, f.Geometry.Stack = at.Reach, at.Stack
		reach, err := solve.Problem{Target: c.target, Frame: f, Shelf: c.shelf, Keep: append([]fitgeom.Keep(nil), c.keep...)}.Reach(t.Context(), solve.Movement{Most: 4})
		require.NoError(t, err)
		require.Equal(t, region.Room{Up: reach.Up.MM, Down: reach.Down.MM, Forward: reach.Forward.MM, Back: reach.Back.MM}, room, "%d", n)
		told++
	}
	assert.Greater(t, told, 8)
}
