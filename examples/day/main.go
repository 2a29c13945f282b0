// Day goes through a whole fitting day: it stands the bike level, records the rider's
// position, compares two sessions, chooses a frame, rebuilds the position on it, hands
// it over in two conventions, and checks what was built.
//
//	go run ./examples/day [-morning FILE] [-evening FILE] [-catalogue FILE] [-shelf FILE] [-request FILE] [-rebuilt FILE] [-coverage 0.99] [-o DIR]
//
// It prints a page in Markdown; with -o it writes DIR/day.html and the figures. The position that is
// wanted is that of the evening; the request says what of it is kept, and what else is asked of the
// new bike. What no flag names is read from the files beside it, whose data are invented: no such
// rider, bike or part exists.
package main

import (
	"context"
	_ "embed"
	"errors"
	"fmt"
	"math"
	"os"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/examples/internal/draw"
	"example.com/fitgeom/examples/internal/kit"
	"example.com/fitgeom/examples/internal/live"
	"example.com/fitgeom/examples/internal/page"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/rank"
	"example.com/fitgeom/fitgeom/region"
	"example.com/fitgeom/fitgeom/solve"
	"gonum.org/v1/gonum/spatial/r3"
)

var (
	//go:embed morning.json
	morningJSON []byte
	//go:embed evening.json
	eveningJSON []byte
	//go:embed rebuilt.json
	rebuiltJSON []byte
	//go:embed shelf.json
	shelfJSON []byte
	//go:embed catalogue.csv
	catalogueCSV []byte
	//go:embed request.json
	requestJSON []byte
)

const decimals = 1 // of mm and degrees

func main() { example().Main() }

// The three surveys of the day.
const (
	morning = iota
	evening
	rebuilt
)

// input is what the program reads.
type input struct {
	docs  [3]kit.Doc[survey.Survey]
	fix   [3]survey.Fix
	asked kit.Asked
	// coverage is how sure a difference must be to count as real.
	coverage float64
}

func example() *kit.Example {
	var in input
	e := kit.New("day", in.page)
	kit.Solved(e, &in.docs[morning], &in.fix[morning], "morning", "survey of the rider's bike before anything was changed", morningJSON)
	kit.Solved(e, &in.docs[evening], &in.fix[evening], "evening", "survey of the same bike as it is to stay", eveningJSON)
	kit.Solved(e, &in.docs[rebuilt], &in.fix[rebuilt], "rebuilt", "survey of the new bike once it is built", rebuiltJSON)
	kit.Asks(e, &in.asked, kit.Beside{
		Read: &in.docs[evening].Value, ReadBy: "evening", Catalogue: catalogueCSV, Shelf: shelfJSON, Request: requestJSON,
	})
	e.Together("morning", "evening", "rebuilt")
	e.Number(&in.coverage, "coverage", 0.99, 0.5, 0.9999, "", "how sure a difference must be to count as real, below 1")
	return e
}

func (in *input) page() (*page.Page, error) {
	p := page.New("day", "A fitting day, from the first reading to the last")
	p.P("A rider comes with a bike, is fitted on it, buys another frame, and wants the position on it. This page goes through the day with the library's answers at every step. " +
		"The other examples look at single steps more closely: " +
		"[survey](../survey/README.md), [choose](../choose/README.md), [reproduce](../reproduce/README.md), [translate](../translate/README.md), [crank](../crank/README.md).")
	kit.Left(p, in.asked.Left)
	in.level(p)
	in.record(p)
	if err := in.compare(p); err != nil {
		return nil, err
	}
	sizes := in.asked.Request.Sizes
	var best rank.Choice
	if err := page.Step(os.Stderr, fmt.Sprintf("ranking %d sizes", len(sizes)), func() (err error) {
		best, err = choose(p, in.asked.Problem, sizes)
		return err
	}); err != nil {
		return nil, in.asked.Name(err)
	}
	if best.Fault != nil {
		p.P("No frame takes the parts of the shelf: %v.", best.Fault)
		return p, nil
	}
	if err := errors.Join(rebuild(p, best), in.handOver(p, best.Best.Build), in.check(p, best.Best)); err != nil {
		return nil, err
	}
	if err := kit.Cautions(p, "8. Cautions", best.Best); err != nil {
		return nil, err
	}
	p.How("`contact/survey` solves the sessions and compares them, `fitgeom/rank` ranks the sizes, `fitgeom/solve` builds, and `convert` writes the sheets.")
	return p, errors.Join(
		kit.Give(p, "evening", "the position of the evening, which -target of every page that asks for a bike reads", in.fix[evening].Position),
		kit.Give(p, "fix", "the same with its uncertainty and what the survey found", in.fix[evening]), kit.GiveBuild(p, best.Best.Build))
}

