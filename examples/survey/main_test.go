package main

import (
	"bytes"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/examples/internal/golden"
	"example.com/fitgeom/examples/internal/kit"
	"example.com/fitgeom/fitgeom/exchange"
	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

const rad = math.Pi / 180

// What was done between the two sessions. The rest did not move.
var (
	saddleMoved = r3.Vec{X: -5, Z: 6}
	hoodMoved   = r3.Vec{X: 1, Z: 9} // the right lever alone
)

type landmark struct {
	name survey.Landmark
	at   r3.Vec
}

// bike is the invented bike of both sessions, in its own axes.
func bike() []landmark {
	at := survey.At
	return []landmark{
		{survey.BottomBracketLeft, r3.Vec{Y: 47}},
		{survey.BottomBracketRight, r3.Vec{Y: -47}},
		{survey.RearAxleLeft, r3.Vec{X: -410, Y: 71, Z: 68}},
		{survey.RearAxleRight, r3.Vec{X: -410, Y: -71, Z: 68}},
		{survey.FrontAxleLeft, r3.Vec{X: 592, Y: 55, Z: 68}},
		{survey.FrontAxleRight, r3.Vec{X: 592, Y: -55, Z: 68}},
		{survey.HeadTubeTopLeft, r3.Vec{X: 382, Y: 19, Z: 590}},
		{survey.HeadTubeTopRight, r3.Vec{X: 382, Y: -19, Z: 590}},
		{survey.HeadTubeBottomLeft, r3.Vec{X: 427.9, Y: 22, Z: 440}},
		{survey.HeadTubeBottomRight, r3.Vec{X: 427.9, Y: -22, Z: 440}},
		{survey.Mark("down_tube_scratch"), r3.Vec{X: 210, Y: 24, Z: 215}},
		{survey.SaddleEdgeLeft, r3.Vec{X: -196, Y: 40, Z: 688}},
		{survey.SaddleEdgeRight, r3.Vec{X: -196, Y: -40, Z: 688}},
		{at(contact.SaddleNose), r3.Vec{X: -55, Z: 690}},
		{at(contact.SaddleRear), r3.Vec{X: -325, Z: 693}},
		{at(contact.BarClamp), r3.Vec{X: 452, Z: 651}},
		{at(contact.HoodsLeft), r3.Vec{X: 566, Y: 205, Z: 672}},
		{at(contact.HoodsRight), r3.Vec{X: 566, Y: -205, Z: 672}},
		{at(contact.PedalLeft), r3.Vec{X: 170 * math.Cos(0.4), Y: 73, Z: 170 * math.Sin(0.4)}},
		{at(contact.PedalRight), r3.Vec{X: -170 * math.Cos(0.4), Y: -73, Z: -170 * math.Sin(0.4)}},
	}
}

// invented makes a session: each landmark read four times with 0.2 mm of noise
// along each axis, by an arm that stands anywhere.
func invented(note string, points []landmark, arm r3.Rotation, from r3.Vec, seed uint64) kit.Doc[survey.Survey] {
	rng := rand.New(rand.NewPCG(seed, 7))
	d := kit.Doc[survey.Survey]{Note: note, Value: survey.Survey{
		Sigma: r3.Vec{X: 0.2, Y: 0.2, Z: 0.2}, FrontRadius: 336, RearRadius: 336, RadiusSigma: 0.5,
		Up: kit.Round(arm.Rotate(r3.Vec{Z: 1}), 5),
	}}
	for range 4 {
		for _, p := range points {
			noise := r3.Scale(0.2, r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()})
			d.Value.Readings = append(d.Value.Readings, survey.Reading{Landmark: p.name, At: kit.Round(r3.Add(r3.Add(arm.Rotate(p.at), from), noise), 2)})
		}
	}
	return d
}

func before() kit.Doc[survey.Survey] {
	return invented("Invented data. First session.", bike(), r3.NewRotation(40*rad, r3.Vec{X: 1, Y: 2, Z: 9}), r3.Vec{X: 500, Y: 120, Z: 310}, 1)
}

// after: the saddle went back and up, the right lever was turned up, the front
// wheel stood turned by 5°, and one reading of the left hood slipped by 20 mm.
func after() kit.Doc[survey.Survey] {
	points := bike()
	axis := r3.Unit(r3.Sub(points[6].at, points[8].at))
	axis.Y = 0
	foot := r3.Vec{X: points[8].at.X, Z: points[8].at.Z}
	for i, p := range points {
		switch p.name {
		case survey.SaddleEdgeLeft, survey.SaddleEdgeRight, survey.At(contact.SaddleNose), survey.At(contact.SaddleRear):
			points[i].at = r3.Add(p.at, saddleMoved)
		case survey.At(contact.HoodsRight):
			points[i].at = r3.Add(p.at, hoodMoved)
		}
		switch p.name {
		case survey.FrontAxleLeft, survey.FrontAxleRight, survey.At(contact.BarClamp), survey.At(contact.HoodsLeft), survey.At(contact.HoodsRight):
			points[i].at = r3.Add(foot, r3.Rotate(r3.Sub(points[i].at, foot), 5*rad, axis))
		}
	}
	d := invented("Invented data. Second session.", points, r3.NewRotation(-75*rad, r3.Vec{X: 3, Y: -1, Z: 2}), r3.Vec{X: -90, Y: 640, Z: 75}, 2)
	for i, r := range d.Value.Readings {
		if r.Landmark == survey.At(contact.HoodsLeft) {
			d.Value.Readings[i].At.Y = math.Round(100*(r.At.Y+20)) / 100
			break
		}
	}
	return d
}

