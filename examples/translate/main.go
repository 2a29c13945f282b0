// Translate makes people with different tapes and conventions understand one another:
// it takes a set-up sheet, finds the position it stands for, and writes that in
// three conventions; then it checks a frame's chart.
//
//	go run ./examples/translate [-sheet FILE] [-chart FILE] [-o DIR]
//
// It prints a page in Markdown; with -o it writes DIR/translate.html and the figures.
// Without flags it reads the files beside it. All data in them are invented: no
// such rider or frame exists, and one number of the chart is wrong on purpose.
package main

import (
	_ "embed"
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/examples/internal/draw"
	"example.com/fitgeom/examples/internal/kit"
	"example.com/fitgeom/examples/internal/page"
)

var (
	//go:embed sheet.json
	sheetJSON []byte
	//go:embed chart.json
	chartJSON []byte
)

func main() { example().Main() }

// input is what the program reads.
type input struct {
	sheet    kit.Doc[convert.Sheet]
	position convert.Solution
	chart    kit.Doc[chart.Chart]
	frame    chart.Solution
}

func example() *kit.Example {
	var in input
	e := kit.New("translate", in.page)
	kit.Solved(e, &in.sheet, &in.position, "sheet", "set-up sheet", sheetJSON)
	kit.Solved(e, &in.chart, &in.frame, "chart", "frame chart", chartJSON)
	return e
}

func (in *input) page() (*page.Page, error) {
	p := page.New("translate", "One position in three conventions, and a chart with a misprint")
	p.P("Fitters, shops and manufacturers measure the same bike between different points and along different lines, and give the results the same names. " +
		"Here each measure is defined by where it starts, where it ends and which way it is taken. Any mix of measures is solved for the position they stand for, " +
		"and that position is written in any convention. What is stated twice is checked, and what contradicts is named.")
	in.received(p)
	in.conventions(p)
	in.checked(p)
	p.H("4. Cautions")
	p.List(
		"Numbers are as good as the tape. Measure again what surprises you before you spend money on it.",
		"The manufacturers' instructions come first, and a qualified mechanic checks the bike before it is ridden.",
		"Pain, numbness or an injury is a matter for a clinician.",
	)
	p.How("`convert` defines and solves the measures, and `convert/chart` the numbers of a frame.")
	return p, kit.Give(p, "position", "the position that the sheet stands for, which -target of every page that asks for a bike reads", in.position.Position)
}

func decimals(unit string) int {
	if unit == "degrees" {
		return 2
	}
	return 1
}

// received shows the sheet and the position it stands for.
func (in *input) received(p *page.Page) {
	p.H("1. The sheet as it came, and the position it stands for")
	if in.sheet.Note != "" {
		p.P("%s", in.sheet.Note)
	}
	entries, sol := in.sheet.Value.Entries, in.position
	rows := [][]string{{"measure", "stated", "±", "minus what all say", "minus what the others say"}}
	for i, e := range entries {
		d := decimals(e.Measure.Definition().Unit)
		rows = append(rows, []string{
			draw.Words(e.Measure), kit.Fixed(e.Value, d), kit.Fixed(2*e.Sigma, d), kit.Signed(sol.Checks[i].Off, d), against(sol.Checks[i], d),
		})
	}
	p.Table(rows...)
	if sol.Consistent {
		p.P("The measures agree.")
	} else {
		p.P("The measures do not agree, and what hangs on that has no ±.")
		suspects(p, sol.Suspects, func(i int) (string, float64, string) {
			return draw.Words(entries[i].Measure), entries[i].Value, entries[i].Measure.Definition().Unit
		})
	}
	free(p, sol.Free)
	kit.Odd(p, sol.Position.Findings()...)
	p.Table(kit.PositionRows(sol.Position, sol.Covariance)...)
}

// against says how far a number is from what the others say it should be.
func against(c convert.Check, decimals int) string {
	if !c.Checked || c.Sigma > 50 { // or as good as nothing
		return "nothing checks it"
	}
	return kit.Signed(c.Against, decimals) + " ± " + kit.Fixed(2*c.Sigma, decimals)
}

