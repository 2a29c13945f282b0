// Design says which frame to build for a rider for whom a catalogue has none.
//
//	go run ./examples/design [-catalogue FILE] [-position FILE] [-shelf FILE] [-o DIR]
//
// It prints a page in Markdown: the sizes that come nearest, which wishes contradict on
// large wheels, and on smaller ones the frame with its drawing, what of it is free, and how
// trail and toe clearance bound it. With -o it writes DIR/design.html and the figures.
// Without flags it reads the files beside it. All data in them are invented.
package main

import (
	"bytes"
	"context"
	_ "embed"
	"errors"
	"fmt"
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/examples/internal/kit"
	"example.com/fitgeom/examples/internal/page"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/clearance"
	"example.com/fitgeom/fitgeom/design"
	"example.com/fitgeom/fitgeom/exchange"
	"example.com/fitgeom/fitgeom/rank"
	"example.com/fitgeom/fitgeom/region"
	"example.com/fitgeom/fitgeom/solve"
)

var (
	//go:embed catalogue.csv
	catalogue []byte
	//go:embed position.json
	positionJSON []byte
	//go:embed shelf.json
	shelfJSON []byte
)

const (
	shown = 5   // sizes of the table
	toes  = 89. // mm from the pedal's centre to the front tyre: 16 CFR 1512.17(d)
	sigma = 1.5 // mm, the standard uncertainty of each coordinate of the adjustable bike
)

func main() { example().Main() }

// input is what the program reads.
type input struct {
	sizes    []fitgeom.Size
	position kit.Doc[contact.Position]
	shelf    kit.Doc[fitgeom.Shelf]
}

func example() *kit.Example {
	var in input
	e := kit.New("design", in.page)
	e.File("catalogue", "catalogue.csv", "sizes of frames, CSV", catalogue, in.read)
	kit.JSON(e, &in.position, "position", "position that is wanted", positionJSON)
	kit.JSON(e, &in.shelf, "shelf", "the rider's parts, the first of each kind, and stems that may be bought", shelfJSON)
	return e
}

func (in *input) read(name string, data []byte) (err error) {
	in.sizes, err = exchange.ReadCatalogue(context.Background(), bytes.NewReader(data))
	return kit.Name(err, func(string) string { return name })
}

// answers is all that is found out.
type answers struct {
	problem design.Problem // on small wheels
	large   design.Design  // what large ones come to
	small   design.Design
	free    []design.Range
	near    []design.Near
}

// problem is what is asked: the first parts of a shelf, and wishes, on wheels of a radius.
func problem(target contact.Position, shelf fitgeom.Shelf, radius float64) (design.Problem, error) {
	if err := shelf.Validate(); err != nil {
		return design.Problem{}, err
	}
	known, err := uncertain(target)
	if err != nil {
		return design.Problem{}, err
	}
	p := design.Problem{
		Target: target, Covariance: known,
		Front:    region.FrontEnd{Up: 25, Stem: shelf.Stems[0], Handlebar: shelf.Handlebars[0]},
		Cap:      shelf.Caps[0].Height,
		Seatpost: shelf.Seatposts[0], Saddle: shelf.Saddles[0],
		MaxUnderStem: 45,
		StandAt:      60,
	}
	if len(shelf.Levers) > 0 {
		p.Front.Lever = shelf.Levers[0]
	}
	wish := func(d chart.Dimension, from, to float64) {
		p.Wishes = append(p.Wishes, design.Wish{Subject: design.Subject{Dimension: d}, From: from, To: to})
	}
	wish(chart.FrontRadius, radius, radius)
	wish(chart.RearRadius, radius, radius)
	wish(chart.Trail, 52, 62)
	wish(chart.HeadAngle, 70, 73.5)
	wish(chart.ForkOffset, 40, 55)
	wish(chart.AxleToCrown, radius+32, radius+32)
	wish(chart.LowerHeadset, 5, 5)
	wish(chart.BottomBracketHeight, 262, 268)
	wish(chart.Chainstay, 408, 415)
	wish(chart.SeatOffset, 0, 0)
	wish(chart.HeadTube, 80, math.Inf(1))
	wish(chart.Standover, math.Inf(-1), 740)
	p.Wishes = append(p.Wishes,
		design.Wish{Subject: design.Subject{Clearance: clearance.ToeLevel}, From: toes, To: math.Inf(1)},
		// The saddle may be anywhere on its rails that leaves room, and so the seat angle is free.
		design.Wish{Subject: design.Subject{Setting: design.RailClamp}, From: math.Inf(-1), To: math.Inf(1)},
	)
	return p, nil
}

// uncertain is how well a position is known: each coordinate of hands and saddle by itself.
func uncertain(p contact.Position) (contact.Covariance, error) {
	var all []contact.Coordinate
	for _, s := range [...]contact.Site{contact.SaddleReference, contact.HoodsLeft, contact.HoodsRight} {
		if _, ok := p.At(s); ok {
			all = append(all, contact.Coordinate{Site: s, Axis: contact.AxisX}, contact.Coordinate{Site: s, Axis: contact.AxisZ})
		}
	}
	return contact.NewCovariance(all, func(i, j int) float64 {
		if i == j {
			return sigma * sigma
		}
		return 0
	})
}

