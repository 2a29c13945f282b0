package region_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/region"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/invented"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// A regionCase is bounds in steps, and the shelf that has just these parts.
type regionCase struct {
	target contact.Position
	keep   []fitgeom.Keep
	bounds region.Bounds
	shelf  fitgeom.Shelf
	frame  fitgeom.Frame
}

func newRegionCase(seed uint64) regionCase {
	rng := rand.New(rand.NewPCG(seed, 11))
	b := invented.Build()
	b.Frame.Geometry.HeadAngle = 68 + 6*rng.Float64()
	b.Settings.BarRotation = 0
	length := 60 + 10*float64(rng.IntN(5))
	angle := []float64{-17, -6, 0, 10}[rng.IntN(4)]
	c := regionCase{frame: b.Frame}
	c.bounds = region.Bounds{
		HeadFrom: b.Frame.Geometry.HeadAngle, HeadTo: b.Frame.Geometry.HeadAngle, StemHeight: 40,
		StemLength: part.Steps{From: length, To: length + []float64{0, 5, 20}[rng.IntN(3)], Step: 5},
		StemAngle:  part.Steps{From: angle, To: angle + []float64{0, 3}[rng.IntN(2)], Step: 3},
		Flip:       rng.IntN(2) == 0,
		Up:         part.Steps{From: 10, To: 10 + 2.5*float64(rng.IntN(8)), Step: 2.5},
		Handlebar:  b.Handlebar, Lever: b.Lever,
	}
	c.bounds.Handlebar.RotationRange = []float64{0, 2, 8}[rng.IntN(3)]
	c.target = invented.Position(b)
	side := 0.5 + 2*rng.Float64()
	c.keep = []fitgeom.Keep{
		{Site: contact.SaddleReference, Tolerance: r3.Vec{X: 2, Z: 2}},
		{Site: contact.HoodsLeft, Tolerance: r3.Vec{X: side, Y: 5, Z: side}},
		{Site: contact.HoodsRight, Tolerance: r3.Vec{X: side, Y: 5, Z: 2}},
	}
	if rng.IntN(3) == 0 { // drops that want another roll
		at, _ := c.target.At(contact.DropsLeft)
		at.X += 4 * rng.Float64()
		c.target.Set(contact.DropsLeft, at)
		c.keep = append(c.keep, fitgeom.Keep{Site: contact.DropsLeft, Tolerance: r3.Vec{X: 2, Z: 3}})
	}

	c.shelf = invented.Shelf()
	c.shelf.Caps = []part.HeadsetCap{{Height: 10, SteererDiameter: 28.6}}
	c.shelf.Spacers = []part.Spacer{{Height: 2.5, Count: 8}}
	c.frame.MaxUnderStem = c.bounds.Up.To
	c.shelf.Stems = nil
	for l := c.bounds.StemLength.From; l <= c.bounds.StemLength.To; l += 5 {
		for a := c.bounds.StemAngle.From; a <= c.bounds.StemAngle.To; a += 3 {
			c.shelf.Stems = append(c.shelf.Stems, part.Stem{Length: l, Angle: a, Height: 40, SteererDiameter: 28.6, BarDiameter: 31.8, Flippable: c.bounds.Flip})
		}
	}
	c.shelf.Handlebars = []part.Handlebar{c.bounds.Handlebar}
	c.shelf.Levers = []part.Lever{c.bounds.Lever}
	c.shelf.Seatposts, c.shelf.Saddles, c.shelf.Cranks = c.shelf.Seatposts[:1], c.shelf.Saddles[:1], c.shelf.Cranks[:1]
	return c
}

// reproduces reports whether Problem.Solve holds the position with the head tube's top at a place.
func (c *regionCase) reproduces(t *testing.T, at region.HeadPlace) bool {
	f := c.frame
	f.Geometry.Reach, f.Geometry.Stack = at.Reach, at.Stack
	r, err := solve.Problem{Target: c.target, Frame: f, Shelf: c.shelf, Keep: c.keep, Limit: 1}.Solve(t.Context())
	require.NoError(t, err)
	return r.Holds()
}