// suspects lists the numbers that could be wrong, and why.
func suspects(p *page.Page, all []contact.Suspect, of func(i int) (name string, value float64, unit string)) {
	if len(all) == 0 {
		p.P("No single number explains it.")
		return
	}
	var items []string
	for _, c := range all {
		name, value, unit := of(c.Reading)
		d := decimals(unit)
		item := fmt.Sprintf("%s %s: the others say %s ± %s.", name, kit.Fixed(value, d), kit.Fixed(value-c.Against, d), kit.Fixed(2*c.Sigma, d))
		var slips []string
		for _, s := range c.Slips {
			slips = append(slips, draw.Words(s))
		}
		if len(slips) > 0 {
			item += " It may be " + strings.Join(slips, ", or ") + "."
		}
		items = append(items, item)
	}
	if len(items) > 1 {
		p.P("Any one of these could be wrong:")
	} else {
		p.P("Wrong is:")
	}
	p.List(items...)
}

// free lists what is not determined.
func free[F fmt.Stringer](p *page.Page, all []F) {
	var items []string
	for _, f := range all {
		items = append(items, draw.Words(f)+".")
	}
	p.List(items...)
}

// conventionsOf three people. Each has its own idea of where a tape starts.
var conventionsOf = []struct {
	who      string
	measures []convert.Measure
}{
	{"who measures from the bottom bracket, vertically and horizontally", []convert.Measure{
		convert.SaddleHeightVertical, convert.SaddleSetback, convert.SaddleTilt, convert.BarStack, convert.BarReach, convert.HoodsStack, convert.HoodsReach, convert.HoodsWidth,
	}},
	{"who lays the tape along the seat tube and from the saddle's nose", []convert.Measure{
		convert.SaddleHeightSeatTube, convert.SaddleSetbackNose, convert.SaddleTilt, convert.ReachNoseClamp, convert.BarDropClampHighest, convert.ReachNoseHoods, convert.HoodsWidth,
	}},
	{"who measures from the floor and along the leg", []convert.Measure{
		convert.SaddleHeightGround, convert.SaddleHeightPedal, convert.SaddleSetback, convert.ReachClampHorizontal, convert.BarDropClamp, convert.ReachHoods, convert.BarDropHoods,
	}},
}

// at is where the line of a measure lies in the figure, as draw.Line has it.
var at = map[convert.Measure]float64{
	convert.SaddleHeightVertical: -330, convert.SaddleSetback: -60, convert.BarStack: 720, convert.BarReach: 60, convert.HoodsStack: 880, convert.HoodsReach: -120,
	convert.SaddleHeightSeatTube: 0, convert.SaddleSetbackNose: -90, convert.ReachNoseClamp: 90, convert.BarDropClampHighest: 700, convert.ReachNoseHoods: 190,
	convert.SaddleHeightGround: -420, convert.SaddleHeightPedal: 0, convert.ReachClampHorizontal: 790, convert.BarDropClamp: 330, convert.ReachHoods: 190, convert.BarDropHoods: 720,
}

