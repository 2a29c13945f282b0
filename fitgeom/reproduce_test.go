package fitgeom_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"sync"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/invented"

	gocmp "github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

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

// Reproduce against full enumeration, over bikes of every kind, with positions
// that can and cannot be held and with equal parts on the shelf.
func TestReproduceExact(t *testing.T) {
	holding, not := 0, 0
	for round := range draws(42, 2000) {
		rng := rand.New(rand.NewPCG(2, uint64(round)))
		p := drawProblem(rng, bikeKinds[round%len(bikeKinds)], []float64{0, 1, 3, 12}[rng.IntN(4)])
		want, count := enumerate(t, p)
		got, err := fitgeom.Reproduce(p.target, p.frame, p.shelf, p.opt)
		if count == 0 {
			require.ErrorIs(t, err, contact.ErrMissing, "round %d", round)
			continue
		}
		require.NoError(t, err, "round %d", round)
		require.Equal(t, count, got.Combinations, "round %d", round)
		require.Len(t, got.Candidates, min(10, len(want)), "round %d", round)
		if got.Holds() {
			holding++
		} else {
			not++
		}
		for i, c := range got.Candidates {
			require.NoError(t, fitgeom.Verify(p.target, p.frame, p.shelf, p.opt, c), "round %d, place %d", round, i)
			w := want[i]
			require.Equal(t, w.holds, c.Holds, "round %d, place %d", round, i)
			sameBuild(t, w.build, c.Build, round, i)
			at, err := w.build.Position()
			require.NoError(t, err)
			for _, k := range p.opt.Keep {
				a, _ := at.At(k.Site)
				b, _ := c.Position.At(k.Site)
				assert.Less(t, r3.Norm(r3.Sub(a, b)), tolMM, "round %d, place %d, %v", round, i, k.Site)
			}
		}
		if t.Failed() {
			return
		}
	}
	t.Log(holding, "can be held and", not, "cannot")
	assert.Positive(t, holding)
	assert.Positive(t, not)
}

// What was built can be found again, whatever kind of bike it is.
func TestReproducePlantedExact(t *testing.T) {
	for round := range draws(200, 2000) {
		rng := rand.New(rand.NewPCG(4, uint64(round)))
		p := drawProblem(rng, bikeKinds[round%len(bikeKinds)], 0)
		b := p.from
		b.Settings.SeatpostExtension = 100
		for _, m := range margins(b) { // anywhere within the limits
			if m.Limit == fitgeom.LimitSeatpostUp {
				lo := b.Seatpost.MinExtension
				if b.Frame.SeatpostDepth > 0 {
					lo = max(lo, b.Seatpost.Length-b.Frame.SeatpostDepth)
				}
				b.Settings.SeatpostExtension = lo + (m.Room+100-lo)*rng.Float64()
			}
		}
		p.target = invented.Position(b)
		p.opt.Grain = 0
		r, err := fitgeom.Reproduce(p.target, p.frame, p.shelf, p.opt)
		require.NoError(t, err)
		require.True(t, r.Holds(), "round %d", round)
		best := r.Candidates[0]
		assert.NoError(t, fitgeom.Verify(p.target, p.frame, p.shelf, p.opt, best), "round %d", round)
		assert.Less(t, best.Score, 1e-6, "round %d", round)
		for _, res := range best.Deviations {
			assert.True(t, res.Within)
			assert.Less(t, r3.Norm(asked(res)), tolMM, "round %d, %v", round, res.Site)
		}
	}
}

// asked is a residual without the coordinates that were not asked for.
func asked(r fitgeom.Deviation) r3.Vec {
	off := r.Off
	for _, c := range []struct {
		off *float64
		tol float64
	}{{&off.X, r.Tolerance.X}, {&off.Y, r.Tolerance.Y}, {&off.Z, r.Tolerance.Z}} {
		if c.tol == 0 {
			*c.off = 0
		}
	}
	return off
}

func margins(b fitgeom.Build) []fitgeom.Margin {
	m, err := b.Margins()
	if err != nil {
		panic(err) // fixtures are valid
	}
	return m
}

