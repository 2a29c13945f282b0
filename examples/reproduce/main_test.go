package main

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/examples/internal/golden"
	"example.com/fitgeom/examples/internal/kit"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/request"
	"example.com/fitgeom/fitgeom/solve"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// bikeA is the invented bike that survey.json is a noisy reading of, in its own
// axes. Its tyres differ: 342 mm of radius in front, 335 mm at the rear.
func bikeA() []golden.Landmark {
	at := survey.At
	tilt := -1.2 * math.Pi / 180
	saddle := func(x, up float64) r3.Vec { // along and square to the tilted saddle, from its reference
		return r3.Vec{X: -208 + x*math.Cos(tilt) - up*math.Sin(tilt), Z: 706 + x*math.Sin(tilt) + up*math.Cos(tilt)}
	}
	edge := saddle(0, 0)
	crank := 62 * math.Pi / 180
	return []golden.Landmark{
		{Name: survey.BottomBracketLeft, At: r3.Vec{Y: 48}},
		{Name: survey.BottomBracketRight, At: r3.Vec{Y: -48}},
		{Name: survey.RearAxleLeft, At: r3.Vec{X: -407, Y: 66, Z: 65}},
		{Name: survey.RearAxleRight, At: r3.Vec{X: -407, Y: -66, Z: 65}},
		{Name: survey.FrontAxleLeft, At: r3.Vec{X: 579, Y: 52, Z: 72}},
		{Name: survey.FrontAxleRight, At: r3.Vec{X: 579, Y: -52, Z: 72}},
		{Name: survey.SaddleEdgeLeft, At: r3.Vec{X: edge.X, Y: 40, Z: edge.Z}},
		{Name: survey.SaddleEdgeRight, At: r3.Vec{X: edge.X, Y: -40, Z: edge.Z}},
		{Name: at(contact.SaddleNose), At: saddle(142, 5)},
		{Name: at(contact.SaddleRear), At: saddle(-130, 5)},
		{Name: at(contact.BarClamp), At: r3.Vec{X: 464, Z: 611}},
		{Name: at(contact.HoodsLeft), At: r3.Vec{X: 580, Y: 212, Z: 637}},
		{Name: at(contact.HoodsRight), At: r3.Vec{X: 581, Y: -210, Z: 636}},
		{Name: at(contact.DropsLeft), At: r3.Vec{X: 484, Y: 221, Z: 484}},
		{Name: at(contact.DropsRight), At: r3.Vec{X: 485, Y: -219, Z: 484}},
		{Name: at(contact.PedalLeft), At: r3.Vec{X: -172.5 * math.Cos(crank), Y: 74, Z: -172.5 * math.Sin(crank)}},
		{Name: at(contact.PedalRight), At: r3.Vec{X: 172.5 * math.Cos(crank), Y: -74, Z: 172.5 * math.Sin(crank)}},
	}
}

// truth is what a perfect survey of bike A would find.
func truth() contact.Position {
	var p contact.Position
	for _, l := range bikeA() {
		if s, err := contact.ParseSite(string(l.Name)); err == nil {
			p.Set(s, l.At)
		}
	}
	p.Set(contact.SaddleReference, r3.Vec{X: -208, Z: 706})
	p.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: -1.2})
	p.Set(contact.PedalLeft, r3.Vec{X: 172.5, Y: 74})
	p.Set(contact.PedalRight, r3.Vec{X: 172.5, Y: -74})
	return p
}

// session makes survey.json: bike A leans 2° to the right and stands on ground
// that slopes 1.5° nose-down; an arm whose axes point anywhere reads each landmark
// three times, 0.4 mm of noise along each axis.
var session = golden.Session{
	FrontRadius: 342, RearRadius: 335, RadiusSigma: 1, Lean: 2, NoseUp: -1.5,
	Arm: r3.NewRotation(131*math.Pi/180, r3.Unit(r3.Vec{X: 0.4, Y: -0.7, Z: 0.5})), Origin: r3.Vec{X: 812, Y: -365, Z: 240},
	Sigma: 0.4, Times: 3, Decimals: 1, Seed: [2]uint64{54, 2026},
}

