// Tape is a survey with nothing but tape, plumb line and level.
//
//	go run ./examples/tape [-tape FILE] [-truth FILE] [-o DIR]
//
// It prints a page in Markdown; with -o it writes DIR/tape.html, the figures and the
// contact points. Without flags it reads the documents beside it. All data in them are
// invented: no such bike or reading exists.
package main

import (
	"cmp"
	_ "embed"
	"errors"
	"math"
	"slices"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/examples/internal/draw"
	"example.com/fitgeom/examples/internal/kit"
	"example.com/fitgeom/examples/internal/page"
)

var (
	//go:embed tape.json
	tapeJSON []byte
	//go:embed truth.json
	truthJSON []byte
)

func main() { example().Main() }

// input is what the program reads.
type input struct {
	tape      kit.Doc[survey.TapeSurvey]
	fix       survey.Fix
	truth     kit.Doc[contact.Position]
	withTruth func() bool
}

func example() *kit.Example {
	var in input
	e := kit.New("tape", in.page)
	kit.Solved(e, &in.tape, &in.fix, "tape", "what was measured with tape, plumb line and level", tapeJSON)
	kit.JSON(e, &in.truth, "truth", "where the contact points are, if that is known", truthJSON)
	e.Belongs("truth", "tape")
	in.withTruth = func() bool { return e.Counts("truth") }
	return e
}

func (in *input) page() (*page.Page, error) {
	p := page.New("tape", "A survey with nothing but tape and level")
	p.P("No arm, no camera: two people with a tape, a plumb line, a rule and a level measure a bike that stands on the floor. Each reading says one number: a distance, " +
		"how far one place lies in front of another, or how high. This page puts them together, says of each contact point how well they tell it, and which one more reading would tell most.")
	p.H("1. What was measured")
	p.Table(in.readings()...)
	p.P("± is twice the standard uncertainty of one reading. Readings with one plumb line share its error.")
	p.Figure(draw.Taped("tape-lines", "Where the tape lay", in.tape.Value, in.fix))
	p.H("2. Where the contact points are")
	for _, f := range in.fix.Findings {
		p.P("Look at this: %s.", draw.Words(f))
	}
	p.Table(kit.RangeRows(in.fix)...)
	p.P("What is assumed is what every bike has: left and right lie equally far from the middle, and the saddle is in one piece. Where a range hangs on that, no reading of this survey would show that it is otherwise.")
	in.free(p)
	at := 3
	if in.withTruth() {
		p.H("3. Beside the truth")
		p.P("Where the contact points are is stated too, so that what was found can be laid beside it.")
		kit.BesideTruth(p, in.truth.Value, kit.Found{Name: "tape", Fix: in.fix})
		f := draw.Beside("tape-points", "By tape, beside the truth", draw.Two{Reference: in.truth.Value, By: "the truth", Fix: in.fix, To: "to where the tape has it"})
		f.Desc = "Side view of the contact points, with an arrow from where each is to where the tape has it, and the ellipse of its uncertainty."
		f.Caption = "An ellipse that holds its ring: the tape is off by no more than it says."
		p.Figure(f)
		at++
	}
	if err := in.next(p, at); err != nil {
		return nil, err
	}
	p.H("%d. Cautions", at+1)
	p.List(
		"A tape that sags, a hook that is worn or a floor that slopes unseen makes all readings wrong together, and nothing shows it. Measure one distance in two ways.",
		"Read what matters most twice, the second time without a look at the first number.",
		"Check saddle height and bar once more before a rider rides on these numbers. A qualified mechanic checks the bike after every change.",
	)
	p.How("`TapeSurvey.Solve` of `contact/survey` puts the readings together; one more reading is tried by adding it, as it would read, and solving again.")
	return p, errors.Join(kit.Give(p, "position", "the contact points, which -target of every page that asks for a bike reads", in.fix.Position),
		kit.Give(p, "fix", "the same with their uncertainty and what is free", in.fix))
}

// place is the name of a place in words.
func place(l survey.Landmark) string { return strings.ReplaceAll(string(l), "_", " ") }

// what says what is measured, in words.
func what(r survey.TapeReading) string {
	from, to := place(r.From), place(r.To)
	switch r.Kind {
	case survey.Direct:
		return "straight from " + from + " to " + to
	case survey.Horizontal:
		return to + " in front of " + from
	case survey.Vertical:
		return to + " above " + from
	case survey.Lateral:
		return to + " to the left of " + from
	default:
		return "slope of the saddle, nose up"
	}
}

// with is what it takes to read it.
var with = map[survey.TapeKind]string{
	survey.Direct: "tape", survey.Horizontal: "plumb lines and rule", survey.Vertical: "rule and level", survey.Lateral: "rule across", survey.Tilt: "level on the saddle",
}

func (in *input) readings() [][]string {
	rows := [][]string{{"reading", "with", "reads", "±", "unit"}}
	for _, r := range in.tape.Value.Readings {
		unit := "mm"
		if r.Kind == survey.Tilt {
			unit = "degrees"
		}
		rows = append(rows, []string{what(r), with[r.Kind], kit.Fixed(r.Value, 1), kit.Fixed(2*math.Hypot(r.Sigma, r.Common), 1), unit})
	}
	return rows
}

