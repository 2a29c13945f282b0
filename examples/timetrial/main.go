// Timetrial puts a rider's aero position on another time-trial bike.
//
//	go run ./examples/timetrial [-position FILE] [-frame FILE] [-shelf FILE] [-o DIR]
//
// It prints a page in Markdown: the best builds with how likely each is to be
// within tolerance, what must be bought, figures that race rules have limited, the
// set-up sheet of the first build, and then what a position that is far lower would
// take. With -o it writes DIR/timetrial.html and the figures. Without flags it reads
// the files beside it. All data in them are invented.
package main

import (
	_ "embed"
	"errors"
	"fmt"
	"io"
	"os"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/examples/internal/draw"
	"example.com/fitgeom/examples/internal/kit"
	"example.com/fitgeom/examples/internal/page"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"gonum.org/v1/gonum/spatial/r3"
)

var (
	//go:embed position.json
	positionJSON []byte
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

// keep asks for saddle, pads and tips; the hands on the base bar may be where
// they come to be.
var keep = []fitgeom.Keep{
	{Site: contact.SaddleReference, Tolerance: r3.Vec{X: 4, Z: 4}},
	{Site: contact.PadLeft, Tolerance: r3.Vec{X: 5, Y: 5, Z: 5}},
	{Site: contact.PadRight, Tolerance: r3.Vec{X: 5, Y: 5, Z: 5}},
	{Site: contact.ExtensionLeft, Tolerance: r3.Vec{X: 8, Y: 8, Z: 8}},
	{Site: contact.ExtensionRight, Tolerance: r3.Vec{X: 8, Y: 8, Z: 8}},
}

// options asks for builds that differ in stem, bar or aero bar, and for fewer
// spacers between builds that are within a tenth of the tolerances of one another.
// The first crank, saddle and post of the shelf are on the bike already.
func options(s fitgeom.Shelf) fitgeom.Options {
	return fitgeom.Options{Keep: keep, Limit: 3, Grain: 0.1, Bike: fitgeom.Build{Crank: s.Cranks[0], Saddle: s.Saddles[0], Seatpost: s.Seatposts[0]}}
}

// covariance is what two instruments could have told: 1 mm that all points have
// in common along each axis, and 1 mm of their own.
func covariance(p contact.Position) (contact.Covariance, error) {
	var coords []contact.Coordinate
	for s := range p.All() {
		for _, a := range []contact.Axis{contact.AxisX, contact.AxisY, contact.AxisZ} {
			coords = append(coords, contact.Coordinate{Site: s, Axis: a})
		}
	}
	return contact.NewCovariance(coords, func(i, j int) float64 {
		switch {
		case i == j:
			return 2
		case coords[i].Axis == coords[j].Axis:
			return 1
		}
		return 0
	})
}

// run does the whole job and writes only when all of it went well.
func run(args []string, out io.Writer) error {
	flags, dir := page.Flags("timetrial")
	positionFile := flags.String("position", "", "position on the old bike, JSON")
	frameFile := flags.String("frame", "", "frame of the new bike, JSON")
	shelfFile := flags.String("shelf", "", "parts that may be used, JSON")
	if err := flags.Parse(args); err != nil {
		return err
	}
	p, err := build(*positionFile, *frameFile, *shelfFile)
	if err != nil {
		return err
	}
	return p.Write(out, *dir)
}

func build(positionFile, frameFile, shelfFile string) (*page.Page, error) {
	var targetDoc kit.Doc[contact.Position]
	var frameDoc kit.Doc[fitgeom.Frame]
	var shelfDoc kit.Doc[fitgeom.Shelf]
	if err := errors.Join(
		kit.Load(positionFile, "position.json", positionJSON, &targetDoc, nil),
		kit.Load(frameFile, "frame.json", frameJSON, &frameDoc, nil),
		kit.Load(shelfFile, "shelf.json", shelfJSON, &shelfDoc, nil),
	); err != nil {
		return nil, err
	}
	target, frame, shelf := targetDoc.Value, frameDoc.Value, shelfDoc.Value
	options := options(shelf)
	cov, err := covariance(target)
	if err != nil {
		return nil, err
	}
	result, err := fitgeom.Reproduce(target, frame, shelf, options)
	if err != nil {
		return nil, err
	}

	p := page.New("timetrial", "An aero position on another bike")
	p.P("Forearms lie on pads and hands hold extensions, so that an aero bar has more settings than a drop bar, and most of them come in steps. " +
		"`fitgeom.Reproduce` goes through all of them; `fitgeom.Chance` says how likely a build is to be within tolerance although neither the survey nor the frame's chart is exact. " +
		"The files beside this program are invented: no such bike, rider or part exists.")
	p.H("1. The best of %d ways to build it on frame %q", result.Combinations, frame.Name)
	for i, c := range result.Candidates {
		chance, err := fitgeom.Chance(target, options, c, cov, fitgeom.Rounding{LengthStep: 1, AngleStep: 0.1})
		if err != nil {
			return nil, err
		}
		describe(p, i+1, c)
		p.P("Chance that all is within tolerance, with the survey's errors and the chart's rounding: %s. To buy: %v.", kit.Fixed(chance, 2), c.Buy)
		if i > 0 {
			continue
		}
		set, err := draw.Set("timetrial-bike", "Build 1 as it is set up, mm", c, []draw.Line{
			{Measure: convert.SaddleHeight, At: 130},
			{Measure: convert.SaddleSetback, At: -110},
			{Measure: convert.PadStack, At: 560},
			{Measure: convert.PadReach, At: -180},
			{Measure: convert.ExtensionReach, At: 860},
			{Measure: convert.BarDropPads, At: 250},
		})
		if err != nil {
			return nil, err
		}
		p.Figure(set)
		p.Figure(draw.Left("timetrial-room", "Room that is left on build 1", c))
	}

	best := result.Candidates[0]
	p.H("2. Figures that race rules have limited, by edition")
	rows := [][]string{{"figure", "build 1", "rule", "build 1 is"}}
	for _, r := range fitgeom.Rules() {
		if r.Figure != fitgeom.ExtensionReach && r.Figure != fitgeom.ExtensionRise && r.Figure != fitgeom.NoseSetback {
			continue
		}
		v, within, known, err := r.Check(best.Build)
		if err != nil {
			return nil, err
		}
		verdict := "within"
		if !within {
			verdict = "beyond"
		}
		if known {
			rows = append(rows, []string{r.Figure.String(), kit.Fixed(v, 1) + " " + r.Figure.Unit(), r.String(), verdict})
		}
	}
	p.Table(rows...)
	p.P("%v The rules are quoted from secondary documents.", fitgeom.CautionRaceRules)

	p.H("3. Set-up sheet of build 1")
	steps, err := fitgeom.SetUp(best, convert.Basis{SeatAngle: frame.Geometry.SeatAngle})
	if err != nil {
		return nil, err
	}
	p.Table(kit.StepRows(steps)...)

	p.H("4. The same with pads and hands 140 mm lower")
	for _, s := range []contact.Site{contact.PadLeft, contact.PadRight, contact.ExtensionLeft, contact.ExtensionRight} {
		at, _ := target.At(s)
		target.Set(s, r3.Sub(at, r3.Vec{Z: 140}))
	}
	low, err := fitgeom.Reproduce(target, frame, shelf, options)
	if err != nil {
		return nil, err
	}
	if low.Holds() {
		p.P("A build holds the position.")
	} else {
		nearest := low.Candidates[0]
		p.P("No build holds the position. The nearest:")
		describe(p, 1, nearest)
		off, err := draw.Off("timetrial-low", "140 mm lower: what the nearest build is off by", nearest)
		if err != nil {
			return nil, err
		}
		p.Figure(off)
		obstacles, err := fitgeom.Explain(target, frame, shelf, options, nearest)
		if err != nil {
			return nil, err
		}
		for _, o := range obstacles {
			p.P("%v. Alone would do:", o.Parts)
			p.List(kit.Changes(o.Alone)...)
			p.P("Together the least that would do:")
			p.List(kit.Changes(o.Together)...)
		}
	}

	p.H("5. Cautions")
	p.List(kit.Cautions(best.Cautions)...)
	return p, nil
}

func describe(p *page.Page, n int, c fitgeom.Candidate) {
	holds := "holds the position"
	if !c.Holds {
		holds = "does not hold the position"
	}
	b, s := c.Build, c.Build.Settings
	stem := b.Stem.Name + ", "
	if b.Handlebar.Stem != (part.Stem{}) {
		stem = ""
	}
	p.P("Build %d %s (score %s): %s, %s mm of spacers, %s%s, %s tilted %s°, pads %s mm up and %s mm forward of the bar, %s.", n, holds, kit.Fixed(c.Score, 2),
		b.Cap.Name, kit.Fixed(s.Spacers, 1), stem, b.Handlebar.Name, b.Aero.Name, kit.Fixed(s.AeroTilt, 0), kit.Fixed(s.PadRise, 0), kit.Fixed(s.PadForward, 0), b.Seatpost.Name)
	p.Table(kit.ResidualRows(c.Deviations)...)
}
