package solve_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/invented"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

func best(t *testing.T, p solve.Problem) fitgeom.Candidate {
	t.Helper()
	r, err := p.Solve(t.Context())
	require.NoError(t, err)
	return r.Candidates[0]
}

// Without correlations the probability is a product of error functions.
func TestChanceOfIndependentErrors(t *testing.T) {
	b := invented.Build()
	p := solve.Problem{Target: invented.Position(b), Frame: b.Frame, Shelf: invented.Shelf(), Crank: fitgeom.KeepSaddle, Keep: []fitgeom.Keep{
		{Site: contact.SaddleReference, Tolerance: r3.Vec{X: 2, Z: 3}}, {Site: contact.HoodsLeft, Tolerance: r3.Vec{X: 2, Z: 1}},
	}}
	c := best(t, p)
	require.Less(t, c.Score(), 1e-6)
	cov := trial.Independent(t, 1, contact.SaddleReference, contact.HoodsLeft)
	in := func(k float64) float64 { return math.Erf(k / math.Sqrt2) }
	got, err := p.Chance(t.Context(), c, solve.Errors{Target: cov})
	require.NoError(t, err)
	assert.InDelta(t, in(2)*in(3)*in(2)*in(1), got, 0.003)

	// Nothing is uncertain.
	got, err = p.Chance(t.Context(), c, solve.Errors{Target: trial.Independent(t, 0, contact.SaddleReference, contact.HoodsLeft)})
	require.NoError(t, err)
	assert.Equal(t, 1.0, got)

	// Only the stack is rounded, to 10 mm: it moves the hoods up and down by up
	// to 5 mm, of which 1 mm is within.
	p.Keep[1].Tolerance = r3.Vec{Z: 1}
	c = best(t, p)
	got, err = p.Chance(t.Context(), c, solve.Errors{Target: trial.Independent(t, 0, contact.SaddleReference, contact.HoodsLeft), Rounding: chart.Rounding{LengthStep: 10}})
	require.NoError(t, err)
	// The seat offset, rounded alike, moves the saddle along (sin, cos) of 73.5° by up to 5 mm, of which 2 mm forward are within.
	assert.InDelta(t, 0.2*(2/math.Sin(73.5*math.Pi/180)/5), got, 0.004)

	_, err = p.Chance(t.Context(), c, solve.Errors{Target: trial.Independent(t, 1, contact.SaddleReference)})
	require.ErrorIs(t, err, contact.ErrMissing)
	_, err = p.Chance(t.Context(), c, solve.Errors{Target: trial.Independent(t, 1, contact.SaddleReference, contact.HoodsLeft), Rounding: chart.Rounding{AngleStep: math.NaN()}})
	require.ErrorIs(t, err, contact.ErrRange)
	_, err = solve.Problem{Target: p.Target}.Chance(t.Context(), c, solve.Errors{Target: contact.Covariance{}})
	require.Error(t, err, "a candidate of other options")
}