// within reports whether a place lies within the outlines, by counting how
// often a line to the right crosses them.
func within(outlines []region.Outline, at region.HeadPlace) bool {
	in := false
	for _, o := range outlines {
		for i, a := range o.Places {
			b := o.Places[(i+1)%len(o.Places)]
			if (a.Stack > at.Stack) != (b.Stack > at.Stack) && at.Reach < a.Reach+(b.Reach-a.Reach)*(at.Stack-a.Stack)/(b.Stack-a.Stack) {
				in = !in
			}
		}
	}
	return in
}

// On a grid of 0.5 mm, every place inside holds by Problem.Solve with the parts of the
// bounds, and no place outside does. Places nearer to the edge than what the
// region promises (0.02 mm) are left out.
func TestRegionEqualsSolve(t *testing.T) {
	cases, share := 100, 60
	if trial.Long() {
		cases, share = 100, 1
	}
	if testing.Short() {
		cases = 3
	}
	regionEqualsSolve(t, cases, share, newRegionCase)
}

// The same with directions that leave only some rotations of the bar, and with levers that can
// be turned.
func TestRegionEqualsSolveDirections(t *testing.T) {
	cases, share := 12, 60
	if trial.Long() {
		cases, share = 50, 4
	}
	regionEqualsSolve(t, cases, share, func(seed uint64) regionCase {
		c := newRegionCase(seed)
		rng := rand.New(rand.NewPCG(seed, 13))
		b := invented.Build()
		b.Frame, b.Handlebar, b.Settings.BarRotation = c.frame, c.bounds.Handlebar, 0
		b.Handlebar.Drop.DropsWidth, b.Handlebar.Drop.Flare = 0, 16
		c.target = invented.Position(b)
		d := &b.Handlebar.Drop
		d.Flare += 6 * rng.Float64()
		d.LeverIn = part.Steps{From: -4, To: 4, Step: 4}
		c.bounds.Handlebar, c.shelf.Handlebars[0] = b.Handlebar, b.Handlebar
		for _, i := range []int{1, 2} {
			a, _ := c.target.Attitude(c.keep[i].Site)
			a.Tilt += 6 * (2*rng.Float64() - 1)
			c.target.SetAttitude(c.keep[i].Site, a)
			c.keep[i].Turn = fitgeom.TurnTolerance{Tilt: 4 + 4*rng.Float64(), Yaw: 3 * rng.Float64(), Roll: 4 + 4*rng.Float64()}
		}
		return c
	})
}

func regionEqualsSolve(t *testing.T, cases, share int, draw func(seed uint64) regionCase) {
	for i := range cases {
		t.Run(fmt.Sprint(i), func(t *testing.T) {
			t.Parallel()
			c := draw(uint64(i))
			r, err := region.New(t.Context(), c.target, c.bounds, c.keep)
			require.NoError(t, err)
			rng := rand.New(rand.NewPCG(uint64(i), 12))
			outlines := r.Outlines()
			lo, hi := region.HeadPlace{Reach: 300, Stack: 500}, region.HeadPlace{Reach: 450, Stack: 620}
			if best, ok := r.Best(); ok {
				assert.True(t, r.Holds(best))
				assert.True(t, c.reproduces(t, best), "best")
				lo, hi = best, best
				for _, o := range outlines {
					for _, p := range o.Places {
						lo.Reach, lo.Stack = min(lo.Reach, p.Reach), min(lo.Stack, p.Stack)
						hi.Reach, hi.Stack = max(hi.Reach, p.Reach), max(hi.Stack, p.Stack)
					}
				}
			}
			inside, outside, near := 0, 0, 0
			for x := math.Floor(lo.Reach) - 2; x < hi.Reach+2; x += 0.5 {
				for z := math.Floor(lo.Stack) - 2; z < hi.Stack+2; z += 0.5 {
					if rng.IntN(share) != 0 {
						continue
					}
					at := region.HeadPlace{Reach: x, Stack: z}
					holds := r.Holds(at)
					if within(outlines, at) != holds {
						p, _ := r.Place(at)
						require.Less(t, math.Abs(p.Distance), 2e-6, "outline at %v", at)
					}
					if got := c.reproduces(t, at); got != holds {
						p, _ := r.Place(at)
						require.Less(t, math.Abs(p.Distance), 0.02, "%v: region %v, Problem.Solve %v", at, holds, got)
						near++
					} else if holds {
						inside++
					} else {
						outside++
					}
				}
			}
			t.Logf("%d inside, %d outside, %d too near to tell; area %.1f mm² in %d outlines", inside, outside, near, r.Area(), len(outlines))
		})
	}
}

