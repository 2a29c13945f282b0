// Trail puts a rider's position on a mountain bike that sags, with shorter cranks.
//
//	go run ./examples/trail [-target FILE] [-frame FILE] [-shelf FILE] [-request FILE] [-o DIR]
//
// It prints a page in Markdown: how the bike stands under the rider, where the
// shorter cranks put the saddle, the best builds, the set-up sheet of the first, and
// then what happens to a taller rider whom the frame cannot take. The target may be a position, a
// survey, a tape survey or a sheet; the request says what is kept and how the bike sags. With -o
// it writes DIR/trail.html and the figures. What no flag names is read from the files beside it,
// whose data are invented.
package main

import (
	"context"
	_ "embed"
	"errors"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/examples/internal/draw"
	"example.com/fitgeom/examples/internal/kit"
	"example.com/fitgeom/examples/internal/page"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/solve"
	"gonum.org/v1/gonum/spatial/r3"
)

var (
	//go:embed position.json
	positionJSON []byte
	//go:embed frame.json
	frameJSON []byte
	//go:embed shelf.json
	shelfJSON []byte
	//go:embed request.json
	requestJSON []byte
)

func main() { example().Main() }

func example() *kit.Example {
	var a kit.Asked
	e := kit.New("trail", func() (*page.Page, error) { return pageOf(&a) })
	kit.Asks(e, &a, kit.Beside{Target: positionJSON, TargetName: "position.json", Frame: frameJSON, Shelf: shelfJSON, Request: requestJSON})
	return e
}

// pageOf makes the page.
func pageOf(a *kit.Asked) (*page.Page, error) {
	q := a.Problem
	result, err := q.Solve(context.Background())
	if err != nil {
		return nil, a.Name(err)
	}
	best := result.Candidates[0]
	p := page.New("trail", "A bike that sags, with shorter cranks")
	p.P("A mountain bike does not stand under its rider as its manufacturer draws it: fork and shock sag, and other tyres may be on it. " +
		"This page reproduces the position as the bike stands under the rider, and with cranks of the shelf. ")
	kit.Findings(p, a.Solved.Findings)
	stands(p, best.Build)
	if err := cranks(p, q.Target, best); err != nil {
		return nil, err
	}
	if err := builds(p, result); err != nil {
		return nil, err
	}
	if err := sheet(p, best); err != nil {
		return nil, err
	}
	if err := taller(p, q); err != nil {
		return nil, err
	}
	if err := kit.Cautions(p, "6. Cautions", best); err != nil {
		return nil, err
	}
	p.How("`chart.Wheels` turns the frame, and `solve.Problem` moves the saddle to suit the cranks.")
	return p, errors.Join(kit.Give(p, "position", "the position that is wanted, which -target of every page that asks for a bike reads", q.Target), kit.GiveBuild(p, best.Build), kit.Bike(p, "Set the bike up yourself: build 1, in your hands", q, best.Build))
}

// stands says how the bike stands under the rider.
func stands(p *page.Page, b fitgeom.Build) {
	p.H("1. How frame %q stands under the rider", b.Frame.Name)
	w, head := b.Wheels, b.Frame.Geometry.HeadAngle
	if w == (chart.Wheels{}) {
		p.P("Nobody stated how the bike sags or which tyres it has: it stands as its manufacturer draws it.")
		return
	}
	pitch, _ := b.Frame.Geometry.Pitch(w)
	p.P("The bike sags by %s mm in front and by %s mm at the rear.%s Together this turns the frame by %s° (positive: nose up).",
		kit.Fixed(w.FrontSag, 0), kit.Fixed(w.RearSag, 0), radii(w), kit.Signed(pitch, 2))
	p.P("The head angle is %s° as drawn and %s° as the bike stands.", kit.Fixed(head, 1), kit.Fixed(head-pitch, 1))

	v := draw.Side("trail-stands", "The frame as drawn, and as it stands under the rider", draw.Window{X0: -830, X1: 1150, Z0: -430, Z1: 690, Head: 66})
	v.Stands(b.Frame, w)
	v.Legend(44, [2]string{"tube", "under the rider"}, [2]string{"ghost", "as its manufacturer draws it, suspension at full length"})
	v.Desc = "Side view of the frame with its wheels as drawn, dashed, and under the rider, solid, overlaid on the ground; the head angle of each is written at its head tube."
	v.Caption = "Both stand on the same ground, to scale and not magnified: under the rider the frame sinks, and turns by the difference of the two angles. The fit depends on how far it turns."
	p.Figure(v.Figure)
}

