// Design says which frame to build for a rider for whom a catalogue has none.
//
//	go run ./examples/design [-catalogue FILE] [-target FILE] [-shelf FILE] [-request FILE]
//	    [-wishes FILE] [-instead FILE] [-up 25] [-max-under-stem 45] [-stand-at 60] [-accuracy 1.5] [-o DIR]
//
// It prints a page in Markdown: the sizes that come nearest, which wishes contradict, and with other
// wishes instead the frame with its drawing, what of it is free, and how trail and toe clearance
// bound it. With -o it writes DIR/design.html and the figures. The target may be a position, a
// survey, a tape survey or a sheet. What no flag names is read from the files beside it, whose data
// are invented.
package main

import (
	"cmp"
	"context"
	_ "embed"
	"errors"
	"fmt"
	"math"
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/examples/internal/kit"
	"example.com/fitgeom/examples/internal/page"
	"example.com/fitgeom/fitgeom/design"
	"example.com/fitgeom/fitgeom/rank"
	"example.com/fitgeom/fitgeom/region"
)

var (
	//go:embed catalogue.csv
	catalogue []byte
	//go:embed position.json
	positionJSON []byte
	//go:embed shelf.json
	shelfJSON []byte
	//go:embed request.json
	requestJSON []byte
	//go:embed wishes.csv
	wishesCSV []byte
	//go:embed instead.csv
	insteadCSV []byte
)

func main() { example().Main() }

// input is what the program reads.
type input struct {
	asked           kit.Asked
	wishes, instead []design.Wish
	// up is cap and spacers under the stem, under the most of them that the fork allows; standAt is
	// where the rider stands over the top tube; sigma is of coordinates of which nobody stated it.
	up, under, standAt, sigma float64
}

func example() *kit.Example {
	var in input
	e := kit.New("design", in.page)
	kit.Asks(e, &in.asked, kit.Beside{Target: positionJSON, TargetName: "position.json", Catalogue: catalogue, Shelf: shelfJSON, Request: requestJSON})
	wishes(e, &in.wishes, "wishes", "what is wished of the frame, CSV", wishesCSV)
	wishes(e, &in.instead, "instead", "wishes in place of those of the same name, CSV", insteadCSV)
	e.Number(&in.up, "up", 25, 0, 100, "mm", "cap and spacers under the stem")
	e.Number(&in.under, "max-under-stem", 45, 1, 150, "mm", "the most that the fork allows under the stem")
	e.Number(&in.standAt, "stand-at", 60, -300, 500, "mm", "how far in front of the bottom bracket the rider stands over the top tube")
	e.Number(&in.sigma, "accuracy", 1.5, 0, 50, "mm", "standard uncertainty of each coordinate of a position that does not state it")
	return e
}

// wishes has wishes read.
func wishes(e *kit.Example, to *[]design.Wish, flag, usage string, data []byte) {
	e.File(flag, flag+".csv", usage, data, func(name string, data []byte) (err error) {
		if *to, err = readWishes(data); err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
		return nil
	})
}

// answers is all that is found out.
type answers struct {
	in      *input
	problem design.Problem // with other wishes instead
	first   design.Design  // what the wishes come to
	design  design.Design  // what the others come to
	free    []design.Range
	near    []design.Near
}

// problem is what is asked: the parts on the bike, or the first of the shelf, and wishes.
func (in *input) problem(wishes []design.Wish) (design.Problem, error) {
	q := in.asked.Problem
	known := in.asked.Solved.Covariance
	if in.asked.Request.Target.Kind() == "position" {
		var err error
		if known, err = in.uncertain(q.Target); err != nil {
			return design.Problem{}, err
		}
	}
	return design.Problem{
		Target: q.Target, Covariance: known,
		Front: region.FrontEnd{
			Up: in.up, Stem: first(q.Bike.Stem, q.Shelf.Stems), Handlebar: first(q.Bike.Handlebar, q.Shelf.Handlebars), Lever: first(q.Bike.Lever, q.Shelf.Levers),
		},
		Cap:      first(q.Bike.Cap, q.Shelf.Caps).Height,
		Seatpost: first(q.Bike.Seatpost, q.Shelf.Seatposts), Saddle: first(q.Bike.Saddle, q.Shelf.Saddles),
		MaxUnderStem: in.under, StandAt: in.standAt,
		Wishes: wishes, RoomWanted: q.RoomWanted,
	}, nil
}

