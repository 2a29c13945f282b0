// Trail puts a rider's position on a mountain bike that sags, with shorter cranks.
//
//	go run ./examples/trail
//
// It prints how the bike stands under the rider, where the shorter cranks put the
// saddle, the best builds, the set-up sheet of the first, and then what happens
// to a taller rider whom the frame cannot take. All data are invented.
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
	"gonum.org/v1/gonum/spatial/r3"
)

func main() {
	if err := run(os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

// keep asks for saddle, grips and feet. The cranks are to be shorter, so that
// their length is not asked for.
var keep = []fitgeom.Keep{
	{Site: contact.SaddleReference, Tolerance: r3.Vec{X: 3, Z: 3}},
	{Site: contact.GripLeft, Tolerance: r3.Vec{X: 5, Y: 15, Z: 5}},
	{Site: contact.GripRight, Tolerance: r3.Vec{X: 5, Y: 15, Z: 5}},
	{Site: contact.FootLeft, Tolerance: r3.Vec{Y: 5, Z: 1}},
	{Site: contact.FootRight, Tolerance: r3.Vec{Y: 5, Z: 1}},
}

// run does the whole job and writes only when all of it went well.
func run(out io.Writer) error {
	var b bytes.Buffer
	frame, shelf, target := frame(), shelf(), position()
	options := fitgeom.Options{Keep: keep, Stance: stance(), Limit: 3}

	fmt.Fprintln(&b, "All data are invented: no such bike, rider or part exists.")
	fmt.Fprintf(&b, "\n1. How frame %q stands under the rider\n\n", frame.Name)
	pitch, err := frame.Pitch(options.Stance)
	if err != nil {
		return err
	}
	s := options.Stance
	fmt.Fprintf(&b, "  Sag %s mm in front and %s mm at the rear, rear tyre of %s mm radius: the frame is turned by %s° (positive: nose-up).\n",
		kit.Fixed(s.FrontSag, 0), kit.Fixed(s.RearSag, 0), kit.Fixed(s.RearRadius, 0), kit.Signed(pitch, 2))
	fmt.Fprintf(&b, "  Head angle %s° as drawn, %s° as it stands.\n", kit.Fixed(frame.Geometry.HeadAngle, 1), kit.Fixed(frame.Geometry.HeadAngle-pitch, 1))

	result, err := fitgeom.Reproduce(target, frame, shelf, options)
	if err != nil {
		return err
	}
	best := result.Candidates[0]
	was, _ := target.At(contact.SaddleReference)
	is, _ := best.Wanted.At(contact.SaddleReference)
	old, _ := target.At(contact.PedalLeft)
	fmt.Fprint(&b, "\n2. What the shorter cranks do\n\n")
	fmt.Fprintf(&b, "  From %s to %s mm of crank the foot keeps its distance from the saddle at the far end of its stroke\n", kit.Fixed(old.X, 1), kit.Fixed(best.Build.Crank.Length, 1))
	fmt.Fprintf(&b, "  if the saddle goes %s mm forward and %s mm up.\n", kit.Signed(is.X-was.X, 1), kit.Signed(is.Z-was.Z, 1))

	fmt.Fprintf(&b, "\n3. The best of %d ways to build it\n\n", result.Combinations)
	for i, c := range result.Candidates {
		build(&b, i+1, c)
	}

	fmt.Fprint(&b, "4. Set-up sheet of build 1\n\n")
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
	low := best.Build
	low.Settings.Lowered = low.Post.Travel
	dropped, err := low.Position()
	if err != nil {
		return err
	}
	up, _ := best.Position.At(contact.SaddleReference)
	down, _ := dropped.At(contact.SaddleReference)
	fmt.Fprintf(&b, "\n  Lowered all the way the saddle is %s mm lower and %s mm further forward.\n", kit.Fixed(up.Z-down.Z, 0), kit.Fixed(down.X-up.X, 0))

	fmt.Fprint(&b, "\n5. A rider who sits 75 mm higher\n\n")
	at, _ := target.At(contact.SaddleReference)
	target.Set(contact.SaddleReference, r3.Add(at, r3.Vec{X: -21, Z: 72}))
	tall, err := fitgeom.Reproduce(target, frame, shelf, options)
	if err != nil {
		return err
	}
	if tall.Holds() {
		fmt.Fprintln(&b, "  A build holds the position.")
	} else {
		fmt.Fprint(&b, "  No build holds the position. The nearest:\n\n")
		build(&b, 1, tall.Candidates[0])
		obstacles, err := fitgeom.Explain(target, frame, shelf, options, tall.Candidates[0])
		if err != nil {
			return err
		}
		for _, o := range obstacles {
			fmt.Fprintf(&b, "  %v: any one of these would free it, all else as it then suits best.\n", o.Parts)
			for _, c := range o.Alone {
				fmt.Fprintf(&b, "  - %v\n", c)
			}
		}
	}

	fmt.Fprint(&b, "\n6. Cautions\n\n")
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
	fmt.Fprintf(out, "  Build %d %s (score %s): %s, %s, %s mm of spacers under it and %s above, %s\n", n, holds, kit.Fixed(c.Score, 2),
		b.Bar.Name, b.Stem.Name, kit.Fixed(s.Spacers, 1), kit.Fixed(s.SpacersAbove, 1), b.Post.Name)
	fmt.Fprintln(out)
	kit.Residuals(out, c.Residuals)
}
