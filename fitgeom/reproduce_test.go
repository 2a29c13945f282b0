package fitgeom_test

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
	"sync"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	gocmp "github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// The reference for Reproduce: every way to put the shelf together, the settings
// found by plain numerical search, everything seen through the forward map
// alone. It follows the package documentation and shares no code with it.

type scored struct {
	build fitgeom.Build
	cost  int64
	holds bool
	key   []int64
}

// score is the cost of the sites of one group, and whether they hold.
func score(t *testing.T, b fitgeom.Build, target contact.Position, keep []fitgeom.Keep, in func(contact.Site) bool) (float64, bool) {
	p, err := b.Position()
	require.NoError(t, err)
	cost, holds := 0.0, true
	for _, k := range keep {
		if !in(k.Site) {
			continue
		}
		got, known := p.At(k.Site)
		if !known {
			return math.Inf(1), false
		}
		want, _ := target.At(k.Site)
		for _, c := range [][2]float64{{got.X - want.X, k.Tolerance.X}, {got.Y - want.Y, k.Tolerance.Y}, {got.Z - want.Z, k.Tolerance.Z}} {
			if c[1] > 0 {
				cost += c[0] / c[1] * (c[0] / c[1])
				holds = holds && math.Abs(c[0]) <= c[1]*(1+1e-6)
			}
		}
	}
	return cost, holds
}

func isSaddle(s contact.Site) bool { return s <= contact.SaddleRear }
func isFront(s contact.Site) bool  { return s >= contact.BarClamp && s <= contact.DropsRight }
func isPedal(s contact.Site) bool  { return s >= contact.PedalLeft }

// line returns where the parabola through three values of f is least, within a range.
func line(f func(float64) float64, lo, hi float64) float64 {
	mid := (lo + hi) / 2
	h := (hi - lo) / 2
	if h == 0 {
		return lo
	}
	a, b, c := f(lo), f(mid), f(hi)
	x := mid - h*(c-a)/(2*(c-2*b+a))
	return max(lo, min(hi, x))
}

// golden returns where f is least near the best point of a grid.
func golden(f func(float64) float64, lo, hi float64) float64 {
	const grid = 400
	best := lo
	for i := range grid + 1 {
		if x := lo + (hi-lo)*float64(i)/grid; f(x) < f(best) {
			best = x
		}
	}
	a, b := max(lo, best-(hi-lo)/grid), min(hi, best+(hi-lo)/grid)
	const g = 0.6180339887498949
	for b-a > 1e-9 {
		if x, y := b-g*(b-a), a+g*(b-a); f(x) <= f(y) {
			b = y
		} else {
			a = x
		}
	}
	return slices.MinFunc([]float64{lo, (a + b) / 2, hi}, func(x, y float64) int { return cmp.Compare(f(x), f(y)) })
}