// first is the part that is on the bike, or else the first of a kind on the shelf.
func first[P comparable](on P, all []P) P {
	return cmp.Or(append([]P{on}, all...)...)
}

// uncertain is how well a position is known: each coordinate of hands and saddle by itself.
func (in *input) uncertain(p contact.Position) (contact.Covariance, error) {
	var all []contact.Coordinate
	for s := range p.All() {
		if s == contact.SaddleReference || s.Group() == contact.OnHandlebar {
			all = append(all, contact.Coordinate{Site: s, Axis: contact.AxisX}, contact.Coordinate{Site: s, Axis: contact.AxisZ})
		}
	}
	return contact.NewCovariance(all, func(i, j int) float64 {
		if i == j {
			return in.sigma * in.sigma
		}
		return 0
	})
}

// answer finds out all.
func (in *input) answer() (*answers, error) {
	ctx := context.Background()
	a := &answers{in: in}
	begin, err := in.problem(in.wishes)
	if err != nil {
		return nil, err
	}
	if a.first, err = begin.Solve(ctx); err != nil {
		return nil, err
	}
	if a.problem, err = in.problem(instead(in.wishes, in.instead)); err != nil {
		return nil, err
	}
	if a.design, err = a.problem.Solve(ctx); err != nil || !a.design.Holds() {
		return a, err
	}
	if a.free, err = a.problem.Ranges(ctx); err != nil {
		return nil, err
	}
	index, err := rank.NewIndex(ctx, in.asked.Request.Sizes)
	if err != nil {
		return nil, err
	}
	a.near, err = a.design.Nearest(ctx, index, in.asked.Problem)
	return a, err
}

func (in *input) page() (*page.Page, error) {
	a, err := in.answer()
	if err != nil {
		return nil, in.asked.Name(err)
	}
	p := page.New("design", "Which frame to build")
	p.P("Where no size of a catalogue holds a position with room to change it, the question is turned round: what frame should be built? " +
		"This page starts from a position, the parts that the rider shall have, and wishes.")
	kit.Left(p, in.asked.Left)
	kit.Findings(p, in.asked.Solved.Findings)
	if err := a.found(p); err != nil {
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
	return p, errors.Join(kit.Give(p, "problem", "all that is wished, as a document", a.problem), kit.Give(p, "report", "the frame that it comes to, or what contradicts, as a document", a.design.Report()))
}

// found shows what was found.
func (a *answers) found(p *page.Page) error {
	if !a.design.Holds() {
		p.H("1. What is wished, and what contradicts")
		contradictions(p, a.first)
		p.H("2. With what is wished instead")
		contradictions(p, a.design)
		p.P("So there is no frame to draw yet. Wish for less.")
		return nil
	}
	a.catalogue(p, len(a.in.asked.Request.Sizes))
	p.H("2. What is wished, and what contradicts")
	contradictions(p, a.first)
	a.frame(p)
	if err := a.drawing(p); err != nil {
		return err
	}
	return a.bounds(p)
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
	none := ""
	if !slices.ContainsFunc(a.near, func(n design.Near) bool { return n.Choice.Fault == nil && n.Choice.Holds() }) {
		none = " None of them holds the position, even before there is room to move."
	}
	p.P("They stand in the order of a ranking, with the best parts of the shelf. Off by: the worst coordinate; 1 is the edge of its tolerance.%s", none)
}

// contradictions shows what is wished, and what of it cannot be had together.
func contradictions(p *page.Page, d design.Design) {
	var items []string
	for _, w := range d.Wishes {
		if w.From > math.Inf(-1) || w.To < math.Inf(1) {
			items = append(items, words(w))
		}
	}
	p.P("The first of these are stated; then comes the room that is wanted, what the rider's parts are, and what they can do:")
	p.List(items...)
	if d.Holds() {
		p.P("Nothing of this contradicts: there is a frame for all of it.")
		return
	}
	for _, c := range d.Contradictions {
		p.P("These cannot all be had; without any one of them the others can:")
		items = nil
		change := map[int]float64{}
		for _, g := range c.Changes {
			change[g.Wish] = g.By
		}
		for _, i := range c.Wishes {
			w := d.Wishes[i]
			s := words(w)
			if by, ok := change[i]; ok {
				s += fmt.Sprintf("; or else %s%s beyond it", kit.Signed(by, 1), unit(w.Subject))
			}
			items = append(items, s)
		}
		p.List(items...)
	}
	p.P("What stands behind “or else” is the least change of that wish that leaves a frame with all others as they are. A wish without one cannot settle it alone.")
}
