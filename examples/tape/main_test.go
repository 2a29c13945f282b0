package main

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/examples/internal/golden"
	"example.com/fitgeom/examples/internal/kit"
	"example.com/fitgeom/testdata/oracle/photographs"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

const note = "Invented data: no such bike or reading exists."

// bike is drawn by a program that imports nothing of this module.
func bike() *photographs.Session {
	return photographs.New(41, photographs.Options{Kind: "road", Count: 1, Sigma: 1})
}

// truth is where the contact sites are; those of pedals with cranks level.
func truth() contact.Position {
	var p contact.Position
	for _, s := range contact.Sites() {
		if v, ok := bike().Truth[s.String()]; ok {
			p.Set(s, kit.Round(r3.Vec{X: v[0], Y: v[1], Z: v[2]}, 1))
		}
	}
	left, right := bike().Truth["saddle_edge_left"], bike().Truth["saddle_edge_right"]
	p.Set(contact.SaddleReference, kit.Round(r3.Vec{X: (left[0] + right[0]) / 2, Y: (left[1] + right[1]) / 2, Z: (left[2] + right[2]) / 2}, 1))
	for _, s := range []contact.Site{contact.PedalLeft, contact.PedalRight} {
		v := bike().Truth[s.String()]
		p.Set(s, kit.Round(r3.Vec{X: math.Hypot(v[0], v[2]), Y: v[1]}, 1))
	}
	return p
}

// taped is what two people read of it: rule and tape to 1.5 mm, plumb lines to 1.5 mm, and the
// one through the bottom bracket hangs beside it by 1 mm or so. Of the drops they read one
// height and nothing else.
func taped() survey.TapeSurvey {
	const (
		sigma, across, plumb = 1.5, 2, 1.
		line                 = "plumb line through the bottom bracket"
	)
	rng := rand.New(rand.NewPCG(3, 27))
	all := bike().Truth
	ground := all["rear_ground"][2]
	at := func(l survey.Landmark) r3.Vec {
		if l == survey.BottomBracket {
			return r3.Vec{}
		}
		if l == survey.Ground {
			return r3.Vec{Z: ground}
		}
		if s, err := contact.ParseSite(string(l)); err == nil {
			v, _ := truth().At(s)
			return v
		}
		v := all[string(l)]
		return r3.Vec{X: v[0], Y: v[1], Z: v[2]}
	}
	hung := plumb * rng.NormFloat64()
	var t survey.TapeSurvey
	read := func(kind survey.TapeKind, from, to survey.Landmark) {
		d := r3.Sub(at(to), at(from))
		r := survey.TapeReading{Kind: kind, From: from, To: to, Sigma: sigma}
		switch kind {
		case survey.Horizontal:
			r.Value = d.X
			if from == survey.BottomBracket {
				r.Value, r.Together, r.Common = r.Value+hung, line, plumb
			}
		case survey.Vertical:
			r.Value = d.Z
		case survey.Lateral:
			r.Value, r.Sigma = d.Y, across
		default:
			r.Value = r3.Norm(d)
		}
		r.Value = math.Round(2*(r.Value+r.Sigma*rng.NormFloat64())) / 2
		t.Readings = append(t.Readings, r)
	}
	site := survey.At
	read(survey.Vertical, survey.Ground, survey.BottomBracket)
	read(survey.Direct, survey.BottomBracket, site(contact.SaddleReference))
	read(survey.Vertical, survey.Ground, site(contact.SaddleReference))
	read(survey.Horizontal, survey.BottomBracket, site(contact.SaddleNose))
	read(survey.Vertical, survey.Ground, site(contact.SaddleNose))
	read(survey.Direct, site(contact.SaddleNose), site(contact.SaddleRear))
	for _, s := range []contact.Site{contact.HoodsLeft, contact.HoodsRight} {
		read(survey.Vertical, survey.Ground, site(s))
		read(survey.Direct, site(contact.SaddleNose), site(s))
	}
	read(survey.Horizontal, survey.BottomBracket, site(contact.HoodsRight))
	read(survey.Lateral, site(contact.HoodsRight), site(contact.HoodsLeft))
	read(survey.Vertical, survey.Ground, site(contact.DropsRight))
	for _, s := range []contact.Site{contact.PedalLeft, contact.PedalRight} {
		read(survey.Horizontal, survey.BottomBracket, site(s))
	}
	read(survey.Lateral, site(contact.PedalRight), site(contact.PedalLeft))
	for _, l := range []survey.Landmark{survey.RearAxleRight, survey.FrontAxleRight, survey.HeadTubeBottomRight, survey.HeadTubeTopRight} {
		read(survey.Horizontal, survey.BottomBracket, l)
		read(survey.Vertical, survey.Ground, l)
	}
	return t
}

func TestDocumentsAreAsInvented(t *testing.T) {
	golden.Document(t, "tape.json", &tapeJSON, taped(), note)
	golden.Document(t, "truth.json", &truthJSON, truth(), note)
}

func TestPage(t *testing.T) { golden.Page(t, example()) }

// The readings tell all but what nobody read, and nothing further from the truth than three
// standard uncertainties and rounding.
func TestRecovered(t *testing.T) {
	fix, err := taped().Solve()
	require.NoError(t, err)
	for s := range fix.Position.All() {
		want, _ := truth().At(s)
		for axis, v := range [3]float64{want.X, want.Y, want.Z} {
			found, u, ok := kit.Coordinate(fix, s, axis)
			require.True(t, ok, s)
			assert.InDelta(t, v, found, 3*u+0.1, "%v %d", s, axis)
		}
	}
	require.NotEmpty(t, fix.Free)
	for _, f := range fix.Free {
		for _, c := range f.Coordinates {
			assert.Contains(t, string(c.Place), "drops")
		}
	}
}

// What one more reading is said to leave is what it leaves when it is read.
func TestForecast(t *testing.T) {
	var in input
	in.tape.Value = taped()
	var err error
	in.fix, err = in.tape.Value.Solve()
	require.NoError(t, err)
	before := spread(in.fix)
	more := in.candidates()
	require.Greater(t, len(more), 20)
	for _, r := range more[:5] {
		r.Value += 1.2 // it never reads quite what was expected
		with := taped()
		with.Readings = append(with.Readings, r)
		fix, err := with.Solve()
		require.NoError(t, err)
		r.Value -= 1.2
		expected := taped()
		expected.Readings = append(expected.Readings, r)
		forecast, err := expected.Solve()
		require.NoError(t, err)
		assert.InEpsilon(t, spread(forecast).left, spread(fix).left, 0.02, r)
		assert.LessOrEqual(t, spread(fix).left, before.left*1.001, r)
	}
}

// With a survey of one's own the invented truth is left out.
func TestOwnSurvey(t *testing.T) {
	e := example()
	require.NoError(t, e.Flags.Parse([]string{"-tape", golden.Put(t, tapeJSON)}))
	p, err := e.Page()
	require.NoError(t, err)
	assert.NotContains(t, p.Markdown(), "truth")
}

func TestBadInput(t *testing.T) {
	_ = golden.Refused(t, example(), "want agreement with the other readings", "-tape", golden.Edited(t, tapeJSON, `"value_mm": 393`, `"value_mm": 939`))
	_ = golden.Refused(t, example(), `"bell"`, "-tape", golden.Edited(t, tapeJSON, `"saddle_nose"`, `"bell"`))
}

func TestBadFiles(t *testing.T) { golden.BadFiles(t, example) }