func TestSurveysAreAsInvented(t *testing.T) {
	for name, c := range map[string]struct {
		data *[]byte
		want kit.Doc[survey.Survey]
	}{"before.json": {&beforeJSON, before()}, "after.json": {&afterJSON, after()}} {
		if os.Getenv("UPDATE_GOLDEN") != "" {
			var err error
			*c.data, err = c.want.JSON()
			require.NoError(t, err)
			require.NoError(t, os.WriteFile(name, *c.data, 0o666))
		}
		got, note, err := exchange.Read[survey.Survey](bytes.NewReader(*c.data))
		require.NoError(t, err)
		assert.Equal(t, c.want.Note, note)
		// A processor may round the last decimal the other way.
		near := cmp.Comparer(func(a, b float64) bool { return math.Abs(a-b) < 0.011 })
		if d := cmp.Diff(c.want.Value, got, near); d != "" {
			t.Fatal(d)
		}
	}
}

// The verdicts must be what was done.
func TestFindsWhatMoved(t *testing.T) {
	a, err := before().Value.Solve()
	require.NoError(t, err)
	b, err := after().Value.Solve()
	require.NoError(t, err)
	moves, turns, err := survey.Compare(a, b, 0.99)
	require.NoError(t, err)
	require.Len(t, moves, 8)
	for _, m := range moves {
		want := r3.Vec{}
		switch m.Site {
		case contact.SaddleReference, contact.SaddleNose, contact.SaddleRear:
			want = saddleMoved
		case contact.HoodsRight:
			want = hoodMoved
		}
		assert.Equal(t, want != r3.Vec{}, m.Real, "%v moved by %v ± %v", m.Site, m.By, m.Sigma)
		off := r3.Sub(m.By, want)
		assert.LessOrEqual(t, math.Abs(off.X), 3*m.Sigma.X, m.Site)
		assert.LessOrEqual(t, math.Abs(off.Y), 3*m.Sigma.Y, m.Site)
		assert.LessOrEqual(t, math.Abs(off.Z), 3*m.Sigma.Z+1e-9, m.Site)
	}
	assert.False(t, turns[0].Real)
	assert.InDelta(t, 5, b.Steer, 3*b.SteerSigma)
}

func TestPage(t *testing.T) {
	p, err := build("", "", 0.99)
	require.NoError(t, err)
	golden.Page(t, p)
}

func TestBadInput(t *testing.T) {
	dir := t.TempDir()
	write := func(name string, data []byte) string {
		file := filepath.Join(dir, name)
		require.NoError(t, os.WriteFile(file, data, 0o666))
		return file
	}
	other := before()
	for i, r := range other.Value.Readings { // another bike
		if r.Landmark == survey.Mark("down_tube_scratch") || r.Landmark == survey.HeadTubeTopLeft || r.Landmark == survey.HeadTubeTopRight {
			other.Value.Readings[i].At.X += 30
		}
	}
	otherJSON, err := other.JSON()
	require.NoError(t, err)
	for name, c := range map[string]struct {
		args []string
		want string
	}{
		"malformed":  {[]string{"-after", write("cut.json", beforeJSON[:100])}, "cut.json: line"},
		"no axle":    {[]string{"-before", write("no axle.json", bytes.ReplaceAll(beforeJSON, []byte("rear_axle_left"), []byte("tops_left")))}, "no axle.json: line 11: /readings missing: want at least one reading of rear_axle_left"},
		"unknown":    {[]string{"-before", write("bell.json", bytes.ReplaceAll(beforeJSON, []byte("bar_clamp"), []byte("bell")))}, "/landmark unknown name"},
		"coverage":   {[]string{"-coverage", "1.5"}, "coverage 1.5"},
		"other bike": {[]string{"-after", write("other.json", otherJSON)}, "readings.head_tube"},
		"no file":    {[]string{"-after", filepath.Join(dir, "nowhere")}, "nowhere"},
	} {
		t.Run(name, func(t *testing.T) {
			var b bytes.Buffer
			assert.ErrorContains(t, run(c.args, &b), c.want)
			assert.Zero(t, b.Len())
		})
	}
}
