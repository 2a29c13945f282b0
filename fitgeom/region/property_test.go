package region_test

import (
	"math"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/region"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/invented"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

func init() { trial.Rapid(15, 500, 1) }

func TestMain(m *testing.M) { trial.Main(m) }

func anyCase(t *rapid.T) regionCase {
	return newRegionCase(rapid.Uint64Range(0, 1<<40).Draw(t, "seed"))
}

func made(t *rapid.T, target contact.Position, b region.Bounds, keep []fitgeom.Keep) region.Region {
	r, err := region.New(t.Context(), target, b, keep)
	require.NoError(t, err)
	return r
}

// Place, Holds, Best, Outlines and Area speak of one region, and Problem.Solve holds
// where it holds.
func TestPropertyPlace(t *testing.T) {
	rapid.Check(t, func(check *rapid.T) {
		c := anyCase(check)
		r := made(check, c.target, c.bounds, c.keep)
		best, ok := r.Best()
		require.Equal(check, !r.Empty(), ok)
		if !ok {
			require.Zero(check, r.Area())
			return
		}
		require.True(check, r.Holds(best))
		require.True(check, c.reproduces(t, best))
		for range 6 {
			at := region.HeadPlace{
				Reach: best.Reach + rapid.Float64Range(-30, 30).Draw(check, "reach"),
				Stack: best.Stack + rapid.Float64Range(-30, 30).Draw(check, "stack"),
			}
			p, ok := r.Place(at)
			require.Equal(check, len(r.Outlines()) > 0, ok)
			if !ok {
				return
			}
			require.Equal(check, r.Holds(at), p.Holds)
			require.InDelta(check, math.Abs(p.Distance), math.Hypot(at.Reach-p.Edge.Reach, at.Stack-p.Edge.Stack), 1e-6)
			if math.Abs(p.Distance) < 1e-6 {
				continue
			}
			require.Equal(check, p.Holds, p.Distance > 0, "%v", at)
			require.Equal(check, p.Holds, within(r.Outlines(), at), "%v", at)
			if math.Abs(p.Distance) > 0.02 {
				require.Equal(check, p.Holds, c.reproduces(t, at))
			}
			if !p.Holds {
				require.Equal(check, [4]float64{}, [4]float64{p.ReachLess, p.ReachMore, p.StackLess, p.StackMore})
				continue
			}
			// Just short of an edge the place still holds, just beyond it does not.
			for _, way := range []struct{ by, dx, dz float64 }{{p.ReachLess, -1, 0}, {p.ReachMore, 1, 0}, {p.StackLess, 0, -1}, {p.StackMore, 0, 1}} {
				for _, beyond := range []float64{-1e-6, 1e-6} {
					by := way.by + beyond
					require.Equal(check, beyond < 0, r.Holds(region.HeadPlace{Reach: at.Reach + by*way.dx, Stack: at.Stack + by*way.dz}), "%v %v", way, at)
				}
			}
		}
	})
}

// More bounds and more tolerance hold more; a position that lies further forward
// and up has the same region there; and the mirror image of a position has its own.
func TestPropertyRegionMonotone(t *testing.T) {
	rapid.Check(t, func(check *rapid.T) {
		c := anyCase(check)
		r := made(check, c.target, c.bounds, c.keep)
		wide := c.bounds
		wide.Up.To += 2 * wide.Up.Step
		wide.StemLength.To += 10
		wide.StemLength.Step = 5
		wide.Handlebar.RotationRange++
		loose := append([]fitgeom.Keep(nil), c.keep...)
		for i := range loose {
			loose[i].Tolerance = r3.Scale(1.2, loose[i].Tolerance)
		}
		more, looser := made(check, c.target, wide, c.keep), made(check, c.target, c.bounds, loose)
		require.GreaterOrEqual(check, more.Area(), r.Area()-1e-5)
		require.GreaterOrEqual(check, looser.Area(), r.Area()-1e-5)

		by := r3.Vec{X: 8, Z: -13}
		moved := c.target
		for s, v := range c.target.All() {
			if s >= contact.BarClamp && s < contact.PedalLeft {
				moved.Set(s, r3.Add(v, by))
			}
		}
		there := made(check, moved, c.bounds, c.keep)
		require.InDelta(check, r.Area(), there.Area(), 1e-5*(1+r.Area()))
		keep := append([]fitgeom.Keep(nil), c.keep...)
		for i := range keep {
			if keep[i].Site.Side() == contact.Left {
				keep[i].Site = keep[i].Site.On(contact.Right)
			} else {
				keep[i].Site = keep[i].Site.On(contact.Left)
			}
		}
		mirror := made(check, c.target.Mirror(), c.bounds, keep)
		require.InDelta(check, r.Area(), mirror.Area(), 1e-6)
		best, ok := r.Best()
		if !ok {
			return
		}
		for range 6 {
			at := region.HeadPlace{
				Reach: best.Reach + rapid.Float64Range(-20, 20).Draw(check, "reach"),
				Stack: best.Stack + rapid.Float64Range(-20, 20).Draw(check, "stack"),
			}
			require.Equal(check, r.Holds(at), mirror.Holds(at))
			if !r.Holds(at) {
				continue
			}
			require.True(check, more.Holds(at))
			require.True(check, looser.Holds(at))
			if p, _ := r.Place(at); p.Distance > 0.1 {
				require.True(check, there.Holds(region.HeadPlace{Reach: at.Reach + by.X, Stack: at.Stack + by.Z}))
			}
		}
	})
}

// FrameNow is the forward map turned round.
func TestPropertyFrameNow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := func(lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, "number") }
		b := invented.Build()
		g := &b.Frame.Geometry
		g.Stack, g.Reach, g.HeadAngle = f(500, 650), f(360, 450), f(66, 76)
		b.Stem.Length, b.Stem.Angle = f(50, 140), f(-17, 17)
		b.Settings.BarRotation, b.Settings.Flipped = f(-8, 8), rapid.Bool().Draw(t, "flipped")
		switch rapid.IntRange(0, 2).Draw(t, "stem") {
		case 0:
			b.Stem.Angles, b.Settings.StemAngle = part.Steps{From: -20, To: 20, Step: 10}, 10*float64(rapid.IntRange(-2, 2).Draw(t, "angle"))
		case 1:
			b.Stem.Quill, b.Settings.Quill, b.Settings.Spacers = part.Steps{From: 20, To: 60, Step: 20}, 20*float64(rapid.IntRange(1, 3).Draw(t, "quill")), 0
			b.Frame.SteererInterface, b.Cap.SteererInterface, b.Stem.SteererInterface = "threaded 25.4", "threaded 25.4", "threaded 25.4"
		}
		if rapid.Bool().Draw(t, "sinks") {
			b.Stem.Sag = f(1, 20)
		}
		p, err := b.Position()
		require.NoError(t, err)
		a := region.FrontEnd{
			Up: b.Cap.Height + b.Settings.Spacers, Stem: b.Stem, Flipped: b.Settings.Flipped, StemAngle: b.Settings.StemAngle, Quill: b.Settings.Quill,
			Handlebar: b.Handlebar, Lever: b.Lever, BarRotation: b.Settings.BarRotation,
		}
		for range 2 {
			at, err := region.FrameNow(p, g.HeadAngle, a)
			require.NoError(t, err)
			require.InDelta(t, g.Reach, at.Reach, 1e-9)
			require.InDelta(t, g.Stack, at.Stack, 1e-9)
			p.Forget(contact.BarClamp) // the hands tell as well
		}
		more := a
		more.Up += 10
		at, err := region.FrameNow(p, g.HeadAngle, more)
		require.NoError(t, err)
		require.Less(t, at.Stack, g.Stack, "more spacers stand for a lower frame")
	})
}

