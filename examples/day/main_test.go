package main

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/examples/internal/golden"
	"example.com/fitgeom/examples/internal/kit"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/exchange"
	"example.com/fitgeom/fitgeom/part"
	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

const note = "Invented data: no such rider, bike, part or reading exists."

// What was done in the fitting, and what went wrong when the new bike was built.
var (
	saddleMoved = r3.Vec{X: -6, Z: 9}
	hoodsMoved  = r3.Vec{X: -8, Z: 6}
)

const postTooLow = 6. // mm

// bike is the rider's bike in its own axes.
func bike(saddle, hoods r3.Vec) map[survey.Landmark]r3.Vec {
	at := survey.At
	reference := r3.Add(r3.Vec{X: -198, Z: 690}, saddle)
	tilt := -1.5 * math.Pi / 180
	along := func(x, up float64) r3.Vec { // along and square to the tilted saddle
		return r3.Add(reference, r3.Vec{X: x*math.Cos(tilt) - up*math.Sin(tilt), Z: x*math.Sin(tilt) + up*math.Cos(tilt)})
	}
	return map[survey.Landmark]r3.Vec{
		survey.BottomBracketLeft:  {Y: 46},
		survey.BottomBracketRight: {Y: -46},
		survey.RearAxleLeft:       {X: -406, Y: 70, Z: 70},
		survey.RearAxleRight:      {X: -406, Y: -70, Z: 70},
		survey.FrontAxleLeft:      {X: 584, Y: 54, Z: 70},
		survey.FrontAxleRight:     {X: 584, Y: -54, Z: 70},
		survey.HeadTubeTopLeft:    {X: 378, Y: 18, Z: 562},
		survey.HeadTubeTopRight:   {X: 378, Y: -18, Z: 562},
		// 140 mm down an axis of 73 degrees.
		survey.HeadTubeBottomLeft:  {X: 418.93, Y: 21, Z: 428.12},
		survey.HeadTubeBottomRight: {X: 418.93, Y: -21, Z: 428.12},
		survey.SaddleEdgeLeft:      {X: reference.X, Y: 40, Z: reference.Z},
		survey.SaddleEdgeRight:     {X: reference.X, Y: -40, Z: reference.Z},
		at(contact.SaddleNose):     along(138, 3),
		at(contact.SaddleRear):     along(-128, 3),
		at(contact.BarClamp):       r3.Add(r3.Vec{X: 462, Z: 620}, r3.Vec{X: hoods.X}),
		at(contact.HoodsLeft):      r3.Add(r3.Vec{X: 582, Y: 205, Z: 640}, hoods),
		at(contact.HoodsRight):     r3.Add(r3.Vec{X: 582, Y: -205, Z: 640}, hoods),
		at(contact.PedalLeft):      {X: 170 * math.Cos(0.3), Y: 73, Z: 170 * math.Sin(0.3)},
		at(contact.PedalRight):     {X: -170 * math.Cos(0.3), Y: -73, Z: -170 * math.Sin(0.3)},
	}
}