// level says how the bike stood in the morning.
func (in *input) level(p *page.Page) {
	p.H("1. Level the bike, or at least know how it stands")
	p.P("Every number of a position is measured from the bottom bracket, along level ground or square to it. So the first question is which way is level. An instrument that knows which way is up tells it " +
		"from the axles and the radii of the wheels. The bike need not stand level for that. It must stand level later, when it is set up with plumb line and spirit level.")
	doc, fix := in.docs[morning], in.fix[morning]
	if doc.Note != "" {
		p.P("%s", doc.Note)
	}
	st, ok := fix.Standing()
	if !ok {
		p.P("This survey does not say which way is up.")
		return
	}
	lean, nose, wheel := kit.Stood(st)
	p.P("In the morning the bike leaned %s° ± %s° to the %s and stood %s° ± %s° nose-%s. To stand level: raise the %s wheel by %s mm. Here and below, ± is twice the standard uncertainty, about 95 %%.",
		kit.Fixed(math.Abs(st.Lean), 1), kit.Fixed(2*st.LeanSigma, 1), lean, kit.Fixed(math.Abs(st.NoseUp), 1), kit.Fixed(2*st.NoseUpSigma, 1), nose, wheel, kit.Fixed(max(st.RaiseFront, st.RaiseRear), 0))
	p.Figure(draw.Stood("day-stand", "How the bike stood in the morning", doc.Value, fix, st))
}

// record prints the position of the evening.
func (in *input) record(p *page.Page) {
	p.H("2. Record the position")
	p.P("Each landmark was read several times. The spread of the readings goes through to every contact point. This is the position of the evening, the one to keep:")
	fix := in.fix[evening]
	p.Table(kit.PositionRows(fix.Position, fix.Covariance)...)
	kit.Tilt(p, fix.Position, fix.Covariance)
	var findings []string
	for i, when := range []string{"morning", "evening", "new bike"} {
		for _, f := range in.fix[i].Findings {
			findings = append(findings, when+": "+draw.Words(f))
		}
		for _, f := range in.fix[i].Position.Findings() {
			findings = append(findings, when+": "+f.String())
		}
	}
	if len(findings) > 0 {
		p.P("What the readings of the day should make one mind:")
		p.List(findings...)
	}
}

// compare says what the fitting changed.
func (in *input) compare(p *page.Page) error {
	p.H("3. What the fitting changed, at a coverage of %v", in.coverage)
	p.P("The rider was fitted between the two sessions. Which of the differences are changes, and which only seem so?")
	moves, turns, err := survey.Compare(in.fix[morning], in.fix[evening], in.coverage)
	if err != nil {
		return err
	}
	p.Figure(draw.Moves("day-moves", "From morning to evening", draw.Sessions{
		Survey: in.docs[morning].Value, Before: in.fix[morning], After: in.fix[evening], Moves: moves, Coverage: in.coverage,
	}))
	p.Table(kit.MoveRows(moves)...)
	kit.Turns(p, turns)
	p.P("A difference that is not real does not prove that nothing moved. It is less than these readings can tell. By chance: how often measuring errors alone would cause such a difference.")
	return nil
}