// SeatAngles and Setbacks are two views of one region, and Problem.Solve agrees.
func TestPropertySeat(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := func(lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, "number") }
		b := invented.Build()
		g := &b.Frame.Geometry
		g.SeatAngle, b.Seatpost.Setback = f(70, 77), f(-10, 30)
		b.Settings.RailClamp, b.Settings.SeatpostExtension, b.Settings.SaddleTilt = f(112, 178), f(120, 200), f(-3, 3)
		p, err := b.Position()
		require.NoError(t, err)
		nose, _ := p.At(contact.SaddleNose) // the target's saddle is another one
		p.Set(contact.SaddleNose, r3.Add(nose, r3.Vec{X: f(-3, 3), Z: f(-2.5, 2.5)}))
		keep := []fitgeom.Keep{
			{Site: contact.SaddleReference, Tolerance: r3.Vec{X: 2, Z: 2}},
			{Site: contact.SaddleNose, Tolerance: r3.Vec{X: 4, Z: 3}},
			{Site: contact.HoodsLeft, Tolerance: r3.Vec{X: 900, Z: 900}},
		}
		s, err := region.NewSeat(p, b.Saddle, 0, keep)
		require.NoError(t, err)
		lo, hi, ok := s.Setbacks(g.SeatAngle)
		require.True(t, ok)
		require.True(t, lo <= b.Seatpost.Setback && b.Seatpost.Setback <= hi)
		from, to, ok := s.SeatAngles(b.Seatpost.Setback)
		require.True(t, ok)
		require.True(t, from <= g.SeatAngle && g.SeatAngle <= to)
		if lo, hi, ok := s.Setbacks(g.SeatAngle + 1); ok {
			was, _, _ := s.Setbacks(g.SeatAngle)
			require.Greater(t, lo, was, "a steeper seat tube wants more setback")
			require.Greater(t, hi, lo)
		}
		for range 4 {
			angle, setback := f(68, 80), f(-20, 45)
			lo, hi, ok := s.Setbacks(angle)
			if ok { // near an end of what holds, and not by chance
				setback = max(-40, min(60, rapid.SampledFrom([]float64{lo, hi, setback}).Draw(t, "near")+f(-0.3, 0.3)))
			}
			in := ok && lo <= setback && setback <= hi
			from, to, ok := s.SeatAngles(setback)
			if math.Abs(angle-from) > 1e-6 && math.Abs(angle-to) > 1e-6 {
				require.Equal(t, in, ok && from <= angle && angle <= to, "%v° %v mm", angle, setback)
			}
			if ok && math.Min(math.Abs(setback-lo), math.Abs(setback-hi)) < 0.01 {
				continue
			}
			frame, shelf := b.Frame, invented.Shelf()
			frame.Geometry.SeatAngle, frame.SeatTubeTop, frame.SeatpostInsertion = angle, 450, 0
			shelf.Saddles, shelf.Cranks = []part.Saddle{b.Saddle}, []part.Crank{b.Crank}
			shelf.Seatposts = []part.Seatpost{{Diameter: frame.SeatpostDiameter, Length: 500, Setback: setback, MinInsertion: 50}}
			r, err := solve.Problem{Target: p, Frame: frame, Shelf: shelf, Keep: keep, Limit: 1}.Solve(t.Context())
			require.NoError(t, err)
			require.Equal(t, r.Holds(), in, "%v° %v mm", angle, setback)
		}
	})
}