// built is the new bike as it was built, in its own axes.
func built(t *testing.T, b fitgeom.Build) map[survey.Landmark]r3.Vec {
	b.Settings.SeatpostExtension -= postTooLow
	p, err := b.Position()
	require.NoError(t, err)
	g := b.Frame.Geometry
	rear, _ := g.RearAxle()
	front, _ := g.FrontAxle()
	top := g.HeadTop()
	low := r3.Sub(top, r3.Scale(140, g.SteererUp()))
	pair := func(at r3.Vec, half float64) (l, r r3.Vec) {
		return r3.Vec{X: at.X, Y: half, Z: at.Z}, r3.Vec{X: at.X, Y: -half, Z: at.Z}
	}
	m := map[survey.Landmark]r3.Vec{}
	m[survey.BottomBracketLeft], m[survey.BottomBracketRight] = pair(r3.Vec{}, 46)
	m[survey.RearAxleLeft], m[survey.RearAxleRight] = pair(rear, 70)
	m[survey.FrontAxleLeft], m[survey.FrontAxleRight] = pair(front, 54)
	m[survey.HeadTubeTopLeft], m[survey.HeadTubeTopRight] = pair(top, 18)
	m[survey.HeadTubeBottomLeft], m[survey.HeadTubeBottomRight] = pair(low, 21)
	for s, at := range p.All() {
		switch s {
		case contact.SaddleReference:
			m[survey.SaddleEdgeLeft], m[survey.SaddleEdgeRight] = pair(at, 40)
		case contact.SaddleNose, contact.SaddleRear, contact.BarClamp, contact.HoodsLeft, contact.HoodsRight, contact.PedalLeft:
			m[survey.At(s)] = at
		case contact.PedalRight: // cranks lie opposite one another
			m[survey.At(s)] = r3.Vec{X: -at.X, Y: at.Y, Z: -at.Z}
		}
	}
	return m
}

// order in which landmarks are read.
var order = []survey.Landmark{
	survey.BottomBracketLeft, survey.BottomBracketRight, survey.RearAxleLeft, survey.RearAxleRight, survey.FrontAxleLeft, survey.FrontAxleRight,
	survey.HeadTubeTopLeft, survey.HeadTubeTopRight, survey.HeadTubeBottomLeft, survey.HeadTubeBottomRight, survey.SaddleEdgeLeft, survey.SaddleEdgeRight,
	survey.At(contact.SaddleNose), survey.At(contact.SaddleRear), survey.At(contact.BarClamp), survey.At(contact.HoodsLeft), survey.At(contact.HoodsRight),
	survey.At(contact.PedalLeft), survey.At(contact.PedalRight),
}

// session reads each landmark four times with 0.2 mm of noise along each axis, by an
// arm that stands anywhere, on a bike that leans to the right and stands nose-up, in
// degrees.
func session(points map[survey.Landmark]r3.Vec, radius, lean, noseUp float64, arm r3.Rotation, seed uint64) survey.Survey {
	const rad = math.Pi / 180
	rng := rand.New(rand.NewPCG(seed, 31))
	d := survey.Survey{
		Sigma: r3.Vec{X: 0.2, Y: 0.2, Z: 0.2}, FrontRadius: radius, RearRadius: radius, RadiusSigma: 0.5,
		Up: kit.Round(arm.Rotate(r3.Vec{Z: 1}), 5),
	}
	for range 4 {
		for _, l := range order {
			v := r3.Rotate(points[l], lean*rad, r3.Vec{X: 1})
			v = r3.Rotate(v, -noseUp*rad, r3.Vec{Y: 1})
			noise := r3.Scale(0.2, r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()})
			d.Readings = append(d.Readings, survey.Reading{Landmark: l, At: kit.Round(r3.Add(r3.Add(arm.Rotate(v), r3.Vec{X: 640, Y: -210, Z: 380}), noise), 2)})
		}
	}
	return d
}

func morning() survey.Survey {
	return session(bike(r3.Vec{}, r3.Vec{}), 338, -1.4, -1.1, r3.NewRotation(0.8, r3.Vec{X: 1, Y: 3, Z: 7}), 1)
}

func evening() survey.Survey {
	return session(bike(saddleMoved, hoodsMoved), 338, 0.6, 0.2, r3.NewRotation(-1.9, r3.Vec{X: 2, Y: -1, Z: 3}), 2)
}

