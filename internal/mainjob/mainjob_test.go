package mainjob_test

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/exchange"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/rank"
	"example.com/fitgeom/fitgeom/region"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/invented"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

const (
	golden    = "../../testdata/main_job.txt"
	tolerance = 1e-6 // mm, degrees, or of what a number without a unit says
)

// A log is names and numbers, and words, a line each.
type log struct{ bytes.Buffer }

func (l *log) words(name string, w any) { fmt.Fprintf(l, "%s\t%v\n", name, w) }

func (l *log) number(name string, v float64) { fmt.Fprintf(l, "%s\t%.9f\n", name, v) }

func (l *log) position(name string, p contact.Position) {
	for s, v := range p.All() {
		l.number(name+" "+s.String()+" x", v.X)
		l.number(name+" "+s.String()+" y", v.Y)
		l.number(name+" "+s.String()+" z", v.Z)
	}
	if a, ok := p.Attitude(contact.SaddleReference); ok {
		l.number(name+" tilt", a.Tilt)
	}
}

func (l *log) candidate(t *testing.T, name string, c fitgeom.Candidate) {
	b := c.Build
	l.words(name, strings.Join([]string{b.Frame.Name, b.Cap.Name, b.Stem.Name, b.Handlebar.Name, b.Lever.Name, b.Seatpost.Name, b.Saddle.Name, b.Crank.Name}, ", "))
	l.words(name+" holds", c.Holds())
	l.number(name+" score", c.Score())
	l.words(name+" spacers", c.Spacers)
	l.words(name+" flipped", b.Settings.Flipped)
	l.number(name+" roll", b.Settings.BarRotation)
	l.number(name+" post", b.Settings.SeatpostExtension)
	l.number(name+" rails", b.Settings.RailClamp)
	for _, r := range c.Deviations {
		l.number(name+" off "+r.Site.String()+" x", r.Off.X)
		l.number(name+" off "+r.Site.String()+" z", r.Off.Z)
	}
	for _, m := range invented.Margins(b) {
		l.number(name+" room: "+m.Limit.String(), m.Room)
	}
	cautions, err := b.Cautions()
	require.NoError(t, err)
	l.words(name+" cautions", cautions)
}

func read[T exchange.Content](t *testing.T, name string) T {
	f, err := os.Open("../../examples/" + name)
	require.NoError(t, err)
	defer f.Close()
	v, _, err := exchange.Read[T](t.Context(), f)
	require.NoError(t, err)
	return v
}

