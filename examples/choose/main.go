// Choose says which frames of a catalogue can hold a rider's position, with
// which parts, and how much room is left.
//
//	go run ./examples/choose [-catalogue FILE] [-position FILE] [-shelf FILE] [-o DIR]
//
// It prints a page in Markdown; with -o it writes DIR/choose.html and the figures.
// Without flags it reads the files beside it. Position, shelf and catalogue are
// invented: no such rider, part or frame exists.
package main

import (
	"bytes"
	_ "embed"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/examples/internal/draw"
	"example.com/fitgeom/examples/internal/kit"
	"example.com/fitgeom/examples/internal/page"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/exchange"
	"example.com/fitgeom/fitgeom/region"
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
	shown = 10  // frames of the table
	grain = 1.  // tolerance: sizes that come as near as that are told apart by spacers, stem and roll
	round = 1.  // mm, and
	turn  = 0.1 // degrees, to which the catalogue is rounded
)

func main() {
	if err := run(os.Args[1:], os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

// run does the whole job and writes only when all of it went well.
func run(args []string, out io.Writer) error {
	flags, dir := page.Flags("choose")
	file := flags.String("catalogue", "", "sizes of frames, CSV")
	positionFile := flags.String("position", "", "position that is wanted, JSON")
	shelfFile := flags.String("shelf", "", "parts that may be used, JSON")
	if err := flags.Parse(args); err != nil {
		return err
	}
	p, err := build(*file, *positionFile, *shelfFile)
	if err != nil {
		return err
	}
	return p.Write(out, *dir)
}

func build(file, positionFile, shelfFile string) (*page.Page, error) {
	var target kit.Doc[contact.Position]
	var shelf kit.Doc[fitgeom.Shelf]
	sizes, left, err := read(file)
	if err := errors.Join(
		err,
		kit.Load(positionFile, "position.json", positionJSON, &target, nil),
		kit.Load(shelfFile, "shelf.json", shelfJSON, &shelf, nil),
	); err != nil {
		return nil, err
	}
	var a *answers
	if err := page.Step(os.Stderr, fmt.Sprintf("ranking %d sizes", len(sizes)), func() (err error) {
		a, err = answer(sizes, target.Value, shelf.Value)
		return err
	}); err != nil {
		return nil, err
	}
	return report(a, left)
}

// read returns the sound sizes of a catalogue, and what was wrong with those that
// it left out; if there is none left, that is an error.
func read(file string) (sizes []fitgeom.Size, left []string, err error) {
	data, name := catalogue, "catalogue.csv"
	if file != "" {
		if data, err = os.ReadFile(file); err != nil {
			return nil, nil, err
		}
		name = file
	}
	sizes, err = exchange.ReadCatalogue(bytes.NewReader(data))
	if len(sizes) == 0 {
		if err == nil {
			err = fmt.Errorf("no sizes")
		}
		return nil, nil, fmt.Errorf("%s: %w", name, err)
	}
	for _, f := range contact.Faults(err) {
		left = append(left, fmt.Sprintf("%s: %v", name, f))
	}
	return sizes, left, nil
}

// answers is all that is found out.
type answers struct {
	target     contact.Position
	sizes      []fitgeom.Size
	shelf      fitgeom.Shelf
	region     region.Region // at all head angles of the catalogue
	from, to   float64       // these
	seat       region.Seat
	now        region.HeadPlace // with this stem
	stem       string
	ranked     fitgeom.Ranking
	holds      []bool // by place
	neighbours []fitgeom.Neighbour
	steady     []fitgeom.Sensitivity
}

func answer(sizes []fitgeom.Size, target contact.Position, shelf fitgeom.Shelf) (*answers, error) {
	a := &answers{target: target, sizes: sizes, shelf: shelf, holds: make([]bool, len(sizes))}
	a.from, a.to = sizes[0].Frame.Geometry.HeadAngle, sizes[0].Frame.Geometry.HeadAngle
	for i := range sizes {
		a.from, a.to = min(a.from, sizes[i].Frame.Geometry.HeadAngle), max(a.to, sizes[i].Frame.Geometry.HeadAngle)
	}
	var err error
	if a.region, err = region.New(a.target, kit.Bounds(a.shelf, a.from, a.to), nil); err != nil {
		return nil, err
	}
	if a.seat, err = region.NewSeat(a.target, a.shelf.Saddles[0], 0, nil); err != nil {
		return nil, err
	}
	now := region.FrontEnd{Up: 30, Stem: a.shelf.Stems[len(a.shelf.Stems)/4], Bar: a.shelf.Handlebars[0]}
	if len(a.shelf.Levers) > 0 {
		now.Lever = a.shelf.Levers[0]
	}
	a.stem = now.Stem.Name
	if a.now, err = region.FrameNow(a.target, 73, now); err != nil {
		return nil, err
	}
	index, err := fitgeom.NewIndex(sizes, a.shelf)
	if err != nil {
		return nil, err
	}
	opt := fitgeom.Options{Limit: shown, Grain: grain}
	if a.ranked, err = index.Rank(a.target, opt); err != nil {
		return nil, err
	}
	if a.neighbours, err = index.Neighbours(a.target, opt, a.ranked.Choices[0].Place); err != nil {
		return nil, err
	}
	if a.steady, err = index.Sensitivity(a.target, opt, fitgeom.Rounding{LengthStep: round, AngleStep: turn}); err != nil {
		return nil, err
	}
	for i := range sizes {
		r, err := fitgeom.Reproduce(a.target, sizes[i].Frame, a.shelf, fitgeom.Options{Limit: 1})
		a.holds[i] = err == nil && r.Holds() // an error: no part fits
	}
	return a, nil
}

func name(s fitgeom.Size) string { return s.Family + " " + s.Label }

func report(a *answers, left []string) (*page.Page, error) {
	p := page.New("choose", "Which frame can hold this position?")
	p.P("A frame is bought by its size, but what a rider needs of it is where the head tube ends and where the seat tube leads. " +
		"This page starts from a position and a shelf of parts, finds where the head tube's top may be (`fitgeom/region`), and ranks every size of a " +
		"catalogue by how near its best build comes (`fitgeom.Index`). Position, shelf and catalogue are invented.")
	if len(left) > 0 {
		p.P("Rows that were left out:")
		p.List(left...)
	}

	p.H("1. The position")
	rows := [][]string{{"site, mm from the bottom bracket", "forward", "left", "up"}}
	for s, at := range a.target.All() {
		rows = append(rows, []string{s.String(), kit.Fixed(at.X, 1), kit.Fixed(at.Y, 1), kit.Fixed(at.Z, 1)})
	}
	p.Table(rows...)

	best, ok := a.region.Best()
	p.H("2. Where the head tube's top may be, at head angles from %s° to %s°", kit.Fixed(a.from, 1), kit.Fixed(a.to, 1))
	if ok {
		p.P("Reach %s mm and stack %s mm is in the middle of what the shelf can do; all places have %s cm².",
			kit.Fixed(best.Reach, 0), kit.Fixed(best.Stack, 0), kit.Fixed(a.region.Area()/100, 1))
	} else {
		p.P("Nowhere: the bar is too wide or too narrow.")
	}
	p.P("With %s on 30 mm and a head angle of 73° the rider is now on reach %s mm, stack %s mm.",
		a.stem, kit.Fixed(a.now.Reach, 0), kit.Fixed(a.now.Stack, 0))
	p.Figure(draw.Region("choose-region", 4.5, draw.Host{
		Region: a.region, HeadFrom: a.from, HeadTo: a.to, Sizes: a.sizes, Holds: a.holds, Best: a.ranked.Choices, Now: a.now,
	}))
	p.P("The seat has a region too: which setback a post must have depends on the seat angle.")
	rows = [][]string{{"seat angle, °", "setback of the post, mm: from", "to"}}
	for _, angle := range []float64{72, 73, 74, 75} {
		lo, hi, ok := a.seat.Setbacks(angle)
		row := []string{kit.Fixed(angle, 0), "none", ""}
		if ok {
			row = []string{kit.Fixed(angle, 0), kit.Fixed(lo, 0), kit.Fixed(hi, 0)}
		}
		rows = append(rows, row)
	}
	p.Table(rows...)

	count := 0
	for _, h := range a.holds {
		if h {
			count++
		}
	}
	p.H("3. The best of %d sizes, of which %d hold the position", len(a.sizes), count)
	rows = [][]string{
		{"rank", "frame", "reach, mm", "stack, mm", "head, °", "holds", "off by, tolerances", "stem", "spacers, mm", "room up, mm", "down, mm", "rails: forward, mm", "back, mm", "to the edge, mm"},
	}
	for i, c := range a.ranked.Choices {
		if c.Fault != nil {
			rows = append(rows, []string{fmt.Sprint(i + 1), name(c.Size), c.Fault.Error()})
			continue
		}
		g := c.Size.Frame.Geometry
		b := &c.Best.Build
		room := map[fitgeom.Limit]string{}
		for _, m := range c.Best.Margins {
			room[m.Limit] = kit.Fixed(m.Room, 1)
		}
		holds := "no"
		if c.Best.Holds {
			holds = "yes"
		}
		stem := b.Stem.Name
		if b.Settings.Flipped {
			stem += ", flipped"
		}
		edge, err := edge(a, c.Size)
		if err != nil {
			return nil, err
		}
		rows = append(rows, []string{
			fmt.Sprint(i + 1), name(c.Size), kit.Fixed(g.Reach, 0), kit.Fixed(g.Stack, 0), kit.Fixed(g.HeadAngle, 1), holds, kit.Fixed(c.Best.Score, 2),
			stem, kit.Fixed(b.Settings.Spacers, 1), room[fitgeom.LimitSpacersUp], room[fitgeom.LimitSpacersDown], room[fitgeom.LimitSaddleForward], room[fitgeom.LimitSaddleBack], edge,
		})
	}
	p.Table(rows...)
	p.P("What a size is off by counts in whole tolerances: of sizes that come about as near, the one with fewer spacers is first. " +
		"To the edge: how far the head tube's top is from the edge of the region at the frame's own head angle.")

	winner := a.ranked.Choices[0]
	p.H("4. Why %s wins", name(winner.Size))
	if winner.Fault == nil {
		f, err := bikeFigure(a)
		if err != nil {
			return nil, err
		}
		p.Figure(f)
		p.Figure(draw.Left("choose-room", "Room that is left on "+name(winner.Size), winner.Best))
	}
	for _, n := range a.neighbours {
		p.P("Its %v.", n)
		var take []string
		for _, o := range n.Choice.Obstacles {
			for i, c := range o.Alone {
				if i < 2 {
					take = append(take, fmt.Sprintf("would take: %v", c))
				}
			}
			if len(o.Alone) == 0 && len(o.Together) > 0 {
				var all []string
				for _, c := range o.Together {
					all = append(all, c.String())
				}
				take = append(take, "would take: "+strings.Join(all, ", and "))
			}
		}
		p.List(take...)
	}
	p.P("The catalogue is rounded to %v mm and %v°. With all numbers half a step off, either way:", round, turn)
	rows = [][]string{{"frame", "off by, tolerances: from", "to", "holds", "rank of these: from", "to"}}
	for i, s := range a.steady {
		holds := "never"
		switch {
		case s.Always:
			holds = "always"
		case s.Ever:
			holds = "perhaps"
		}
		rows = append(rows, []string{name(a.ranked.Choices[i].Size), kit.Fixed(s.Least, 2), kit.Fixed(s.Most, 2), holds, fmt.Sprint(s.First + 1), fmt.Sprint(s.Last + 1)})
	}
	p.Table(rows...)

	p.H("5. Cautions")
	p.List(kit.Cautions(winner.Best.Cautions)...)
	return p, nil
}

// edge is how far a frame is from the edge of the region at its own head angle.
func edge(a *answers, s fitgeom.Size) (string, error) {
	g := s.Frame.Geometry
	r, err := region.New(a.target, kit.Bounds(a.shelf, g.HeadAngle, g.HeadAngle), nil)
	if err != nil {
		return "", err
	}
	p, ok := r.Place(region.HeadPlace{Reach: g.Reach, Stack: g.Stack})
	if !ok {
		return "–", nil
	}
	return kit.Signed(p.Distance, 1), nil
}
