package main

import (
	"bytes"
	"math"
	"math/rand/v2"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/contact/survey/photo"
	"example.com/fitgeom/examples/internal/golden"
	"example.com/fitgeom/examples/internal/kit"
	"example.com/fitgeom/testdata/oracle/photographs"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

const note = "Invented data: no such bike, photograph or reading exists."

// marked is what a person marked to 1.5 pixels, of a camera whose equivalent focal length is
// known.
func marked(g *photographs.Session, count int) photo.Survey {
	s := photo.Survey{
		Cameras:     []photo.Camera{{Width: g.Camera.Width, Height: g.Camera.Height, Equivalent: g.Camera.Equivalent}},
		Sigma:       1.5,
		FrontRadius: tenth(g.FrontRadius), RearRadius: tenth(g.RearRadius), RadiusSigma: 1,
		FrontCircle: tenth(g.Circle), RearCircle: tenth(g.Circle), CircleSigma: 0.7, Crank: tenth(g.Crank), CrankSigma: 0.5,
	}
	names := []string{"from the right", "from the left", "from the left in front", "from the right in front", "from the left behind"}
	for i, marks := range g.Photographs[:count] {
		p := photo.Photograph{Name: names[i]}
		for _, m := range marks {
			p.Marks = append(p.Marks, photo.Mark{Landmark: survey.Landmark(m.Name), X: m.X, Y: m.Y})
		}
		s.Photographs = append(s.Photographs, p)
	}
	return s
}

func tenth(v float64) float64 { return math.Round(10*v) / 10 }

// truth is where the contact sites are; those of pedals with cranks level.
func truth(g *photographs.Session) contact.Position {
	var p contact.Position
	at := func(name string) r3.Vec { v := g.Truth[name]; return r3.Vec{X: v[0], Y: v[1], Z: v[2]} }
	for _, s := range []contact.Site{
		contact.SaddleNose, contact.SaddleRear, contact.HoodsLeft, contact.HoodsRight, contact.DropsLeft, contact.DropsRight, contact.TopsLeft, contact.TopsRight,
	} {
		p.Set(s, kit.Round(at(s.String()), 1))
	}
	p.Set(contact.SaddleReference, kit.Round(r3.Scale(0.5, r3.Add(at("saddle_edge_left"), at("saddle_edge_right"))), 1))
	for _, s := range []contact.Site{contact.PedalLeft, contact.PedalRight} {
		v := at(s.String())
		p.Set(s, kit.Round(r3.Vec{X: math.Hypot(v.X, v.Z), Y: v.Y}, 1))
	}
	return p
}

// taped is the same bike with plumb line and rule: along and up to 1.5 mm, across to 2 mm.
func taped(p contact.Position) survey.TapeSurvey {
	rng := rand.New(rand.NewPCG(5, 26))
	var t survey.TapeSurvey
	read := func(kind survey.TapeKind, s contact.Site, v, sigma float64) {
		t.Readings = append(t.Readings, survey.TapeReading{
			Kind: kind, From: survey.BottomBracket, To: survey.At(s), Value: math.Round(2*(v+sigma*rng.NormFloat64())) / 2, Sigma: sigma,
		})
	}
	for s, at := range p.All() {
		read(survey.Horizontal, s, at.X, 1.5)
		if s.Group() != contact.OnPedals {
			read(survey.Vertical, s, at.Z, 1.5)
		}
		read(survey.Lateral, s, at.Y, 2)
	}
	return t
}

func session() *photographs.Session {
	return photographs.New(7, photographs.Options{Kind: "road", Count: 5, Sigma: 1.5})
}

func TestDocumentsAreAsInvented(t *testing.T) {
	g := session()
	golden.Document(t, "one.json", &oneJSON, marked(g, 1), note)
	golden.Document(t, "five.json", &fiveJSON, marked(g, 5), note)
	golden.Document(t, "truth.json", &truthJSON, truth(g), note)
	golden.Document(t, "tape.json", &tapeJSON, taped(truth(g)), note)
}

func TestPage(t *testing.T) { golden.Page(t, example()) }

// Photographs and tape are of one bike: no difference between them is real, and none of
// their numbers lies further from the truth than three standard uncertainties and rounding.
func TestAgree(t *testing.T) {
	g := session()
	five, err := marked(g, 5).Solve(t.Context())
	require.NoError(t, err)
	tape, err := taped(truth(g)).Solve()
	require.NoError(t, err)
	moves, _, err := survey.Compare(tape, five.Fix, 0.99)
	require.NoError(t, err)
	require.NotEmpty(t, moves)
	for _, m := range moves {
		assert.False(t, m.Real, "%v: %v ± %v", m.Site, m.By, m.Sigma)
	}
	for s, at := range truth(g).All() {
		for axis, v := range [3]float64{at.X, at.Y, at.Z} {
			found, u, ok := kit.Coordinate(five.Fix, s, axis)
			require.True(t, ok, s)
			assert.InDelta(t, v, found, 3*u+0.1, "%v %d", s, axis)
		}
	}
}

func TestBadInput(t *testing.T) {
	line := marked(session(), 2)
	for i := range line.Photographs[1].Marks {
		line.Photographs[1].Marks[i].Y = line.Photographs[1].Marks[i].X / 4
	}
	file := golden.PutDocument(t, line)
	_ = golden.Refused(t, example(), file+": photographs[1].marks on one line", "-five", file, "-one", "one.json")
	_ = golden.Refused(t, example(), `"bell": want a landmark such as`, "-one", golden.Edited(t, oneJSON, "saddle_nose", "bell"))
}

// With photographs of one's own the invented tape and truth are left out.
func TestOwnPhotographs(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, example().Run([]string{"-one", golden.Put(t, oneJSON), "-five", golden.Put(t, fiveJSON)}, &b))
	assert.NotContains(t, b.String(), "truth")
	assert.NotContains(t, b.String(), "tape survey of")
	assert.NotContains(t, b.String(), "beside the program")
}

func TestBadFiles(t *testing.T) { golden.BadFiles(t, example) }