func TestCandidateIsItsBuild(t *testing.T) {
	target := invented.Position(invented.Build())
	hoods, _ := target.At(contact.HoodsLeft)
	target.Set(contact.HoodsLeft, r3.Add(hoods, r3.Vec{X: 3, Y: 4, Z: 1}))
	r, err := fitgeom.Reproduce(target, invented.Road54(), invented.Shelf(), fitgeom.Options{Limit: 50, Vary: all})
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
		require.Len(t, c.Deviations, len(keep))
		for i, res := range c.Deviations {
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

const all = part.Kinds(1<<10 - 1)

func TestCautions(t *testing.T) {
	always := []fitgeom.Caution{fitgeom.CautionManufacturer, fitgeom.CautionMechanic, fitgeom.CautionClinician, fitgeom.CautionRaceRules}
	for name, c := range map[string]struct {
		change func(*fitgeom.Build)
		want   []fitgeom.Caution
	}{
		"none":     {func(*fitgeom.Build) {}, nil},
		"tyre":     {func(b *fitgeom.Build) { b.Frame.MaxFrontRadius = 335 }, []fitgeom.Caution{fitgeom.CautionTyre}},
		"toe":      {func(b *fitgeom.Build) { b.Frame.Geometry.Reach -= 30 }, []fitgeom.Caution{fitgeom.CautionToeOverlap}},
		"shim":     {func(b *fitgeom.Build) { b.Frame.SeatpostDiameter = 30.9 }, []fitgeom.Caution{fitgeom.CautionShim}},
		"seatpost": {func(b *fitgeom.Build) { b.Settings.SeatpostExtension = 245 }, []fitgeom.Caution{fitgeom.CautionInsertion}},
		"stack":    {func(b *fitgeom.Build) { b.Settings.Spacers = 20; b.Frame.MaxUnderStem = 38 }, []fitgeom.Caution{fitgeom.CautionSteerer}},
		"rails":    {func(b *fitgeom.Build) { b.Settings.RailClamp = 112 }, []fitgeom.Caution{fitgeom.CautionRails}},
		"roll":     {func(b *fitgeom.Build) { b.Settings.BarRotation = -7 }, []fitgeom.Caution{fitgeom.CautionBarRotated}},
	} {
		t.Run(name, func(t *testing.T) {
			b := invented.Build()
			c.change(&b)
			shelf := invented.Shelf()
			shelf.Caps, shelf.Stems, shelf.Saddles = shelf.Caps[:1], shelf.Stems[:1], shelf.Saddles[:1]
			shelf.Seatposts, shelf.Shims = shelf.Seatposts[:1], []part.Shim{{Name: "shim", Inner: 27.2, Outer: 30.9}}
			if b.Frame.SeatpostDiameter == 30.9 {
				b.SeatpostShim = shelf.Shims[0]
			}
			r, err := fitgeom.Reproduce(invented.Position(b), b.Frame, shelf, fitgeom.Options{Limit: 1})
			require.NoError(t, err)
			want := append(slices.Clone(always), c.want...)
			if name != "toe" { // the frame of all others leaves 73.6 mm, of 89
				want = append(want, fitgeom.CautionToeOverlap)
			}
			assert.Equal(t, want, r.Candidates[0].Cautions)
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
		"no stem fits":    {func(in *input) { in.shelf.Stems = in.shelf.Stems[3:4] }, "shelf.caps, stems, bars, levers and aero_bars", contact.ErrMissing},
		"no post fits":    {func(in *input) { in.shelf.Seatposts = in.shelf.Seatposts[2:] }, "shelf.posts, saddles, cranks and pedals", contact.ErrMissing},
		"post too short":  {func(in *input) { in.frame.SeatpostInsertion = 300; in.shelf.Seatposts = in.shelf.Seatposts[1:2] }, "shelf.posts, saddles, cranks and pedals", contact.ErrMissing},
		"limit":           {func(in *input) { in.opt.Limit = -1 }, "options.limit", contact.ErrRange},
		"keep no saddle":  {func(in *input) { in.opt.Keep = fitgeom.DefaultKeep(in.target)[1:] }, "options.keep", contact.ErrMissing},
		"keep nothing":    {func(in *input) { in.opt.Keep = []fitgeom.Keep{} }, "options.keep", contact.ErrMissing},
		"keep a pad": {func(in *input) {
			in.opt.Keep = append(fitgeom.DefaultKeep(in.target), fitgeom.Keep{Site: contact.PadLeft})
		}, "target.pad_left", contact.ErrMissing},
		"no aero bar": {func(in *input) {
			in.target.Set(contact.PadLeft, r3.Vec{X: 300, Y: 90, Z: 700})
			in.opt.Keep = append(fitgeom.DefaultKeep(in.target)[:1], fitgeom.Keep{Site: contact.PadLeft, Tolerance: r3.Vec{X: 1}})
		}, "shelf.caps, stems, bars, levers and aero_bars", contact.ErrMissing},
		"no pedal": {func(in *input) {
			in.target.Set(contact.FootLeft, r3.Vec{X: 172.5, Y: 120, Z: 15})
			in.opt.Keep = append(fitgeom.DefaultKeep(in.target), fitgeom.Keep{Site: contact.FootLeft, Tolerance: r3.Vec{Z: 1}})
		}, "shelf.posts, saddles, cranks and pedals", contact.ErrMissing},
		"policy":           {func(in *input) { in.opt.Crank = 7 }, "options.crank", contact.ErrUnknown},
		"grain":            {func(in *input) { in.opt.Grain = -1 }, "options.grain", contact.ErrRange},
		"wheels":           {func(in *input) { in.opt.Wheels.FrontSag = 500 }, "stance.front_sag", contact.ErrRange},
		"no axles":         {func(in *input) { in.frame.Geometry.Axles = chart.Axles{}; in.opt.Wheels.FrontSag = 50 }, "frame.geometry.axles", contact.ErrMissing},
		"keep no site":     {func(in *input) { in.opt.Keep = append(fitgeom.DefaultKeep(in.target), fitgeom.Keep{Site: 99}) }, "options.keep[5]", contact.ErrUnknown},
		"keep twice":       {func(in *input) { k := fitgeom.DefaultKeep(in.target); in.opt.Keep = append(k, k[1]) }, "options.keep[5]", contact.ErrConflict},
		"negative":         {func(in *input) { in.opt.Keep = fitgeom.DefaultKeep(in.target); in.opt.Keep[1].Tolerance.Y = -1 }, "options.keep[1].tolerance.y", contact.ErrRange},
		"NaN tolerance":    {func(in *input) { in.opt.Keep = fitgeom.DefaultKeep(in.target); in.opt.Keep[1].Tolerance.Y = math.NaN() }, "options.keep[1].tolerance.y", contact.ErrRange},
		"saddle half kept": {func(in *input) { in.opt.Keep = fitgeom.DefaultKeep(in.target); in.opt.Keep[0].Tolerance.Z = 0 }, "options.keep[0].tolerance", contact.ErrMissing},
	} {
		t.Run(name, func(t *testing.T) {
			in := input{invented.Position(invented.Build()), invented.Road54(), invented.Shelf(), fitgeom.Options{}}
			c.change(&in)
			r, err := fitgeom.Reproduce(in.target, in.frame, in.shelf, in.opt)
			require.ErrorIs(t, err, c.class)
			assert.Equal(t, c.path, contact.Faults(err)[0].Path, "%v", err)
			assert.Empty(t, r.Candidates)
			assert.False(t, r.Holds())
		})
	}

	in := input{invented.Position(invented.Build()), invented.Road54(), invented.Shelf(), fitgeom.Options{}}
	in.target.Forget(contact.HoodsLeft)
	in.frame.Geometry.HeadAngle = 7.3
	in.shelf.Cranks = nil
	_, err := fitgeom.Reproduce(in.target, in.frame, in.shelf, in.opt)
	assert.Len(t, contact.Faults(err), 3, "all faults together: %v", err)
}

// Inputs are read only, so that they may be shared.
func TestConcurrent(t *testing.T) {
	target, frame, shelf := invented.Position(invented.Build()), invented.Road54(), invented.Shelf()
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
