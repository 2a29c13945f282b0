// Translate makes people with different tapes and habits understand one another:
// it takes a set-up sheet, finds the position it stands for, and writes that in
// three habits; then it checks a frame's chart.
//
//	go run ./examples/translate [-sheet FILE] [-chart FILE] [-o DIR]
//
// It prints a page in Markdown; with -o it writes DIR/translate.html and the figures.
// Without flags it reads the files beside it. All data in them are invented: no
// such rider or frame exists, and one number of the chart is wrong on purpose.
package main

import (
	"example.com/fitgeom/convert/chart"

	_ "embed"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"strings"

	"example.com/fitgeom/convert"
	"example.com/fitgeom/examples/internal/draw"
	"example.com/fitgeom/examples/internal/kit"
	"example.com/fitgeom/examples/internal/page"
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
	flags, dir := page.Flags("translate")
	sheetFile := flags.String("sheet", "", "set-up sheet, JSON")
	chartFile := flags.String("chart", "", "frame chart, JSON")
	if err := flags.Parse(args); err != nil {
		return err
	}
	p, err := build(*sheetFile, *chartFile)
	if err != nil {
		return err
	}
	return p.Write(out, *dir)
}

func build(sheetFile, chartFile string) (*page.Page, error) {
	var sheet kit.Doc[exchange.Sheet]
	var chart kit.Doc[chart.Chart]
	var position convert.Solution
	var frame chart.Solution
	if err := errors.Join(
		kit.Load(sheetFile, "sheet.json", sheetJSON, &sheet, func() (err error) {
			position, err = sheet.Value.Readings.Solve(sheet.Value.Basis, convert.Options{Mirrored: sheet.Value.Mirrored})
			return err
		}),
		kit.Load(chartFile, "chart.json", chartJSON, &chart, func() (err error) {
			frame, err = chart.Value.Solve()
			return err
		}),
	); err != nil {
		return nil, err
	}
	p := page.New("translate", "One position in three habits, and a chart with a misprint")
	p.P("Fitters, shops and makers measure the same bike between different points and along different lines, and give the results the same names. " +
		"Package `convert` defines each measure by where it starts, where it ends and which way it is taken, solves any mix of them for the position they stand for, " +
		"and writes that position in any habit. What is stated twice is checked; what contradicts is named.")
	received(p, sheet, position)
	habits(p, sheet, position)
	checked(p, chart, frame)
	return p, nil
}

func decimals(unit string) int {
	if unit == "degrees" {
		return 2
	}
	return 1
}

func received(p *page.Page, doc kit.Doc[exchange.Sheet], sol convert.Solution) {
	p.H("1. The sheet as it came, and the position it stands for")
	if doc.Note != "" {
		p.P("%s", doc.Note)
	}
	rows := [][]string{{"measure", "entries", "±", "less than what all say", "less than what the others say"}}
	for i, r := range doc.Value.Readings {
		d := decimals(r.Measure.Definition().Unit)
		others := "nothing checks it"
		if c := sol.Checks[i]; c.Checked {
			others = kit.Signed(c.Against, d) + " ± " + kit.Fixed(2*c.Sigma, d)
		}
		rows = append(rows, []string{r.Measure.String(), kit.Fixed(r.Value, d), kit.Fixed(2*r.Sigma, d), kit.Signed(sol.Checks[i].Off, d), others})
	}
	p.Table(rows...)
	if sol.Consistent {
		p.P("The measures agree.")
	} else {
		p.P("The measures do not agree. Look first at %s.", doc.Value.Readings[sol.Suspects[0]].Measure.String())
	}
	var free []string
	for _, f := range sol.Free {
		free = append(free, fmt.Sprintf("%v.", f))
	}
	p.List(free...)
	rows = [][]string{{"site, mm from the bottom bracket", "forward", "±", "left", "±", "up", "±"}}
	for s, at := range sol.Position.All() {
		u, _ := sol.Covariance.Sigma(s)
		rows = append(rows, []string{s.String(), kit.Fixed(at.X, 1), kit.Fixed(2*u.X, 1), kit.Fixed(at.Y, 1), kit.Fixed(2*u.Y, 1), kit.Fixed(at.Z, 1), kit.Fixed(2*u.Z, 1)})
	}
	p.Table(rows...)
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
		convert.SaddleHeightGround, convert.SaddleHeightPedal, convert.SaddleSetback, convert.ReachClampHorizontal, convert.BarDropClamp, convert.ReachHoods, convert.BarDropHoods,
	}},
}

// at is where the line of a measure lies in the figure, as draw.View.Measure has it.
var at = map[convert.Measure]float64{
	convert.SaddleHeightVertical: -330, convert.SaddleSetback: -60, convert.BarStack: 720, convert.BarReach: 60, convert.HoodsStack: 880, convert.HoodsReach: -120,
	convert.SaddleHeightSeatTube: 0, convert.SaddleSetbackNose: -90, convert.ReachNoseClamp: 90, convert.BarDropClampHighest: 700, convert.ReachNoseHoods: 190,
	convert.SaddleHeightGround: -420, convert.SaddleHeightPedal: 0, convert.ReachClampHorizontal: 790, convert.BarDropClamp: 330, convert.ReachHoods: 190, convert.BarDropHoods: 720,
}