// Correlated errors, the crank policy and a rounded chart against plain Monte
// Carlo (JCGM 101:2008, clause 7): true targets and frames are drawn, and every
// build is looked at as it stands.
func TestChanceMonteCarlo(t *testing.T) {
	for round := range draws(3, 30) {
		rng := rand.New(rand.NewPCG(10, uint64(round)))
		p, _ := drawProblem(rng, kindOf(round), 0.5)
		r, err := p.Solve(t.Context())
		if err != nil {
			continue
		}
		c := r.Candidates[0]
		// Errors of a datum that all sites have in common, and of their own.
		var coords []contact.Coordinate
		for s := range p.Target.All() {
			for _, a := range []contact.Axis{contact.AxisX, contact.AxisY, contact.AxisZ} {
				coords = append(coords, contact.Coordinate{Site: s, Axis: a})
			}
		}
		const common, own = 1.0, 0.7
		cov, err := contact.NewCovariance(coords, func(i, j int) float64 {
			v := 0.0
			if coords[i].Axis == coords[j].Axis {
				v = common * common
			}
			if i == j {
				v += own * own
			}
			return v
		})
		require.NoError(t, err)
		got, err := p.Chance(t.Context(), c, solve.Errors{Target: cov, Rounding: chart.Rounding{LengthStep: 1, AngleStep: 0.1}})
		require.NoError(t, err)

		n, inside := draws(3000, 40000), 0
		for range n {
			truth := p.Target
			datum := r3.Vec{X: common * rng.NormFloat64(), Y: common * rng.NormFloat64(), Z: common * rng.NormFloat64()}
			for s, v := range p.Target.All() {
				truth.Set(s, r3.Add(v, r3.Add(datum, r3.Vec{X: own * rng.NormFloat64(), Y: own * rng.NormFloat64(), Z: own * rng.NormFloat64()})))
			}
			b := c.Build
			g := &b.Frame.Geometry
			half := func(step float64) float64 { return step * (rng.Float64() - 0.5) }
			g.Stack += half(1)
			g.Reach += half(1)
			g.SeatOffset += half(1)
			g.HeadAngle += half(0.1)
			g.SeatAngle += half(0.1)
			l := &looker{t, moved(truth, b, p.Crank), p.Keep, farthest{}}
			if l.look(&b, "xyz", func(contact.Site) bool { return true }).holds() {
				inside++
			}
		}
		want := float64(inside) / float64(n)
		assert.InDelta(t, want, got, 0.005+4*math.Sqrt(want*(1-want)/float64(n)), "round %d, %v", round, kindOf(round))
	}
}

// deviation is one of a candidate's, which others do not share.
func deviation(c *fitgeom.Candidate, i int) *fitgeom.Deviation {
	c.Deviations = slices.Clone(c.Deviations)
	return &c.Deviations[i]
}

// wanted is the position of a candidate with the kept sites where they were wanted.
func wanted(t *testing.T, c fitgeom.Candidate) contact.Position {
	t.Helper()
	build := invented.Position(c.Build)
	p := build
	for _, d := range c.Deviations {
		at, ok := d.Wanted(build)
		require.True(t, ok, d.Site)
		p.Set(d.Site, at)
	}
	return p
}

func TestVerifyFindsWhatIsWrong(t *testing.T) {
	b := invented.Everything()
	shelf := invented.Shelf()
	shelf.Handlebars = []part.Handlebar{b.Handlebar}
	shelf.AeroBars, shelf.Pedals = []part.AeroBar{b.Aero}, []part.Pedal{b.Pedal}
	shelf.CleatShims = []part.Spacer{{Height: 2, Count: 1}}
	p := solve.Problem{Target: invented.Position(b), Frame: b.Frame, Shelf: shelf, Bike: b}
	good := best(t, p)
	require.NoError(t, p.Verify(good))
	require.Zero(t, good.Buy, "%v", good.Buy)
	for path, change := range map[string]func(c *fitgeom.Candidate){
		"build.frame":                          func(c *fitgeom.Candidate) { c.Build.Frame.Name = "another" },
		"build.wheels":                         func(c *fitgeom.Candidate) { c.Build.Wheels.FrontSag = 1 },
		"build.stem":                           func(c *fitgeom.Candidate) { c.Build.Stem.Length += 0.5 },
		"build.saddle":                         func(c *fitgeom.Candidate) { c.Build.Saddle.RailsTo += 50 },
		"build.pedal":                          func(c *fitgeom.Candidate) { c.Build.Pedal.Name = "another" },
		"buy":                                  func(c *fitgeom.Candidate) { c.Buy = part.Stems },
		"spacers_mm":                           func(c *fitgeom.Candidate) { c.Spacers = []float64{7.5, 7.5} },
		"build.settings.spacers_above_mm":      func(c *fitgeom.Candidate) { c.Build.Settings.SpacersAbove = 5; c.SpacersAbove = []float64{5} },
		"build.settings":                       func(c *fitgeom.Candidate) { c.Build.Settings.SeatpostExtension = 255 },
		"build.settings.seatpost_extension_mm": func(c *fitgeom.Candidate) { c.Build.Settings.SeatpostExtension = 255 },
		"build.settings.pad_rise_mm":           func(c *fitgeom.Candidate) { c.Build.Settings.PadRise = 61 },
		"build.settings.saddle_tilt_deg":       func(c *fitgeom.Candidate) { c.Build.Settings.SaddleTilt = 0 },
		"build.settings.lift_left_mm":          func(c *fitgeom.Candidate) { c.Build.Settings.LiftLeft = 1 },
		"deviations":                           func(c *fitgeom.Candidate) { c.Deviations = c.Deviations[1:] },
		"deviations[0]":                        func(c *fitgeom.Candidate) { deviation(c, 0).Tolerance.X = 3 },
		"deviations[1]":                        func(c *fitgeom.Candidate) { deviation(c, 1).Off.X = 1 },
		"deviations[2]":                        func(c *fitgeom.Candidate) { deviation(c, 2).Weight.Z = 2 },
		"saddle_moved.by_mm, from the far end": func(c *fitgeom.Candidate) { c.SaddleMoved.By.Z = 1 },
		"saddle_moved.by_mm, direction":        func(c *fitgeom.Candidate) { c.SaddleMoved.By.X = 1 },
		"saddle_moved.crank_mm":                func(c *fitgeom.Candidate) { c.SaddleMoved.Crank = 1 },
		"saddle_moved.foot_mm":                 func(c *fitgeom.Candidate) { c.SaddleMoved.Foot = 0 }, // one shim less: -1
		"purchases":                            func(c *fitgeom.Candidate) { c.Purchases = 1 },
		"build.saddle.length_mm":               func(c *fitgeom.Candidate) { c.Build.Saddle.Length = 0 },
	} {
		t.Run(path, func(t *testing.T) {
			c := good
			change(&c)
			err := p.Verify(c)
			require.Error(t, err)
			var paths []string
			for _, f := range contact.Faults(err) {
				paths = append(paths, f.Path)
			}
			assert.Contains(t, paths, path)
			_, err = p.Explain(t.Context(), c)
			require.Error(t, err)
		})
	}
}