func TestSurveyIsAsInvented(t *testing.T) {
	read := session.Read(bikeA())
	read.Saddle = contact.SaddleProfile{NoseAhead: 142, RearBehind: 130, NoseAbove: 5, RearAbove: 5}
	for _, l := range []survey.Landmark{survey.BottomBracketLeft, survey.RearAxleLeft, survey.FrontAxleLeft} {
		read.Trueness = append(read.Trueness, survey.Trueness{Pair: l, Sigma: 0.3, Counts: survey.CountsBoth})
	}
	golden.Survey(t, "survey.json", &surveyJSON, kit.Doc[survey.Survey]{Note: "Invented data: no such bike, rider or reading exists.", Value: read}, 0.1)
}

// Bike A is known: the survey must find it within what it claims.
func TestRecoversBikeA(t *testing.T) {
	fix, err := golden.Read[survey.Survey](t, surveyJSON).Solve()
	require.NoError(t, err)
	want := truth()
	inTwo, all := 0, 0
	within := func(name string, off, sigma float64) {
		all++
		if math.Abs(off) <= 2*sigma {
			inTwo++
		}
		assert.LessOrEqual(t, math.Abs(off), 3*sigma+1e-9, name)
	}
	for s, off := range fix.Position.Sub(want).All() {
		u, ok := fix.Covariance.Sigma(s)
		require.True(t, ok)
		for i, c := range [][2]float64{{off.X, u.X}, {off.Y, u.Y}, {off.Z, u.Z}} {
			if c[1] == 0 {
				continue // a pedal's height, which is 0 by definition
			}
			within(fmt.Sprint(s, " ", "xyz"[i:i+1]), c[0], c[1])
		}
	}
	a, _ := fix.Position.Attitude(contact.SaddleReference)
	u, _ := fix.Covariance.AttitudeSigma(contact.SaddleReference)
	within("tilt", a.Tilt+1.2, u.Tilt)
	within("steer", fix.Steer, fix.SteerSigma)
	assert.Equal(t, len(bikeA())-8+1, count(fix.Position), "every site that was read is known")
	assert.Greater(t, float64(inTwo)/float64(all), 0.85, "about 95 % within twice the uncertainty")

	s, ok := fix.Standing()
	require.True(t, ok)
	assert.InDelta(t, 2, s.Lean, 0.3)
	assert.InDelta(t, -1.5, s.NoseUp, 0.15)
}

func count(p contact.Position) int {
	n := 0
	for range p.All() {
		n++
	}
	return n
}

func TestRequestIsAsInvented(t *testing.T) {
	golden.Document(t, "request.json", &requestJSON, request.Request{Limit: 3}, "Invented: no such rider asked for this.")
}

func TestPage(t *testing.T) { golden.Page(t, example()) }

// What is printed of a build is what the build does.
func TestPrintedBuildIsTheForwardMap(t *testing.T) {
	fix, err := golden.Read[survey.Survey](t, surveyJSON).Solve()
	require.NoError(t, err)
	q := solve.Problem{Target: fix.Position, Frame: golden.Read[fitgeom.Frame](t, frameJSON), Shelf: golden.Read[fitgeom.Shelf](t, shelfJSON)}
	r, err := q.Solve(t.Context())
	require.NoError(t, err)
	assert.True(t, r.Holds())
	for _, c := range r.Candidates {
		require.NoError(t, q.Verify(c))
		golden.FollowSheet(t, c)
		p, err := c.Build.Position()
		require.NoError(t, err)
		for _, d := range c.Deviations {
			at, _ := p.At(d.Site)
			want, _ := d.Wanted(p)
			assert.Less(t, r3.Norm(r3.Sub(r3.Sub(at, want), d.Off)), 1e-9)
			target, _ := q.Target.At(d.Site)
			moves := 1e-9
			if d.Site == contact.SaddleReference {
				moves = 0.3 // the cranks are 0.2 mm shorter than those of bike A as measured
			}
			assert.Less(t, r3.Norm(r3.Sub(want, target)), moves, d.Site)
		}
	}
}