// choose ranks the catalogue and returns its best.
func choose(p *page.Page, q solve.Problem, sizes []fitgeom.Size) (best rank.Choice, err error) {
	index, err := rank.NewIndex(context.Background(), sizes)
	if err != nil {
		return best, err
	}
	ranked, err := index.Rank(context.Background(), q)
	if err != nil {
		return best, err
	}
	holds, count := kit.Holding(q, sizes)
	p.H("4. Which frame: %d sizes, of which %d hold the position", len(sizes), count)
	best = ranked.Choices[0]
	if best.Fault == nil {
		h := draw.Host{Sizes: sizes, Best: ranked.Choices, Holds: holds}
		if err := where(p, h, q, best.Best.Build); err != nil {
			return best, err
		}
	}
	rows := [][]string{{"rank", "frame", "reach, mm", "stack, mm", "holds", "off by, tolerances", "stem", "spacers, mm"}}
	for i, c := range ranked.Choices {
		row := []string{fmt.Sprint(i + 1), kit.SizeName(c.Size)}
		if c.Fault != nil {
			rows = append(rows, append(row, "", "", "no", "", c.Fault.Error()))
			continue
		}
		g, b := c.Size.Frame.Geometry, c.Best.Build
		stem, err := kit.Stem(b)
		if err != nil {
			return best, err
		}
		rows = append(rows, append(row, kit.Fixed(g.Reach, 0), kit.Fixed(g.Stack, 0),
			kit.Yes(c.Holds()), kit.Fixed(c.Best.Score(), 2), stem, kit.Fixed(b.Settings.Spacers, 1)))
	}
	p.Table(rows...)
	return best, nil
}

// where draws where a head tube's top may be, and where the one is that the rider is on
// now, by a build's bar and levers.
func where(p *page.Page, h draw.Host, q solve.Problem, b fitgeom.Build) (err error) {
	h.HeadFrom, h.HeadTo = live.HeadAngles(h.Sizes)
	if h.Region, err = region.New(context.Background(), q.Target, live.Bounds(q.Shelf, h.HeadFrom, h.HeadTo), nil); err != nil {
		return err
	}
	if h.Level, err = h.Region.AtLeast(context.Background(), draw.Movable); err != nil {
		return err
	}
	middle := (h.HeadFrom + h.HeadTo) / 2
	stem := q.Shelf.Stems[0]
	if h.Now, err = region.FrameNow(q.Target, middle, region.FrontEnd{Up: 30, Stem: stem, StemAngle: stem.Angles.From, Quill: stem.Quill.From, Handlebar: b.Handlebar, Lever: b.Lever}); err != nil {
		return err
	}
	p.P("The shelf's stems and spacers reach the hands only from some places of the head tube. With %s on 30 mm of cap and spacers, the hands would be where they are wanted on a frame of reach %s mm and stack %s mm, at a head angle of %s°.",
		stem.Name, kit.Fixed(h.Now.Reach, 0), kit.Fixed(h.Now.Stack, 0), kit.Fixed(middle, 1))
	p.Figure(draw.Region("day-region", 4, h))
	return nil
}

// rebuild shows the build that was chosen.
func rebuild(p *page.Page, best rank.Choice) error {
	c, name := best.Best, kit.SizeName(best.Size)
	p.H("5. Build it: %s", name)
	if !c.Holds() {
		p.P("No build holds the position. This one comes nearest.")
	}
	p.P("This is how far off the best build is at each site, and how far each setting may still move:")
	p.Table(kit.DeviationRows(c.Deviations)...)
	if err := p.Draw(draw.Left("day-room", "Room left on "+name, c.Build)); err != nil {
		return err
	}
	steps, err := solve.SetUp(c, convert.Basis{SeatAngle: c.Build.Frame.Geometry.SeatAngle})
	if err != nil {
		return err
	}
	p.P("These are the settings, in the order of work, with how far each may go by itself:")
	for i, s := range steps {
		if s.Verify {
			steps = steps[:i]
			break
		}
	}
	p.Table(kit.StepRows(steps)...)
	return nil
}

// conventions of two people, with where each measure lies in the figure.
var conventions = []struct {
	who   string
	lines []draw.Line
}{
	{"who measures from the bottom bracket, vertically and horizontally", []draw.Line{
		{Measure: convert.SaddleHeightVertical, At: -480},
		{Measure: convert.SaddleSetback, At: -110},
		{Measure: convert.BarStack, At: 760},
		{Measure: convert.HoodsStack, At: 900},
		{Measure: convert.HoodsReach, At: -250},
	}},
	{"who lays the tape along the seat tube and from the saddle's nose", []draw.Line{
		{Measure: convert.SaddleHeightSeatTube, At: 130},
		{Measure: convert.SaddleSetbackNose, At: -110},
		{Measure: convert.ReachNoseClamp, At: 60},
		{Measure: convert.ReachNoseHoods, At: 140},
		{Measure: convert.BarDropClampHighest, At: 230},
	}},
}

