// Survey compares two sessions of the same bike: what moved, and what did not.
//
//	go run ./examples/survey [-before FILE] [-after FILE] [-coverage 0.99]
//
// Without flags it reads the two surveys beside it. All data in them are
// invented: no such bike, rider or reading exists.
package main

import (
	"bytes"
	_ "embed"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/examples/internal/kit"
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
	flags := flag.NewFlagSet("survey", flag.ContinueOnError)
	beforeFile := flags.String("before", "", "first survey, JSON")
	afterFile := flags.String("after", "", "second survey, JSON")
	coverage := flags.Float64("coverage", 0.99, "how sure a difference must be to count as real, below 1")
	if err := flags.Parse(args); err != nil {
		return err
	}
	var docs [2]kit.Doc[survey.Survey]
	var fixes [2]survey.Fix
	solve := func(i int) func() error {
		return func() (err error) {
			fixes[i], err = docs[i].Value.Solve()
			return err
		}
	}
	if err := errors.Join(
		kit.Load(*beforeFile, "before.json", beforeJSON, &docs[0], solve(0)),
		kit.Load(*afterFile, "after.json", afterJSON, &docs[1], solve(1)),
	); err != nil {
		return err
	}
	same, err := survey.Register(docs[0].Value, docs[1].Value)
	if err != nil {
		return err
	}
	moves, turns, err := survey.Compare(fixes[0], fixes[1], *coverage)
	if err != nil {
		return err
	}

	var b bytes.Buffer
	for i, name := range []string{"before", "after"} {
		session(&b, fmt.Sprintf("%d. The session %s", i+1, name), docs[i], fixes[i])
	}
	frame(&b, same)
	differences(&b, moves, turns, *coverage)
	fmt.Fprint(&b, "5. Cautions\n\n"+
		"  - A difference that is not real is not proof that nothing moved: it is less than these readings can tell.\n"+
		"  - Of many sites that did not move, a few will seem to have. Measure again what surprises you.\n"+
		"  - Pain, numbness or an injury is a matter for a clinician. A qualified mechanic checks the bike after every change.\n")
	_, err = b.WriteTo(out)
	return err
}

func session(out io.Writer, title string, doc kit.Doc[survey.Survey], fix survey.Fix) {
	fmt.Fprintf(out, "%s\n\n", title)
	if doc.Note != "" {
		fmt.Fprintf(out, "  %s\n", doc.Note)
	}
	if s, ok := fix.Stands(); ok {
		fmt.Fprintf(out, "  lean %s° ± %s° (positive: right), nose %s° ± %s° (positive: up)\n",
			kit.Signed(s.Lean, 1), kit.Fixed(2*s.LeanSigma, 1), kit.Signed(s.NoseUp, 1), kit.Fixed(2*s.NoseUpSigma, 1))
	}
	for _, f := range fix.Findings {
		fmt.Fprintf(out, "  finding: %v\n", f)
	}
	worst := survey.Residual{}
	for _, r := range fix.Residuals[:6] { // axles and bottom bracket come first
		if r.Off.X*r.Off.X+r.Off.Y*r.Off.Y+r.Off.Z*r.Off.Z > worst.Off.X*worst.Off.X+worst.Off.Y*worst.Off.Y+worst.Off.Z*worst.Off.Z {
			worst = r
		}
	}
	fmt.Fprintf(out, "  furthest from its mirror: %s, by %s forward, %s left, %s up, mm\n\n",
		worst.Landmark, kit.Signed(worst.Off.X, 1), kit.Signed(worst.Off.Y, 1), kit.Signed(worst.Off.Z, 1))
}

func frame(out io.Writer, r survey.Registration) {
	fmt.Fprint(out, "3. The frame, one session laid on the other\n\n")
	rows := [][]string{{"landmark", "off by, mm: x", "y", "z", "(axes of the second instrument)"}}
	for _, k := range r.Residuals {
		rows = append(rows, []string{string(k.Landmark), kit.Signed(k.Off.X, 1), kit.Signed(k.Off.Y, 1), kit.Signed(k.Off.Z, 1)})
	}
	kit.Table(out, rows...)
	for _, l := range r.Moved {
		fmt.Fprintf(out, "  does not fit the rest: %s\n", l)
	}
	fmt.Fprintln(out)
}

func differences(out io.Writer, moves []contact.Move, turns []contact.Turn, coverage float64) {
	fmt.Fprintf(out, "4. What moved on the bike, at a coverage of %v\n\n", coverage)
	rows := [][]string{{"site", "forward", "±", "left", "±", "up", "±", "distance", "by chance", "verdict"}}
	verdict := map[bool]string{true: "moved", false: "within measuring error"}
	for _, m := range moves {
		distance := "–" // first order does not tell it so near to zero
		if d, u, ok := m.Distance(); ok {
			distance = kit.Fixed(d, 1) + " ± " + kit.Fixed(2*u, 1)
		}
		rows = append(rows, []string{
			m.Site.String(), kit.Signed(m.By.X, 1), kit.Fixed(2*m.Sigma.X, 1), kit.Signed(m.By.Y, 1), kit.Fixed(2*m.Sigma.Y, 1),
			kit.Signed(m.By.Z, 1), kit.Fixed(2*m.Sigma.Z, 1), distance, chance(m.Chance), verdict[m.Real],
		})
	}
	kit.Table(out, rows...)
	for _, t := range turns {
		fmt.Fprintf(out, "  tilt of the saddle: %s° ± %s°, by chance %s: %s\n", kit.Signed(t.By, 1), kit.Fixed(2*t.Sigma, 1), chance(t.Chance), verdict[t.Real])
	}
	fmt.Fprint(out, "\n  Lengths in mm; ± is twice the standard uncertainty, about 95 %.\n\n")
}

func chance(p float64) string {
	if p < 0.001 {
		return "< 0.1 %"
	}
	return kit.Fixed(100*p, 1) + " %"
}