// Every setting off by its bound leaves something at the edge of its tolerance,
// and the sheet's numbers are those of the position.
func TestSetUp(t *testing.T) {
	for round, kind := range invented.BikeKinds {
		rng := rand.New(rand.NewPCG(12, uint64(round)))
		p, _ := drawProblem(rng, kind, 0)
		p.Grain = 0
		r, err := p.Solve(t.Context())
		require.NoError(t, err)
		c := r.Candidates[0]
		if !c.Holds() {
			continue
		}
		basis := convert.Basis{SeatAngle: p.Frame.Geometry.SeatAngle}
		steps, err := solve.SetUp(c, basis)
		require.NoError(t, err)
		verified, order := 0, 0
		l := &looker{t, wanted(t, c), p.Keep, farthest{}}
		any := func(contact.Site) bool { return true }
		for _, s := range steps {
			assert.NotEmpty(t, s.String())
			if s.Verify {
				verified++
				m, err := convert.ParseMeasure(s.Name)
				require.NoError(t, err)
				on := basis
				on.Side = s.Side
				v, err := m.Of(invented.Position(c.Build), on)
				require.NoError(t, err)
				assert.InDelta(t, v, s.Value, tolMM)
				if s.Limited {
					assert.LessOrEqual(t, s.Low, s.Value+tolMM, s)
					assert.GreaterOrEqual(t, s.High, s.Value-tolMM, s)
				}
				continue
			}
			assert.Zero(t, verified, "settings first")
			order++
			for _, to := range []float64{s.Low, s.High} {
				b := c.Build
				set := map[string]*float64{
					"rail_clamp": &b.Settings.RailClamp, "seatpost_extension": &b.Settings.SeatpostExtension, "bar_rotation": &b.Settings.BarRotation,
					"pad_stack_setting": &b.Settings.PadRise, "pad_reach_setting": &b.Settings.PadForward, "pad_width_setting": &b.Settings.PadWidth,
					"extension_setting": &b.Settings.Extension,
				}[s.Name]
				if set == nil || !s.Limited {
					continue
				}
				assert.InDelta(t, *set, s.Value, tolMM)
				*set = to
				room := math.Inf(1)
				for _, m := range invented.Margins(b) {
					room = min(room, m.Room)
				}
				most := l.look(&b, "xyz", any).most
				assert.LessOrEqual(t, most, 1+2e-6, "%s: %v", kind, s)
				assert.True(t, most > 1-1e-6 || room < tolMM, "%s: %v, at the edge of tolerance or range", kind, s)
			}
		}
		assert.Greater(t, verified, 5)
		assert.Greater(t, order, 5)
	}

	c := best(t, ordinary())
	steps, err := solve.SetUp(c, convert.Basis{}, convert.SaddleHeight)
	require.NoError(t, err)
	last := steps[len(steps)-1]
	assert.Equal(t, "saddle_height", last.Name)
	// Straight from the bottom bracket: 2 mm forward and 2 mm up at (x, z) are 2(|x| + z)/h along.
	ref, _ := invented.Position(c.Build).At(contact.SaddleReference)
	h := r3.Norm(ref)
	assert.InDelta(t, h+2*(math.Abs(ref.X)+ref.Z)/h, last.High, 0.01)
	_, err = solve.SetUp(c, convert.Basis{}, convert.SaddleHeightSeatTube)
	require.ErrorIs(t, err, contact.ErrMissing)
	_, err = solve.SetUp(fitgeom.Candidate{}, convert.Basis{})
	require.Error(t, err)
}