// radii says which wheels are not those of the chart.
func radii(w chart.Wheels) (text string) {
	if w.FrontRadius != 0 {
		text += " The front wheel with its tyre has a radius of " + kit.Fixed(w.FrontRadius, 0) + " mm."
	}
	if w.RearRadius != 0 {
		text += " The rear wheel with its tyre has a radius of " + kit.Fixed(w.RearRadius, 0) + " mm."
	}
	return text
}

// cranks says where the shorter cranks put the saddle.
func cranks(p *page.Page, target contact.Position, best fitgeom.Candidate) error {
	p.H("2. What the cranks do")
	old, ok := target.At(contact.PedalLeft)
	if !ok {
		p.P("The position does not say how long the cranks were.")
		return nil
	}
	p.P("The cranks change from %s to %s mm. Of the saddle that asks: %s. At the far end of its stroke, the foot is then as far from the saddle as it was.",
		kit.Fixed(old.X, 1), kit.Fixed(best.Build.Crank.Length, 1), best.SaddleMoved)
	return nil
}

// builds shows the best builds, and the first of them in figures.
func builds(p *page.Page, r solve.Result) error {
	p.H("3. The best of %d ways to build it", r.Combinations)
	p.P("The score says how far off a build is, in tolerances: the lower, the better.")
	for i, c := range r.Candidates {
		if err := kit.Describe(p, i+1, c); err != nil {
			return err
		}
		if i > 0 {
			continue
		}
		if err := errors.Join(
			p.Draw(draw.Set("trail-bike", "Build 1 as it stands under the rider, mm", c.Build, []draw.Line{
				{Measure: convert.SaddleHeight, At: 130},
				{Measure: convert.SaddleSetback, At: -110},
				{Measure: convert.ReachGrips, At: 110},
				{Measure: convert.BarDropGrips, At: 640},
				{Measure: convert.BarStack, At: 880},
			})),
			p.Draw(draw.Left("trail-room", "Room left on build 1", c.Build)),
		); err != nil {
			return err
		}
	}
	return nil
}

// sheet is how to set up the first build, and where its dropper post leads.
func sheet(p *page.Page, best fitgeom.Candidate) error {
	p.H("4. Set-up sheet of build 1")
	if err := kit.SetUp(p, best); err != nil {
		return err
	}
	low := best.Build
	low.Settings.Lowered = low.Seatpost.Travel
	top, err := best.Build.Position()
	if err != nil {
		return err
	}
	dropped, err := low.Position()
	if err != nil {
		return err
	}
	up, _ := top.At(contact.SaddleReference)
	down, _ := dropped.At(contact.SaddleReference)
	p.P("With the dropper post all the way down, the saddle is %s mm lower and %s mm further forward.", kit.Fixed(up.Z-down.Z, 0), kit.Fixed(down.X-up.X, 0))
	return nil
}

// taller wants a saddle that is too high for the frame, and says what it would take.
func taller(p *page.Page, q solve.Problem) error {
	p.H("5. A rider who sits 75 mm higher")
	at, _ := q.Target.At(contact.SaddleReference)
	q.Target.Set(contact.SaddleReference, r3.Add(at, r3.Vec{X: -21, Z: 72}))
	_, err := kit.Nearest(p, q, "trail-tall", "75 mm higher: how far off the nearest build is")
	return err
}