// free says what the readings do not tell.
func (in *input) free(p *page.Page) {
	for _, f := range in.fix.Free {
		var what, settle []string
		for _, c := range f.Coordinates {
			way := [...]string{"forward", "to the left", "up"}
			if int(c.Axis) < len(way) {
				what = append(what, place(c.Place)+", "+way[c.Axis])
			}
		}
		for _, r := range f.Settle {
			settle = append(settle, sayReading(r))
		}
		p.P("The readings do not tell: %s. Any one of these would:", strings.Join(what, "; "))
		p.List(settle...)
	}
	if n := len(in.fix.Others); n > 0 {
		p.P("Other places fit these readings as well: %d more. A tape does not tell on which side of a line a place lies.", n)
	}
}

func sayReading(r survey.TapeReading) string { return what(r) + ": " + with[r.Kind] }

// usual is how well one more reading of a kind would be read, as a standard uncertainty in mm.
// Common practice, no source.
var usual = map[survey.TapeKind]float64{survey.Direct: 1.5, survey.Horizontal: 1.5, survey.Vertical: 1.5, survey.Lateral: 2}

// A more is one more reading, and what it would leave.
type more struct {
	reading survey.TapeReading
	left    float64 // the ± of all numbers, root mean square
	least   float64 // that of the least certain one
	whose   contact.Coordinate
}

// next says which one more reading would help most: each that can be read between two places
// is added as it would read by what is known already.
func (in *input) next(p *page.Page, at int) error {
	p.H("%d. The one more reading that helps most", at)
	before := spread(in.fix)
	p.P("As it is, the ± of all numbers of the table is %s mm (root mean square), and that of the least certain one, %s, is %s mm. One more reading of ± %s mm (across: ± %s mm) would leave, if nothing else changes:",
		kit.Fixed(before.left, 1), coordinate(before.whose), kit.Fixed(before.least, 1), kit.Fixed(2*usual[survey.Direct], 1), kit.Fixed(2*usual[survey.Lateral], 1))
	var all []more
	for _, r := range in.candidates() {
		t := in.tape.Value
		t.Readings = append(slices.Clone(t.Readings), r)
		fix, err := t.Solve()
		if err != nil {
			return err
		}
		one := spread(fix)
		one.reading = r
		all = append(all, one)
	}
	slices.SortStableFunc(all, func(a, b more) int { return cmp.Compare(math.Round(100*a.left), math.Round(100*b.left)) })
	rows := [][]string{{"one more reading", "with", "± of all, mm", "least certain then", "±"}}
	for _, m := range all[:min(6, len(all))] {
		rows = append(rows, []string{what(m.reading), with[m.reading.Kind], kit.Fixed(m.left, 2), coordinate(m.whose), kit.Fixed(m.least, 1)})
	}
	p.Table(rows...)
	p.P("%d readings were tried. A reading that tells what the others do not tell comes before all of these.", len(all))
	return nil
}

// candidates are the readings between two places that have not been taken, as they would read.
func (in *input) candidates() []survey.TapeReading {
	places := []survey.Landmark{survey.BottomBracket}
	for s := range in.fix.Position.All() {
		if s.Group() != contact.OnPedals {
			places = append(places, survey.At(s))
		}
	}
	taken := func(r survey.TapeReading) bool {
		return slices.ContainsFunc(in.tape.Value.Readings, func(t survey.TapeReading) bool {
			return t.Kind == r.Kind && (t.From == r.From && t.To == r.To || t.From == r.To && t.To == r.From)
		})
	}
	var all []survey.TapeReading
	for i, from := range places {
		for _, to := range places[i+1:] {
			for _, kind := range []survey.TapeKind{survey.Direct, survey.Horizontal, survey.Vertical, survey.Lateral} {
				r := survey.TapeReading{Kind: kind, From: from, To: to, Sigma: usual[kind]}
				if taken(r) {
					continue
				}
				r.Value = draw.Reads(r, in.fix, in.tape.Value.NoseUp)
				if kind != survey.Direct || r.Value > 50 {
					all = append(all, r)
				}
			}
		}
	}
	return all
}

// spread returns how wide the ranges of the contact points are, but of what is so by definition.
func spread(f survey.Fix) more {
	var m more
	sum, n := 0.0, 0.0
	for s := range f.Position.All() {
		for axis := range 3 {
			c := contact.Coordinate{Site: s, Axis: contact.Axis(axis)}
			r, ok := f.Ranges.At(c)
			if !ok || r.High == r.Low {
				continue
			}
			half := (r.High - r.Low) / 2
			sum, n = sum+half*half, n+1
			if half > m.least {
				m.least, m.whose = half, c
			}
		}
	}
	if n > 0 {
		m.left = math.Sqrt(sum / n)
	}
	return m
}

// coordinate is a coordinate in words.
func coordinate(c contact.Coordinate) string {
	if !c.Site.Valid() {
		return "none"
	}
	return draw.Words(c.Site) + " " + [...]string{"forward", "to the left", "up"}[c.Axis]
}
