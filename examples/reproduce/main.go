// Reproduce rebuilds a rider's position on another bike.
//
//	go run ./examples/reproduce [-survey FILE] [-frame FILE] [-shelf FILE]
//
// It reads what a measuring arm read on bike A, the frame of bike B and a shelf
// of parts, and prints what was measured, what is asked of bike B, the best
// builds, the set-up sheet of the first, and cautions. Without flags it reads
// the files beside it. All data in them are invented: no such bike, rider or
// part exists.
package main

import (
	"bytes"
	"cmp"
	_ "embed"
	"errors"
	"flag"
	"fmt"
	"io"
	"math"
	"os"
	"strconv"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/examples/internal/kit"
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
	flags := flag.NewFlagSet("reproduce", flag.ContinueOnError)
	surveyFile := flags.String("survey", "", "what an instrument read on bike A, JSON")
	frameFile := flags.String("frame", "", "frame of bike B, JSON")
	shelfFile := flags.String("shelf", "", "parts that may be used, JSON")
	if err := flags.Parse(args); err != nil {
		return err
	}

	var doc kit.Doc[survey.Survey]
	var frameDoc kit.Doc[fitgeom.Frame]
	var shelfDoc kit.Doc[fitgeom.Shelf]
	var fix survey.Fix
	err := errors.Join(
		kit.Load(*surveyFile, "survey.json", surveyJSON, &doc, func() (err error) {
			fix, err = doc.Value.Solve()
			return err
		}),
		kit.Load(*frameFile, "frame.json", frameJSON, &frameDoc, nil),
		kit.Load(*shelfFile, "shelf.json", shelfJSON, &shelfDoc, nil),
	)
	if err != nil {
		return err
	}
	frame, shelf := frameDoc.Value, shelfDoc.Value
	options := fitgeom.Options{Limit: 3}
	result, err := fitgeom.Reproduce(fix.Position, frame, shelf, options)
	if err != nil {
		// The parts were checked one by one: what is left is a survey that lacks
		// a site, or a shelf of parts that do not go together.
		return kit.Name(err, func(path string) string {
			if strings.HasPrefix(path, "target.") {
				return cmp.Or(*surveyFile, "survey.json")
			}
			return cmp.Or(*shelfFile, "shelf.json")
		})
	}

	var b bytes.Buffer
	measured(&b, doc, fix)
	asked(&b, fix.Position, frame)
	builds(&b, result)
	if err := obstacles(&b, fix.Position, frame, shelf, options, result.Candidates[0]); err != nil {
		return err
	}
	if err := setUp(&b, fix.Position, result.Candidates[0], frame); err != nil {
		return err
	}
	cautions(&b, result.Candidates[0])
	_, err = b.WriteTo(out)
	return err
}

func measured(out io.Writer, doc kit.Doc[survey.Survey], fix survey.Fix) {
	fmt.Fprintln(out, "1. What was measured on bike A")
	fmt.Fprintln(out)
	if doc.Note != "" {
		fmt.Fprintf(out, "  %s\n", doc.Note)
	}
	if s, ok := fix.Stands(); ok {
		lean, nose, wheel := "right", "down", "front"
		if s.Lean < 0 {
			lean = "left"
		}
		if s.NoseUp > 0 {
			nose, wheel = "up", "rear"
		}
		fmt.Fprintf(out, "  The bike leaned %s° to the %s and stood %s° nose-%s. To stand level: raise the %s wheel by %s mm.\n",
			kit.Fixed(math.Abs(s.Lean), 1), lean, kit.Fixed(math.Abs(s.NoseUp), 1), nose, wheel, kit.Fixed(math.Abs(s.RaiseFront), 0))
	}
	fmt.Fprintf(out, "  The front wheel was turned by %s° ± %s° (positive: left); the bar is given as with the wheel straight.\n", kit.Signed(fix.Steer, 1), kit.Fixed(2*fix.SteerSigma, 1))
	for _, f := range fix.Findings {
		fmt.Fprintf(out, "  Mind: %v.\n", f)
	}
	fmt.Fprintln(out, "  From the bottom bracket, in mm; ± is twice the standard uncertainty, about 95 %:")
	fmt.Fprintln(out)
	rows := [][]string{{"site", "forward", "±", "left", "±", "up", "±"}}
	for s, at := range fix.Position.All() {
		u, _ := fix.Covariance.Sigma(s)
		rows = append(rows, []string{s.String(), kit.Fixed(at.X, 1), kit.Fixed(2*u.X, 1), kit.Fixed(at.Y, 1), kit.Fixed(2*u.Y, 1), kit.Fixed(at.Z, 1), kit.Fixed(2*u.Z, 1)})
	}
	kit.Table(out, rows...)
	if a, ok := fix.Position.Attitude(contact.SaddleReference); ok {
		u, _ := fix.Covariance.AttitudeSigma(contact.SaddleReference)
		fmt.Fprintf(out, "  saddle tilt %s° ± %s°, positive nose-up\n", kit.Signed(a.Tilt, 1), kit.Fixed(2*u.Tilt, 1))
	}
	fmt.Fprintln(out)
}