func enumerate(t *testing.T, target contact.Position, frame fitgeom.Frame, shelf fitgeom.Shelf, keep []fitgeom.Keep) []scored {
	base := aBuild()
	base.Frame = frame
	tilt, _ := target.Attitude(contact.SaddleReference)
	base.Settings = fitgeom.Settings{SaddleTilt: tilt.Tilt}
	round := func(v float64) int64 { return int64(math.Round(v * 1e6)) }

	heights := map[int64]bool{0: true}
	for _, s := range shelf.Spacers {
		for range s.Count {
			for h := range heightsOf(heights) {
				heights[h+int64(math.Round(s.Height*100))] = true
			}
		}
	}

	var fronts, seats, cranks []scored
	for ci, cap := range shelf.Caps {
		for si, stem := range shelf.Stems {
			for bi, bar := range shelf.Bars {
				for li, lever := range shelf.Levers {
					for h := range heights {
						for _, flipped := range []bool{false, true} {
							b := base
							b.Cap, b.Stem, b.Bar, b.Lever = cap, stem, bar, lever
							b.Settings.Spacers, b.Settings.Flipped = float64(h)/100, flipped
							if b.Validate() != nil || float64(h)/100+cap.Height > frame.MaxStack+1e-9 || flipped && stem.Angle == 0 {
								continue
							}
							if c, _ := score(t, b, target, keep, isFront); math.IsInf(c, 1) {
								continue
							}
							if bar.RollRange > 0 {
								b.Settings.BarRoll = golden(func(roll float64) float64 {
									b.Settings.BarRoll = roll
									c, _ := score(t, b, target, keep, isFront)
									return c
								}, -bar.RollRange, bar.RollRange)
							}
							c, holds := score(t, b, target, keep, isFront)
							up := int64(0)
							if flipped {
								up = 1
							}
							fronts = append(fronts, scored{b, round(c), holds, []int64{h, up, round(math.Abs(b.Settings.BarRoll)), int64(ci), int64(si), int64(bi), int64(li)}})
						}
					}
				}
			}
		}
	}
	for pi, post := range shelf.Posts {
		lo, hi := post.MinExtension, post.Length-max(post.MinInsertion, frame.PostInsertion)
		for si, saddle := range shelf.Saddles {
			b := base
			b.Post, b.Saddle = post, saddle
			if b.Validate() != nil || hi < lo {
				continue
			}
			b.Settings.PostExtension, b.Settings.RailClamp = lo, saddle.RailsFrom
			at := func(set *float64) func(float64) float64 {
				return func(v float64) float64 {
					old := *set
					*set = v
					c, _ := score(t, b, target, keep, isSaddle)
					*set = old
					return c
				}
			}
			for range 40 { // one setting after the other; the cost is convex
				b.Settings.PostExtension = line(at(&b.Settings.PostExtension), lo, hi)
				b.Settings.RailClamp = line(at(&b.Settings.RailClamp), saddle.RailsFrom, saddle.RailsTo)
			}
			c, holds := score(t, b, target, keep, isSaddle)
			middle := math.Abs(b.Settings.RailClamp - (saddle.RailsFrom+saddle.RailsTo)/2)
			seats = append(seats, scored{b, round(c), holds, []int64{round(middle), int64(pi), int64(si)}})
		}
	}
	for i, crank := range shelf.Cranks {
		b := base
		b.Crank = crank
		c, holds := score(t, b, target, keep, isPedal)
		cranks = append(cranks, scored{b, round(c), holds, []int64{int64(i)}})
	}

	var all []scored
	for _, f := range fronts {
		for _, s := range seats {
			for _, k := range cranks {
				b := f.build
				b.Post, b.Saddle, b.Crank = s.build.Post, s.build.Saddle, k.build.Crank
				b.Settings.PostExtension, b.Settings.RailClamp = s.build.Settings.PostExtension, s.build.Settings.RailClamp
				all = append(all, scored{b, f.cost + s.cost + k.cost, f.holds && s.holds && k.holds, slices.Concat(f.key, s.key, k.key)})
			}
		}
	}
	slices.SortFunc(all, func(a, b scored) int {
		switch {
		case a.holds && !b.holds:
			return -1
		case b.holds && !a.holds:
			return 1
		}
		return cmp.Or(cmp.Compare(a.cost, b.cost), slices.Compare(a.key, b.key))
	})
	return all
}

func heightsOf(m map[int64]bool) map[int64]bool {
	c := map[int64]bool{}
	for h := range m {
		c[h] = true
	}
	return c
}

// sameBuild compares parts to the last digit and settings as far as a numerical search goes.
func sameBuild(t *testing.T, want, got fitgeom.Build, msg ...any) {
	t.Helper()
	near := gocmp.FilterPath(func(p gocmp.Path) bool {
		return p.Index(1).String() == ".Settings"
	}, gocmp.Comparer(func(a, b float64) bool { return math.Abs(a-b) < 1e-4 }))
	if d := gocmp.Diff(want, got, near); d != "" {
		t.Error(d, msg)
	}
}

