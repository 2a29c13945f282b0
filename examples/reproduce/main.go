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
	"text/tabwriter"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/internal/strict"
	"gonum.org/v1/gonum/spatial/r3"
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

	var doc surveyDoc
	var frame fitgeom.Frame
	var shelf fitgeom.Shelf
	var fix survey.Fix
	err := errors.Join(
		load(*surveyFile, "survey.json", surveyJSON, &doc, func() (err error) {
			fix, err = doc.survey().Solve()
			return err
		}),
		load(*frameFile, "frame.json", frameJSON, &frame, func() error { return frame.Validate() }),
		load(*shelfFile, "shelf.json", shelfJSON, &shelf, func() error { return shelf.Validate() }),
	)
	if err != nil {
		return err
	}
	result, err := fitgeom.Reproduce(fix.Position, frame, shelf, fitgeom.Options{Limit: 3})
	if err != nil {
		// The parts were checked one by one: what is left is a survey that lacks
		// a site, or a shelf of parts that do not go together.
		return name(err, func(path string) string {
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
	if err := setUp(&b, fix.Position, result.Candidates[0], frame); err != nil {
		return err
	}
	cautions(&b, result.Candidates[0])
	_, err = b.WriteTo(out)
	return err
}

// load decodes a file, or the data beside this program, and checks it. Every
// fault names the file.
func load(file, beside string, data []byte, v any, check func() error) error {
	if file != "" {
		var err error
		if data, err = os.ReadFile(file); err != nil {
			return err // it names the file
		}
	}
	err := strict.Unmarshal(data, v)
	if err == nil {
		err = check()
	}
	return name(err, func(string) string { return cmp.Or(file, beside) })
}

// name puts the file before each fault.
func name(err error, file func(path string) string) error {
	var all []error
	for _, f := range contact.Faults(err) {
		all = append(all, fmt.Errorf("%s: %w", file(f.Path), f))
	}
	return errors.Join(all...)
}

// surveyDoc is how this program writes a survey down.
type surveyDoc struct {
	Note        string       `json:"note,omitempty"`
	Sigma       [3]float64   `json:"sigma_mm"`
	FrontRadius float64      `json:"front_radius_mm"`
	RearRadius  float64      `json:"rear_radius_mm"`
	RadiusSigma float64      `json:"radius_sigma_mm"`
	Up          [3]float64   `json:"up"`
	Readings    []readingDoc `json:"readings"`
}

type readingDoc struct {
	Landmark survey.Landmark `json:"landmark"`
	At       [3]float64      `json:"at_mm"`
}

func (d surveyDoc) survey() survey.Survey {
	s := survey.Survey{
		Sigma: vec(d.Sigma), Up: vec(d.Up),
		FrontRadius: d.FrontRadius, RearRadius: d.RearRadius, RadiusSigma: d.RadiusSigma,
	}
	for _, r := range d.Readings {
		s.Readings = append(s.Readings, survey.Reading{Landmark: r.Landmark, At: vec(r.At)})
	}
	return s
}

func vec(a [3]float64) r3.Vec { return r3.Vec{X: a[0], Y: a[1], Z: a[2]} }

// table writes rows in columns that line up.
func table(out io.Writer, rows ...[]string) {
	var b bytes.Buffer
	w := tabwriter.NewWriter(&b, 0, 0, 2, ' ', 0)
	for _, r := range rows {
		fmt.Fprintln(w, "  "+strings.Join(r, "\t"))
	}
	w.Flush()
	for line := range strings.Lines(b.String()) {
		fmt.Fprintln(out, strings.TrimRight(line, " \n"))
	}
}

// fixed prints a number with so many decimals, and never -0.
func fixed(v float64, decimals int) string {
	scale := math.Pow10(decimals)
	return strconv.FormatFloat(math.Round(v*scale)/scale+0, 'f', decimals, 64)
}

func signed(v float64, decimals int) string {
	s := fixed(v, decimals)
	if v > 0 && strings.Trim(s, "0.") != "" {
		s = "+" + s
	}
	return s
}

func measured(out io.Writer, doc surveyDoc, fix survey.Fix) {
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
			fixed(math.Abs(s.Lean), 1), lean, fixed(math.Abs(s.NoseUp), 1), nose, wheel, fixed(math.Abs(s.RaiseFront), 0))
	}
	fmt.Fprintf(out, "  The front wheel was turned by %s° ± %s° (positive: left); the bar is given as with the wheel straight.\n", signed(fix.Steer, 1), fixed(2*fix.SteerSigma, 1))
	for _, f := range fix.Findings {
		fmt.Fprintf(out, "  Mind: %v.\n", f)
	}
	fmt.Fprintln(out, "  From the bottom bracket, in mm; ± is twice the standard uncertainty, about 95 %:")
	fmt.Fprintln(out)
	rows := [][]string{{"site", "forward", "±", "left", "±", "up", "±"}}
	for s, at := range fix.Position.All() {
		u, _ := fix.Covariance.Sigma(s)
		rows = append(rows, []string{s.String(), fixed(at.X, 1), fixed(2*u.X, 1), fixed(at.Y, 1), fixed(2*u.Y, 1), fixed(at.Z, 1), fixed(2*u.Z, 1)})
	}
	table(out, rows...)
	if a, ok := fix.Position.Attitude(contact.SaddleReference); ok {
		u, _ := fix.Covariance.AttitudeSigma(contact.SaddleReference)
		fmt.Fprintf(out, "  saddle tilt %s° ± %s°, positive nose-up\n", signed(a.Tilt, 1), fixed(2*u.Tilt, 1))
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
			row = append(row, fixed(c[0], 1), fixed(c[1], 1))
		}
		rows = append(rows, row)
	}
	table(out, rows...)
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
		fmt.Fprintf(out, "  Build %d %s (score %s)\n\n", i+1, holds, fixed(c.Score, 2))
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
		table(
			out,
			[]string{"front", b.Cap.Name + ", " + spacers + ", " + b.Stem.Name + way},
			[]string{"bar", b.Bar.Name + ", " + b.Lever.Name + ", turned " + signed(b.Settings.BarRoll, 1) + "° (positive: hoods up)"},
			[]string{"seat", b.Post.Name + ", rail clamp " + fixed(b.Settings.PostExtension, 1) + " mm above the seat tube's edge"},
			[]string{"saddle", b.Saddle.Name + ", clamped " + fixed(b.Settings.RailClamp, 1) + " mm behind its nose"},
			[]string{"crank", b.Crank.Name},
		)
		fmt.Fprintln(out)
		rows := [][]string{{"off by, mm", "forward", "left", "up"}}
		for _, res := range c.Residuals {
			note := ""
			if !res.Within {
				note = "beyond tolerance"
			}
			rows = append(rows, []string{res.Site.String(), signed(res.Off.X, 1), signed(res.Off.Y, 1), signed(res.Off.Z, 1), note})
		}
		table(out, rows...)
		fmt.Fprintln(out)
		rows = [][]string{{"room left", ""}}
		for _, m := range c.Margins {
			rows = append(rows, []string{m.Limit.String(), fixed(m.Room, 1) + " " + m.Limit.Unit()})
		}
		table(out, rows...)
		for _, s := range c.Shortfalls {
			fmt.Fprintf(out, "  it would take: %v\n", s)
		}
		fmt.Fprintln(out)
	}
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
	table(out, rows...)
	fmt.Fprintf(out, "  The seat tube line is at %s°.\n\n", fixed(basis.SeatAngle, 1))
	return nil
}

func number(v float64, unit string) string {
	if unit == "degrees" {
		return fixed(v, 1)
	}
	return fixed(v, 0)
}

func cautions(out io.Writer, c fitgeom.Candidate) {
	fmt.Fprint(out, "5. Cautions\n\n")
	for _, k := range c.Cautions {
		fmt.Fprintf(out, "  - %v\n", k)
	}
}
