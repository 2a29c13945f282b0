// Reproduce rebuilds a rider's position on another bike.
//
//	go run ./examples/reproduce [-survey FILE] [-frame FILE] [-shelf FILE] [-o DIR]
//
// It reads what a measuring arm read on bike A, the frame of bike B and a shelf
// of parts, and prints a page in Markdown: what was measured, what is asked of
// bike B, the best builds, the set-up sheet of the first, and cautions. With -o
// it writes DIR/reproduce.html and the figures. Without flags it reads the files
// beside it. All data in them are invented: no such bike, rider or
// part exists.
package main

import (
	"cmp"
	_ "embed"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"strconv"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/examples/internal/draw"
	"example.com/fitgeom/examples/internal/kit"
	"example.com/fitgeom/examples/internal/page"
	"example.com/fitgeom/fitgeom"
)

var (
	//go:embed survey.json
	surveyJSON []byte
	//go:embed frame.json
	frameJSON []byte
	//go:embed shelf.json
	shelfJSON []byte
)

func main() {
	if err := run(os.Args[1:], os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

// run does the whole job and writes only when all of it went well.
func run(args []string, out io.Writer) error {
	flags, dir := page.Flags("reproduce")
	surveyFile := flags.String("survey", "", "what an instrument read on bike A, JSON")
	frameFile := flags.String("frame", "", "frame of bike B, JSON")
	shelfFile := flags.String("shelf", "", "parts that may be used, JSON")
	if err := flags.Parse(args); err != nil {
		return err
	}
	p, err := build(*surveyFile, *frameFile, *shelfFile)
	if err != nil {
		return err
	}
	return p.Write(out, *dir)
}

func build(surveyFile, frameFile, shelfFile string) (*page.Page, error) {
	var doc kit.Doc[survey.Survey]
	var frameDoc kit.Doc[fitgeom.Frame]
	var shelfDoc kit.Doc[fitgeom.Shelf]
	var fix survey.Fix
	err := errors.Join(
		kit.Load(surveyFile, "survey.json", surveyJSON, &doc, func() (err error) {
			fix, err = doc.Value.Solve()
			return err
		}),
		kit.Load(frameFile, "frame.json", frameJSON, &frameDoc, nil),
		kit.Load(shelfFile, "shelf.json", shelfJSON, &shelfDoc, nil),
	)
	if err != nil {
		return nil, err
	}
	frame, shelf := frameDoc.Value, shelfDoc.Value
	options := fitgeom.Options{Limit: 3}
	result, err := fitgeom.Reproduce(fix.Position, frame, shelf, options)
	if err != nil {
		// The parts were checked one by one: what is left is a survey that lacks
		// a site, or a shelf of parts that do not go together.
		return nil, kit.Name(err, func(path string) string {
			if strings.HasPrefix(path, "target.") {
				return cmp.Or(surveyFile, "survey.json")
			}
			return cmp.Or(shelfFile, "shelf.json")
		})
	}

	p := page.New("reproduce", "One position, another bike")
	p.P("A rider's position is known on bike A and wanted on bike B. `contact/survey` turns what an instrument read into contact points, " +
		"each with its uncertainty; `fitgeom.Reproduce` goes through every way to build bike B from a frame and a shelf of parts, " +
		"finds the best settings of each, and says how far off it is and how much room is left; `convert` writes the set-up sheet. " +
		"The files beside this program are invented: no such bike, rider or part exists.")
	measured(p, doc, fix)
	asked(p, fix.Position, frame)
	if err := builds(p, result); err != nil {
		return nil, err
	}
	if err := obstacles(p, fix.Position, frame, shelf, options, result.Candidates[0]); err != nil {
		return nil, err
	}
	if err := setUp(p, fix.Position, result.Candidates[0], frame); err != nil {
		return nil, err
	}
	p.H("5. Cautions")
	p.List(kit.Cautions(result.Candidates[0].Cautions)...)
	return p, nil
}

func measured(p *page.Page, doc kit.Doc[survey.Survey], fix survey.Fix) {
	p.H("1. What was measured on bike A")
	if doc.Note != "" {
		p.P("%s", doc.Note)
	}
	if s, ok := fix.Standing(); ok {
		lean, nose, wheel := "right", "down", "front"
		if s.Lean < 0 {
			lean = "left"
		}
		if s.NoseUp > 0 {
			nose, wheel = "up", "rear"
		}
		p.P("The bike leaned %s° to the %s and stood %s° nose-%s. To stand level: raise the %s wheel by %s mm. "+
			"The instrument's own axes pointed anywhere; the axles and the bottom bracket tell which way the bike faces.",
			kit.Fixed(math.Abs(s.Lean), 1), lean, kit.Fixed(math.Abs(s.NoseUp), 1), nose, wheel, kit.Fixed(math.Abs(s.RaiseFront), 0))
	}
	p.P("The front wheel was turned by %s° ± %s° (positive: left); the bar is given as with the wheel straight.", kit.Signed(fix.Steer, 1), kit.Fixed(2*fix.SteerSigma, 1))
	var findings []string
	for _, f := range fix.Findings {
		findings = append(findings, fmt.Sprintf("Mind: %v.", f))
	}
	p.List(findings...)
	p.P("From the bottom bracket, in mm; ± is twice the standard uncertainty, about 95 %%:")
	rows := [][]string{{"site", "forward", "±", "left", "±", "up", "±"}}
	for s, at := range fix.Position.All() {
		u, _ := fix.Covariance.Sigma(s)
		rows = append(rows, []string{s.String(), kit.Fixed(at.X, 1), kit.Fixed(2*u.X, 1), kit.Fixed(at.Y, 1), kit.Fixed(2*u.Y, 1), kit.Fixed(at.Z, 1), kit.Fixed(2*u.Z, 1)})
	}
	p.Table(rows...)
	if a, ok := fix.Position.Attitude(contact.SaddleReference); ok {
		u, _ := fix.Covariance.AttitudeSigma(contact.SaddleReference)
		p.P("Saddle tilt %s° ± %s°, positive nose-up.", kit.Signed(a.Tilt, 1), kit.Fixed(2*u.Tilt, 1))
	}
}

func asked(p *page.Page, target contact.Position, frame fitgeom.Frame) {
	p.H("2. What is asked of bike B, frame %q", frame.Name)
	p.P("The hands and the saddle must come back to where they were, within these tolerances; what nobody asks for may be anywhere.")
	rows := [][]string{{"site, mm", "forward", "within", "left", "within", "up", "within"}}
	for _, k := range fitgeom.DefaultKeep(target) {
		at, _ := target.At(k.Site)
		row := []string{k.Site.String()}
		for _, c := range [][2]float64{{at.X, k.Tolerance.X}, {at.Y, k.Tolerance.Y}, {at.Z, k.Tolerance.Z}} {
			if c[1] == 0 {
				row = append(row, "any", "")
				continue
			}
			row = append(row, kit.Fixed(c[0], 1), kit.Fixed(c[1], 1))
		}
		rows = append(rows, row)
	}
	p.Table(rows...)
}

func builds(p *page.Page, r fitgeom.Result) error {
	p.H("3. The best of %d ways to build it", r.Combinations)
	p.P("A build's score is the root of the sum of squares of what it is off by, each over its tolerance.")
	if !r.Holds() {
		p.P("No build holds the position. These come nearest.")
	}
	for i, c := range r.Candidates {
		b := c.Build
		holds := "holds the position"
		if !c.Holds {
			holds = "does not hold the position"
		}
		p.P("Build %d %s (score %s):", i+1, holds, kit.Fixed(c.Score, 2))
		way := ""
		if b.Settings.Flipped {
			way = ", upside down"
		}
		spacers := "no spacers"
		if len(c.Spacers) > 0 {
			var each []string
			for _, s := range c.Spacers {
				each = append(each, strconv.FormatFloat(s, 'f', -1, 64))
			}
			spacers = "spacers " + strings.Join(each, " + ") + " mm"
		}
		p.List(
			"front: "+b.Cap.Name+", "+spacers+", "+b.Stem.Name+way,
			"bar: "+b.Handlebar.Name+", "+b.Lever.Name+", turned "+kit.Signed(b.Settings.BarRotation, 1)+"° (positive: hoods up)",
			"seat: "+b.Seatpost.Name+", rail clamp "+kit.Fixed(b.Settings.SeatpostExtension, 1)+" mm above the seat tube's edge",
			"saddle: "+b.Saddle.Name+", clamped "+kit.Fixed(b.Settings.RailClamp, 1)+" mm behind its nose",
			"crank: "+b.Crank.Name,
		)
		if i == 0 {
			if err := figures(p, c); err != nil {
				return err
			}
		}
		p.Table(kit.ResidualRows(c.Deviations)...)
		rows := [][]string{{"room left", "", "unit"}}
		for _, m := range c.Margins {
			rows = append(rows, []string{m.Limit.String(), kit.Fixed(m.Room, 1), m.Limit.Unit()})
		}
		p.Table(rows...)
	}
	return nil
}

// figures draws a build, how far off it is, and its room.
func figures(p *page.Page, c fitgeom.Candidate) error {
	set, err := draw.Set("reproduce-bike", "Bike B as build 1 sets it up, mm", c, []draw.Line{
		{Measure: convert.SaddleHeight, At: 130},
		{Measure: convert.SaddleSetback, At: -110},
		{Measure: convert.ReachHoodsHorizontal, At: 800},
		{Measure: convert.BarDropHoods, At: 720},
		{Measure: convert.BarStack, At: 850},
	})
	if err != nil {
		return err
	}
	off, err := draw.Off("reproduce-off", "What build 1 is off by", c)
	if err != nil {
		return err
	}
	p.Figure(set)
	p.Figure(off)
	p.Figure(draw.Left("reproduce-room", "Room that is left on build 1", c))
	return nil
}

// obstacles says what would free a build that does not hold.
func obstacles(p *page.Page, target contact.Position, frame fitgeom.Frame, shelf fitgeom.Shelf, opt fitgeom.Options, c fitgeom.Candidate) error {
	found, err := fitgeom.Explain(target, frame, shelf, opt, c)
	if err != nil {
		return err
	}
	for _, o := range found {
		p.P("What would free build 1: %v.", o)
	}
	return nil
}

// sheet is the order in which a fitter sets and checks: seat first, then front.
var sheet = []convert.Measure{
	convert.CrankLength, convert.SaddleTilt, convert.SaddleHeight, convert.SaddleHeightSeatTube, convert.SaddleHeightPedal,
	convert.SaddleSetback, convert.SaddleSetbackNose, convert.BarDropClamp, convert.BarDropHoods, convert.ReachClamp, convert.ReachClampHorizontal,
	convert.ReachHoods, convert.ReachHoodsHorizontal, convert.BarStack, convert.BarReach, convert.HoodsWidth,
}

func setUp(p *page.Page, target contact.Position, c fitgeom.Candidate, frame fitgeom.Frame) error {
	basis := convert.Basis{SeatAngle: frame.Geometry.SeatAngle}
	set, err := convert.NewSheet(c.Position, basis, sheet...)
	if err != nil {
		return err
	}
	p.H("4. Set-up sheet of build 1")
	p.P("Stand the bike level. Set from top to bottom, then verify each with tape and level. Lengths in mm, angles in degrees.")
	rows := [][]string{{"set", "to", "bike A", "from", "to", "along", "positive when"}}
	for _, r := range set {
		d := r.Measure.Definition()
		was := "–"
		if v, err := r.Measure.Of(target, basis); err == nil {
			was = number(v, d.Unit)
		}
		rows = append(rows, []string{d.Name, number(r.Value, d.Unit), was, d.From, d.To, d.Along, d.Positive})
	}
	p.Table(rows...)
	p.P("The seat tube line is at %s°.", kit.Fixed(basis.SeatAngle, 1))
	return nil
}

func number(v float64, unit string) string {
	if unit == "degrees" {
		return kit.Fixed(v, 1)
	}
	return kit.Fixed(v, 0)
}
