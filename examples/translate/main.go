// Translate makes people with different tapes and habits understand one another:
// it takes a set-up sheet, finds the position it stands for, and writes that in
// three habits; then it checks a frame's chart.
//
//	go run ./examples/translate [-sheet FILE] [-chart FILE]
//
// Without flags it reads the files beside it. All data in them are invented: no
// such rider or frame exists, and one number of the chart is wrong on purpose.
package main

import (
	"bytes"
	_ "embed"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"

	"example.com/fitgeom/convert"
	"example.com/fitgeom/examples/internal/kit"
	"example.com/fitgeom/fitgeom/exchange"
)

var (
	//go:embed sheet.json
	sheetJSON []byte
	//go:embed chart.json
	chartJSON []byte
)

func main() {
	if err := run(os.Args[1:], os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

// run does the whole job and writes only when all of it went well.
func run(args []string, out io.Writer) error {
	flags := flag.NewFlagSet("translate", flag.ContinueOnError)
	sheetFile := flags.String("sheet", "", "set-up sheet, JSON")
	chartFile := flags.String("chart", "", "frame chart, JSON")
	if err := flags.Parse(args); err != nil {
		return err
	}
	var sheet kit.Doc[exchange.Sheet]
	var chart kit.Doc[convert.Chart]
	var position convert.Solution
	var frame convert.Completion
	if err := errors.Join(
		kit.Load(*sheetFile, "sheet.json", sheetJSON, &sheet, func() (err error) {
			position, err = sheet.Value.Readings.Solve(sheet.Value.Basis, convert.Options{Mirrored: sheet.Value.Mirrored})
			return err
		}),
		kit.Load(*chartFile, "chart.json", chartJSON, &chart, func() (err error) {
			frame, err = chart.Value.Complete()
			return err
		}),
	); err != nil {
		return err
	}
	var b bytes.Buffer
	received(&b, sheet, position)
	habits(&b, sheet, position)
	checked(&b, chart, frame)
	_, err := b.WriteTo(out)
	return err
}

func decimals(unit string) int {
	if unit == "degrees" {
		return 2
	}
	return 1
}

func received(out io.Writer, doc kit.Doc[exchange.Sheet], sol convert.Solution) {
	fmt.Fprint(out, "1. The sheet as it came, and the position it stands for\n\n")
	if doc.Note != "" {
		fmt.Fprintf(out, "  %s\n\n", doc.Note)
	}
	rows := [][]string{{"measure", "stated", "±", "less than what all say", "less than what the others say"}}
	for i, r := range doc.Value.Readings {
		d := decimals(r.Measure.Definition().Unit)
		others := "nothing checks it"
		if c := sol.Checks[i]; c.Checked {
			others = kit.Signed(c.Against, d) + " ± " + kit.Fixed(2*c.Sigma, d)
		}
		rows = append(rows, []string{r.Measure.String(), kit.Fixed(r.Value, d), kit.Fixed(2*r.Sigma, d), kit.Signed(sol.Checks[i].Off, d), others})
	}
	kit.Table(out, rows...)
	verdict := "The measures agree."
	if !sol.Consistent {
		verdict = "The measures do not agree. Look first at " + doc.Value.Readings[sol.Suspects[0]].Measure.String() + "."
	}
	fmt.Fprintf(out, "\n  %s\n", verdict)
	for _, f := range sol.Free {
		fmt.Fprintf(out, "  %v.\n", f)
	}
	fmt.Fprintln(out)
	rows = [][]string{{"site", "forward", "±", "left", "±", "up", "±"}}
	for s, at := range sol.Position.All() {
		u, _ := sol.Covariance.Sigma(s)
		rows = append(rows, []string{s.String(), kit.Fixed(at.X, 1), kit.Fixed(2*u.X, 1), kit.Fixed(at.Y, 1), kit.Fixed(2*u.Y, 1), kit.Fixed(at.Z, 1), kit.Fixed(2*u.Z, 1)})
	}
	kit.Table(out, rows...)
	fmt.Fprintln(out)
}

// habitsOf three people. Each has its own idea of where a tape starts.
var habitsOf = []struct {
	who      string
	measures []convert.Measure
}{
	{"who measures from the bottom bracket, upright and level", []convert.Measure{
		convert.SaddleHeightVertical, convert.SaddleSetback, convert.SaddleTilt, convert.BarStack, convert.BarReach, convert.HoodsStack, convert.HoodsReach, convert.HoodsWidth,
	}},
	{"who lays the tape along the seat tube and from the saddle's nose", []convert.Measure{
		convert.SaddleHeightSeatTube, convert.SaddleSetbackNose, convert.SaddleTilt, convert.ReachNoseClamp, convert.BarDropClampHighest, convert.ReachNoseHoods, convert.HoodsWidth,
	}},
	{"who measures from the floor and along the leg", []convert.Measure{
		convert.SaddleHeightGround, convert.SaddleHeightPedal, convert.SaddleSetback, convert.ReachClampLevel, convert.BarDropClamp, convert.ReachHoods, convert.BarDropHoods,
	}},
}

func habits(out io.Writer, doc kit.Doc[exchange.Sheet], sol convert.Solution) {
	fmt.Fprint(out, "2. The same position in three habits\n\n")
	for i, h := range habitsOf {
		fmt.Fprintf(out, "  %c. For a fitter %s\n\n", 'a'+i, h.who)
		rows := [][]string{{"measure", "", "±", "from", "to", "along", "positive when"}}
		for _, m := range h.measures {
			d := m.Definition()
			row := []string{d.Name, "not to be had from this sheet", ""}
			if s, err := convert.NewSheetWithSigma(sol.Position, sol.Covariance, doc.Value.Basis, m); err == nil {
				row = []string{d.Name, kit.Fixed(s[0].Value, decimals(d.Unit)), kit.Fixed(2*s[0].Sigma, decimals(d.Unit))}
			}
			rows = append(rows, append(row, d.From, d.To, d.Along, d.Positive))
		}
		kit.Table(out, rows...)
		fmt.Fprintln(out)
	}
}

func checked(out io.Writer, doc kit.Doc[convert.Chart], done convert.Completion) {
	fmt.Fprint(out, "3. The chart of a frame\n\n")
	if doc.Note != "" {
		fmt.Fprintf(out, "  %s\n\n", doc.Note)
	}
	rows := [][]string{{"dimension", "stated", "less than what the others say"}}
	for i, s := range doc.Value.Stated {
		d := decimals(s.Dimension.Unit())
		others := "nothing checks it"
		if c := done.Checks[i]; c.Checked {
			others = kit.Signed(c.Against, d) + " ± " + kit.Fixed(2*c.Sigma, d)
		}
		rows = append(rows, []string{s.Dimension.String(), kit.Fixed(s.Value, d), others})
	}
	kit.Table(out, rows...)
	if done.Consistent {
		fmt.Fprint(out, "\n  The chart agrees with itself.\n\n")
	} else {
		s := doc.Value.Stated[done.Suspects[0]]
		c := done.Checks[done.Suspects[0]]
		fmt.Fprintf(out, "\n  These cannot all be true. Most likely wrong: %s %s, where the others say %s. Ask before you buy.\n\n",
			s.Dimension, kit.Fixed(s.Value, decimals(s.Dimension.Unit())), kit.Fixed(s.Value-c.Against, decimals(s.Dimension.Unit())))
	}
	for _, g := range done.Gaps {
		fmt.Fprintf(out, "  %v.\n", g)
	}
	rows = [][]string{{"what follows", "", "±"}}
	for _, k := range done.Completed {
		d := decimals(k.Dimension.Unit())
		rows = append(rows, []string{k.Dimension.String(), kit.Fixed(k.Value, d), kit.Fixed(2*k.Sigma, d)})
	}
	kit.Table(out, rows...)
	fmt.Fprint(out, "\n  Lengths in mm, angles in degrees; ± is twice the standard uncertainty. While the chart is not\n  in order, what follows from it is not to be relied on.\n\n"+
		"4. Cautions\n\n"+
		"  - Numbers are as good as the tape. Measure again what surprises you before money is spent on it.\n"+
		"  - Makers' instructions come first, and a qualified mechanic checks the bike before it is ridden.\n"+
		"  - Pain, numbness or an injury is a matter for a clinician.\n")
}
