package fitgeom_test

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
	"example.com/fitgeom/internal/invented"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// independent is a covariance without correlations.
func independent(t *testing.T, sigma float64, sites ...contact.Site) contact.Covariance {
	t.Helper()
	var coords []contact.Coordinate
	for _, s := range sites {
		coords = append(coords, contact.Coordinate{Site: s, Axis: contact.AxisX}, contact.Coordinate{Site: s, Axis: contact.AxisY}, contact.Coordinate{Site: s, Axis: contact.AxisZ})
	}
	c, err := contact.NewCovariance(coords, func(i, j int) float64 {
		if i == j {
			return sigma * sigma
		}
		return 0
	})
	require.NoError(t, err)
	return c
}

func best(t *testing.T, target contact.Position, frame fitgeom.Frame, shelf fitgeom.Shelf, opt fitgeom.Options) fitgeom.Candidate {
	t.Helper()
	r, err := fitgeom.Reproduce(target, frame, shelf, opt)
	require.NoError(t, err)
	return r.Candidates[0]
}

// Without correlations the probability is a product of error functions.
func TestChanceOfIndependentErrors(t *testing.T) {
	b := invented.Build()
	target := invented.Position(b)
	opt := fitgeom.Options{Crank: fitgeom.KeepSaddle, Keep: []fitgeom.Keep{
		{Site: contact.SaddleReference, Tolerance: r3.Vec{X: 2, Z: 3}}, {Site: contact.HoodsLeft, Tolerance: r3.Vec{X: 2, Z: 1}},
	}}
	c := best(t, target, b.Frame, invented.Shelf(), opt)
	require.Less(t, c.Score, 1e-6)
	cov := independent(t, 1, contact.SaddleReference, contact.HoodsLeft)
	in := func(k float64) float64 { return math.Erf(k / math.Sqrt2) }
	got, err := fitgeom.Chance(target, opt, c, cov, fitgeom.Rounding{})
	require.NoError(t, err)
	assert.InDelta(t, in(2)*in(3)*in(2)*in(1), got, 0.003)

	// Nothing is uncertain.
	got, err = fitgeom.Chance(target, opt, c, independent(t, 0, contact.SaddleReference, contact.HoodsLeft), fitgeom.Rounding{})
	require.NoError(t, err)
	assert.Equal(t, 1.0, got)

	// Only the stack is rounded, to 10 mm: it moves the hoods up and down by up
	// to 5 mm, of which 1 mm is within.
	opt.Keep[1].Tolerance = r3.Vec{Z: 1}
	c = best(t, target, b.Frame, invented.Shelf(), opt)
	got, err = fitgeom.Chance(target, opt, c, independent(t, 0, contact.SaddleReference, contact.HoodsLeft), fitgeom.Rounding{LengthStep: 10})
	require.NoError(t, err)
	// The seat offset, rounded alike, moves the saddle along (sin, cos) of 73.5° by up to 5 mm, of which 2 mm forward are within.
	assert.InDelta(t, 0.2*(2/math.Sin(73.5*math.Pi/180)/5), got, 0.004)

	_, err = fitgeom.Chance(target, opt, c, independent(t, 1, contact.SaddleReference), fitgeom.Rounding{})
	require.ErrorIs(t, err, contact.ErrMissing)
	_, err = fitgeom.Chance(target, opt, c, independent(t, 1, contact.SaddleReference, contact.HoodsLeft), fitgeom.Rounding{AngleStep: math.NaN()})
	require.ErrorIs(t, err, contact.ErrRange)
	_, err = fitgeom.Chance(target, fitgeom.Options{}, c, contact.Covariance{}, fitgeom.Rounding{})
	require.Error(t, err, "a candidate of other options")
}