func habits(p *page.Page, doc kit.Doc[exchange.Sheet], sol convert.Solution) {
	p.H("2. The same position in three habits")
	for i, h := range habitsOf {
		p.P("%c. For a fitter %s:", 'a'+i, h.who)
		v := draw.Side(fmt.Sprintf("translate-%c", 'a'+i), "For a fitter "+h.who, 0.5, -620, 1020, -300, 900, 40)
		v.Contacts("part", sol.Position)
		v.Hands("ghost", sol.Position)
		rows := [][]string{{"measure", "value", "±", "from", "to", "along", "positive when"}}
		var left []string
		for _, m := range h.measures {
			d := m.Definition()
			row := []string{d.Name, "not to be had from this sheet", ""}
			if s, err := convert.NewSheetWithSigma(sol.Position, sol.Covariance, doc.Value.Basis, m); err == nil {
				row = []string{d.Name, kit.Fixed(s[0].Value, decimals(d.Unit)), kit.Fixed(2*s[0].Sigma, decimals(d.Unit))}
				if !v.Measure(sol.Position, m, doc.Value.Basis, at[m], 0) {
					left = append(left, strings.ReplaceAll(d.Name, "_", " "))
				}
			}
			rows = append(rows, append(row, d.From, d.To, d.Along, d.Positive))
		}
		if h := doc.Value.Basis.BottomBracketHeight; h > 0 {
			v.Ground(h)
		}
		v.NameContacts(sol.Position)
		v.Desc = "Side view of saddle, bar and cranks with the measures of this habit drawn between the points where the tape starts and ends."
		v.Caption = "Where this fitter's tape lies; mm."
		if len(left) > 0 {
			v.Caption += " Not in the side view: " + strings.Join(left, ", ") + "."
		}
		p.Figure(v.Figure)
		p.Table(rows...)
	}
}

func checked(p *page.Page, doc kit.Doc[chart.Chart], done chart.Solution) {
	p.H("3. The chart of a frame")
	if doc.Note != "" {
		p.P("%s", doc.Note)
	}
	rows := [][]string{{"dimension", "entries", "less than what the others say"}}
	var all []draw.Deviation
	for i, s := range doc.Value.Entries {
		d := decimals(s.Dimension.Unit())
		others := "nothing checks it"
		if c := done.Checks[i]; c.Checked {
			others = kit.Signed(c.Against, d) + " ± " + kit.Fixed(2*c.Sigma, d)
			unit := " mm"
			if d == 2 {
				unit = "°"
			}
			// Finer than a hundredth the figure does not draw.
			all = append(all, draw.Deviation{
				Name: strings.ReplaceAll(s.Dimension.String(), "_", " "), Text: kit.Signed(c.Against, d) + unit,
				Times: math.Round(100*c.Against/(2*c.Sigma)) / 100, Marked: !done.Consistent && done.Suspects[0] == i,
			})
		}
		rows = append(rows, []string{s.Dimension.String(), kit.Fixed(s.Value, d), others})
	}
	p.Table(rows...)
	f := draw.Deviations("translate-chart", "Each number of the chart, less what the others say it should be", "twice its standard uncertainty", all)
	f.Desc = "An arrow for each number from zero to how far it is from what all others say, in units of twice its own uncertainty; the number that is most likely wrong is bold."
	f.Caption = "Within the band rounding explains the difference. One wrong number pulls at all that depend on it, so that many seem wrong; the one that stands out most is the one to ask about."
	p.Figure(f)
	if done.Consistent {
		p.P("The chart agrees with itself.")
	} else {
		s := doc.Value.Entries[done.Suspects[0]]
		c := done.Checks[done.Suspects[0]]
		p.P("These cannot all be true. Most likely wrong: %s %s, where the others say %s. Ask before you buy.",
			s.Dimension, kit.Fixed(s.Value, decimals(s.Dimension.Unit())), kit.Fixed(s.Value-c.Against, decimals(s.Dimension.Unit())))
	}
	var gaps []string
	for _, g := range done.Free {
		gaps = append(gaps, fmt.Sprintf("%v.", g))
	}
	p.List(gaps...)
	rows = [][]string{{"what follows", "value", "±"}}
	for _, k := range done.Values {
		d := decimals(k.Dimension.Unit())
		rows = append(rows, []string{k.Dimension.String(), kit.Fixed(k.Value, d), kit.Fixed(2*k.Sigma, d)})
	}
	p.Table(rows...)
	p.P("Lengths in mm, angles in degrees; ± is twice the standard uncertainty. While the chart is not in order, what follows from it is not to be relied on.")
	p.H("4. Cautions")
	p.List(
		"Numbers are as good as the tape. Measure again what surprises you before money is spent on it.",
		"Makers' instructions come first, and a qualified mechanic checks the bike before it is ridden.",
		"Pain, numbness or an injury is a matter for a clinician.",
	)
}