func asked(out io.Writer, target contact.Position, frame fitgeom.Frame) {
	fmt.Fprintf(out, "2. What is asked of bike B, frame %q\n\n", frame.Name)
	rows := [][]string{{"site", "forward", "within", "left", "within", "up", "within"}}
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
	kit.Table(out, rows...)
	fmt.Fprintln(out)
}

func builds(out io.Writer, r fitgeom.Result) {
	fmt.Fprintf(out, "3. The best of %d ways to build it\n\n", r.Combinations)
	fmt.Fprint(out, "  A build's score is the root of the sum of squares of what it is off by, each over its tolerance.\n\n")
	if !r.Holds() {
		fmt.Fprint(out, "  No build holds the position. These come nearest.\n\n")
	}
	for i, c := range r.Candidates {
		b := c.Build
		holds := "holds the position"
		if !c.Holds {
			holds = "does not hold the position"
		}
		fmt.Fprintf(out, "  Build %d %s (score %s)\n\n", i+1, holds, kit.Fixed(c.Score, 2))
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
		kit.Table(
			out,
			[]string{"front", b.Cap.Name + ", " + spacers + ", " + b.Stem.Name + way},
			[]string{"bar", b.Bar.Name + ", " + b.Lever.Name + ", turned " + kit.Signed(b.Settings.BarRoll, 1) + "° (positive: hoods up)"},
			[]string{"seat", b.Post.Name + ", rail clamp " + kit.Fixed(b.Settings.PostExtension, 1) + " mm above the seat tube's edge"},
			[]string{"saddle", b.Saddle.Name + ", clamped " + kit.Fixed(b.Settings.RailClamp, 1) + " mm behind its nose"},
			[]string{"crank", b.Crank.Name},
		)
		fmt.Fprintln(out)
		kit.Residuals(out, c.Residuals)
		rows := [][]string{{"room left", ""}}
		for _, m := range c.Margins {
			rows = append(rows, []string{m.Limit.String(), kit.Fixed(m.Room, 1) + " " + m.Limit.Unit()})
		}
		kit.Table(out, rows...)
		fmt.Fprintln(out)
	}
}

// obstacles prints what would free a build that does not hold.
func obstacles(out io.Writer, target contact.Position, frame fitgeom.Frame, shelf fitgeom.Shelf, opt fitgeom.Options, c fitgeom.Candidate) error {
	found, err := fitgeom.Explain(target, frame, shelf, opt, c)
	if err != nil {
		return err
	}
	for _, o := range found {
		fmt.Fprintf(out, "  What would free build 1: %v.\n\n", o)
	}
	return nil
}

// sheet is the order in which a fitter sets and checks: seat first, then front.
var sheet = []convert.Measure{
	convert.CrankLength, convert.SaddleTilt, convert.SaddleHeight, convert.SaddleHeightSeatTube, convert.SaddleHeightPedal,
	convert.SaddleSetback, convert.SaddleSetbackNose, convert.BarDropClamp, convert.BarDropHoods, convert.ReachClamp, convert.ReachClampLevel,
	convert.ReachHoods, convert.ReachHoodsLevel, convert.BarStack, convert.BarReach, convert.HoodsWidth,
}

func setUp(out io.Writer, target contact.Position, c fitgeom.Candidate, frame fitgeom.Frame) error {
	basis := convert.Basis{SeatAngle: frame.Geometry.SeatAngle}
	set, err := convert.NewSheet(c.Position, basis, sheet...)
	if err != nil {
		return err
	}
	fmt.Fprint(out, "4. Set-up sheet of build 1\n\n")
	fmt.Fprintln(out, "  Stand the bike level. Set from top to bottom, then verify each with tape and level. Lengths in mm, angles in degrees.")
	fmt.Fprintln(out)
	rows := [][]string{{"set", "to", "bike A", "from", "to", "along", "positive when"}}
	for _, r := range set {
		d := r.Measure.Definition()
		was := "–"
		if v, err := r.Measure.Of(target, basis); err == nil {
			was = number(v, d.Unit)
		}
		rows = append(rows, []string{d.Name, number(r.Value, d.Unit), was, d.From, d.To, d.Along, d.Positive})
	}
	kit.Table(out, rows...)
	fmt.Fprintf(out, "  The seat tube line is at %s°.\n\n", kit.Fixed(basis.SeatAngle, 1))
	return nil
}

func number(v float64, unit string) string {
	if unit == "degrees" {
		return kit.Fixed(v, 1)
	}
	return kit.Fixed(v, 0)
}

func cautions(out io.Writer, c fitgeom.Candidate) {
	fmt.Fprint(out, "5. Cautions\n\n")
	for _, k := range c.Cautions {
		fmt.Fprintf(out, "  - %v\n", k)
	}
}