func TestReproduceEqualsEnumeration(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 3))
	for round := range 30 {
		frame, shelf := road54(), smallShelf()
		frame.MaxStack = 20 + 40*rng.Float64()
		frame.PostInsertion = 150 * rng.Float64()
		frame.Geometry.HeadAngle = 71 + 3*rng.Float64()
		if round%3 == 0 { // equal parts: only their places on the shelf differ
			twin := shelf.Stems[0]
			twin.Name = "twin"
			shelf.Stems = append([]fitgeom.Stem{twin}, shelf.Stems...)
			shelf.Saddles = append(shelf.Saddles, shelf.Saddles[0])
			shelf.Saddles[2].Name = "twin"
			shelf.Cranks = append(shelf.Cranks, shelf.Cranks[0])
			shelf.Cranks[2].Name = "twin"
		}
		// A target near what the parts can do, mostly not quite, sometimes far off.
		b := aBuild()
		b.Settings.PostExtension += 150 * (rng.Float64() - 0.5)
		b.Settings.RailClamp += 60 * (rng.Float64() - 0.5)
		b.Settings.SaddleTilt = 3 * rng.NormFloat64()
		target := position(b)
		for s, v := range target.All() {
			target.Set(s, r3.Add(v, r3.Vec{X: 12 * rng.NormFloat64(), Z: 12 * rng.NormFloat64()}))
		}
		keep := fitgeom.DefaultKeep(target)
		switch round % 4 {
		case 1: // drops and nose count too, which one bar and no other saddle offers
			keep = append(
				keep, fitgeom.Keep{Site: contact.DropsLeft, Tolerance: r3.Vec{X: 10, Z: 10}},
				fitgeom.Keep{Site: contact.SaddleNose, Tolerance: r3.Vec{X: 30}}, fitgeom.Keep{Site: contact.BarClamp, Tolerance: r3.Vec{X: 20, Z: 40}},
			)
		case 2: // generous: many hold
			for i := range keep {
				keep[i].Tolerance = r3.Scale(10, keep[i].Tolerance)
			}
		case 3: // unlike weights forward and up turn the roll's cost into its full form
			keep = keep[:1]
			keep = append(keep, fitgeom.Keep{Site: contact.HoodsRight, Tolerance: r3.Vec{Z: 1}}, fitgeom.Keep{Site: contact.DropsRight, Tolerance: r3.Vec{X: 3}})
		}

		got, err := fitgeom.Reproduce(target, frame, shelf, fitgeom.Options{Keep: keep, Limit: 25})
		require.NoError(t, err)
		want := enumerate(t, target, frame, shelf, keep)
		require.Equal(t, len(want), got.Combinations)
		require.Len(t, got.Candidates, min(25, len(want)))
		for i, c := range got.Candidates {
			require.Equal(t, want[i].holds, c.Holds, "round %d, place %d", round, i)
			require.InDelta(t, math.Sqrt(float64(want[i].cost)*1e-6), c.Score, 1e-3, "round %d, place %d", round, i)
			sameBuild(t, want[i].build, c.Build, round, i)
		}
		if t.Failed() {
			return
		}
	}
}

// What was built can be found again, from any build that is on the shelf.
func TestReproducePlanted(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 5))
	shelf := smallShelf()
	for range 200 {
		b := aBuild()
		b.Stem = shelf.Stems[rng.IntN(3)]
		b.Settings.Flipped = b.Stem.Flippable && b.Stem.Angle != 0 && rng.IntN(2) == 0
		b.Bar, b.Lever = shelf.Bars[rng.IntN(2)], shelf.Levers[rng.IntN(2)]
		b.Cap = shelf.Caps[rng.IntN(2)]
		b.Settings.Spacers = float64(5 * rng.IntN(5))
		b.Settings.BarRoll = b.Bar.RollRange * (2*rng.Float64() - 1)
		b.Post, b.Saddle = shelf.Posts[0], shelf.Saddles[rng.IntN(2)]
		b.Settings.PostExtension = 45 + 200*rng.Float64()
		b.Settings.RailClamp = b.Saddle.RailsFrom + 70*rng.Float64()
		b.Settings.SaddleTilt = 4 * (rng.Float64() - 0.5)
		target := position(b)

		r, err := fitgeom.Reproduce(target, b.Frame, shelf, fitgeom.Options{})
		require.NoError(t, err)
		require.True(t, r.Holds())
		best := r.Candidates[0]
		assert.Less(t, best.Score, 1e-6)
		for _, res := range best.Residuals {
			assert.Less(t, r3.Norm(res.Off), tolMM, res.Site)
			assert.True(t, res.Within)
		}
		assert.Empty(t, best.Shortfalls)
	}
}