func answer(sizes []fitgeom.Size, target contact.Position, shelf fitgeom.Shelf) (*answers, error) {
	ctx := context.Background()
	a := &answers{}
	large, err := problem(target, shelf, 338)
	if err != nil {
		return nil, err
	}
	if a.large, err = large.Solve(ctx); err != nil {
		return nil, err
	}
	if a.problem, err = problem(target, shelf, 313); err != nil {
		return nil, err
	}
	if a.small, err = a.problem.Solve(ctx); err != nil {
		return nil, err
	}
	if !a.small.Holds() {
		return nil, errors.New("even on smaller wheels no frame has all that is wished")
	}
	if a.free, err = a.problem.Ranges(ctx); err != nil {
		return nil, err
	}
	index, err := rank.NewIndex(ctx, sizes)
	if err != nil {
		return nil, err
	}
	a.near, err = a.small.Nearest(ctx, index, solve.Problem{Shelf: shelf, Limit: shown})
	return a, err
}

func (in *input) page() (*page.Page, error) {
	a, err := answer(in.sizes, in.position.Value, in.shelf.Value)
	if err != nil {
		return nil, err
	}
	p := page.New("design", "Which frame to build")
	p.P("Where no size of a catalogue holds a position with room to change it, the question is turned round: what frame should be built? " +
		"This page starts from a position, the parts that the rider shall have, and wishes.")
	a.catalogue(p, len(in.sizes))
	a.contradictions(p)
	a.frame(p)
	if err := a.drawing(p); err != nil {
		return nil, err
	}
	if err := a.bounds(p); err != nil {
		return nil, err
	}
	p.H("6. Cautions")
	p.List(
		"A frame builder decides whether a frame can be built so and be ridden. This page knows nothing of tubing, strength, stiffness, joints or heat.",
		"Makers' instructions for fork, headset, tubes and parts come first.",
		"Frames and forks are tested by standards, such as ISO 4210. A drawing does not stand for a test.",
		"A clearance of a centimetre on paper is to be tried at walking pace, with the shoes that will be worn. Authorities differ about what they ask for.",
		"A position is geometry and no medical advice. Pain is a matter for a clinician.",
	)
	p.How("`fitgeom/design` finds the frame, what is free and what contradicts, and `fitgeom/rank` ranks the sizes.")
	return p, nil
}

// catalogue shows the sizes that come nearest.
func (a *answers) catalogue(p *page.Page, sizes int) {
	p.H("1. The nearest of %d sizes", sizes)
	rows := [][]string{{"size", "holds", "off by, tolerances", "stem", "against the design: stack, mm", "reach, mm", "head angle, °", "trail, mm", "front centre, mm"}}
	for _, n := range a.near {
		if n.Choice.Fault != nil {
			rows = append(rows, []string{kit.SizeName(n.Choice.Size), n.Choice.Fault.Error()})
			continue
		}
		row := []string{kit.SizeName(n.Choice.Size), kit.Yes(n.Choice.Holds()), kit.Fixed(n.Choice.Best.Score(), 1), n.Choice.Best.Build.Stem.Name}
		off := map[chart.Dimension]string{}
		for _, o := range n.Off {
			off[o.Dimension] = kit.Signed(o.By, 1)
		}
		for _, d := range [...]chart.Dimension{chart.Stack, chart.Reach, chart.HeadAngle, chart.Trail, chart.FrontCentreHorizontal} {
			row = append(row, off[d])
		}
		rows = append(rows, row)
	}
	p.Table(rows...)
	p.P("They stand in the order of a ranking, with the best parts of the shelf. Off by: the worst coordinate; 1 is the edge of its tolerance. " +
		"The hands are too high and too near for all of them, even before there is room to move.")
}

// contradictions shows what cannot be had together on wheels of 622 mm.
func (a *answers) contradictions(p *page.Page) {
	p.H("2. What is wished, and what contradicts on wheels with a radius of 338 mm")
	var items []string
	for _, w := range a.large.Wishes {
		if w.From > math.Inf(-1) || w.To < math.Inf(1) {
			items = append(items, words(w))
		}
	}
	p.P("The first of these are stated; then comes the room that is wanted, what the rider's parts are, and what they can do:")
	p.List(items...)
	if a.large.Holds() {
		p.P("Nothing.")
		return
	}
	for _, c := range a.large.Contradictions {
		p.P("These cannot all be had; without any one of them the others can:")
		items = nil
		change := map[int]float64{}
		for _, g := range c.Changes {
			change[g.Wish] = g.By
		}
		for _, i := range c.Wishes {
			w := a.large.Wishes[i]
			s := words(w)
			if by, ok := change[i]; ok {
				s += fmt.Sprintf("; or else %s%s beyond it", kit.Signed(by, 1), unit(w.Subject))
			}
			items = append(items, s)
		}
		p.List(items...)
	}
	p.P("What stands behind “or else” is the least change of that wish that leaves a frame with all others as they are. A wish without one cannot settle it alone. The choice here is smaller wheels.")
}
