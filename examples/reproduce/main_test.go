package main

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/examples/internal/golden"
	"example.com/fitgeom/examples/internal/kit"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/exchange"
	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// bikeA is the invented bike that survey.json is a noisy reading of, in its own
// axes. Its tyres differ: 342 mm of radius in front, 335 mm at the rear.
func bikeA() map[survey.Landmark]r3.Vec {
	at := func(s contact.Site) survey.Landmark { return survey.At(s) }
	tilt := -1.2 * math.Pi / 180
	saddle := func(x, up float64) r3.Vec { // along and square to the tilted saddle, from its reference
		return r3.Vec{X: -208 + x*math.Cos(tilt) - up*math.Sin(tilt), Z: 706 + x*math.Sin(tilt) + up*math.Cos(tilt)}
	}
	edge := saddle(0, 0)
	crank := 62 * math.Pi / 180
	return map[survey.Landmark]r3.Vec{
		survey.BottomBracketLeft:  {Y: 48},
		survey.BottomBracketRight: {Y: -48},
		survey.RearAxleLeft:       {X: -407, Y: 66, Z: 65},
		survey.RearAxleRight:      {X: -407, Y: -66, Z: 65},
		survey.FrontAxleLeft:      {X: 579, Y: 52, Z: 72},
		survey.FrontAxleRight:     {X: 579, Y: -52, Z: 72},
		survey.SaddleEdgeLeft:     {X: edge.X, Y: 40, Z: edge.Z},
		survey.SaddleEdgeRight:    {X: edge.X, Y: -40, Z: edge.Z},
		at(contact.SaddleNose):    saddle(142, 5),
		at(contact.SaddleRear):    saddle(-130, 5),
		at(contact.BarClamp):      {X: 464, Z: 611},
		at(contact.HoodsLeft):     {X: 580, Y: 212, Z: 637},
		at(contact.HoodsRight):    {X: 581, Y: -210, Z: 636},
		at(contact.DropsLeft):     {X: 484, Y: 221, Z: 484},
		at(contact.DropsRight):    {X: 485, Y: -219, Z: 484},
		at(contact.PedalLeft):     {X: -172.5 * math.Cos(crank), Y: 74, Z: -172.5 * math.Sin(crank)},
		at(contact.PedalRight):    {X: 172.5 * math.Cos(crank), Y: -74, Z: 172.5 * math.Sin(crank)},
	}
}

// truth is what a perfect survey of bike A would find.
func truth() contact.Position {
	var p contact.Position
	for l, v := range bikeA() {
		if s, err := contact.ParseSite(string(l)); err == nil {
			p.Set(s, v)
		}
	}
	p.Set(contact.SaddleReference, r3.Vec{X: -208, Z: 706})
	p.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: -1.2})
	p.Set(contact.PedalLeft, r3.Vec{X: 172.5, Y: 74})
	p.Set(contact.PedalRight, r3.Vec{X: 172.5, Y: -74})
	return p
}

// invented makes survey.json: bike A leans 2° to the right and stands on ground
// that slopes 1.5° nose-down; an arm whose axes point anywhere reads each landmark
// three times, 0.4 mm of noise along each axis.
func invented() kit.Doc[survey.Survey] {
	rad := math.Pi / 180
	rng := rand.New(rand.NewPCG(54, 2026))
	arm := r3.NewRotation(131*rad, r3.Unit(r3.Vec{X: 0.4, Y: -0.7, Z: 0.5}))
	stand := func(v r3.Vec) r3.Vec {
		v = r3.Rotate(v, 2*rad, r3.Vec{X: 1})
		return r3.Rotate(v, 1.5*rad, r3.Vec{Y: 1})
	}
	d := kit.Doc[survey.Survey]{Note: "Invented data: no such bike, rider or reading exists.", Value: survey.Survey{
		Sigma: r3.Vec{X: 0.4, Y: 0.4, Z: 0.4}, FrontRadius: 342, RearRadius: 335, RadiusSigma: 1,
		Up: kit.Round(arm.Rotate(r3.Vec{Z: 1}), 5),
	}}
	points := bikeA()
	for range 3 {
		for _, l := range []survey.Landmark{
			survey.BottomBracketLeft, survey.BottomBracketRight, survey.RearAxleLeft, survey.RearAxleRight,
			survey.FrontAxleLeft, survey.FrontAxleRight, survey.SaddleEdgeLeft, survey.SaddleEdgeRight,
			survey.At(contact.SaddleNose), survey.At(contact.SaddleRear), survey.At(contact.BarClamp),
			survey.At(contact.HoodsLeft), survey.At(contact.HoodsRight), survey.At(contact.DropsLeft), survey.At(contact.DropsRight),
			survey.At(contact.PedalLeft), survey.At(contact.PedalRight),
		} {
			seen := r3.Add(arm.Rotate(stand(points[l])), r3.Vec{X: 812, Y: -365, Z: 240})
			noise := r3.Vec{X: rng.NormFloat64(), Y: rng.NormFloat64(), Z: rng.NormFloat64()}
			d.Value.Readings = append(d.Value.Readings, survey.Reading{Landmark: l, At: kit.Round(r3.Add(seen, r3.Scale(0.4, noise)), 1)})
		}
	}
	return d
}

