// Choose says which frames of a catalogue can hold a rider's position, with
// which parts, and how much room is left.
//
//	go run ./examples/choose [-catalogue FILE] [-target FILE] [-shelf FILE] [-request FILE]
//	    [-round 1] [-round-angles 0.1] [-o DIR]
//
// It prints a page in Markdown; with -o it writes DIR/choose.html and the figures. The target may
// be a position, a survey, a tape survey or a sheet. What no flag names is read from the files
// beside it, whose data are invented: no such rider, part or frame exists.
package main

import (
	"context"
	_ "embed"
	"fmt"
	"os"
	"strings"

	"example.com/fitgeom/convert"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/examples/internal/draw"
	"example.com/fitgeom/examples/internal/kit"
	"example.com/fitgeom/examples/internal/live"
	"example.com/fitgeom/examples/internal/page"
	"example.com/fitgeom/fitgeom"
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
	//go:embed request.json
	requestJSON []byte
)

const gap = 1. // mm, that hands may be off beyond their tolerance while they are moved

func main() { example().Main() }

func example() *kit.Example {
	var a kit.Asked
	var rounded chart.Rounding
	e := kit.New("choose", func() (*page.Page, error) { return pageOf(&a, rounded) })
	kit.Asks(e, &a, kit.Beside{Target: positionJSON, TargetName: "position.json", Catalogue: catalogue, Shelf: shelfJSON, Request: requestJSON})
	e.Number(&rounded.LengthStep, "round", 1, 0, 10, "mm", "to what the catalogue rounds lengths")
	e.Number(&rounded.AngleStep, "round-angles", 0.1, 0, 2, "degrees", "to what it rounds angles")
	return e
}

func pageOf(asked *kit.Asked, rounded chart.Rounding) (*page.Page, error) {
	var a *answers
	sizes := asked.Request.Sizes
	if err := page.Step(os.Stderr, fmt.Sprintf("ranking %d sizes", len(sizes)), func() (err error) {
		a, err = answer(sizes, asked.Problem, rounded)
		return err
	}); err != nil {
		return nil, asked.Name(err)
	}
	p := page.New("choose", "Which frame can hold this position?")
	p.P("A frame is bought by its size. What a rider needs to know is where the head tube ends and where the seat tube leads. " +
		"This page starts from a position and a shelf of parts. It finds where the head tube's top may be, and ranks every size of a " +
		"catalogue by its best build.")
	kit.Left(p, asked.Left)
	kit.Findings(p, asked.Solved.Findings)
	a.position(p)
	a.places(p)
	a.seats(p)
	if err := a.ranking(p); err != nil {
		return nil, err
	}
	if err := a.why(p); err != nil {
		return nil, err
	}
	a.steadiness(p)
	if a.winner().Fault == nil {
		if err := kit.Cautions(p, "5. Cautions", a.winner().Best); err != nil {
			return nil, err
		}
		if err := kit.GiveBuild(p, a.winner().Best.Build); err != nil {
			return nil, err
		}
	}
	p.How("`fitgeom/region` finds where the head tube's top may be, and `fitgeom/rank` ranks the sizes.")
	return p, kit.Head(p, "Move the position, and see which frames follow", a.problem, a.sizes, nil)
}

// answers is all that is found out.
type answers struct {
	problem    solve.Problem
	sizes      []fitgeom.Size
	rounded    chart.Rounding // of the sizes
	region     region.Region  // at all head angles of the catalogue
	from, to   float64        // these
	level      []region.Outline
	seat       region.Seat
	now        region.HeadPlace // with this stem
	stem       string
	ranked     rank.Ranking
	holds      []bool // by place
	count      int    // that hold
	neighbours []rank.Neighbour
	lacks      [][]solve.Obstacle // of each neighbour
	steady     []rank.Sensitivity
}

func answer(sizes []fitgeom.Size, p solve.Problem, rounded chart.Rounding) (*answers, error) {
	a := &answers{sizes: sizes, problem: p, rounded: rounded}
	target, shelf := p.Target, p.Shelf
	a.from, a.to = live.HeadAngles(sizes)
	var err error
	if a.region, err = region.New(context.Background(), target, live.Bounds(shelf, a.from, a.to), p.Keep); err != nil {
		return nil, err
	}
	if a.level, err = a.region.AtLeast(context.Background(), draw.Movable); err != nil {
		return nil, err
	}
	if a.seat, err = region.NewSeat(target, shelf.Saddles[0], 0, p.Keep); err != nil {
		return nil, err
	}
	now := region.FrontEnd{Up: 30, Stem: shelf.Stems[len(shelf.Stems)/4], Handlebar: shelf.Handlebars[0]}
	now.StemAngle, now.Quill = now.Stem.Angles.From, now.Stem.Quill.From
	if len(shelf.Levers) > 0 {
		now.Lever = shelf.Levers[0]
	}
	a.stem = now.Stem.Name
	if a.now, err = region.FrameNow(target, 73, now); err != nil {
		return nil, err
	}
	index, err := rank.NewIndex(context.Background(), sizes)
	if err != nil {
		return nil, err
	}
	if a.ranked, err = index.Rank(context.Background(), a.problem); err != nil {
		return nil, err
	}
	if a.neighbours, err = index.Neighbours(context.Background(), a.problem, a.winner().Place); err != nil {
		return nil, err
	}
	for _, n := range a.neighbours {
		var lacks []solve.Obstacle
		if n.Choice.Fault == nil {
			if lacks, err = n.Choice.Explain(context.Background(), a.problem); err != nil {
				return nil, err
			}
		}
		a.lacks = append(a.lacks, lacks)
	}
	if a.steady, err = index.Sensitivities(context.Background(), a.problem, rounded); err != nil {
		return nil, err
	}
	a.holds, a.count = kit.Holding(a.problem, sizes)
	return a, nil
}