func TestCandidateIsItsBuild(t *testing.T) {
	target := position(aBuild())
	hoods, _ := target.At(contact.HoodsLeft)
	target.Set(contact.HoodsLeft, r3.Add(hoods, r3.Vec{X: 3, Y: 4, Z: 1}))
	r, err := fitgeom.Reproduce(target, road54(), smallShelf(), fitgeom.Options{Limit: 50})
	require.NoError(t, err)
	require.Len(t, r.Candidates, 50)
	keep := fitgeom.DefaultKeep(target)
	for _, c := range r.Candidates {
		p, err := c.Build.Position()
		require.NoError(t, err)
		assert.Equal(t, p, c.Position)
		m, err := c.Build.Margins()
		require.NoError(t, err)
		assert.Equal(t, m, c.Margins)
		for _, room := range m {
			assert.GreaterOrEqual(t, room.Room, -tolMM, room)
		}
		sum, score := 0.0, 0.0
		for _, s := range c.Spacers {
			sum += s
		}
		assert.InDelta(t, c.Build.Settings.Spacers, sum, tolMM)
		require.Len(t, c.Residuals, len(keep))
		for i, res := range c.Residuals {
			assert.Equal(t, keep[i].Site, res.Site)
			got, _ := p.At(res.Site)
			want, _ := target.At(res.Site)
			assert.Equal(t, r3.Sub(got, want), res.Off)
			for _, v := range [][2]float64{{res.Off.X, keep[i].Tolerance.X}, {res.Off.Y, keep[i].Tolerance.Y}, {res.Off.Z, keep[i].Tolerance.Z}} {
				if v[1] > 0 {
					score += v[0] / v[1] * (v[0] / v[1])
				}
			}
		}
		assert.InDelta(t, math.Sqrt(score), c.Score, 1e-9)
	}
}

// The shortfalls must be what it takes: a shelf that goes that much further holds.
func TestShortfalls(t *testing.T) {
	b := aBuild()
	b.Settings.BarRoll = 0
	shelf := smallShelf()
	shelf.Caps, shelf.Stems, shelf.Bars, shelf.Levers = shelf.Caps[:1], shelf.Stems[:1], shelf.Bars[:1], shelf.Levers[:1]
	shelf.Posts, shelf.Saddles, shelf.Cranks = shelf.Posts[:1], shelf.Saddles[:1], shelf.Cranks[:1]
	shelf.Stems[0].Flippable = false
	shelf.Bars[0].RollRange = 0
	for name, c := range map[string]struct {
		far  func(*fitgeom.Build)
		want []fitgeom.Shortfall
	}{
		"post": {func(b *fitgeom.Build) { b.Settings.PostExtension = 262 }, []fitgeom.Shortfall{{fitgeom.PostUp, 12}}},
		"low":  {func(b *fitgeom.Build) { b.Settings.PostExtension = 30 }, []fitgeom.Shortfall{{fitgeom.PostDown, 15}}},
		"rails": {func(b *fitgeom.Build) { b.Settings.RailClamp = 190; b.Settings.PostExtension = 260 }, []fitgeom.Shortfall{
			{fitgeom.PostUp, 10}, {fitgeom.SaddleForward, 10},
		}},
		"back": {func(b *fitgeom.Build) { b.Settings.RailClamp = 100 }, []fitgeom.Shortfall{{fitgeom.SaddleBack, 10}}},
		"stem": {func(b *fitgeom.Build) { b.Stem.Length = 120 }, []fitgeom.Shortfall{{fitgeom.StemLonger, 20}}},
		// The nearest build takes 5 mm more of spacers to make up for some of the stem.
		"short":  {func(b *fitgeom.Build) { b.Stem.Length = 60 }, []fitgeom.Shortfall{{fitgeom.StemShorter, 40}, {fitgeom.SpacersDown, 5}}},
		"stack":  {func(b *fitgeom.Build) { b.Settings.Spacers = 50 }, []fitgeom.Shortfall{{fitgeom.SpacersUp, 30}}},
		"bar":    {func(b *fitgeom.Build) { b.Bar.Width = 460 }, []fitgeom.Shortfall{{fitgeom.BarWider, 40}}},
		"narrow": {func(b *fitgeom.Build) { b.Bar.Width = 400 }, []fitgeom.Shortfall{{fitgeom.BarNarrower, 20}}},
		"crank":  {func(b *fitgeom.Build) { b.Crank.Length = 165 }, []fitgeom.Shortfall{{fitgeom.CrankShorter, 7.5}}},
	} {
		t.Run(name, func(t *testing.T) {
			far := b
			c.far(&far)
			r, err := fitgeom.Reproduce(position(far), road54(), shelf, fitgeom.Options{Limit: 1})
			require.NoError(t, err, "not to hold is no error")
			require.False(t, r.Holds())
			best := r.Candidates[0]
			got := map[fitgeom.Limit]float64{}
			for _, s := range best.Shortfalls {
				got[s.Limit] = s.By
			}
			if name == "stack" {
				// Of the nearest build's spacers all 20 mm are in use: 30 more are needed.
				assert.Equal(t, 20.0, best.Build.Settings.Spacers)
			}
			want := map[fitgeom.Limit]float64{}
			for _, s := range c.want {
				want[s.Limit] = s.By
			}
			assert.Len(t, got, len(want), "%v", best.Shortfalls)
			for l, by := range want {
				assert.InDelta(t, by, got[l], 1e-6, "%v", l)
			}
		})
	}
}