// Bounds without steps: the region has every place that steps of 0.5 mm and
// 0.5 degrees hold, and with tolerances that are less by what lies between two
// steps it has no other.
func TestRegionWithoutSteps(t *testing.T) {
	for i := range 6 {
		c := newRegionCase(uint64(100 + i))
		c.keep = c.keep[:3]
		c.keep[1].Tolerance = r3.Vec{X: 2, Y: 5, Z: 2}
		c.keep[2].Tolerance = r3.Vec{X: 2, Y: 5, Z: 2}
		c.bounds.StemLength = part.Steps{From: 80, To: 90}
		c.bounds.StemAngle = part.Steps{From: -8, To: -6}
		c.bounds.Up = part.Steps{From: 10, To: 20}
		c.shelf.Stems = nil
		for l := 80.; l <= 90; l += 0.5 {
			for a := -8.; a <= -6; a += 0.5 {
				c.shelf.Stems = append(c.shelf.Stems, part.Stem{Length: l, Angle: a, Height: 40, SteererDiameter: 28.6, BarDiameter: 31.8, Flippable: c.bounds.Flip})
			}
		}
		// Rings that make 0, 1, 1.1 ... and every tenth from 2 to 10 mm.
		c.shelf.Spacers = []part.Spacer{{Height: 1, Count: 1}, {Height: 1.1, Count: 1}, {Height: 1.2, Count: 1}, {Height: 1.4, Count: 1}, {Height: 1.8, Count: 1}, {Height: 2.6, Count: 1}, {Height: 4.2, Count: 1}, {Height: 5, Count: 1}}
		c.frame.MaxUnderStem = 20
		wide, err := region.New(t.Context(), c.target, c.bounds, c.keep)
		require.NoError(t, err)
		// Half a step of length, of an angle over 90 mm, and half a millimetre of
		// spacers, where there are none of less than 1 mm.
		const between = 0.25 + 90*0.25*math.Pi/180 + 0.5
		tight := append([]fitgeom.Keep{}, c.keep...)
		for k := range tight {
			tight[k].Tolerance = r3.Vec{X: 2 - between, Y: 5, Z: 2 - between}
		}
		narrow, err := region.New(t.Context(), c.target, c.bounds, tight)
		require.NoError(t, err)
		best, ok := wide.Best()
		require.True(t, ok)
		rng := rand.New(rand.NewPCG(uint64(i), 13))
		held := 0
		for range 60 {
			at := region.HeadPlace{Reach: best.Reach + 40*(rng.Float64()-0.5), Stack: best.Stack + 40*(rng.Float64()-0.5)}
			got := c.reproduces(t, at)
			if got {
				held++
				require.True(t, wide.Holds(at), at)
			} else {
				require.False(t, narrow.Holds(at), at)
			}
		}
		assert.Positive(t, held)
	}
}

