// Survey compares two sessions of the same bike: what moved, and what did not.
//
//	go run ./examples/survey [-before FILE] [-after FILE] [-coverage 0.99] [-o DIR]
//
// It prints a page in Markdown; with -o it writes DIR/survey.html and the figures.
// Without flags it reads the two surveys beside it. All data in them are
// invented: no such bike, rider or reading exists.
package main

import (
	_ "embed"
	"errors"
	"fmt"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/examples/internal/draw"
	"example.com/fitgeom/examples/internal/kit"
	"example.com/fitgeom/examples/internal/page"
	"gonum.org/v1/gonum/spatial/r3"
)

var (
	//go:embed before.json
	beforeJSON []byte
	//go:embed after.json
	afterJSON []byte
)

func main() { example().Main() }

// input is what the program reads.
type input struct {
	docs     [2]kit.Doc[survey.Survey]
	fixes    [2]survey.Fix // before and after
	coverage float64
}

func example() *kit.Example {
	var in input
	e := kit.New("survey", in.page)
	kit.Solved(e, &in.docs[0], &in.fixes[0], "before", "first survey", beforeJSON)
	kit.Solved(e, &in.docs[1], &in.fixes[1], "after", "second survey", afterJSON)
	e.Together("before", "after")
	e.Number(&in.coverage, "coverage", 0.99, 0.5, 0.9999, "", "how sure a difference must be to count as real, below 1")
	return e
}

func (in *input) page() (*page.Page, error) {
	both := func(string) string { return in.docs[0].File + " beside " + in.docs[1].File }
	same, err := survey.Register(in.docs[0].Value, in.docs[1].Value)
	if err != nil {
		return nil, kit.Name(err, both)
	}
	moves, turns, err := survey.Compare(in.fixes[0], in.fixes[1], in.coverage)
	if err != nil {
		return nil, kit.Name(err, both)
	}

	p := page.New("survey", "What moved between two sessions")
	p.P("A bike is measured twice and the numbers differ. Some of the difference is what somebody moved, some is the instrument. This page carries " +
		"the errors of the readings through to every contact point, and asks of each difference how often errors alone would cause one like it. " +
		"Neither the bike nor the instrument needs to stand as it did before: axles and bottom bracket define the axes.")
	for i, name := range []string{"before", "after"} {
		session(p, fmt.Sprintf("%d. The session %s", i+1, name), in.docs[i], in.fixes[i])
	}
	frame(p, same)
	in.differences(p, moves, turns)
	p.H("5. Cautions")
	p.List(
		"A difference that is not real does not prove that nothing moved. It is less than these readings can tell.",
		"Of many sites that did not move, a few will seem to have moved. Measure again what surprises you.",
		"Pain, numbness or an injury is a matter for a clinician. A qualified mechanic checks the bike after every change.",
	)
	p.How("`Survey.Solve` of `contact/survey` solves a session, and `survey.Compare` compares two.")
	return p, errors.Join(kit.Give(p, "position", "the position after, which -target of every page that asks for a bike reads", in.fixes[1].Position),
		kit.Give(p, "fix", "the same with its uncertainty and what the survey found", in.fixes[1]))
}

// session says how the bike stood and what the readings should make one mind.
func session(p *page.Page, title string, doc kit.Doc[survey.Survey], fix survey.Fix) {
	p.H("%s", title)
	if doc.Note != "" {
		p.P("%s", doc.Note)
	}
	var all []string
	if s, ok := fix.Standing(); ok {
		all = append(all, fmt.Sprintf("the bike leaned by %s (positive: to the right) and stood nose-up by %s",
			kit.Degrees(s.Lean, s.LeanSigma), kit.Degrees(s.NoseUp, s.NoseUpSigma)))
	}
	for _, f := range fix.Findings {
		all = append(all, "finding: "+draw.Words(f))
	}
	for _, f := range fix.Position.Findings() {
		all = append(all, "finding: "+f.String())
	}
	worst := survey.Residual{}
	for _, r := range fix.Residuals[:6] { // axles and bottom bracket come first
		if r3.Norm2(r.Off) > r3.Norm2(worst.Off) {
			worst = r
		}
	}
	p.List(append(all, fmt.Sprintf("of axles and bottom bracket, furthest from mirroring its partner: %s, by %s mm forward, %s mm left, %s mm up",
		name(worst.Landmark), kit.Signed(worst.Off.X, 1), kit.Signed(worst.Off.Y, 1), kit.Signed(worst.Off.Z, 1)))...)
}

// frame says whether the frame is as it was.
func frame(p *page.Page, r survey.Registration) {
	p.H("3. The frame, one session laid on the other")
	p.P("Is it the same bike, and is its frame as it was? That comes before any comparison. The landmarks of one session are carried onto those of the other. What is left between them should be measuring error.")
	rows := [][]string{{"landmark", "off by, mm: x", "y", "z"}}
	for _, k := range r.Residuals {
		rows = append(rows, []string{name(k.Landmark), kit.Signed(k.Off.X, 1), kit.Signed(k.Off.Y, 1), kit.Signed(k.Off.Z, 1)})
	}
	p.Table(rows...)
	p.P("The axes x, y and z are those of the second instrument.")
	if len(r.Moved) == 0 {
		return
	}
	p.P("These do not fit the rest and were left out. A front axle does not fit if the wheel stood turned in one of the sessions.")
	var moved []string
	for _, l := range r.Moved {
		moved = append(moved, name(l))
	}
	p.List(moved...)
}

// name is a landmark's name in words.
func name(l survey.Landmark) string { return strings.ReplaceAll(string(l), "_", " ") }

// differences says what moved on the bike.
func (in *input) differences(p *page.Page, moves []contact.Move, turns []contact.Turn) {
	p.H("4. What moved on the bike, at a coverage of %v", in.coverage)
	p.Figure(draw.Moves("survey-moves", "What moved, and how sure that is", draw.Sessions{
		Survey: in.docs[0].Value, Before: in.fixes[0], After: in.fixes[1], Moves: moves, Coverage: in.coverage,
	}))
	p.Table(kit.MoveRows(moves)...)
	kit.Turns(p, turns)
	p.P("Lengths are in mm; ± is twice the standard uncertainty, about 95 %. By chance: how often measuring errors alone would cause such a difference.")
}