func read[T exchange.Content](t *testing.T, data []byte) T {
	t.Helper()
	v, _, err := exchange.Read[T](bytes.NewReader(data))
	require.NoError(t, err)
	return v
}

func TestSurveyIsAsInvented(t *testing.T) {
	d := invented()
	if os.Getenv("UPDATE_GOLDEN") != "" {
		var err error
		surveyJSON, err = d.JSON()
		require.NoError(t, err)
		require.NoError(t, os.WriteFile("survey.json", surveyJSON, 0o666))
	}
	got := read[survey.Survey](t, surveyJSON)
	// A processor may round the last decimal the other way.
	near := cmp.Comparer(func(a, b float64) bool { return math.Abs(a-b) < 0.11 })
	if diff := cmp.Diff(d.Value, got, near); diff != "" {
		t.Fatal(diff)
	}
}

// Bike A is known: the survey must find it within what it claims.
func TestRecoversBikeA(t *testing.T) {
	fix, err := read[survey.Survey](t, surveyJSON).Solve()
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

func TestPage(t *testing.T) {
	p, err := build("", "", "")
	require.NoError(t, err)
	golden.Page(t, p)
}

// What is printed of a build is what the build does.
func TestPrintedBuildIsTheForwardMap(t *testing.T) {
	frame, shelf := read[fitgeom.Frame](t, frameJSON), read[fitgeom.Shelf](t, shelfJSON)
	fix, err := read[survey.Survey](t, surveyJSON).Solve()
	require.NoError(t, err)
	r, err := fitgeom.Reproduce(fix.Position, frame, shelf, fitgeom.Options{})
	require.NoError(t, err)
	assert.True(t, r.Holds())
	for _, c := range r.Candidates {
		p, err := c.Build.Position()
		require.NoError(t, err)
		for s, off := range p.Sub(c.Position).All() {
			assert.Less(t, r3.Norm(off), 1e-9, s)
		}
		for _, res := range c.Deviations {
			at, _ := p.At(res.Site)
			want, _ := c.Wanted.At(res.Site)
			assert.Less(t, r3.Norm(r3.Sub(r3.Sub(at, want), res.Off)), 1e-9)
		}
	}
}

// A frame far too tall: no build holds, which is an answer.
func TestImpossible(t *testing.T) {
	file := edited(t, frameJSON, `"stack_mm": 556`, `"stack_mm": 640`)
	var b bytes.Buffer
	require.NoError(t, run([]string{"-frame", file}, &b))
	assert.Contains(t, b.String(), "No build holds the position. These come nearest.")
	assert.Contains(t, b.String(), "What would free build 1: cap, stem, bar, levers, aero bar: ")
}

// edited writes a file in which one text is replaced wherever it stands.
func edited(t *testing.T, data []byte, old, new string) string {
	t.Helper()
	require.Contains(t, string(data), old)
	file := filepath.Join(t.TempDir(), "edited.json")
	require.NoError(t, os.WriteFile(file, bytes.ReplaceAll(data, []byte(old), []byte(new)), 0o666))
	return file
}

// metres divides all readings by 1000.
func metres(t *testing.T) string {
	d := kit.Doc[survey.Survey]{Value: read[survey.Survey](t, surveyJSON)}
	for i := range d.Value.Readings {
		d.Value.Readings[i].At = r3.Scale(1e-3, d.Value.Readings[i].At)
	}
	data, err := d.JSON()
	require.NoError(t, err)
	file := filepath.Join(t.TempDir(), "edited.json")
	require.NoError(t, os.WriteFile(file, data, 0o666))
	return file
}

// Each bad input: an error that names file and field, and nothing written.
func TestBadInput(t *testing.T) {
	swap := func(a, b string) string {
		s := strings.NewReplacer(`"`+a+`"`, `"`+b+`"`, `"`+b+`"`, `"`+a+`"`).Replace(string(surveyJSON))
		return edited(t, []byte(s), "{", "{")
	}
	for name, c := range map[string]struct {
		flag, file string
		want       string
		class      error
	}{
		"missing site":    {"-survey", edited(t, surveyJSON, `"hoods_left"`, `"tops_left"`), "target.hoods_left", contact.ErrMissing},
		"missing axle":    {"-survey", edited(t, surveyJSON, `"rear_axle_left"`, `"tops_left"`), "line 11: /readings missing: want at least one reading of rear_axle_left", contact.ErrMissing},
		"swapped hoods":   {"-survey", swap("hoods_left", "hoods_right"), "readings.hoods_left.y", contact.ErrConflict},
		"swapped axle":    {"-survey", swap("front_axle_left", "front_axle_right"), "readings.front_axle_left", contact.ErrConflict},
		"metres":          {"-survey", metres(t), "readings.bottom_bracket, left to right", contact.ErrUnit},
		"head angle 7.3":  {"-frame", edited(t, frameJSON, `"head_angle_deg": 73`, `"head_angle_deg": 7.3`), "line 6: /geometry/head_angle_deg 7.3 degrees", contact.ErrRange},
		"stack in cm":     {"-frame", edited(t, frameJSON, `"stack_mm": 556`, `"stack_mm": 55.6`), "line 6: /geometry/stack_mm", contact.ErrUnit},
		"empty shelf":     {"-shelf", edited(t, []byte(`{"schema":"fitgeom/shelf","version":1,"caps":[],"spacers":[],"stems":[],"handlebars":[],"levers":[],"seatposts":[],"saddles":[],"cranks":[]}`), "[]", "[]"), "line 1: /caps missing: want at least one", contact.ErrMissing},
		"no shelf at all": {"-shelf", edited(t, []byte(`{}`), "{}", "{}"), "line 1: /schema", contact.ErrMissing},
		"unknown field":   {"-shelf", edited(t, shelfJSON, `"stack_mm"`, `"height_mm"`), "line 35: /saddles/0/height_mm", contact.ErrUnknown},
		"malformed":       {"-shelf", edited(t, shelfJSON, `"levers": [`, `"levers": [[`), "line", contact.ErrConflict},
		"a word":          {"-frame", edited(t, frameJSON, `"reach_mm": 382`, `"reach_mm": "382"`), "line 6: /geometry/reach_mm", nil},
	} {
		t.Run(name, func(t *testing.T) {
			var b bytes.Buffer
			err := run([]string{c.flag, c.file}, &b)
			require.Error(t, err)
			assert.Zero(t, b.Len(), "nothing is written")
			assert.Contains(t, err.Error(), c.file+": "+c.want)
			if c.class != nil {
				assert.ErrorIs(t, err, c.class)
			}
		})
	}

	var b bytes.Buffer
	missing := filepath.Join(t.TempDir(), "nowhere.json")
	assert.ErrorContains(t, run([]string{"-frame", missing}, &b), missing)
	assert.ErrorContains(t, run([]string{
		"-frame", edited(t, frameJSON, `"head_angle_deg": 73`, `"head_angle_deg": 7.3`),
		"-shelf", edited(t, shelfJSON, `"angle_deg": -6`, `"angle_deg": -66`),
	}, &b), "/stems/1/angle_deg", "faults of all files together")
	assert.Zero(t, b.Len())
}