func (a *answers) winner() rank.Choice { return a.ranked.Choices[0] }

func (a *answers) position(p *page.Page) {
	p.H("1. The position")
	rows := [][]string{{"site, mm from the bottom bracket", "forward", "left", "up"}}
	for s, at := range a.problem.Target.All() {
		rows = append(rows, []string{draw.Words(s), kit.Fixed(at.X, 1), kit.Fixed(at.Y, 1), kit.Fixed(at.Z, 1)})
	}
	p.Table(rows...)
}

// places shows where the head tube's top may be.
func (a *answers) places(p *page.Page) {
	p.H("2. Where the head tube's top may be, at head angles from %s° to %s°", kit.Fixed(a.from, 1), kit.Fixed(a.to, 1))
	if best, ok := a.region.Best(); ok {
		p.P("A reach of %s mm and a stack of %s mm are in the middle of what the shelf can do. The whole region covers %s cm².",
			kit.Fixed(best.Reach, 0), kit.Fixed(best.Stack, 0), kit.Fixed(a.region.Area()/100, 1))
	} else {
		p.P("Nowhere: the bar is too wide or too narrow.")
	}
	p.P("For comparison: with %s on 30 mm of cap and spacers, at a head angle of 73°, the hands would be where they are wanted on a frame of reach %s mm and stack %s mm.",
		a.stem, kit.Fixed(a.now.Reach, 0), kit.Fixed(a.now.Stack, 0))
	p.Figure(draw.Region("choose-region", 4.5, draw.Host{
		Region: a.region, Level: a.level, HeadFrom: a.from, HeadTo: a.to, Sizes: a.sizes, Holds: a.holds, Best: a.ranked.Choices, Now: a.now,
	}))
}

// seats shows which setbacks suit which seat angles.
func (a *answers) seats(p *page.Page) {
	p.P("The seat has a region too. Which setback the seatpost must have depends on the seat angle.")
	rows := [][]string{{"seat angle, °", "setback of the seatpost, mm: from", "to"}}
	for _, angle := range []float64{72, 73, 74, 75} {
		lo, hi, ok := a.seat.Setbacks(angle)
		row := []string{kit.Fixed(angle, 0), "none", ""}
		if ok {
			row = []string{kit.Fixed(angle, 0), kit.Fixed(lo, 0), kit.Fixed(hi, 0)}
		}
		rows = append(rows, row)
	}
	p.Table(rows...)
}

// ranking is the table of the best sizes.
func (a *answers) ranking(p *page.Page) error {
	p.H("3. The best of %d sizes, of which %d hold the position", len(a.sizes), a.count)
	rows := [][]string{
		{"rank", "frame", "reach, mm", "stack, mm", "head, °", "holds", "off by, tolerances", "points", "stem", "spacers, mm", "hands up, mm", "down, mm", "forward, mm", "back, mm", "to the edge, mm"},
	}
	for i, c := range a.ranked.Choices {
		row := []string{fmt.Sprint(i + 1), kit.SizeName(c.Size)}
		if c.Fault != nil {
			rows = append(rows, append(row, c.Fault.Error()))
			continue
		}
		g, b := c.Size.Frame.Geometry, c.Best.Build
		stem, err := kit.Stem(b)
		if err != nil {
			return err
		}
		row = append(row, kit.Fixed(g.Reach, 0), kit.Fixed(g.Stack, 0), kit.Fixed(g.HeadAngle, 1),
			kit.Yes(c.Holds()), kit.Fixed(c.Best.Score(), 2), fmt.Sprint(c.Best.Merit.Preference), stem, kit.Fixed(b.Settings.Spacers, 1))
		room, err := a.room(c)
		if err != nil {
			return err
		}
		row = append(row, room...)
		edge, err := a.edge(c.Size.Frame)
		if err != nil {
			return err
		}
		rows = append(rows, append(row, edge))
	}
	p.Table(rows...)
	p.P("First come the sizes that hold the position and leave room: 10 mm for the hands up and down, and for the saddle each way. " +
		"Of these those that are nearest to what is usual, which the points count: steps of 10 mm and 6° of the stem, 5 mm of spacers and of the rails, " +
		"2° of the bar's rotation, each from the middle of a usual range (common practice, no source). Then comes more room, and only then how close it comes, " +
		"in tenths of a tolerance. Off by: the worst coordinate; 1 is the edge of its tolerance. " +
		fmt.Sprintf("Hands: how far they can still move with the build's own parts, each way by itself, and in brackets with any parts of the shelf; "+
			"a plus is as far as was looked. On the way a coordinate may be off by %v mm more than its tolerance, since spacers come in steps. ", gap) +
		"To the edge: how far the head tube's top is from the edge of the region at the frame's own head angle.")
	return nil
}