// A frame far too tall: no build holds, which is an answer.
func TestImpossible(t *testing.T) {
	file := golden.Edited(t, frameJSON, `"stack_mm": 556`, `"stack_mm": 640`)
	var b bytes.Buffer
	require.NoError(t, example().Run([]string{"-frame", file}, &b))
	assert.Contains(t, b.String(), "No build holds the position. These come nearest.")
	assert.Contains(t, b.String(), "- caps, stems, handlebars, levers, aero bars: ")
}

// metres divides all readings by 1000.
func metres(t *testing.T) string {
	s := golden.Read[survey.Survey](t, surveyJSON)
	for i := range s.Readings {
		s.Readings[i].At = r3.Scale(1e-3, s.Readings[i].At)
	}
	return golden.PutDocument(t, s)
}

// Each bad input: an error that names file and field, and nothing written.
func TestBadInput(t *testing.T) {
	swap := func(a, b string) string {
		s := strings.NewReplacer(`"landmark": "`+a, `"landmark": "`+b, `"landmark": "`+b, `"landmark": "`+a).Replace(string(surveyJSON))
		return golden.Put(t, []byte(s))
	}
	for name, c := range map[string]struct {
		flag, file string
		want       string
		class      error
	}{
		"missing site":    {"-target", golden.Edited(t, surveyJSON, `"hoods_left"`, `"tops_left"`), "sites.hoods_left missing: want it to be known", contact.ErrMissing},
		"missing axle":    {"-target", golden.Edited(t, surveyJSON, `"landmark": "rear_axle_left"`, `"landmark": "tops_left"`), golden.Line(t, surveyJSON, `"readings"`) + ": /readings missing: want at least one reading of rear_axle_left", contact.ErrMissing},
		"swapped hoods":   {"-target", swap("hoods_left", "hoods_right"), "readings.hoods_left", contact.ErrConflict},
		"swapped axle":    {"-target", swap("front_axle_left", "front_axle_right"), "readings.front_axle_left", contact.ErrConflict},
		"metres":          {"-target", metres(t), "unit mm: want m", contact.ErrUnit},
		"head angle 7.3":  {"-frame", golden.Edited(t, frameJSON, `"head_angle_deg": 73`, `"head_angle_deg": 7.3`), "line 6: /geometry/head_angle_deg 7.3 degrees", contact.ErrRange},
		"stack in cm":     {"-frame", golden.Edited(t, frameJSON, `"stack_mm": 556`, `"stack_mm": 55.6`), "line 6: /geometry/stack_mm", contact.ErrUnit},
		"empty shelf":     {"-shelf", golden.Put(t, []byte(`{"schema":"fitgeom/shelf","version":1,"caps":[],"spacers":[],"stems":[],"handlebars":[],"levers":[],"seatposts":[],"saddles":[],"cranks":[]}`)), "line 1: /caps missing: want at least one", contact.ErrMissing},
		"no shelf at all": {"-shelf", golden.Put(t, []byte(`{}`)), "line 1: /schema", contact.ErrMissing},
		"unknown field":   {"-shelf", golden.Edited(t, shelfJSON, `"height_mm": 47`, `"stack_mm": 47`), "line 35: /saddles/0/stack_mm", contact.ErrUnknown},
		"malformed":       {"-shelf", golden.Edited(t, shelfJSON, `"levers": [`, `"levers": [[`), "line", contact.ErrConflict},
		"a word":          {"-frame", golden.Edited(t, frameJSON, `"reach_mm": 382`, `"reach_mm": "382"`), "line 6: /geometry/reach_mm", nil},
	} {
		t.Run(name, func(t *testing.T) {
			err := golden.Refused(t, example(), c.file+": "+c.want, c.flag, c.file)
			if c.class != nil {
				assert.ErrorIs(t, err, c.class)
			}
		})
	}

	_ = golden.Refused(t, example(), "/stems/1/angle_deg", // faults of all files together
		"-frame", golden.Edited(t, frameJSON, `"head_angle_deg": 73`, `"head_angle_deg": 7.3`),
		"-shelf", golden.Edited(t, shelfJSON, `"angle_deg": -6`, `"angle_deg": -66`))
}

func TestBadFiles(t *testing.T) { golden.BadFiles(t, example) }