func TestCautions(t *testing.T) {
	always := []fitgeom.Caution{fitgeom.MakersFirst, fitgeom.Mechanic, fitgeom.Clinician, fitgeom.RaceRules}
	for name, c := range map[string]struct {
		change func(*fitgeom.Build)
		want   []fitgeom.Caution
	}{
		"none":  {func(*fitgeom.Build) {}, nil},
		"post":  {func(b *fitgeom.Build) { b.Settings.PostExtension = 245 }, []fitgeom.Caution{fitgeom.NearInsertion}},
		"stack": {func(b *fitgeom.Build) { b.Settings.Spacers = 20; b.Frame.MaxStack = 38 }, []fitgeom.Caution{fitgeom.NearStack}},
		"rails": {func(b *fitgeom.Build) { b.Settings.RailClamp = 112 }, []fitgeom.Caution{fitgeom.RailsAtEnd}},
		"roll":  {func(b *fitgeom.Build) { b.Settings.BarRoll = -7 }, []fitgeom.Caution{fitgeom.BarRolled}},
	} {
		t.Run(name, func(t *testing.T) {
			b := aBuild()
			c.change(&b)
			shelf := smallShelf()
			shelf.Caps, shelf.Stems, shelf.Saddles = shelf.Caps[:1], shelf.Stems[:1], shelf.Saddles[:1]
			r, err := fitgeom.Reproduce(position(b), b.Frame, shelf, fitgeom.Options{Limit: 1})
			require.NoError(t, err)
			assert.Equal(t, append(slices.Clone(always), c.want...), r.Candidates[0].Cautions)
		})
	}
}

