// Timetrial puts a rider's aero position on another time-trial bike.
//
//	go run ./examples/timetrial
//
// It prints the best builds with how likely each is to be within tolerance, what
// must be bought, figures that race rules have limited, the set-up sheet of the
// first build, and then what a position that is far lower would take. All data are
// invented.
package main

import (
	"bytes"
	"fmt"
	"io"
	"os"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/examples/internal/kit"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"gonum.org/v1/gonum/spatial/r3"
)

func main() {
	if err := run(os.Stdout); err != nil {
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
func options() fitgeom.Options {
	// What is on the bike: its cranks, saddle and a post.
	s := shelf()
	return fitgeom.Options{Keep: keep, Limit: 3, Grain: 0.1, Bike: fitgeom.Build{Crank: s.Cranks[0], Saddle: s.Saddles[0], Post: s.Posts[0]}}
}

// run does the whole job and writes only when all of it went well.
func run(out io.Writer) error {
	var b bytes.Buffer
	frame, shelf, target, options := frame(), shelf(), position(), options()
	cov, err := covariance(target)
	if err != nil {
		return err
	}
	result, err := fitgeom.Reproduce(target, frame, shelf, options)
	if err != nil {
		return err
	}

	fmt.Fprintln(&b, "All data are invented: no such bike, rider or part exists.")
	fmt.Fprintf(&b, "\n1. The best of %d ways to build it on frame %q\n\n", result.Combinations, frame.Name)
	for i, c := range result.Candidates {
		chance, err := fitgeom.Chance(target, options, c, cov, fitgeom.Rounding{LengthStep: 1, AngleStep: 0.1})
		if err != nil {
			return err
		}
		build(&b, i+1, c)
		fmt.Fprintf(&b, "  Chance that all is within tolerance, with the survey's errors and the chart's rounding: %s.\n", kit.Fixed(chance, 2))
		fmt.Fprintf(&b, "  To buy: %v.\n\n", c.Buy)
	}

	best := result.Candidates[0]
	fmt.Fprint(&b, "2. Figures that race rules have limited, by edition\n\n")
	rows := [][]string{{"figure", "build 1", "rule", ""}}
	for _, r := range fitgeom.Rules() {
		if r.Figure != fitgeom.ExtensionReach && r.Figure != fitgeom.ExtensionRise && r.Figure != fitgeom.NoseSetback {
			continue
		}
		v, within, known, err := r.Check(best.Build)
		if err != nil {
			return err
		}
		verdict := "within"
		if !within {
			verdict = "beyond"
		}
		if known {
			rows = append(rows, []string{r.Figure.String(), kit.Fixed(v, 1) + " " + r.Figure.Unit(), r.String(), verdict})
		}
	}
	kit.Table(&b, rows...)
	fmt.Fprintf(&b, "  %v The rules are quoted from secondary documents.\n", fitgeom.RaceRules)

	fmt.Fprint(&b, "\n3. Set-up sheet of build 1\n\n")
	steps, err := fitgeom.SetUp(best, convert.Basis{SeatAngle: frame.Geometry.SeatAngle})
	if err != nil {
		return err
	}
	for _, s := range steps {
		mark := "set   "
		if s.Verify {
			mark = "verify"
		}
		fmt.Fprintf(&b, "  %s  %v\n", mark, s)
	}

	fmt.Fprint(&b, "\n4. The same with pads and hands 140 mm lower\n\n")
	for _, s := range []contact.Site{contact.PadLeft, contact.PadRight, contact.ExtensionLeft, contact.ExtensionRight} {
		at, _ := target.At(s)
		target.Set(s, r3.Sub(at, r3.Vec{Z: 140}))
	}
	low, err := fitgeom.Reproduce(target, frame, shelf, options)
	if err != nil {
		return err
	}
	if low.Holds() {
		fmt.Fprintln(&b, "  A build holds the position.")
	} else {
		fmt.Fprint(&b, "  No build holds the position. The nearest:\n\n")
		build(&b, 1, low.Candidates[0])
		obstacles, err := fitgeom.Explain(target, frame, shelf, options, low.Candidates[0])
		if err != nil {
			return err
		}
		for _, o := range obstacles {
			fmt.Fprintf(&b, "  %v. Alone would do:\n", o.Parts)
			for _, c := range o.Alone {
				fmt.Fprintf(&b, "  - %v\n", c)
			}
			fmt.Fprint(&b, "  Together the least that would do:\n")
			for _, c := range o.Together {
				fmt.Fprintf(&b, "  - %v\n", c)
			}
		}
	}

	fmt.Fprint(&b, "\n5. Cautions\n\n")
	for _, c := range best.Cautions {
		fmt.Fprintf(&b, "  - %v\n", c)
	}
	_, err = b.WriteTo(out)
	return err
}

func build(out io.Writer, n int, c fitgeom.Candidate) {
	holds := "holds the position"
	if !c.Holds {
		holds = "does not hold the position"
	}
	b, s := c.Build, c.Build.Settings
	stem := b.Stem.Name + ", "
	if b.Bar.Stem != (part.Stem{}) {
		stem = ""
	}
	fmt.Fprintf(out, "  Build %d %s (score %s): %s, %s mm of spacers, %s%s, %s tilted %s°, pads %s mm up and %s mm forward of the bar, %s\n", n, holds, kit.Fixed(c.Score, 2),
		b.Cap.Name, kit.Fixed(s.Spacers, 1), stem, b.Bar.Name, b.Aero.Name, kit.Fixed(s.AeroTilt, 0), kit.Fixed(s.PadStack, 0), kit.Fixed(s.PadReach, 0), b.Post.Name)
	fmt.Fprintln(out)
	kit.Residuals(out, c.Residuals)
}