// With one stem, no spacers, a bar that does not turn and a tolerance of 2 mm,
// the region is a square of 4 mm about the place that the forward map tells: the
// worked example of the identities of the frame's plane geometry (stem 110 mm at -6°
// on 30 mm: clamp at (478.360405, 628.804227) with reach 385 and stack 560 at 73°).
func TestRegionOfOneStem(t *testing.T) {
	target := contact.New(map[contact.Site]r3.Vec{contact.BarClamp: {X: 478.360405, Z: 628.804227}})
	bounds := region.Bounds{
		HeadFrom: 73, HeadTo: 73, StemLength: part.Steps{From: 110, To: 110}, StemAngle: part.Steps{From: -6, To: -6},
		StemHeight: 40, Up: part.Steps{From: 30, To: 30}, Handlebar: invented.Shelf().Handlebars[1], Lever: invented.Shelf().Levers[0],
	}
	keep := []fitgeom.Keep{{Site: contact.BarClamp, Tolerance: r3.Vec{X: 2, Z: 2}}}
	r, err := region.New(t.Context(), target, bounds, keep)
	require.NoError(t, err)
	best, ok := r.Best()
	require.True(t, ok)
	assert.InDelta(t, 385, best.Reach, 1e-5)
	assert.InDelta(t, 560, best.Stack, 1e-5)
	assert.InDelta(t, 16, r.Area(), 1e-4) // the leeway of a tolerance
	require.Len(t, r.Outlines(), 1)
	assert.False(t, r.Outlines()[0].Hole)
	// 10 mm further down the steerer, (10 cos 73°, -10 sin 73°), 10 mm of spacers
	// are missing but for what the tolerance gives.
	p, ok := r.Place(region.HeadPlace{Reach: 385 + 10*math.Cos(73*math.Pi/180), Stack: 560 - 10*math.Sin(73*math.Pi/180)})
	require.True(t, ok)
	assert.False(t, p.Holds)
	assert.InDelta(t, -math.Hypot(10*math.Cos(73*math.Pi/180)-2, 10*math.Sin(73*math.Pi/180)-2), p.Distance, 1e-5)
	// The clamp that is missing is what spacers and stem bring.
	dx, dz := p.Edge.Reach-387.9237, p.Edge.Stack-550.437
	back := func(spacers, stem float64) (x, z float64) {
		const a, phi = 73 * math.Pi / 180, 11 * math.Pi / 180
		return -spacers*math.Cos(a) + stem*math.Cos(phi), spacers*math.Sin(a) + stem*math.Sin(phi)
	}
	x, z := back(p.Spacers, p.Stem)
	assert.InDelta(t, dx, x, 1e-3)
	assert.InDelta(t, dz, z, 1e-3)
	in, ok := r.Place(region.HeadPlace{Reach: 386, Stack: 560.5})
	require.True(t, ok)
	assert.True(t, in.Holds)
	assert.InDelta(t, 1, in.Distance, 1e-5)
	for _, v := range [][2]float64{{3, in.ReachLess}, {1, in.ReachMore}, {2.5, in.StackLess}, {1.5, in.StackMore}} {
		assert.InDelta(t, v[0], v[1], 1e-5)
	}
	// With 10 mm more spacers allowed, the square is drawn out by 10 mm along the
	// steerer: 16 + 10 times its width across the steerer, 4 (sin 73° + cos 73°).
	bounds.Up.To = 40
	r, err = region.New(t.Context(), target, bounds, keep)
	require.NoError(t, err)
	assert.InDelta(t, 16+10*4*(math.Sin(73*math.Pi/180)+math.Cos(73*math.Pi/180)), r.Area(), 1e-4) // the leeway of a tolerance
	// In steps of 10 mm it is two squares.
	bounds.Up.Step = 10
	r, err = region.New(t.Context(), target, bounds, keep)
	require.NoError(t, err)
	assert.InDelta(t, 32, r.Area(), 1e-4) // the leeway of a tolerance
	assert.Len(t, r.Outlines(), 2)
}