// conventions writes the position in each convention.
func (in *input) conventions(p *page.Page) {
	p.H("2. The same position in three conventions")
	sol, basis := in.position, in.sheet.Value.Basis
	for i, h := range conventionsOf {
		p.P("%c. For a fitter %s:", 'a'+i, h.who)
		v := draw.Side(fmt.Sprintf("translate-%c", 'a'+i), "For a fitter "+h.who, draw.Window{X0: -790, X1: 1020, Z0: -320, Z1: 900, Head: 40})
		v.Bike(survey.Fix{Position: sol.Position}, 0, 0)
		v.Contacts("part", sol.Position)
		v.Hands("ghost", sol.Position)
		rows := [][]string{{"measure", "value", "±", "from", "to", "along", "positive when"}}
		var left []string
		for _, m := range h.measures {
			d, name := m.Definition(), draw.Words(m)
			row := []string{name, "not to be had from this sheet", ""}
			if s, err := convert.NewSheetWithSigma(sol.Position, sol.Covariance, basis, m); err == nil {
				e := s.Entries[0]
				row = []string{name, kit.Fixed(e.Value, decimals(d.Unit)), kit.Fixed(2*e.Sigma, decimals(d.Unit))}
				if !v.Measure(sol.Position, basis, draw.Line{Measure: m, At: at[m]}) {
					left = append(left, name)
				}
			}
			rows = append(rows, append(row, d.From, d.To, d.Along, d.Positive))
		}
		if h := basis.BottomBracketHeight; h > 0 {
			v.Ground(h)
		}
		v.NameContacts(sol.Position)
		v.Desc = "Side view of saddle, bar and cranks with the measures of this convention drawn between the points where the tape starts and ends."
		v.Caption = "Where this fitter's tape lies; mm. Dashed is a usual bike, since a sheet does not tell the frame."
		if len(left) > 0 {
			v.Caption += " Not in the side view: " + strings.Join(left, ", ") + "."
		}
		p.Figure(v.Figure)
		p.Table(rows...)
	}
}

// checked looks for a misprint in the chart, and for what follows from it.
func (in *input) checked(p *page.Page) {
	p.H("3. The chart of a frame")
	if in.chart.Note != "" {
		p.P("%s", in.chart.Note)
	}
	entries, done := in.chart.Value.Entries, in.frame
	rows := [][]string{{"dimension", "stated", "minus what the others say"}}
	for i, e := range entries {
		d := decimals(e.Dimension.Unit())
		rows = append(rows, []string{draw.Words(e.Dimension), kit.Fixed(e.Value, d), against(done.Checks[i], d)})
	}
	p.Table(rows...)
	p.P("The fork offset is also called rake. From axle to crown is the length of the fork, straight from the front axle to the crown race.")
	p.Figure(in.checks())
	if done.Consistent {
		p.P("The chart agrees with itself.")
	} else {
		p.P("These cannot all be true. Ask before you buy.")
		suspects(p, done.Suspects, func(i int) (string, float64, string) {
			return draw.Words(entries[i].Dimension), entries[i].Value, entries[i].Dimension.Unit()
		})
	}
	free(p, done.Free)
	rows = [][]string{{"what follows", "value", "±"}}
	for _, v := range done.Values {
		d := decimals(v.Dimension.Unit())
		sigma := kit.Fixed(2*v.Sigma, d)
		if v.Doubtful {
			sigma = "?"
		}
		rows = append(rows, []string{draw.Words(v.Dimension), kit.Fixed(v.Value, d), sigma})
	}
	p.Table(rows...)
	p.P("Lengths are in mm, angles in degrees; ± is twice the standard uncertainty. As long as the chart contradicts itself, do not rely on what follows from it.")
}

// checks draws how far each number of the chart is from what the others say.
func (in *input) checks() *draw.Figure {
	var all []draw.Check
	for i, e := range in.chart.Value.Entries {
		c := in.frame.Checks[i]
		if !c.Checked {
			continue
		}
		unit, d := " mm", decimals(e.Dimension.Unit())
		if e.Dimension.Unit() == "degrees" {
			unit = "°"
		}
		// Finer than a hundredth the figure does not draw.
		all = append(all, draw.Check{
			Name: draw.Words(e.Dimension), Text: kit.Signed(c.Against, d) + unit,
			Times: math.Round(100*c.Against/(2*c.Sigma)) / 100, Marked: slices.ContainsFunc(in.frame.Suspects, func(s contact.Suspect) bool { return s.Reading == i }),
		})
	}
	f := draw.Checks("translate-chart", "Each number of the chart, minus what the others say it should be", "twice its standard uncertainty", all)
	f.Desc = "An arrow for each number from zero to how far it is from what all others say, in units of twice its own uncertainty; what could be wrong is bold."
	f.Caption = "Within the band, rounding explains the difference. One wrong number pulls at all that depend on it, so that many seem wrong. The one that stands out most is the one to ask about."
	return f
}
