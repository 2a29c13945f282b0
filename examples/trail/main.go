// Trail puts a rider's position on a mountain bike that sags, with shorter cranks.
//
//	go run ./examples/trail [-position FILE] [-frame FILE] [-shelf FILE] [-o DIR]
//
// It prints a page in Markdown: how the bike stands under the rider, where the
// shorter cranks put the saddle, the best builds, the set-up sheet of the first, and
// then what happens to a taller rider whom the frame cannot take. With -o it writes
// DIR/trail.html and the figures. Without flags it reads the files beside it. All
// data in them are invented.
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

// keep asks for saddle, grips and feet. The cranks are to be shorter, so that
// their length is not asked for.
var keep = []fitgeom.Keep{
	{Site: contact.SaddleReference, Tolerance: r3.Vec{X: 3, Z: 3}},
	{Site: contact.GripLeft, Tolerance: r3.Vec{X: 5, Y: 15, Z: 5}},
	{Site: contact.GripRight, Tolerance: r3.Vec{X: 5, Y: 15, Z: 5}},
	{Site: contact.FootLeft, Tolerance: r3.Vec{Y: 5, Z: 1}},
	{Site: contact.FootRight, Tolerance: r3.Vec{Y: 5, Z: 1}},
}

// stance is a quarter of the travel in front, and a little more at the rear, with
// a smaller tyre there.
func stance() chart.Wheels {
	return chart.Wheels{FrontSag: 33, RearSag: 38, RearRadius: 366}
}

// run does the whole job and writes only when all of it went well.
func run(args []string, out io.Writer) error {
	flags, dir := page.Flags("trail")
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
	options := fitgeom.Options{Keep: keep, Wheels: stance(), Limit: 3}

	p := page.New("trail", "A bike that sags, with shorter cranks")
	p.P("A mountain bike stands differently under its rider than its maker draws it: fork and shock give way, and tyres may be other ones. " +
		"Here the position is wanted as the bike stands under the rider, the cranks become shorter, and one foot is to be lifted. " +
		"`fitgeom.Stance` turns the frame, and `fitgeom.Reproduce` moves the saddle for the cranks. " +
		"The files beside this program are invented: no such bike, rider or part exists.")
	p.H("1. How frame %q stands under the rider", frame.Name)
	pitch, err := frame.Pitch(options.Wheels)
	if err != nil {
		return nil, err
	}
	s := options.Wheels
	p.P("Sag %s mm in front and %s mm at the rear, rear tyre of %s mm radius: the frame is turned by %s° (positive: nose-up).",
		kit.Fixed(s.FrontSag, 0), kit.Fixed(s.RearSag, 0), kit.Fixed(s.RearRadius, 0), kit.Signed(pitch, 2))
	p.P("Head angle %s° as drawn, %s° as it stands.", kit.Fixed(frame.Geometry.HeadAngle, 1), kit.Fixed(frame.Geometry.HeadAngle-pitch, 1))

	result, err := fitgeom.Reproduce(target, frame, shelf, options)
	if err != nil {
		return nil, err
	}
	best := result.Candidates[0]
	f, err := standing(best)
	if err != nil {
		return nil, err
	}
	p.Figure(f)
	was, _ := target.At(contact.SaddleReference)
	is, _ := best.Wanted.At(contact.SaddleReference)
	old, _ := target.At(contact.PedalLeft)
	p.H("2. What the shorter cranks do")
	p.P("From %s to %s mm of crank the foot keeps its distance from the saddle at the far end of its stroke if the saddle goes %s mm forward and %s mm up.",
		kit.Fixed(old.X, 1), kit.Fixed(best.Build.Crank.Length, 1), kit.Signed(is.X-was.X, 1), kit.Signed(is.Z-was.Z, 1))

	p.H("3. The best of %d ways to build it", result.Combinations)
	for i, c := range result.Candidates {
		describe(p, i+1, c)
		if i > 0 {
			continue
		}
		set, err := draw.Set("trail-bike", "Build 1 as it stands under the rider, mm", c, []draw.Line{
			{Measure: convert.SaddleHeight, At: 130},
			{Measure: convert.SaddleSetback, At: -110},
			{Measure: convert.ReachGrips, At: 110},
			{Measure: convert.BarDropGrips, At: 640},
			{Measure: convert.BarStack, At: 880},
		})
		if err != nil {
			return nil, err
		}
		p.Figure(set)
		p.Figure(draw.Left("trail-room", "Room that is left on build 1", c))
	}

	p.H("4. Set-up sheet of build 1")
	steps, err := fitgeom.SetUp(best, convert.Basis{SeatAngle: frame.Geometry.SeatAngle})
	if err != nil {
		return nil, err
	}
	p.Table(kit.StepRows(steps)...)
	low := best.Build
	low.Settings.Lowered = low.Seatpost.Travel
	dropped, err := low.Position()
	if err != nil {
		return nil, err
	}
	up, _ := best.Position.At(contact.SaddleReference)
	down, _ := dropped.At(contact.SaddleReference)
	p.P("Lowered all the way the saddle is %s mm lower and %s mm further forward.", kit.Fixed(up.Z-down.Z, 0), kit.Fixed(down.X-up.X, 0))

	p.H("5. A rider who sits 75 mm higher")
	at, _ := target.At(contact.SaddleReference)
	target.Set(contact.SaddleReference, r3.Add(at, r3.Vec{X: -21, Z: 72}))
	tall, err := fitgeom.Reproduce(target, frame, shelf, options)
	if err != nil {
		return nil, err
	}
	if tall.Holds() {
		p.P("A build holds the position.")
	} else {
		nearest := tall.Candidates[0]
		p.P("No build holds the position. The nearest:")
		describe(p, 1, nearest)
		off, err := draw.Off("trail-tall", "75 mm higher: what the nearest build is off by", nearest)
		if err != nil {
			return nil, err
		}
		p.Figure(off)
		obstacles, err := fitgeom.Explain(target, frame, shelf, options, nearest)
		if err != nil {
			return nil, err
		}
		for _, o := range obstacles {
			p.P("%v: any one of these would free it, all else as it then suits best.", o.Parts)
			p.List(kit.Changes(o.Alone)...)
		}
	}

	p.H("6. Cautions")
	p.List(kit.Cautions(best.Cautions)...)
	return p, nil
}

