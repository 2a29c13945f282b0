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
	"io"
	"os"

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

func main() {
	if err := run(os.Args[1:], os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

// run does the whole job and writes only when all of it went well.
func run(args []string, out io.Writer) error {
	flags, dir := page.Flags("survey")
	beforeFile := flags.String("before", "", "first survey, JSON")
	afterFile := flags.String("after", "", "second survey, JSON")
	coverage := flags.Float64("coverage", 0.99, "how sure a difference must be to count as real, below 1")
	if err := flags.Parse(args); err != nil {
		return err
	}
	p, err := build(*beforeFile, *afterFile, *coverage)
	if err != nil {
		return err
	}
	return p.Write(out, *dir)
}

func build(beforeFile, afterFile string, coverage float64) (*page.Page, error) {
	var docs [2]kit.Doc[survey.Survey]
	var fixes [2]survey.Fix
	solve := func(i int) func() error {
		return func() (err error) {
			fixes[i], err = docs[i].Value.Solve()
			return err
		}
	}
	if err := errors.Join(
		kit.Load(beforeFile, "before.json", beforeJSON, &docs[0], solve(0)),
		kit.Load(afterFile, "after.json", afterJSON, &docs[1], solve(1)),
	); err != nil {
		return nil, err
	}
	same, err := survey.Register(docs[0].Value, docs[1].Value)
	if err != nil {
		return nil, err
	}
	moves, turns, err := survey.Compare(fixes[0], fixes[1], coverage)
	if err != nil {
		return nil, err
	}

	p := page.New("survey", "What moved between two sessions")
	p.P("A bike is measured twice and the numbers differ. Some of that is what somebody moved, some is the instrument. `survey.Survey.Solve` carries " +
		"the errors of the readings through to every contact point, and `survey.Compare` asks of each difference how often errors alone would make one like it. " +
		"The bike need not stand in the same way, nor the instrument: axles and bottom bracket make the axes.")
	for i, name := range []string{"before", "after"} {
		session(p, fmt.Sprintf("%d. The session %s", i+1, name), docs[i], fixes[i])
	}
	frame(p, same)
	differences(p, docs[0].Value, fixes, moves, turns, coverage)
	p.H("5. Cautions")
	p.List(
		"A difference that is not real is not proof that nothing moved: it is less than these readings can tell.",
		"Of many sites that did not move, a few will seem to have. Measure again what surprises you.",
		"Pain, numbness or an injury is a matter for a clinician. A qualified mechanic checks the bike after every change.",
	)
	return p, nil
}

func session(p *page.Page, title string, doc kit.Doc[survey.Survey], fix survey.Fix) {
	p.H("%s", title)
	if doc.Note != "" {
		p.P("%s", doc.Note)
	}
	var all []string
	if s, ok := fix.Standing(); ok {
		all = append(all, fmt.Sprintf("lean %s° ± %s° (positive: right), nose %s° ± %s° (positive: up)",
			kit.Signed(s.Lean, 1), kit.Fixed(2*s.LeanSigma, 1), kit.Signed(s.NoseUp, 1), kit.Fixed(2*s.NoseUpSigma, 1)))
	}
	for _, f := range fix.Findings {
		all = append(all, fmt.Sprintf("finding: %v", f))
	}
	worst := survey.Residual{}
	for _, r := range fix.Residuals[:6] { // axles and bottom bracket come first
		if r3.Norm2(r.Off) > r3.Norm2(worst.Off) {
			worst = r
		}
	}
	p.List(append(all, fmt.Sprintf("furthest from its mirror: %s, by %s forward, %s left, %s up, mm",
		worst.Landmark, kit.Signed(worst.Off.X, 1), kit.Signed(worst.Off.Y, 1), kit.Signed(worst.Off.Z, 1)))...)
}

func frame(p *page.Page, r survey.Registration) {
	p.H("3. The frame, one session laid on the other")
	p.P("Before anything is compared: is it the same bike, and is its frame as it was? What is left after one session's landmarks are carried onto the other's should be measuring error.")
	rows := [][]string{{"landmark", "off by, mm: x", "y", "z"}}
	for _, k := range r.Residuals {
		rows = append(rows, []string{string(k.Landmark), kit.Signed(k.Off.X, 1), kit.Signed(k.Off.Y, 1), kit.Signed(k.Off.Z, 1)})
	}
	p.Table(rows...)
	p.P("In the axes of the second instrument.")
	var moved []string
	for _, l := range r.Moved {
		moved = append(moved, "does not fit the rest: "+string(l))
	}
	p.List(moved...)
}

func differences(p *page.Page, first survey.Survey, fixes [2]survey.Fix, moves []contact.Move, turns []contact.Turn, coverage float64) {
	p.H("4. What moved on the bike, at a coverage of %v", coverage)
	p.Figure(draw.Moves("survey-moves", "What moved, and how sure that is", first, fixes[0], fixes[1], moves, coverage))
	p.Table(kit.MoveRows(moves)...)
	for _, t := range turns {
		p.P("Tilt of the saddle: %s° ± %s°, by chance %s: %s.", kit.Signed(t.By, 1), kit.Fixed(2*t.Sigma, 1), kit.Chance(t.Chance), kit.Verdict(t.Real))
	}
	p.P("Lengths in mm; ± is twice the standard uncertainty, about 95 %%.")
}