// The set-up sheet names a shim, and where a dropper post is.
func TestSetUpOfShimsAndDroppers(t *testing.T) {
	b, shelf := invented.Build(), invented.Shelf()
	shelf.Seatposts = []part.Seatpost{{Name: "dropper", Diameter: 25.4, Length: 440, MinInsertion: 110, MinExtension: 150, Travel: 100}}
	shelf.Shims = []part.Shim{{Name: "sleeve", Inner: 25.4, Outer: 27.2}}
	c := best(t, solve.Problem{Target: invented.Position(b), Frame: b.Frame, Shelf: shelf})
	steps, err := solve.SetUp(c, convert.Basis{})
	require.NoError(t, err)
	var text strings.Builder
	for _, s := range steps {
		text.WriteString(s.Text() + "\n")
	}
	assert.Contains(t, text.String(), "sleeve")
	assert.Contains(t, text.String(), "at the top of its travel")
}

// Hands at two heights: no bar of the shelf meets both, and the obstacle names them. One of
// 3 mm each with a tolerance of 2 mm each is none.
func TestSidesThatNoPartMeets(t *testing.T) {
	p := ordinary()
	for _, c := range []struct {
		apart float64
		pairs []contact.Site
	}{{3, nil}, {30, []contact.Site{contact.HoodsLeft}}} {
		q := p
		at, ok := q.Target.At(contact.HoodsLeft)
		require.True(t, ok)
		q.Target.Set(contact.HoodsLeft, r3.Add(at, r3.Vec{Z: c.apart}))
		candidate := best(t, q)
		obstacles, err := q.Explain(t.Context(), candidate)
		require.NoError(t, err)
		if c.pairs == nil {
			assert.Empty(t, obstacles)
			continue
		}
		require.Len(t, obstacles, 1)
		assert.Equal(t, c.pairs, obstacles[0].Pairs)
		assert.Contains(t, obstacles[0].String(), "hoods left and hoods right are wanted further from mirroring each other")
		assert.Empty(t, obstacles[0].Alone)

		// What is verified of each side is that side's own.
		steps, err := solve.SetUp(candidate, convert.Basis{}, convert.BarDropHoods, convert.HoodsWidth)
		require.NoError(t, err)
		sides := map[contact.Side]solve.Step{}
		for _, s := range steps {
			if s.Name == "bar_drop_hoods" {
				sides[s.Side] = s
			}
		}
		require.Len(t, sides, 2)
		l, r := sides[contact.Left], sides[contact.Right]
		assert.InDelta(t, l.Value, r.Value, 1e-9, "a bar is the same left and right")
		assert.InDelta(t, 30, (r.Low+r.High-l.Low-l.High)/2, 1e-9, "and is wanted 30 mm higher on the left")
	}
}
