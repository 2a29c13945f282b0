// Adjustable tells which frame a rider is on at this moment, from the scales of an
// adjustable bike, and which sizes of a catalogue are nearest.
//
//	go run ./examples/adjustable [-scales FILE] [-target FILE] [-shelf FILE] [-catalogue FILE] [-request FILE]
//	    [-head-angle 73] [-up 30] [-o DIR]
//
// The position was recorded once; the scales, whatever they read and wherever their zeros
// are, say how far saddle and bar have moved since. It prints a page in Markdown; with -o it
// writes DIR/adjustable.html, in which the scales can be moved. The target, which is the position
// that was recorded, may be a position, a survey, a tape survey or a sheet. What no flag names is
// read from the files beside it, whose data are invented: no such rider, part or frame exists.
package main

import (
	"context"
	_ "embed"
	"errors"
	"fmt"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/examples/internal/draw"
	"example.com/fitgeom/examples/internal/kit"
	"example.com/fitgeom/examples/internal/live"
	"example.com/fitgeom/examples/internal/page"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/rank"
	"example.com/fitgeom/fitgeom/region"
	"example.com/fitgeom/fitgeom/solve"
)

var (
	//go:embed scales.csv
	scalesCSV []byte
	//go:embed position.json
	positionJSON []byte
	//go:embed shelf.json
	shelfJSON []byte
	//go:embed catalogue.csv
	catalogueCSV []byte
	//go:embed request.json
	requestJSON []byte
)

func main() { example().Main() }

// input is what the program reads.
type input struct {
	scales []live.Scale
	name   string // of their file
	text   []byte // what it has
	asked  kit.Asked
	// headAngle is that of the frame that is asked for, and up is cap and spacers on it.
	headAngle, up float64
}

func example() *kit.Example {
	var in input
	e := kit.New("adjustable", in.page)
	e.File("scales", "scales.csv", "what the scales read then and now, CSV", scalesCSV, func(name string, data []byte) (err error) {
		in.name, in.text = name, data
		if in.scales, err = live.ReadScales(data); err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
		return nil
	})
	kit.Asks(e, &in.asked, kit.Beside{
		Target: positionJSON, TargetName: "position.json", Wanted: "position that was recorded when the scales read what they read then",
		Catalogue: catalogueCSV, Shelf: shelfJSON, Request: requestJSON,
	})
	e.Number(&in.headAngle, "head-angle", 73, 60, 80, "degrees", "head angle of the frame that the rider is on")
	e.Number(&in.up, "up", 30, 0, 100, "mm", "cap and spacers on it")
	return e
}

func (in *input) page() (*page.Page, error) {
	p := page.New("adjustable", "Which frame is the rider on at this moment?")
	p.P("On an adjustable bike the rider's position changes from minute to minute, and what its scales read is nobody's measure: each has its own zero, unit and sense. " +
		"So the position is recorded once, with whatever instrument there is, and what the scales read then is written down. From then on they tell how far saddle and bar have moved, " +
		"and with that the position, and the frame that would give it.")
	target := live.OnScales(in.asked.Solved.Position, in.scales)
	kit.Left(p, in.asked.Left)
	if err := target.Validate(); err != nil {
		return nil, kit.Name(kit.Under("as the scales read now", err), func(string) string { return in.name })
	}
	kit.Odd(p, target.Findings()...)
	in.read(p, target)
	now, err := in.frames(p, target)
	if err != nil {
		return nil, err
	}
	if err := in.sizesFor(p, target, now); err != nil {
		return nil, err
	}
	p.How("`region.FrameNow` inverts the way from a frame to a position. `rank.Index` ranks the sizes, and `region.New` finds where a head tube may be.")
	return p, errors.Join(kit.Give(p, "position", "the position as the scales read now, which -target of every page that asks for a bike reads", target), kit.Head(p, "Move the scales", in.asked.Problem, in.asked.Request.Sizes, in.text))
}

