package main

import (
	"math"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/examples/internal/golden"
	"example.com/fitgeom/examples/internal/kit"
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

// bike is the invented bike of both sessions, in its own axes.
func bike() []golden.Landmark {
	at := survey.At
	return []golden.Landmark{
		{Name: survey.BottomBracketLeft, At: r3.Vec{Y: 47}},
		{Name: survey.BottomBracketRight, At: r3.Vec{Y: -47}},
		{Name: survey.RearAxleLeft, At: r3.Vec{X: -410, Y: 71, Z: 68}},
		{Name: survey.RearAxleRight, At: r3.Vec{X: -410, Y: -71, Z: 68}},
		{Name: survey.FrontAxleLeft, At: r3.Vec{X: 592, Y: 55, Z: 68}},
		{Name: survey.FrontAxleRight, At: r3.Vec{X: 592, Y: -55, Z: 68}},
		{Name: survey.HeadTubeTopLeft, At: r3.Vec{X: 382, Y: 19, Z: 590}},
		{Name: survey.HeadTubeTopRight, At: r3.Vec{X: 382, Y: -19, Z: 590}},
		{Name: survey.HeadTubeBottomLeft, At: r3.Vec{X: 427.9, Y: 22, Z: 440}},
		{Name: survey.HeadTubeBottomRight, At: r3.Vec{X: 427.9, Y: -22, Z: 440}},
		{Name: survey.Mark("down_tube_scratch"), At: r3.Vec{X: 210, Y: 24, Z: 215}},
		{Name: survey.SaddleEdgeLeft, At: r3.Vec{X: -196, Y: 40, Z: 688}},
		{Name: survey.SaddleEdgeRight, At: r3.Vec{X: -196, Y: -40, Z: 688}},
		{Name: at(contact.SaddleNose), At: r3.Vec{X: -55, Z: 690}},
		{Name: at(contact.SaddleRear), At: r3.Vec{X: -325, Z: 693}},
		{Name: at(contact.BarClamp), At: r3.Vec{X: 452, Z: 651}},
		{Name: at(contact.HoodsLeft), At: r3.Vec{X: 566, Y: 205, Z: 672}},
		{Name: at(contact.HoodsRight), At: r3.Vec{X: 566, Y: -205, Z: 672}},
		{Name: at(contact.PedalLeft), At: r3.Vec{X: 170 * math.Cos(0.4), Y: 73, Z: 170 * math.Sin(0.4)}},
		{Name: at(contact.PedalRight), At: r3.Vec{X: -170 * math.Cos(0.4), Y: -73, Z: -170 * math.Sin(0.4)}},
	}
}

// invented reads each landmark four times with 0.2 mm of noise along each axis, by an
// arm that stands anywhere.
func invented(note string, points []golden.Landmark, arm r3.Rotation, origin r3.Vec, seed uint64) kit.Doc[survey.Survey] {
	return kit.Doc[survey.Survey]{Note: note, Value: golden.Session{
		FrontRadius: 336, RearRadius: 336, RadiusSigma: 0.5, Arm: arm, Origin: origin, Sigma: 0.2, Times: 4, Decimals: 2, Seed: [2]uint64{seed, 7},
	}.Read(points)}
}

func before() kit.Doc[survey.Survey] {
	return invented("Invented data. First session.", bike(), r3.NewRotation(40*rad, r3.Vec{X: 1, Y: 2, Z: 9}), r3.Vec{X: 500, Y: 120, Z: 310}, 1)
}

// after: the saddle went back and up, the right lever was turned up, the front
// wheel stood turned by 5°, and one reading of the left hood slipped by 20 mm.
func after() kit.Doc[survey.Survey] {
	points := bike()
	axis := r3.Unit(r3.Sub(points[6].At, points[8].At))
	axis.Y = 0
	foot := r3.Vec{X: points[8].At.X, Z: points[8].At.Z}
	for i, p := range points {
		switch p.Name {
		case survey.SaddleEdgeLeft, survey.SaddleEdgeRight, survey.At(contact.SaddleNose), survey.At(contact.SaddleRear):
			points[i].At = r3.Add(p.At, saddleMoved)
		case survey.At(contact.HoodsRight):
			points[i].At = r3.Add(p.At, hoodMoved)
		}
		switch p.Name {
		case survey.FrontAxleLeft, survey.FrontAxleRight, survey.At(contact.BarClamp), survey.At(contact.HoodsLeft), survey.At(contact.HoodsRight):
			points[i].At = r3.Add(foot, r3.Rotate(r3.Sub(points[i].At, foot), 5*rad, axis))
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
	golden.Survey(t, "before.json", &beforeJSON, before(), 0.01)
	golden.Survey(t, "after.json", &afterJSON, after(), 0.01)
}

// The verdicts must be what was done.
func TestFindsWhatMoved(t *testing.T) {
	a, err := before().Value.Solve()
	require.NoError(t, err)
	b, err := after().Value.Solve()
	require.NoError(t, err)
	moves, turns := golden.Moved(t, a, b, 0.99, map[contact.Site]r3.Vec{
		contact.SaddleReference: saddleMoved, contact.SaddleNose: saddleMoved, contact.SaddleRear: saddleMoved, contact.HoodsRight: hoodMoved,
	})
	require.Len(t, moves, 8)
	assert.False(t, turns[0].Real)
	assert.InDelta(t, 5, b.Steer, 3*b.SteerSigma)
}

func TestPage(t *testing.T) { golden.Page(t, example()) }

func TestBadInput(t *testing.T) {
	other := before().Value
	for i, r := range other.Readings { // another bike
		switch r.Landmark {
		case survey.Mark("down_tube_scratch"), survey.HeadTubeTopLeft, survey.HeadTubeTopRight, survey.HeadTubeBottomLeft, survey.HeadTubeBottomRight:
			other.Readings[i].At.X += 30
		}
	}
	noAxle := golden.Edited(t, beforeJSON, "rear_axle_left", "tops_left")
	for name, c := range map[string]struct {
		args []string
		want string
	}{
		"no axle":    {[]string{"-before", noAxle}, noAxle + ": " + golden.Line(t, beforeJSON, `"readings"`) + ": /readings missing: want at least one reading of rear_axle_left"},
		"unknown":    {[]string{"-before", golden.Edited(t, beforeJSON, "bar_clamp", "bell")}, `/landmark "bell": want a landmark such as`},
		"coverage":   {[]string{"-coverage", "1.5"}, "-coverage: want 0.5 to 0.9999"},
		"other bike": {[]string{"-before", golden.Put(t, beforeJSON), "-after", golden.PutDocument(t, other)}, "landmarks in common"},
	} {
		t.Run(name, func(t *testing.T) { _ = golden.Refused(t, example(), c.want, c.args...) })
	}
	cut := golden.Put(t, beforeJSON[:100])
	_ = golden.Refused(t, example(), cut+": line", "-after", cut)
}

func TestBadFiles(t *testing.T) { golden.BadFiles(t, example) }