// What an outline says of its stretches is so: a frame on a stretch holds the position with
// just this stem and these spacers, and is on the edge of the places that do.
func TestStretches(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 15))
	worst, flipped := 0., 0
	for n := range 60 {
		c := newRegionCase(uint64(n))
		if n%3 == 0 {
			c.bounds.HeadTo += 2
		}
		if n%4 == 0 {
			c.bounds.StemAngle.Step, c.bounds.StemLength.Step, c.bounds.Up.Step = 0, 0, 0
		}
		r, err := region.New(t.Context(), c.target, c.bounds, c.keep)
		require.NoError(t, err)
		for _, o := range r.Outlines() {
			require.Len(t, o.Stretches, len(o.Places))
			i := rng.IntN(len(o.Places))
			share := rng.Float64()
			on := func(a, b float64) float64 { return a + share*(b-a) }
			s, a, b := o.Stretches[i], o.Places[i], o.Places[(i+1)%len(o.Places)]
			require.Equal(t, s.From.Flipped, s.To.Flipped)
			just, head := c.bounds, on(s.From.HeadAngle, s.To.HeadAngle)
			just.HeadFrom, just.HeadTo, just.Flip = head, head, false
			fixed := func(a, b float64) part.Steps { return part.Steps{From: on(a, b), To: on(a, b)} }
			just.StemLength, just.Up = fixed(s.From.StemLength, s.To.StemLength), fixed(s.From.Up, s.To.Up)
			if just.StemAngle = fixed(s.From.StemAngle, s.To.StemAngle); s.From.Flipped {
				just.StemAngle = fixed(-s.From.StemAngle, -s.To.StemAngle)
				flipped++
			}
			one, err := region.New(t.Context(), c.target, just, c.keep)
			require.NoError(t, err)
			p, ok := one.Place(region.HeadPlace{Reach: on(a.Reach, b.Reach), Stack: on(a.Stack, b.Stack)})
			require.True(t, ok)
			worst = max(worst, math.Abs(p.Distance))
		}
	}
	assert.Less(t, worst, 0.012, "what the chords are off")
	assert.Positive(t, flipped)
	t.Logf("worst %.1e mm", worst)
}

// A range of head angles has the places of each angle, and none that no angle has.
func TestRegionOfHeadAngles(t *testing.T) {
	c := newRegionCase(4)
	c.bounds.StemAngle.Step, c.bounds.StemLength.Step, c.bounds.Up.Step = 0, 0, 0
	c.bounds.HeadFrom, c.bounds.HeadTo = 71, 73.5
	all, err := region.New(t.Context(), c.target, c.bounds, c.keep)
	require.NoError(t, err)
	best, ok := all.Best()
	require.True(t, ok)
	var each []region.Region
	for a := 71.; a <= 73.5; a += 0.05 {
		b := c.bounds
		b.HeadFrom, b.HeadTo = a, a
		r, err := region.New(t.Context(), c.target, b, c.keep)
		require.NoError(t, err)
		each = append(each, r)
	}
	rng := rand.New(rand.NewPCG(1, 14))
	for range 400 {
		at := region.HeadPlace{Reach: best.Reach + 50*(rng.Float64()-0.5), Stack: best.Stack + 50*(rng.Float64()-0.5)}
		some := false
		for i := range each {
			some = some || each[i].Holds(at)
		}
		if some {
			require.True(t, all.Holds(at), at)
		} else if all.Holds(at) {
			p, _ := all.Place(at)
			// 150 mm of front end turned by a step of 0.05 degrees.
			require.Less(t, p.Distance, 150*0.05*math.Pi/180, at)
		}
	}
}