func TestMainJob(t *testing.T) {
	var l log
	fix, err := read[survey.Survey](t, "reproduce/survey.json").Solve()
	require.NoError(t, err)
	l.position("survey", fix.Position)
	for s := range fix.Position.All() {
		if sigma, ok := fix.Covariance.Sigma(s); ok {
			l.number("survey sigma "+s.String(), sigma.Z)
		}
	}
	for _, f := range fix.Findings {
		l.words("survey finding", f)
	}

	shelf, frame := read[fitgeom.Shelf](t, "reproduce/shelf.json"), read[fitgeom.Frame](t, "reproduce/frame.json")
	everyPart := part.Caps | part.Stems | part.Handlebars | part.Levers | part.Seatposts | part.Saddles | part.Cranks
	for _, c := range []struct {
		name string
		p    solve.Problem
	}{
		{"read", solve.Problem{Target: fix.Position, Frame: frame, Shelf: shelf}},
		{"invented", solve.Problem{Target: invented.Position(invented.Build()), Frame: invented.Road54(), Shelf: invented.Shelf()}},
		{"too low", solve.Problem{Target: low(), Frame: invented.Road54(), Shelf: invented.Shelf()}},
	} {
		c.p.Limit, c.p.Vary = 12, everyPart
		result, err := c.p.Solve(t.Context())
		require.NoError(t, err)
		l.words(c.name+" combinations", result.Combinations)
		for i, k := range result.Candidates {
			l.candidate(t, fmt.Sprintf("%s %d", c.name, i+1), k)
		}
		obstacles, err := c.p.Explain(t.Context(), result.Candidates[0])
		require.NoError(t, err)
		for _, o := range obstacles {
			for _, k := range slices.Concat(o.Alone, o.Together) {
				l.number(c.name+" obstacle: "+o.Parts.String()+": "+k.Limit.String(), k.By)
			}
		}
		sheet, err := convert.NewSheet(invented.Position(result.Candidates[0].Build), convert.Basis{SeatAngle: 73.5, BottomBracketHeight: 270},
			convert.SaddleHeight, convert.SaddleHeightSeatTube, convert.SaddleSetback, convert.SaddleTilt, convert.BarDropHoods, convert.ReachHoods, convert.HoodsWidth, convert.BarStack, convert.BarReach)
		require.NoError(t, err)
		for _, r := range sheet.Entries {
			l.number(c.name+" "+r.Measure.String(), r.Value)
		}
	}

	f, err := os.Open("../../examples/choose/catalogue.csv")
	require.NoError(t, err)
	defer f.Close()
	sizes, err := exchange.ReadCatalogue(t.Context(), f)
	require.NoError(t, err)
	index, err := rank.NewIndex(t.Context(), sizes)
	require.NoError(t, err)
	ranked, err := index.Rank(t.Context(), solve.Problem{Target: invented.Position(invented.Build()), Shelf: invented.Shelf(), Limit: 20})
	require.NoError(t, err)
	for i, c := range ranked.Choices {
		l.words(fmt.Sprintf("rank %d", i+1), c.Size.Family+" "+c.Size.Label)
		l.number(fmt.Sprintf("rank %d score", i+1), c.Best.Score())
	}
	head, err := region.FrameNow(invented.Position(invented.Build()), 73, region.FrontEnd{Up: 25, Stem: invented.Shelf().Stems[0]})
	require.NoError(t, err)
	l.number("frame now reach", head.Reach)
	l.number("frame now stack", head.Stack)

	done, err := read[chart.Chart](t, "translate/chart.json").Solve()
	require.NoError(t, err)
	for _, d := range done.Values {
		l.number("chart "+d.Dimension.String(), d.Value)
		l.number("chart sigma "+d.Dimension.String(), d.Sigma)
	}
	for _, s := range done.Suspects {
		l.words("chart suspect", fmt.Sprint(s.Reading, s.Slips))
		l.number("chart suspect against", s.Against)
	}

	body, p := invented.Rider()
	after := p
	after.Set(contact.SaddleReference, r3.Vec{X: -200, Z: 712})
	after.Set(contact.HoodsLeft, r3.Vec{X: 535, Y: 200, Z: 670})
	changes, err := body.Compare(p, after)
	require.NoError(t, err)
	for _, c := range changes {
		l.number(fmt.Sprint(c.Side, " ", c.Variable, " least"), c.After.Least-c.Before.Least)
		l.number(fmt.Sprint(c.Side, " ", c.Variable, " most"), c.After.Most-c.Before.Most)
	}
	by, _, err := body.RaiseSaddle(p, contact.Left, 35, 73)
	require.NoError(t, err)
	l.number("raise for 35 degrees", by)
	compare(t, l.String())
}

// low is a position that no build of the invented shelf holds.
func low() contact.Position {
	p := invented.Position(invented.Build())
	for _, s := range []contact.Site{contact.HoodsLeft, contact.HoodsRight} {
		at, _ := p.At(s)
		p.Set(s, r3.Add(at, r3.Vec{X: 15, Z: -60}))
	}
	return p
}

// compare asks for the golden file's names and words, in their order, and for its
// numbers within the tolerance.
func compare(t *testing.T, got string) {
	if os.Getenv("UPDATE_GOLDEN") != "" {
		require.NoError(t, os.WriteFile(golden, []byte(got), 0o666))
		return
	}
	b, err := os.ReadFile(golden)
	require.NoError(t, err)
	want, have := strings.Split(string(b), "\n"), strings.Split(got, "\n")
	require.Len(t, have, len(want))
	worst := 0.0
	for i := range want {
		wantName, wantText, _ := strings.Cut(want[i], "\t")
		name, text, _ := strings.Cut(have[i], "\t")
		require.Equal(t, wantName, name, "line %d", i+1)
		w, errW := strconv.ParseFloat(wantText, 64)
		v, errV := strconv.ParseFloat(text, 64)
		if errW != nil || errV != nil {
			require.Equal(t, wantText, text, "%s, line %d", name, i+1)
			continue
		}
		worst = max(worst, math.Abs(v-w))
		require.InDelta(t, w, v, tolerance, "%s, line %d", name, i+1)
	}
	t.Logf("main job: %d lines, worst %.0e", len(want), worst)
}
