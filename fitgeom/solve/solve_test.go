package solve_test

import (
	"math"
	"math/rand/v2"
	"sync"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/invented"
	"example.com/fitgeom/internal/trial"
	gocmp "github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

const tolMM = 1e-6

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

// Solve against full enumeration, over bikes of every kind, with positions
// that can and cannot be held and with equal parts on the shelf.
func TestSolveExact(t *testing.T) { solveExact(t, 2, draws(200, 2000), drawProblem) }

// The same with directions: hoods of flared bars that the bar turns by its rotation, levers
// moved and turned, tilted pads, cleats, wedges, and cranks and pedals of two sizes.
func TestSolveExactDirections(t *testing.T) { solveExact(t, 5, draws(21, 2000), drawDirected) }

// The same with parts that can be set or sink, and fit by names and sections; every other
// one with directions and what differs from side to side, too.
func TestSolveExactRenewed(t *testing.T) {
	solveExact(t, 2, draws(16, 2000), func(rng *rand.Rand, kind string, disturb float64) (solve.Problem, fitgeom.Build) {
		return pick(rng, drawProblem, drawDirected)(rng, kind+renewing, disturb)
	})
}

// The same under rules, which mostly are such that some of the builds break them.
func TestSolveExactRules(t *testing.T) {
	var under ruled
	solveExact(t, 20, draws(30, 400), drawRuled, under.count)
	t.Log(under)
}

func solveExact(t *testing.T, seed uint64, rounds int, draw func(*rand.Rand, string, float64) (solve.Problem, fitgeom.Build), more ...func(*testing.T, solve.Problem, solve.Result, int)) {
	holding, not, large := 0, 0, 0
	for round := range rounds {
		rng := rand.New(rand.NewPCG(seed, uint64(round)))
		p, _ := draw(rng, kindOf(round), []float64{0, 1, 3, 12}[rng.IntN(4)])
		got, err := p.Solve(t.Context())
		// The quarter with the most builds takes most of the time to enumerate.
		if err == nil && got.Combinations > 1000 && !trial.Long() {
			if large++; large%3 != 0 {
				continue
			}
		}
		all, count := enumerate(t, p)
		if count == 0 {
			require.ErrorIs(t, err, contact.ErrMissing, "round %d", round)
			continue
		}
		require.NoError(t, err, "round %d", round)
		require.Equal(t, count, got.Combinations, "round %d", round)
		if got.Holds() {
			holding++
		} else {
			not++
		}
		sameCandidates(t, &p, distinct(all), got, round)
		for _, look := range more {
			look(t, p, got, round)
		}
		if t.Failed() {
			return
		}
	}
	t.Log(holding, "can be held and", not, "cannot")
	assert.Positive(t, holding)
	assert.Positive(t, not)
}

// sameCandidates compares a result with all builds, the best first.
func sameCandidates(t *testing.T, p *solve.Problem, want []scored, got solve.Result, round int) {
	require.Len(t, got.Candidates, min(10, len(want)), "round %d", round)
	for i, c := range got.Candidates {
		require.NoError(t, p.Verify(c), "round %d, place %d", round, i)
		w := want[i]
		require.Equal(t, w.holds, c.Holds(), "round %d, place %d: %v", round, i, c.Rules)
		sameBuild(t, *w.build, c.Build, round, i)
		at, got := invented.Position(*w.build), invented.Position(c.Build)
		for _, k := range p.Keep {
			a, _ := at.At(k.Site)
			b, _ := got.At(k.Site)
			if k.Tolerance != (r3.Vec{}) {
				assert.Less(t, r3.Norm(r3.Sub(a, b)), tolMM, "round %d, place %d, %v", round, i, k.Site)
			}
			is, _ := at.Attitude(k.Site)
			faces, _ := got.Attitude(k.Site)
			off := k.Turn.TurnedFrom(is, faces)
			assert.Less(t, math.Abs(off.Tilt)+math.Abs(off.Yaw)+math.Abs(off.Roll), 1e-6, "round %d, place %d, %v", round, i, k.Site)
		}
	}
}

// What was built can be found again, whatever kind of bike it is.
func TestSolvePlantedExact(t *testing.T) { solvePlanted(t, 4, draws(200, 2000), drawProblem) }

// The same with directions, wedges, and cranks and pedals of two sizes.
func TestSolvePlantedDirections(t *testing.T) { solvePlanted(t, 9, draws(150, 2000), drawDirected) }

func solvePlanted(t *testing.T, seed uint64, rounds int, draw func(*rand.Rand, string, float64) (solve.Problem, fitgeom.Build)) {
	for round := range rounds {
		rng := rand.New(rand.NewPCG(seed, uint64(round)))
		p, b := draw(rng, kindOf(round), 0)
		b.Settings.SeatpostExtension = 100
		for _, m := range invented.Margins(b) { // anywhere within the limits
			if m.Limit == fitgeom.LimitSeatpostUp {
				lo := b.Seatpost.MinExtension
				if b.Frame.SeatpostDepth > 0 {
					lo = max(lo, b.Seatpost.Length-b.Frame.SeatpostDepth)
				}
				b.Settings.SeatpostExtension = lo + (m.Room+100-lo)*rng.Float64()
			}
		}
		for i := range p.Keep {
			if k := &p.Keep[i]; k.Site.Group() == contact.OnFeet && k.Tolerance.Z == 0 {
				k.Tolerance.Z = 1 // or the cleats would get no shims, and the saddle would have to move
			}
		}
		p.Target = invented.Position(b)
		p = p.Closest()
		r, err := p.Solve(t.Context())
		require.NoError(t, err)
		require.True(t, r.Holds(), "round %d", round)
		best := r.Candidates[0]
		assert.NoError(t, p.Verify(best), "round %d", round)
		assert.Less(t, best.Score(), 1e-6, "round %d", round)
		for _, res := range best.Deviations {
			assert.True(t, res.Within())
			assert.Less(t, r3.Norm(asked(res)), tolMM, "round %d, %v", round, res.Site)
			assert.Less(t, math.Abs(res.Turned.Tilt)+math.Abs(res.Turned.Yaw)+math.Abs(res.Turned.Roll), 1e-6, "round %d, %v", round, res.Site)
		}
	}
}

// asked is a deviation without the coordinates that were not asked for.
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

func TestCandidateIsItsBuild(t *testing.T) {
	target := invented.Position(invented.Build())
	hoods, _ := target.At(contact.HoodsLeft)
	target.Set(contact.HoodsLeft, r3.Add(hoods, r3.Vec{X: 3, Y: 4, Z: 1}))
	r, err := solve.Problem{Target: target, Frame: invented.Road54(), Shelf: invented.Shelf(), Limit: 50, Vary: part.AllKinds}.Solve(t.Context())
	require.NoError(t, err)
	require.Len(t, r.Candidates, 50)
	keep := fitgeom.DefaultKeep(target)
	for _, c := range r.Candidates {
		p := invented.Position(c.Build)
		for _, room := range invented.Margins(c.Build) {
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
		assert.InDelta(t, math.Sqrt(score), c.Distance(), 1e-9)
	}
}

// The least steps are the ones that a maker can mean: nothing between them.
func TestStepsAndCutSteerer(t *testing.T) {
	frame, shelf := invented.Road54(), invented.Shelf()
	frame.SteererCut = 75
	shelf.Spacers = []part.Spacer{{Height: 5, Count: 6}}
	target := invented.Position(invented.Build())
	r, err := solve.Problem{Target: target, Frame: frame, Shelf: shelf, Limit: 50, Vary: part.AllKinds}.Solve(t.Context())
	require.NoError(t, err)
	for _, c := range r.Candidates {
		top := c.Build.Cap.Height + c.Build.Settings.Spacers + c.Build.Stem.Height
		assert.LessOrEqual(t, top, 75.0+5)
		assert.GreaterOrEqual(t, top+c.Build.Settings.SpacersAbove, 75.0+2)
		assert.Less(t, top+c.Build.Settings.SpacersAbove, 75.0+2+5, "no more of them than it takes")
		assert.LessOrEqual(t, len(c.Spacers)+len(c.SpacersAbove), 6)
	}
	shelf.Spacers = nil // cap 15 and stem 40 leave 20 mm of steerer bare
	_, err = solve.Problem{Target: target, Frame: frame, Shelf: shelf}.Solve(t.Context())
	require.ErrorIs(t, err, contact.ErrMissing)
}

// ordinary is the position of the invented build on its frame, with its shelf.
func ordinary() solve.Problem {
	return solve.Problem{Target: invented.Position(invented.Build()), Frame: invented.Road54(), Shelf: invented.Shelf()}
}

func TestSolveFaults(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*solve.Problem)
		path   string
		class  error
	}{
		"no saddle": {func(p *solve.Problem) { p.Target.Forget(contact.SaddleReference) }, "target.sites.saddle_reference", contact.ErrMissing},
		"no hood":   {func(p *solve.Problem) { p.Target.Forget(contact.HoodsRight) }, "target.sites.hoods_right", contact.ErrMissing},
		"swapped": {func(p *solve.Problem) {
			l, r := contact.HoodsLeft, contact.HoodsRight
			a, _ := p.Target.At(l)
			b, _ := p.Target.At(r)
			p.Target.Set(l, b)
			p.Target.Set(r, a)
		}, "target.sites.hoods_left.at_mm[1]", contact.ErrConflict},
		"metres": {func(p *solve.Problem) {
			for s, v := range p.Target.All() {
				p.Target.Set(s, r3.Scale(0.001, v))
			}
		}, "target.sites.saddle_reference.at_mm", contact.ErrUnit},
		"NaN": {func(p *solve.Problem) { p.Target.Set(contact.BarClamp, r3.Vec{X: math.NaN()}) }, "target.sites.bar_clamp.at_mm[0]", contact.ErrRange},
		"tilt": {func(p *solve.Problem) {
			p.Target.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: 60})
		}, "target.sites.saddle_reference.attitude.tilt_deg", contact.ErrRange},
		"head angle":      {func(p *solve.Problem) { p.Frame.Geometry.HeadAngle = 7.3 }, "frame.geometry.head_angle_deg", contact.ErrRange},
		"zero frame":      {func(p *solve.Problem) { p.Frame = fitgeom.Frame{} }, "frame.geometry.stack_mm", contact.ErrRange},
		"empty shelf":     {func(p *solve.Problem) { p.Shelf = fitgeom.Shelf{} }, "shelf.caps", contact.ErrMissing},
		"no stems":        {func(p *solve.Problem) { p.Shelf.Stems = nil }, "shelf.stems", contact.ErrMissing},
		"a bad stem":      {func(p *solve.Problem) { p.Shelf.Stems[2].Angle = 170 }, "shelf.stems[2].angle_deg", contact.ErrRange},
		"no spacer count": {func(p *solve.Problem) { p.Shelf.Spacers[0].Count = 0 }, "shelf.spacers[0].count", contact.ErrRange},
		"no stem fits":    {func(p *solve.Problem) { p.Shelf.Stems = p.Shelf.Stems[3:4] }, "shelf.caps, stems, handlebars, levers and aero_bars", contact.ErrMissing},
		"no post fits":    {func(p *solve.Problem) { p.Shelf.Seatposts = p.Shelf.Seatposts[2:] }, "shelf.seatposts, saddles, cranks and pedals", contact.ErrMissing},
		"post too short":  {func(p *solve.Problem) { p.Frame.SeatpostInsertion = 300; p.Shelf.Seatposts = p.Shelf.Seatposts[1:2] }, "shelf.seatposts, saddles, cranks and pedals", contact.ErrMissing},
		"limit":           {func(p *solve.Problem) { p.Limit = -1 }, "limit", contact.ErrRange},
		"keep no saddle":  {func(p *solve.Problem) { p.Keep = fitgeom.DefaultKeep(p.Target)[1:] }, "keep", contact.ErrMissing},
		"keep nothing":    {func(p *solve.Problem) { p.Keep = []fitgeom.Keep{} }, "keep", contact.ErrMissing},
		"keep a pad": {func(p *solve.Problem) {
			p.Keep = append(fitgeom.DefaultKeep(p.Target), fitgeom.Keep{Site: contact.PadLeft, Tolerance: r3.Vec{X: 1}})
		}, "target.sites.pad_left", contact.ErrMissing},
		"no aero bar": {func(p *solve.Problem) {
			p.Target.Set(contact.PadLeft, r3.Vec{X: 300, Y: 90, Z: 700})
			p.Keep = append(fitgeom.DefaultKeep(p.Target)[:1], fitgeom.Keep{Site: contact.PadLeft, Tolerance: r3.Vec{X: 1}})
		}, "shelf.caps, stems, handlebars, levers and aero_bars", contact.ErrMissing},
		"no pedal": {func(p *solve.Problem) {
			p.Target.Set(contact.FootLeft, r3.Vec{X: 172.5, Y: 120, Z: 15})
			p.Keep = append(fitgeom.DefaultKeep(p.Target), fitgeom.Keep{Site: contact.FootLeft, Tolerance: r3.Vec{Z: 1}})
		}, "shelf.seatposts, saddles, cranks and pedals", contact.ErrMissing},
		"policy":        {func(p *solve.Problem) { p.Crank = 7 }, "crank", contact.ErrUnknown},
		"grain":         {func(p *solve.Problem) { p.Grain = -1 }, "grain", contact.ErrRange},
		"wheels":        {func(p *solve.Problem) { p.Wheels.FrontSag = 500 }, "wheels.front_sag_mm", contact.ErrRange},
		"no axles":      {func(p *solve.Problem) { p.Frame.Geometry.Axles = chart.Axles{}; p.Wheels.FrontSag = 50 }, "frame.geometry.axles", contact.ErrMissing},
		"keep no site":  {func(p *solve.Problem) { p.Keep = append(fitgeom.DefaultKeep(p.Target), fitgeom.Keep{Site: 99}) }, "keep[5].site", contact.ErrUnknown},
		"keep twice":    {func(p *solve.Problem) { k := fitgeom.DefaultKeep(p.Target); p.Keep = append(k, k[1]) }, "keep[5].site", contact.ErrConflict},
		"negative":      {func(p *solve.Problem) { p.Keep = fitgeom.DefaultKeep(p.Target); p.Keep[1].Tolerance.Y = -1 }, "keep[1].tolerance_mm[1]", contact.ErrRange},
		"NaN tolerance": {func(p *solve.Problem) { p.Keep = fitgeom.DefaultKeep(p.Target); p.Keep[1].Tolerance.Y = math.NaN() }, "keep[1].tolerance_mm[1]", contact.ErrRange},
		"nothing asked": {func(p *solve.Problem) {
			p.Keep = append(fitgeom.DefaultKeep(p.Target)[:1], fitgeom.Keep{Site: contact.HoodsLeft})
		}, "keep[1].tolerance_mm", contact.ErrMissing},
		"saddle half kept": {func(p *solve.Problem) { p.Keep = fitgeom.DefaultKeep(p.Target); p.Keep[0].Tolerance.Z = 0 }, "keep[0].tolerance_mm", contact.ErrMissing},
	} {
		t.Run(name, func(t *testing.T) {
			p := ordinary()
			c.change(&p)
			r, err := p.Solve(t.Context())
			require.ErrorIs(t, err, c.class)
			assert.Equal(t, c.path, contact.Faults(err)[0].Path, "%v", err)
			if invalid := p.Validate(); invalid != nil {
				assert.Equal(t, err, invalid)
			}
			assert.Empty(t, r.Candidates)
			assert.False(t, r.Holds())
		})
	}

	p := ordinary()
	require.NoError(t, p.Validate())
	p.Target.Forget(contact.HoodsLeft)
	p.Frame.Geometry.HeadAngle = 7.3
	p.Shelf.Cranks = nil
	_, err := p.Solve(t.Context())
	assert.Len(t, contact.Faults(err), 3, "all faults together: %v", err)
}

// Inputs are read only, so that they may be shared.
func TestConcurrent(t *testing.T) {
	p := ordinary()
	want, err := p.Solve(t.Context())
	require.NoError(t, err)
	var wg sync.WaitGroup
	for range 8 {
		wg.Go(func() {
			got, err := p.Solve(t.Context())
			assert.NoError(t, err)
			assert.Equal(t, want, got)
		})
	}
	wg.Wait()
}