func shelf() fitgeom.Shelf {
	s := fitgeom.Shelf{
		Caps:       []part.HeadsetCap{{Name: "cap 10", Height: 10, SteererDiameter: 28.6}},
		Spacers:    []part.Spacer{{Height: 2.5, Count: 1}, {Height: 5, Count: 2}, {Height: 10, Count: 2}},
		Handlebars: []part.Handlebar{{Name: "bar 410", ClampDiameter: 31.8, RotationRange: 6, Drop: part.DropBar{Width: 410, Reach: 78, Drop: 124, DropsWidth: 430, Hook: 50}}},
		Levers:     []part.Lever{{Name: "lever 36", Reach: 36, Rise: 26}},
		Saddles:    []part.Saddle{{Name: "saddle 258", Length: 258, Station: 122, Height: 47, RailsFrom: 98, RailsTo: 168}},
		Cranks:     []part.Crank{{Name: "crank 170", Length: 170, QFactor: 146}},
	}
	for _, angle := range []string{"−6", "−12"} {
		for length := 80.; length <= 120; length += 10 {
			m := part.Stem{Name: fmt.Sprintf("stem %v %s°", length, angle), Length: length, Angle: -6, Height: 40, SteererDiameter: 28.6, BarDiameter: 31.8, Flippable: true}
			if angle == "−12" {
				m.Angle = -12
			}
			s.Stems = append(s.Stems, m)
		}
	}
	for _, setback := range []float64{0, 20} {
		s.Seatposts = append(s.Seatposts, part.Seatpost{Name: fmt.Sprintf("post 27.2, setback %v", setback), Diameter: 27.2, Length: 350, Setback: setback, MinInsertion: 100, MinExtension: 45})
	}
	return s
}

func frames() []fitgeom.Size {
	var all []fitgeom.Size
	for k, family := range []string{"road", "endurance", "race", "gravel"} {
		stack, reach := []float64{508, 528, 494, 536}[k], []float64{372, 364, 376, 374}[k]
		for size := range 6 {
			s := float64(size)
			g := chart.Geometry{
				Stack: math.Round(stack + 17*s), Reach: math.Round(reach + 4.6*s), HeadAngle: 71.4 + 0.4*s, SeatAngle: 74.4 - 0.3*s,
				Axles: chart.Axles{Chainstay: 408 + 4*float64(k), Drop: 70, ForkOffset: 45, FrontRadius: 338, RearRadius: 338},
			}
			g.HeadAngle, g.SeatAngle = math.Round(10*g.HeadAngle)/10, math.Round(10*g.SeatAngle)/10
			label := fmt.Sprint(48 + 2*size)
			all = append(all, fitgeom.Size{Family: family, Label: label, Frame: fitgeom.Frame{
				Name: family + " " + label, Geometry: g, SteererDiameter: 28.6, MaxUnderStem: 45, SeatTubeTop: 440 + 20*s, SeatpostDiameter: 27.2, SeatpostInsertion: 80,
			}})
		}
	}
	return all
}

// chosen is the best build for the evening's position.
func chosen(t *testing.T) (contact.Position, fitgeom.Choice) {
	fix, err := evening().Solve()
	require.NoError(t, err)
	index, err := fitgeom.NewIndex(frames(), shelf())
	require.NoError(t, err)
	r, err := index.Rank(fix.Position, fitgeom.Options{Limit: 1, Grain: 1})
	require.NoError(t, err)
	return fix.Position, r.Choices[0]
}

func rebuilt(t *testing.T) survey.Survey {
	_, c := chosen(t)
	return session(built(t, c.Best.Build), 338, 0, 0, r3.NewRotation(2.2, r3.Vec{X: -1, Y: 2, Z: 5}), 3)
}

func TestFilesAreAsInvented(t *testing.T) {
	golden.Document(t, "shelf.json", &shelfJSON, shelf(), note)
	var b bytes.Buffer
	require.NoError(t, exchange.WriteCatalogue(&b, frames()))
	if os.Getenv("UPDATE_GOLDEN") != "" {
		catalogueCSV = b.Bytes()
	}
	golden.File(t, "catalogue.csv", b.String())
	for name, c := range map[string]struct {
		data *[]byte
		want survey.Survey
	}{"morning.json": {&morningJSON, morning()}, "evening.json": {&eveningJSON, evening()}, "rebuilt.json": {&rebuiltJSON, rebuilt(t)}} {
		if os.Getenv("UPDATE_GOLDEN") != "" {
			var err error
			*c.data, err = kit.Doc[survey.Survey]{Value: c.want, Note: note}.JSON()
			require.NoError(t, err)
			require.NoError(t, os.WriteFile(name, *c.data, 0o666))
		}
		got, _, err := exchange.Read[survey.Survey](bytes.NewReader(*c.data))
		require.NoError(t, err)
		// A processor may round the last decimal the other way.
		near := cmp.Comparer(func(a, b float64) bool { return math.Abs(a-b) < 0.011 })
		if d := cmp.Diff(c.want, got, near); d != "" {
			t.Fatal(name, d)
		}
	}
}