func TestRegionFaults(t *testing.T) {
	c := newRegionCase(1)
	bad := c.bounds
	bad.HeadTo = 20
	bad.StemHeight = math.NaN()
	bad.Lever = part.Lever{}
	_, err := region.New(t.Context(), contact.Position{}, bad, c.keep)
	for path, class := range map[string]error{
		"bounds.head_to_deg": contact.ErrRange, "bounds.stem_height_mm": contact.ErrRange, "bounds.lever": contact.ErrMissing, "target.sites.hoods_left": contact.ErrMissing,
	} {
		assert.True(t, trial.FaultAt(err, path, class), "%s: %v", path, err)
	}
	bad = c.bounds
	bad.StemLength, bad.StemAngle = part.Steps{From: 20, To: 180, Step: 0.5}, part.Steps{From: -60, To: 60, Step: 0.5}
	_, err = region.New(t.Context(), c.target, bad, c.keep)
	assert.True(t, trial.FaultAt(err, "bounds.bounds", contact.ErrRange), err)
	_, err = region.New(t.Context(), c.target, c.bounds, []fitgeom.Keep{{Site: contact.GripLeft, Tolerance: r3.Vec{X: 1, Z: 1}}})
	assert.True(t, trial.FaultAt(err, "keep[0].site", contact.ErrMissing), err)
	_, err = region.New(t.Context(), c.target, c.bounds, []fitgeom.Keep{{Site: contact.HoodsLeft, Tolerance: r3.Vec{X: 1}}})
	assert.True(t, trial.FaultAt(err, "keep", contact.ErrMissing), err)
	one := c.bounds
	one.Handlebar.Stem, one.Handlebar.DrawnAt = part.Stem{Length: 100, Height: 40, SteererDiameter: 28.6}, 73
	one.Handlebar.RotationRange, one.Handlebar.ClampDiameter = 0, 0
	_, err = region.New(t.Context(), c.target, one, c.keep)
	assert.True(t, trial.FaultAt(err, "bounds.handlebar.stem", contact.ErrConflict), err)

	// Bars that are too wide hold nowhere.
	wide := c.bounds
	wide.Handlebar.Drop.Width += 30
	r, err := region.New(t.Context(), c.target, wide, c.keep)
	require.NoError(t, err)
	assert.True(t, r.Empty())
	assert.Zero(t, r.Area())
	_, ok := r.Best()
	assert.False(t, ok)
	_, ok = r.Place(region.HeadPlace{Reach: 380, Stack: 560})
	assert.False(t, ok)
	assert.False(t, region.Region{}.Holds(region.HeadPlace{}))
	r, err = region.New(t.Context(), c.target, c.bounds, c.keep)
	require.NoError(t, err)
	_, ok = r.Place(region.HeadPlace{Reach: math.NaN()})
	assert.False(t, ok)
	assert.False(t, r.Holds(region.HeadPlace{Reach: math.NaN()}))
}

// A seat angle and a setback hold the saddle if Problem.Solve does with such a frame
// and a post that is long enough.
func TestSeatRegion(t *testing.T) {
	b := invented.Build()
	target := invented.Position(b)
	shelf := invented.Shelf()
	saddle := shelf.Saddles[1]
	shelf.Saddles = []part.Saddle{saddle}
	for _, offset := range []float64{0, 15} {
		keep := fitgeom.DefaultKeep(target)
		s, err := region.NewSeat(target, saddle, offset, nil)
		require.NoError(t, err)
		frame := invented.Road54()
		frame.Geometry.SeatOffset = offset
		rng := rand.New(rand.NewPCG(1, 15))
		held := 0
		for range 300 {
			angle, setback := 68+10*rng.Float64(), -20+60*rng.Float64()
			frame.Geometry.SeatAngle = angle
			shelf.Seatposts = []part.Seatpost{{Diameter: 27.2, Length: 600, Setback: setback, MinInsertion: 20}}
			r, err := solve.Problem{Target: target, Frame: frame, Shelf: shelf, Limit: 1, Keep: keep}.Solve(t.Context())
			require.NoError(t, err)
			lo, hi, ok := s.Setbacks(angle)
			holds := ok && setback >= lo && setback <= hi
			require.Equal(t, r.Candidates[0].Deviations[0].Within(), holds, "%v° %v mm: %v to %v", angle, setback, lo, hi)
			from, to, ok := s.SeatAngles(setback)
			require.Equal(t, holds, ok && angle >= from-1e-9 && angle <= to+1e-9, "%v° %v mm: %v to %v", angle, setback, from, to)
			if holds {
				held++
			}
		}
		assert.Greater(t, held, 30)
	}
	_, _, ok := region.Seat{}.Setbacks(73)
	assert.False(t, ok)
	s, err := region.NewSeat(target, saddle, 0, nil)
	require.NoError(t, err)
	for _, v := range []float64{math.NaN(), 40, math.Inf(1)} {
		_, _, ok = s.Setbacks(v)
		assert.False(t, ok)
	}
	_, _, ok = s.SeatAngles(2000)
	assert.False(t, ok)
	_, _, ok = s.SeatAngles(math.NaN())
	assert.False(t, ok)
	_, err = region.NewSeat(contact.Position{}, part.Saddle{}, math.NaN(), nil)
	for path, class := range map[string]error{
		"target.sites.saddle_reference": contact.ErrMissing, "target.sites.saddle_reference.attitude.tilt_deg": contact.ErrMissing,
		"saddle.length_mm": contact.ErrRange, "seat_offset_mm": contact.ErrRange,
	} {
		assert.True(t, trial.FaultAt(err, path, class), "%s: %v", path, err)
	}
	_, err = region.NewSeat(target, saddle, 0, []fitgeom.Keep{{Site: contact.SaddleReference, Tolerance: r3.Vec{X: 1}}})
	assert.True(t, trial.FaultAt(err, "keep", contact.ErrMissing), err)
}