// read shows what the scales read, and where that puts the rider.
func (in *input) read(p *page.Page, target contact.Position) {
	p.H("1. What the scales say")
	rows := [][]string{{"scale", "moves", "then", "now", "moved, mm: forward", "up"}}
	for _, s := range in.scales {
		by := s.At(s.Now)
		what := "saddle"
		if s.Moves == contact.OnHandlebar {
			what = "bar"
		}
		rows = append(rows, []string{s.Name, what, kit.Fixed(s.Then, 1), kit.Fixed(s.Now, 1), kit.Signed(by.X, 1), kit.Signed(by.Z, 1)})
	}
	p.Table(rows...)
	rows = [][]string{{"site, mm from the bottom bracket", "forward", "left", "up"}}
	for s, at := range target.All() {
		rows = append(rows, []string{draw.Words(s), kit.Fixed(at.X, 1), kit.Fixed(at.Y, 1), kit.Fixed(at.Z, 1)})
	}
	p.Table(rows...)
}

// frames shows the frame that the rider is on, for stems of the shelf, and returns the one
// with the stem in the middle.
func (in *input) frames(p *page.Page, target contact.Position) (middle region.HeadPlace, err error) {
	p.H("2. The frame that the rider is on")
	p.P("Which frame that is hangs on what stands between it and the hands. With %s mm of cap and spacers, and a head angle of %s°:", kit.Fixed(in.up, 0), kit.Fixed(in.headAngle, 0))
	rows := [][]string{{"with", "reach, mm", "stack, mm"}}
	shelf := in.asked.Request.Shelf
	for i, stem := range shelf.Stems {
		on := region.FrontEnd{Up: in.up, Stem: stem, StemAngle: stem.Angles.From, Quill: stem.Quill.From, Handlebar: shelf.Handlebars[0], Lever: first(shelf.Levers)}
		at, err := region.FrameNow(target, in.headAngle, on)
		if err != nil {
			return middle, err
		}
		if i == len(shelf.Stems)/4 {
			middle = at
		}
		rows = append(rows, []string{stem.Name, kit.Fixed(at.Reach, 1), kit.Fixed(at.Stack, 1)})
	}
	p.Table(rows...)
	return middle, nil
}

func first(levers []part.Lever) (l part.Lever) {
	if len(levers) > 0 {
		l = levers[0]
	}
	return l
}

// extent says how far something can move.
func extent(e solve.Extent) string {
	if e.Open {
		return fmt.Sprintf("%d+", e.MM)
	}
	return fmt.Sprint(e.MM)
}

// sizesFor shows the sizes that hold the position, with their room.
func (in *input) sizesFor(p *page.Page, target contact.Position, now region.HeadPlace) error {
	p.H("3. The nearest sizes, and the room that they leave")
	q, sizes := in.asked.Problem, in.asked.Request.Sizes
	q.Target = target
	index, err := rank.NewIndex(context.Background(), sizes)
	if err != nil {
		return err
	}
	ranked, err := index.Rank(context.Background(), q)
	if err != nil {
		return err
	}
	rows := [][]string{{"size", "reach, mm", "stack, mm", "holds", "stem", "spacers, mm", "hands up, mm", "down, mm"}}
	for _, c := range ranked.Choices {
		if c.Fault != nil {
			continue
		}
		g := c.Size.Frame.Geometry
		stem, err := kit.Stem(c.Best.Build)
		if err != nil {
			return err
		}
		row := []string{kit.SizeName(c.Size), kit.Fixed(g.Reach, 0), kit.Fixed(g.Stack, 0), kit.Yes(c.Best.Holds()), stem, kit.Fixed(c.Best.Build.Settings.Spacers, 1), "–", "–"}
		if c.Best.Holds() {
			q.Frame = c.Size.Frame
			room, err := q.Room(context.Background(), c.Best, solve.Movement{Group: contact.OnHandlebar, Most: 30, Gap: 1})
			if err != nil {
				return err
			}
			row[6], row[7] = extent(room.Up), extent(room.Down)
		}
		rows = append(rows, row)
	}
	p.Table(rows...)
	from, to := live.HeadAngles(sizes)
	r, err := region.New(context.Background(), target, live.Bounds(q.Shelf, from, to), q.Keep)
	if err != nil {
		return err
	}
	level, err := r.AtLeast(context.Background(), draw.Movable)
	if err != nil {
		return err
	}
	holds, _ := kit.Holding(q, sizes)
	p.Figure(draw.Region("adjustable-region", 4, draw.Host{
		Region: r, Level: level, HeadFrom: from, HeadTo: to, Sizes: sizes, Holds: holds, Best: ranked.Choices, Now: now,
	}))
	return nil
}