// standing draws the frame as it is drawn and as it stands under the rider.
func standing(c fitgeom.Candidate) (*draw.Figure, error) {
	b := c.Build
	v := draw.Side("trail-stands", "The frame as drawn, and as it stands under the rider", 0.5, -830, 1150, -430, 690, 66)
	if err := v.Frame("ghost", b.Frame, chart.Wheels{}); err != nil {
		return nil, err
	}
	if err := v.Frame("tube", b.Frame, b.Wheels); err != nil {
		return nil, err
	}
	v.Name("ring", r3.Vec{}, "bottom bracket, in the same place in both", "se", "s")
	v.Legend(44, [2]string{"tube", "under the rider"}, [2]string{"ghost", "as its maker draws it, springs at full length"})
	v.Desc = "Side view of the frame with its wheels as drawn, dashed, and under the rider, solid, laid on one another at the bottom bracket."
	v.Caption = "Both to scale, neither magnified, laid on one another at the bottom bracket, from which a position counts: when springs give way, the wheels come up to the frame. " +
		"What matters for the fit is how far the frame turns; here that is little, since both ends give way about as much."
	return v.Figure, nil
}

func describe(p *page.Page, n int, c fitgeom.Candidate) {
	holds := "holds the position"
	if !c.Holds {
		holds = "does not hold the position"
	}
	b, s := c.Build, c.Build.Settings
	p.P("Build %d %s (score %s): %s, %s, %s mm of spacers under it and %s above, %s.", n, holds, kit.Fixed(c.Score, 2),
		b.Handlebar.Name, b.Stem.Name, kit.Fixed(s.Spacers, 1), kit.Fixed(s.SpacersAbove, 1), b.Seatpost.Name)
	p.Table(kit.ResidualRows(c.Deviations)...)
}