// handOver writes the sheets.
func (in *input) handOver(p *page.Page, b fitgeom.Build) error {
	position, err := b.Position()
	if err != nil {
		return err
	}
	old := in.fix[evening]
	basis := convert.Basis{SeatAngle: b.Frame.Geometry.SeatAngle}
	p.H("6. Hand it over, to each fitter in their own convention")
	p.P("A sheet that does not say from where to where is a riddle. These two sheets say the same about the new bike. The next column has what the same tape gave on the rider's own bike, with its uncertainty.")
	for i, h := range conventions {
		p.P("%c. For a fitter %s:", 'a'+i, h.who)
		if err := p.Draw(draw.Set(fmt.Sprintf("day-sheet-%c", 'a'+i), "The new bike, for a fitter "+h.who+", mm", b, h.lines)); err != nil {
			return err
		}
		rows := [][]string{{"measure", "new bike", "rider's bike", "±", "from", "to", "along", "positive when"}}
		for _, l := range append([]draw.Line{{Measure: convert.SaddleTilt}}, h.lines...) {
			d := l.Measure.Definition()
			is, err := l.Measure.Of(position, basis)
			if err != nil {
				return err
			}
			row := []string{draw.Words(l.Measure), kit.Fixed(is, decimals), "–", ""}
			if was, err := convert.NewSheetWithSigma(old.Position, old.Covariance, basis, l.Measure); err == nil {
				row[2], row[3] = kit.Fixed(was.Entries[0].Value, decimals), kit.Fixed(2*was.Entries[0].Sigma, decimals)
			}
			rows = append(rows, append(row, d.From, d.To, d.Along, d.Positive))
		}
		p.Table(rows...)
	}
	return nil
}

// check compares the new bike, as it was built and measured, with the position that
// was to be kept.
func (in *input) check(p *page.Page, best fitgeom.Candidate) error {
	p.H("7. Check what was built")
	p.P("Survey the new bike once it is built. A difference from the position to keep matters if it is real and beyond tolerance. " +
		"Only the sites that were asked for count: another saddle has its nose elsewhere, and nobody minds.")
	moves, _, err := survey.Compare(in.fix[evening], in.fix[rebuilt], in.coverage)
	if err != nil {
		return err
	}
	allowed := map[contact.Site]r3.Vec{}
	for _, r := range best.Deviations {
		allowed[r.Site] = r.Tolerance
	}
	var asked []contact.Move
	var repair []string
	rows := [][]string{{"site", "forward", "within", "left", "within", "up", "within", "difference", "tolerance"}}
	for _, m := range moves {
		t, ok := allowed[m.Site]
		if !ok {
			continue
		}
		asked = append(asked, m)
		row := []string{draw.Words(m.Site)}
		for _, c := range []struct {
			by        float64
			tolerance *float64
		}{{m.By.X, &t.X}, {m.By.Y, &t.Y}, {m.By.Z, &t.Z}} {
			within := "any"
			if *c.tolerance > 0 {
				within = kit.Fixed(*c.tolerance, decimals)
			}
			row = append(row, kit.Signed(c.by, decimals), within)
			if math.Abs(c.by) <= *c.tolerance {
				*c.tolerance = 0 // what is within need not be set again
			}
		}
		off := fitgeom.Deviation{Keep: fitgeom.Keep{Site: m.Site, Tolerance: t}, Off: m.By}
		verdict := "within"
		if !off.Within() {
			verdict = "beyond"
			if m.Real {
				repair = append(repair, draw.Words(m.Site)+": "+kit.Off(off.Describe()))
			}
		}
		rows = append(rows, append(row, kit.Verdict(m.Real), verdict))
	}
	p.Figure(draw.Moves("day-check", "From what was to be kept to what was built", draw.Sessions{
		Survey: in.docs[rebuilt].Value, Before: in.fix[evening], After: in.fix[rebuilt], Moves: asked, Coverage: in.coverage, Tolerance: allowed,
	}))
	p.Table(rows...)
	if len(repair) == 0 {
		p.P("No difference is both real and beyond tolerance: the position is kept.")
		return nil
	}
	p.P("These sites are really off, and by more than the tolerance. Set them again, then measure again:")
	p.List(repair...)
	return nil
}