func TestReproduceFaults(t *testing.T) {
	type input struct {
		target contact.Position
		frame  fitgeom.Frame
		shelf  fitgeom.Shelf
		opt    fitgeom.Options
	}
	for name, c := range map[string]struct {
		change func(*input)
		path   string
		class  error
	}{
		"no saddle": {func(in *input) { in.target.Forget(contact.SaddleReference) }, "target.saddle_reference", contact.ErrMissing},
		"no hood":   {func(in *input) { in.target.Forget(contact.HoodsRight) }, "target.hoods_right", contact.ErrMissing},
		"swapped": {func(in *input) {
			l, r := contact.HoodsLeft, contact.HoodsRight
			a, _ := in.target.At(l)
			b, _ := in.target.At(r)
			in.target.Set(l, b)
			in.target.Set(r, a)
		}, "target.hoods_left.y", contact.ErrConflict},
		"metres": {func(in *input) {
			for s, v := range in.target.All() {
				in.target.Set(s, r3.Scale(0.001, v))
			}
		}, "target.saddle_reference", contact.ErrUnit},
		"NaN": {func(in *input) { in.target.Set(contact.BarClamp, r3.Vec{X: math.NaN()}) }, "target.bar_clamp.x", contact.ErrRange},
		"tilt": {func(in *input) {
			in.target.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: 60})
		}, "target.saddle_reference.tilt", contact.ErrRange},
		"head angle":      {func(in *input) { in.frame.Geometry.HeadAngle = 7.3 }, "frame.geometry.head_angle", contact.ErrRange},
		"zero frame":      {func(in *input) { in.frame = fitgeom.Frame{} }, "frame.geometry.stack", contact.ErrRange},
		"empty shelf":     {func(in *input) { in.shelf = fitgeom.Shelf{} }, "shelf.caps", contact.ErrMissing},
		"no stems":        {func(in *input) { in.shelf.Stems = nil }, "shelf.stems", contact.ErrMissing},
		"a bad stem":      {func(in *input) { in.shelf.Stems[2].Angle = 170 }, "shelf.stems[2].angle", contact.ErrRange},
		"no spacer count": {func(in *input) { in.shelf.Spacers[0].Count = 0 }, "shelf.spacers[0].count", contact.ErrRange},
		"no stem fits":    {func(in *input) { in.shelf.Stems = in.shelf.Stems[3:4] }, "shelf.caps, stems, bars and levers", contact.ErrMissing},
		"no post fits":    {func(in *input) { in.shelf.Posts = in.shelf.Posts[2:] }, "shelf.posts and saddles", contact.ErrMissing},
		"post too short":  {func(in *input) { in.frame.PostInsertion = 300; in.shelf.Posts = in.shelf.Posts[1:2] }, "shelf.posts and saddles", contact.ErrMissing},
		"limit":           {func(in *input) { in.opt.Limit = -1 }, "options.limit", contact.ErrRange},
		"keep no saddle":  {func(in *input) { in.opt.Keep = fitgeom.DefaultKeep(in.target)[1:] }, "options.keep", contact.ErrMissing},
		"keep nothing":    {func(in *input) { in.opt.Keep = []fitgeom.Keep{} }, "options.keep", contact.ErrMissing},
		"keep a pad": {func(in *input) {
			in.opt.Keep = append(fitgeom.DefaultKeep(in.target), fitgeom.Keep{Site: contact.PadLeft})
		}, "options.keep[5]", contact.ErrUnknown},
		"keep no site":     {func(in *input) { in.opt.Keep = append(fitgeom.DefaultKeep(in.target), fitgeom.Keep{Site: 99}) }, "options.keep[5]", contact.ErrUnknown},
		"keep twice":       {func(in *input) { k := fitgeom.DefaultKeep(in.target); in.opt.Keep = append(k, k[1]) }, "options.keep[5]", contact.ErrConflict},
		"negative":         {func(in *input) { in.opt.Keep = fitgeom.DefaultKeep(in.target); in.opt.Keep[1].Tolerance.Y = -1 }, "options.keep[1].tolerance.y", contact.ErrRange},
		"NaN tolerance":    {func(in *input) { in.opt.Keep = fitgeom.DefaultKeep(in.target); in.opt.Keep[1].Tolerance.Y = math.NaN() }, "options.keep[1].tolerance.y", contact.ErrRange},
		"saddle half kept": {func(in *input) { in.opt.Keep = fitgeom.DefaultKeep(in.target); in.opt.Keep[0].Tolerance.Z = 0 }, "options.keep[0].tolerance", contact.ErrMissing},
	} {
		t.Run(name, func(t *testing.T) {
			in := input{position(aBuild()), road54(), smallShelf(), fitgeom.Options{}}
			c.change(&in)
			r, err := fitgeom.Reproduce(in.target, in.frame, in.shelf, in.opt)
			require.ErrorIs(t, err, c.class)
			assert.Equal(t, c.path, contact.Faults(err)[0].Path, "%v", err)
			assert.Empty(t, r.Candidates)
			assert.False(t, r.Holds())
		})
	}

	in := input{position(aBuild()), road54(), smallShelf(), fitgeom.Options{}}
	in.target.Forget(contact.HoodsLeft)
	in.frame.Geometry.HeadAngle = 7.3
	in.shelf.Cranks = nil
	_, err := fitgeom.Reproduce(in.target, in.frame, in.shelf, in.opt)
	assert.Len(t, contact.Faults(err), 3, "all faults together: %v", err)
}

// Inputs are read only, so that they may be shared.
func TestConcurrent(t *testing.T) {
	target, frame, shelf := position(aBuild()), road54(), smallShelf()
	want, err := fitgeom.Reproduce(target, frame, shelf, fitgeom.Options{})
	require.NoError(t, err)
	var wg sync.WaitGroup
	for range 8 {
		wg.Go(func() {
			got, err := fitgeom.Reproduce(target, frame, shelf, fitgeom.Options{})
			assert.NoError(t, err)
			assert.Equal(t, want, got)
		})
	}
	wg.Wait()
}