// Correlated errors, the crank policy and a rounded chart against plain Monte
// Carlo (JCGM 101:2008, clause 7): true targets and frames are drawn, and every
// build is looked at as it stands.
func TestChanceMonteCarlo(t *testing.T) {
	for round := range draws(3, 30) {
		rng := rand.New(rand.NewPCG(10, uint64(round)))
		p := drawProblem(rng, bikeKinds[round%len(bikeKinds)], 0.5)
		r, err := fitgeom.Reproduce(p.target, p.frame, p.shelf, p.opt)
		if err != nil {
			continue
		}
		c := r.Candidates[0]
		// Errors of a datum that all sites have in common, and of their own.
		var coords []contact.Coordinate
		for s := range p.target.All() {
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
		chart := fitgeom.Rounding{LengthStep: 1, AngleStep: 0.1}
		got, err := fitgeom.Chance(p.target, p.opt, c, cov, chart)
		require.NoError(t, err)

		n, inside := draws(3000, 40000), 0
		for range n {
			truth := p.target
			datum := r3.Vec{X: common * rng.NormFloat64(), Y: common * rng.NormFloat64(), Z: common * rng.NormFloat64()}
			for s, v := range p.target.All() {
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
			l := &looker{t, moved(truth, b, p.opt.Crank), p.opt.Keep}
			if l.look(&b, "xyz", func(contact.Site) bool { return true }).holds() {
				inside++
			}
		}
		want := float64(inside) / float64(n)
		assert.InDelta(t, want, got, 0.005+4*math.Sqrt(want*(1-want)/float64(n)), "round %d, %v", round, bikeKinds[round%len(bikeKinds)])
	}
}

func TestVerifyFindsWhatIsWrong(t *testing.T) {
	b := invented.Everything()
	shelf := invented.Shelf()
	shelf.Handlebars = []part.Handlebar{b.Handlebar}
	shelf.AeroBars, shelf.Pedals = []part.AeroBar{b.Aero}, []part.Pedal{b.Pedal}
	shelf.CleatShims = []part.Spacer{{Height: 2, Count: 1}}
	target, frame := invented.Position(b), b.Frame
	opt := fitgeom.Options{Bike: b}
	good := best(t, target, frame, shelf, opt)
	require.NoError(t, fitgeom.Verify(target, frame, shelf, opt, good))
	require.Zero(t, good.Buy, "%v", good.Buy)
	for path, change := range map[string]func(c *fitgeom.Candidate){
		"build.frame":                       func(c *fitgeom.Candidate) { c.Build.Frame.Name = "another" },
		"build.stance":                      func(c *fitgeom.Candidate) { c.Build.Wheels.FrontSag = 1 },
		"build.stem":                        func(c *fitgeom.Candidate) { c.Build.Stem.Length += 0.5 },
		"build.saddle":                      func(c *fitgeom.Candidate) { c.Build.Saddle.RailsTo += 50 },
		"build.pedal":                       func(c *fitgeom.Candidate) { c.Build.Pedal.Name = "another" },
		"buy":                               func(c *fitgeom.Candidate) { c.Buy = part.Stems },
		"spacers":                           func(c *fitgeom.Candidate) { c.Spacers = []float64{7.5, 7.5} },
		"build.settings.spacers_above":      func(c *fitgeom.Candidate) { c.Build.Settings.SpacersAbove = 5; c.SpacersAbove = []float64{5} },
		"build.settings":                    func(c *fitgeom.Candidate) { c.Build.Settings.SeatpostExtension = 255 },
		"build.settings.seatpost_extension": func(c *fitgeom.Candidate) { c.Build.Settings.SeatpostExtension = 255 },
		"build.settings.pad_stack":          func(c *fitgeom.Candidate) { c.Build.Settings.PadRise = 61 },
		"build.settings.saddle_tilt":        func(c *fitgeom.Candidate) { c.Build.Settings.SaddleTilt = 0 },
		"build.settings.lift_left":          func(c *fitgeom.Candidate) { c.Build.Settings.LiftLeft = 1 },
		"position.hoods_left":               func(c *fitgeom.Candidate) { c.Position.Set(contact.HoodsLeft, r3.Vec{}) },
		"wanted.hoods_left":                 func(c *fitgeom.Candidate) { c.Wanted.Set(contact.HoodsLeft, r3.Vec{}) },
		"wanted.saddle_reference, from the far end": func(c *fitgeom.Candidate) {
			c.Wanted.Set(contact.SaddleReference, r3.Vec{X: -200, Z: 700})
		},
		"residuals":                  func(c *fitgeom.Candidate) { c.Deviations = c.Deviations[1:] },
		"residuals.saddle_reference": func(c *fitgeom.Candidate) { c.Deviations = slices.Clone(c.Deviations); c.Deviations[0].Off.X = 1 },
		"score":                      func(c *fitgeom.Candidate) { c.Score = 1 },
		"holds":                      func(c *fitgeom.Candidate) { c.Holds = false },
		"margins":                    func(c *fitgeom.Candidate) { c.Margins = c.Margins[1:] },
		"cautions":                   func(c *fitgeom.Candidate) { c.Cautions = nil },
		"build.saddle.length":        func(c *fitgeom.Candidate) { c.Build.Saddle.Length = 0 },
	} {
		t.Run(path, func(t *testing.T) {
			c := good
			change(&c)
			err := fitgeom.Verify(target, frame, shelf, opt, c)
			require.Error(t, err)
			var paths []string
			for _, f := range contact.Faults(err) {
				paths = append(paths, f.Path)
			}
			assert.Contains(t, paths, path)
			_, err = fitgeom.Explain(target, frame, shelf, opt, c)
			require.Error(t, err)
		})
	}
}

// Every setting off by its bound leaves something at the edge of its tolerance,
// and the sheet's numbers are those of the position.
func TestSetUp(t *testing.T) {
	for round, kind := range bikeKinds {
		rng := rand.New(rand.NewPCG(12, uint64(round)))
		p := drawProblem(rng, kind, 0)
		p.opt.Grain = 0
		r, err := fitgeom.Reproduce(p.target, p.frame, p.shelf, p.opt)
		require.NoError(t, err)
		c := r.Candidates[0]
		if !c.Holds {
			continue
		}
		basis := convert.Basis{SeatAngle: p.frame.Geometry.SeatAngle}
		steps, err := fitgeom.SetUp(c, basis)
		require.NoError(t, err)
		verified, order := 0, 0
		l := &looker{t, c.Wanted, p.opt.Keep}
		any := func(contact.Site) bool { return true }
		for _, s := range steps {
			assert.NotEmpty(t, s.String())
			if s.Verify {
				verified++
				m, err := convert.ParseMeasure(s.Name)
				require.NoError(t, err)
				v, err := m.Of(c.Position, basis)
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
				for _, m := range margins(b) {
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

	c := best(t, invented.Position(invented.Build()), invented.Road54(), invented.Shelf(), fitgeom.Options{})
	steps, err := fitgeom.SetUp(c, convert.Basis{}, convert.SaddleHeight)
	require.NoError(t, err)
	last := steps[len(steps)-1]
	assert.Equal(t, "saddle_height", last.Name)
	// Straight from the bottom bracket: 2 mm forward and 2 mm up at (x, z) are 2(|x| + z)/h along.
	ref, _ := c.Position.At(contact.SaddleReference)
	h := r3.Norm(ref)
	assert.InDelta(t, h+2*(math.Abs(ref.X)+ref.Z)/h, last.High, 0.01)
	_, err = fitgeom.SetUp(c, convert.Basis{}, convert.SaddleHeightSeatTube)
	require.ErrorIs(t, err, contact.ErrMissing)
	_, err = fitgeom.SetUp(fitgeom.Candidate{}, convert.Basis{})
	require.Error(t, err)
}

// Figures of the worked example in package convert's tests, by plain arithmetic.
func TestFigures(t *testing.T) {
	b := invented.Everything()
	b.Frame.SteererCut, b.Frame.MaxFrontRadius = 70, 350
	p := invented.Position(b)
	nose, pad, tip := site(t, p, contact.SaddleNose), site(t, p, contact.PadLeft), site(t, p, contact.ExtensionLeft)
	for f, want := range map[fitgeom.Figure]float64{
		fitgeom.NoseSetback: -nose.X, fitgeom.SaddleSlope: 1, fitgeom.SaddleLength: 270,
		// Stack 560, reach 385, 73°, chainstay 410, drop 70, offset 45, wheels 340: sections 2 and 10 of the project's list of check values.
		fitgeom.BottomBracketHeight: 270, fitgeom.FrontCentre: 581.864163, fitgeom.RearCentre: 403.980198, fitgeom.WheelDiameter: 680,
		fitgeom.ToeClearance:   586.059642 - 172.5 - 340,
		fitgeom.ExtensionReach: tip.X, fitgeom.ExtensionRise: tip.Z - pad.Z,
		fitgeom.StemAboveSteerer: 15 + 15 + 40 - 70, fitgeom.PostMark: 100 / 27.2, fitgeom.FrontTyreRoom: 10,
	} {
		got, known, err := b.Figure(f)
		require.NoError(t, err)
		assert.True(t, known, f)
		assert.InDelta(t, want, got, 2e-6, "%v", f)
	}
	for _, f := range []fitgeom.Figure{fitgeom.RearTyreRoom, fitgeom.FlatBarWidth, 99} {
		_, known, err := b.Figure(f)
		require.NoError(t, err)
		assert.False(t, known, f)
	}
	b.Wheels = chart.Wheels{FrontRadius: 350, RearRadius: 350}
	v, _, _ := b.Figure(fitgeom.BottomBracketHeight)
	assert.InDelta(t, 280, v, 1e-9)

	low, _, _ := b.Figure(fitgeom.GripsAboveSaddle)
	hood, saddle := site(t, invented.Position(b), contact.HoodsLeft), site(t, invented.Position(b), contact.SaddleReference)
	assert.InDelta(t, hood.Z-saddle.Z+(170-45)*math.Sin(73.5*math.Pi/180), low, tolMM, "the post can go 125 mm further in")
}

func TestRules(t *testing.T) {
	b := invented.Everything()
	seen := map[string]bool{}
	for _, r := range fitgeom.Rules() {
		assert.NotEmpty(t, r.Source)
		assert.NotEmpty(t, r.Edition)
		assert.NotEmpty(t, r.Seen)
		assert.False(t, seen[r.String()], r.String())
		seen[r.String()] = true
		v, within, known, err := r.Check(b)
		require.NoError(t, err)
		if known {
			assert.Equal(t, v >= r.Min && v <= r.Max, within, r.String())
		}
	}
	rule := fitgeom.Rule{Figure: fitgeom.SaddleSlope, Min: math.Inf(-1), Max: 0.5, Source: "a test", Edition: "today"}
	v, within, known, err := rule.Check(b)
	require.NoError(t, err)
	assert.True(t, known)
	assert.False(t, within)
	assert.Equal(t, 1.0, v)
	assert.Equal(t, "slope of the saddle at most 0.5 degrees (a test, today)", rule.String())
	_, _, _, err = rule.Check(fitgeom.Build{})
	require.Error(t, err)
}

// The set-up sheet names a shim, and where a dropper post is.
func TestSetUpOfShimsAndDroppers(t *testing.T) {
	b, shelf := invented.Build(), invented.Shelf()
	shelf.Seatposts = []part.Seatpost{{Name: "dropper", Diameter: 25.4, Length: 440, MinInsertion: 110, MinExtension: 150, Travel: 100}}
	shelf.Shims = []part.Shim{{Name: "sleeve", Inner: 25.4, Outer: 27.2}}
	target := invented.Position(b)
	c := best(t, target, b.Frame, shelf, fitgeom.Options{})
	steps, err := fitgeom.SetUp(c, convert.Basis{})
	require.NoError(t, err)
	var text strings.Builder
	for _, s := range steps {
		text.WriteString(s.Text + "\n")
	}
	assert.Contains(t, text.String(), "sleeve")
	assert.Contains(t, text.String(), "at the top of its travel")
}