// The frame that a build stands on is read back from its contact points, from
// the clamp and from the hands alone.
func TestFrameNow(t *testing.T) {
	b := invented.Build()
	for _, flipped := range []bool{false, true} {
		b.Settings.Flipped = flipped
		p := invented.Position(b)
		a := region.FrontEnd{Up: b.Cap.Height + b.Settings.Spacers, Stem: b.Stem, Flipped: flipped, Handlebar: b.Handlebar, Lever: b.Lever, BarRotation: b.Settings.BarRotation}
		for range 2 {
			at, err := region.FrameNow(p, b.Frame.Geometry.HeadAngle, a)
			require.NoError(t, err)
			assert.InDelta(t, b.Frame.Geometry.Reach, at.Reach, 1e-9)
			assert.InDelta(t, b.Frame.Geometry.Stack, at.Stack, 1e-9)
			p.Forget(contact.BarClamp)
		}
	}
	_, err := region.FrameNow(contact.Position{}, math.NaN(), region.FrontEnd{Up: -1, Handlebar: b.Handlebar})
	for path, class := range map[string]error{
		"head_angle_deg": contact.ErrRange, "up_mm": contact.ErrRange, "stem.length_mm": contact.ErrRange, "position.sites.bar_clamp": contact.ErrMissing,
	} {
		assert.True(t, trial.FaultAt(err, path, class), "%s: %v", path, err)
	}
	adjustable := b.Stem
	adjustable.Angles = part.Steps{From: 10, To: 30, Step: 10}
	_, err = region.FrameNow(invented.Position(b), 73, region.FrontEnd{Stem: adjustable, StemAngle: 15, Quill: 20})
	assert.True(t, trial.FaultAt(err, "stem_angle_deg", contact.ErrConflict), err)
	assert.True(t, trial.FaultAt(err, "quill_mm", contact.ErrConflict), err)
	_, err = region.FrameNow(contact.New(map[contact.Site]r3.Vec{contact.BarClamp: {X: 100, Z: 300}}), 73, region.FrontEnd{Stem: b.Stem})
	assert.True(t, trial.FaultAt(err, "frame.reach_mm", contact.ErrRange), err)
}

func TestLeversOnFlatBars(t *testing.T) {
	b := newRegionCase(1).bounds
	require.NoError(t, b.Validate())
	b.Handlebar = part.Handlebar{ClampDiameter: 31.8, Flat: part.FlatBar{Width: 720, Centre: 120, Rise: 20, Backsweep: 9, Upsweep: 5, Hand: 65}}
	assert.True(t, trial.FaultAt(b.Validate(), "lever", contact.ErrConflict), b.Validate())
	b.Lever = part.Lever{}
	assert.NoError(t, b.Validate())
}