func TestPage(t *testing.T) {
	p, err := build(files{})
	require.NoError(t, err)
	golden.Page(t, p)
}

// The day's verdicts must be what was done: the saddle and the hoods in the fitting,
// and the post when the new bike was built.
func TestVerdicts(t *testing.T) {
	a, err := morning().Solve()
	require.NoError(t, err)
	b, err := evening().Solve()
	require.NoError(t, err)
	s, ok := a.Standing()
	require.True(t, ok)
	assert.InDelta(t, -1.4, s.Lean, 0.1)
	assert.InDelta(t, -1.1, s.NoseUp, 0.1)
	moves, _, err := survey.Compare(a, b, coverage)
	require.NoError(t, err)
	for _, m := range moves {
		want := r3.Vec{}
		switch m.Site {
		case contact.SaddleReference, contact.SaddleNose, contact.SaddleRear:
			want = saddleMoved
		case contact.HoodsLeft, contact.HoodsRight:
			want = hoodsMoved
		case contact.BarClamp:
			want = r3.Vec{X: hoodsMoved.X}
		}
		assert.Equal(t, want != r3.Vec{}, m.Real, "%v moved by %v ± %v", m.Site, m.By, m.Sigma)
		off := r3.Sub(m.By, want)
		assert.LessOrEqual(t, math.Abs(off.X), 3*m.Sigma.X, m.Site)
		assert.LessOrEqual(t, math.Abs(off.Y), 3*m.Sigma.Y, m.Site)
		assert.LessOrEqual(t, math.Abs(off.Z), 3*m.Sigma.Z+1e-9, m.Site)
	}

	target, best := chosen(t)
	require.True(t, best.Best.Holds)
	require.NoError(t, fitgeom.Verify(target, best.Size.Frame, shelf(), fitgeom.Options{Limit: 1, Grain: 1}, best.Best))
	c, err := rebuilt(t).Solve()
	require.NoError(t, err)
	p, err := build(files{})
	require.NoError(t, err)
	md := p.Markdown()
	assert.Contains(t, md, "so to be set again")
	assert.Contains(t, md, "- saddle reference is off by")
	assert.NotContains(t, md, "- hoods")
	// The post leans back by the seat angle: so much too low is the saddle.
	was, _ := target.At(contact.SaddleReference)
	is, _ := c.Position.At(contact.SaddleReference)
	off := 0.
	for _, r := range best.Best.Deviations {
		if r.Site == contact.SaddleReference {
			off = r.Off.Z
		}
	}
	assert.InDelta(t, off-postTooLow*math.Sin(best.Size.Frame.Geometry.SeatAngle*math.Pi/180), is.Z-was.Z, 1)
}

func TestBadInput(t *testing.T) {
	file := filepath.Join(t.TempDir(), "cut")
	require.NoError(t, os.WriteFile(file, morningJSON[:200], 0o666))
	for _, flag := range []string{"-morning", "-evening", "-rebuilt", "-shelf", "-catalogue"} {
		var b bytes.Buffer
		assert.ErrorContains(t, run([]string{flag, file}, &b), file, flag)
		assert.ErrorContains(t, run([]string{flag, "nowhere"}, &b), "nowhere", flag)
		assert.Zero(t, b.Len(), "nothing is written")
	}
}