// room is how far the hands can move each way, with the build's own parts and with any.
func (a *answers) room(c rank.Choice) ([]string, error) {
	q := a.problem
	q.Frame = c.Size.Frame
	m := solve.Movement{Most: 30, Gap: gap}
	own, err := q.Room(context.Background(), c.Best, m)
	if err != nil {
		return nil, err
	}
	all, err := q.Reach(context.Background(), m)
	if err != nil {
		return nil, err
	}
	text := func(e solve.Extent) string {
		if e.Open {
			return fmt.Sprintf("%d+", e.MM)
		}
		return fmt.Sprint(e.MM)
	}
	var row []string
	for _, e := range [][2]solve.Extent{{own.Up, all.Up}, {own.Down, all.Down}, {own.Forward, all.Forward}, {own.Back, all.Back}} {
		row = append(row, fmt.Sprintf("%s (%s)", text(e[0]), text(e[1])))
	}
	return row, nil
}

// edge is how far a frame is from the edge of the region at its own head angle.
func (a *answers) edge(f fitgeom.Frame) (string, error) {
	g := f.Geometry
	r, err := region.New(context.Background(), a.problem.Target, live.Bounds(a.problem.Shelf, g.HeadAngle, g.HeadAngle), nil)
	if err != nil {
		return "", err
	}
	p, ok := r.Place(region.HeadPlace{Reach: g.Reach, Stack: g.Stack})
	if !ok {
		return "–", nil
	}
	return kit.Signed(p.Distance, 1), nil
}

// tied says how many sizes stand equal with the first.
func tied(n int) string {
	if n < 2 {
		return "No other stands equal with it."
	}
	return fmt.Sprintf("The first %d stand equal: choose among them by other things.", n)
}

// why shows the best size, and how its neighbours compare.
func (a *answers) why(p *page.Page) error {
	winner := a.winner()
	name := kit.SizeName(winner.Size)
	p.H("4. Why %s wins", name)
	if winner.Fault == nil {
		b := winner.Best.Build
		f, err := draw.Set("choose-bike", name+", as the shelf builds it, mm", b, []draw.Line{
			{Measure: convert.SaddleHeight, At: 150},
			{Measure: convert.SaddleSetback, At: -110},
			{Measure: convert.ReachHoodsHorizontal, At: 790},
			{Measure: convert.BarDropHoods, At: 720},
			{Measure: convert.BarStack, At: 850},
		})
		if err != nil {
			return err
		}
		if _, ok := b.Frame.Geometry.FrontAxle(); !ok {
			f.Caption += " The catalogue does not state the wheels."
		}
		p.Figure(f)
		if err := p.Draw(draw.Left("choose-room", "Room left on "+name, b)); err != nil {
			return err
		}
	}
	if winner.Reason != 0 {
		p.P("It stands before the next of the table since it is %s. %s", winner.Why(), tied(a.ranked.Tied))
	}
	for i, n := range a.neighbours {
		p.P("Its %s.", draw.Words(n))
		var take []string
		for _, o := range a.lacks[i] {
			for _, c := range o.Alone[:min(2, len(o.Alone))] {
				take = append(take, fmt.Sprintf("would take, beyond what the parts allow: %v", c))
			}
			if len(o.Alone) == 0 && len(o.Together) > 0 {
				take = append(take, "would take, beyond what the parts allow: "+strings.Join(kit.Changes(o.Together), ", and "))
			}
		}
		p.List(take...)
	}
	return nil
}

// steadiness shows what the rounding of the catalogue makes of the ranks.
func (a *answers) steadiness(p *page.Page) {
	p.P("If the catalogue is rounded to %v mm and %v°, all its numbers may be half a step off, either way:", a.rounded.LengthStep, a.rounded.AngleStep)
	rows := [][]string{{"frame", "off by, tolerances: from", "to", "holds", "rank of these: from", "to"}}
	for i, s := range a.steady {
		holds := "never"
		switch {
		case s.Always:
			holds = "always"
		case s.Ever:
			holds = "perhaps"
		}
		rows = append(rows, []string{kit.SizeName(a.ranked.Choices[i].Size), kit.Fixed(s.Least, 2), kit.Fixed(s.Most, 2), holds, fmt.Sprint(s.First + 1), fmt.Sprint(s.Last + 1)})
	}
	p.Table(rows...)
}
