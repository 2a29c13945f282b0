// Day goes through a whole fitting day: it stands the bike level, records the rider's
// position, compares two sessions, chooses a frame, rebuilds the position on it, hands
// it over in two habits, and checks what was built.
//
//	go run ./examples/day [-morning FILE] [-evening FILE] [-catalogue FILE] [-shelf FILE] [-rebuilt FILE] [-o DIR]
//
// It prints a page in Markdown; with -o it writes DIR/day.html and the figures.
// Without flags it reads the files beside it. All data in them are invented: no such
// rider, bike or part exists.
package main

import (
	"bytes"
	"cmp"
	_ "embed"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/examples/internal/draw"
	"example.com/fitgeom/examples/internal/kit"
	"example.com/fitgeom/examples/internal/page"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/exchange"
	"example.com/fitgeom/fitgeom/region"
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
)

const (
	coverage = 0.99 // how sure a difference must be to count as real
	decimals = 1    // of mm and degrees
)

func main() {
	if err := run(os.Args[1:], os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

// files is what may take the place of the files beside the program.
type files struct{ morning, evening, rebuilt, shelf, catalogue string }

// run does the whole job and writes only when all of it went well.
func run(args []string, out io.Writer) error {
	flags, dir := page.Flags("day")
	var f files
	flags.StringVar(&f.morning, "morning", "", "survey of the rider's bike before anything was changed, JSON")
	flags.StringVar(&f.evening, "evening", "", "survey of the same bike as it is to stay, JSON")
	flags.StringVar(&f.rebuilt, "rebuilt", "", "survey of the new bike once it is built, JSON")
	flags.StringVar(&f.shelf, "shelf", "", "parts that may be used, JSON")
	flags.StringVar(&f.catalogue, "catalogue", "", "sizes of frames, CSV")
	if err := flags.Parse(args); err != nil {
		return err
	}
	p, err := build(f)
	if err != nil {
		return err
	}
	return p.Write(out, *dir)
}

// sessions is the three surveys of the day.
type sessions struct {
	docs [3]kit.Doc[survey.Survey]
	fix  [3]survey.Fix // morning, evening, rebuilt
}

func build(f files) (*page.Page, error) {
	var s sessions
	var shelf kit.Doc[fitgeom.Shelf]
	solve := func(i int) func() error {
		return func() (err error) {
			s.fix[i], err = s.docs[i].Value.Solve()
			return err
		}
	}
	sizes, err := catalogue(f.catalogue)
	if err := errors.Join(
		err,
		kit.Load(f.morning, "morning.json", morningJSON, &s.docs[0], solve(0)),
		kit.Load(f.evening, "evening.json", eveningJSON, &s.docs[1], solve(1)),
		kit.Load(f.rebuilt, "rebuilt.json", rebuiltJSON, &s.docs[2], solve(2)),
		kit.Load(f.shelf, "shelf.json", shelfJSON, &shelf, nil),
	); err != nil {
		return nil, err
	}

	p := page.New("day", "A fitting day, from the first reading to the last")
	p.P("A rider comes with a bike, is fitted on it, buys another frame, and wants the position on that. This page goes through the day with the library's answers at every step. " +
		"The rider, the bikes, the parts and all readings are invented. The other examples look at single steps more closely: " +
		"[survey](../survey/README.md), [choose](../choose/README.md), [reproduce](../reproduce/README.md), [translate](../translate/README.md), [crank](../crank/README.md).")
	level(p, &s)
	record(p, &s)
	if err := compare(p, &s); err != nil {
		return nil, err
	}
	target := s.fix[1].Position
	var best fitgeom.Choice
	if err := page.Step(os.Stderr, fmt.Sprintf("ranking %d sizes", len(sizes)), func() (err error) {
		best, err = choose(p, target, sizes, shelf.Value)
		return err
	}); err != nil {
		return nil, err
	}
	if best.Fault != nil {
		p.P("No frame takes the parts of the shelf: %v.", best.Fault)
		return p, nil
	}
	if err := rebuild(p, best); err != nil {
		return nil, err
	}
	if err := handOver(p, &s, best); err != nil {
		return nil, err
	}
	if err := check(p, &s, best); err != nil {
		return nil, err
	}
	p.H("8. Cautions")
	p.List(kit.Cautions(best.Best.Cautions)...)
	return p, nil
}

func catalogue(file string) ([]fitgeom.Size, error) {
	data := catalogueCSV
	if file != "" {
		var err error
		if data, err = os.ReadFile(file); err != nil {
			return nil, err
		}
	}
	sizes, err := exchange.ReadCatalogue(bytes.NewReader(data))
	return sizes, kit.Name(err, func(string) string { return cmp.Or(file, "catalogue.csv") })
}

// level says how the bike stood in the morning.
func level(p *page.Page, s *sessions) {
	p.H("1. Stand the bike, or at least know how it stands")
	p.P("Every number of a position counts from the bottom bracket along level ground, so the first question is where level is. An instrument that knows which way is up tells it " +
		"from the axles and the radii of the wheels. The bike need not be brought level for that; for setting it up with plumb line and level later, it must.")
	for _, d := range s.docs[:1] {
		if d.Note != "" {
			p.P("%s", d.Note)
		}
	}
	st, ok := s.fix[0].Standing()
	if !ok {
		p.P("This survey does not say which way is up.")
		return
	}
	lean, nose, wheel := "right", "down", "front"
	if st.Lean < 0 {
		lean = "left"
	}
	if st.NoseUp > 0 {
		nose, wheel = "up", "rear"
	}
	p.P("In the morning the bike leaned %s° ± %s° to the %s and stood %s° ± %s° nose-%s. To stand level: raise the %s wheel by %s mm. ± is twice the standard uncertainty, about 95 %%, here and below.",
		kit.Fixed(math.Abs(st.Lean), 1), kit.Fixed(2*st.LeanSigma, 1), lean, kit.Fixed(math.Abs(st.NoseUp), 1), kit.Fixed(2*st.NoseUpSigma, 1), nose, wheel, kit.Fixed(math.Abs(st.RaiseFront), 0))
	p.Figure(stands(s.docs[0].Value, s.fix[0], st))
}

// stands draws the bike as it stood, from the side.
func stands(doc survey.Survey, fix survey.Fix, st survey.Standing) *draw.Figure {
	v := draw.Side("day-stand", "How the bike stood in the morning", 0.5, -800, 1230, -350, 790, 40)
	sin, cos := math.Sincos(st.NoseUp * math.Pi / 180)
	turned := func(at r3.Vec) r3.Vec { return r3.Vec{X: at.X*cos - at.Z*sin, Z: at.X*sin + at.Z*cos} }
	rear, _, _ := fix.Mark(survey.RearAxleLeft)
	front, _, _ := fix.Mark(survey.FrontAxleLeft)
	rearFoot, frontFoot := turned(r3.Sub(rear, r3.Vec{Z: doc.RearRadius})), turned(r3.Sub(front, r3.Vec{Z: doc.FrontRadius}))
	v.Circle("wheel", v.At(turned(rear)), v.Scale*doc.RearRadius-2.5)
	v.Circle("wheel", v.At(turned(front)), v.Scale*doc.FrontRadius-2.5)
	slope := r3.Sub(frontFoot, rearFoot)
	v.Line("ghost", r3.Sub(rearFoot, r3.Scale(0.35, slope)), r3.Add(frontFoot, r3.Scale(0.35, slope)))
	high, low := rearFoot, frontFoot
	if frontFoot.Z > rearFoot.Z {
		high, low = frontFoot, rearFoot
	}
	ends := []r3.Vec{{X: rearFoot.X - 330, Z: high.Z}, {X: frontFoot.X + 330, Z: high.Z}}
	v.Line("edge", ends...)
	var all contact.Position
	for s, at := range fix.Position.All() {
		all.Set(s, r3.Add(turned(at), r3.Vec{Y: at.Y}))
	}
	v.Line("faint", turned(rear), r3.Vec{})
	v.Contacts("part", all)
	v.Hands("ghost", all)
	v.NameContacts(all)
	x := frontFoot.X + 400
	if low == rearFoot {
		x = rearFoot.X - 380
	}
	v.Upright(low, r3.Vec{X: low.X, Z: high.Z}, x, "raise by "+kit.Fixed(high.Z-low.Z, 0)+" mm")
	v.Name("ring", rearFoot, "")
	v.Name("ring", frontFoot, "")
	v.Desc = "Side view of wheels, saddle, bar and cranks as the bike stood, with the slope of the ground dashed and level as a thin line."
	v.Caption = "The slope to scale, not magnified. Dashed along the foot: the ground under the tyres. Thin: level. Under the lower wheel goes a block as high as the gap."
	return v.Figure
}

// record prints the position of the evening.
func record(p *page.Page, s *sessions) {
	p.H("2. Record the position")
	p.P("Each landmark was read several times, and the spread of the readings goes through to every contact point. This is the position of the evening, the one to keep:")
	fix := s.fix[1]
	rows := [][]string{{"site, mm from the bottom bracket", "forward", "±", "left", "±", "up", "±"}}
	for site, at := range fix.Position.All() {
		u, _ := fix.Covariance.Sigma(site)
		rows = append(rows, []string{
			site.String(), kit.Fixed(at.X, decimals), kit.Fixed(2*u.X, decimals), kit.Fixed(at.Y, decimals), kit.Fixed(2*u.Y, decimals), kit.Fixed(at.Z, decimals), kit.Fixed(2*u.Z, decimals),
		})
	}
	p.Table(rows...)
	if a, ok := fix.Position.Attitude(contact.SaddleReference); ok {
		u, _ := fix.Covariance.AttitudeSigma(contact.SaddleReference)
		p.P("Saddle tilt %s° ± %s°, positive nose-up.", kit.Signed(a.Tilt, 1), kit.Fixed(2*u.Tilt, 1))
	}
	var findings []string
	for i, when := range []string{"morning", "evening", "new bike"} {
		for _, f := range s.fix[i].Findings {
			findings = append(findings, fmt.Sprintf("%s: %v", when, f))
		}
	}
	if len(findings) > 0 {
		p.P("What the readings of the day should make one mind:")
		p.List(findings...)
	}
}

// compare says what the fitting changed.
func compare(p *page.Page, s *sessions) error {
	p.H("3. What the fitting changed, at a coverage of %v", coverage)
	p.P("The rider was fitted between the two sessions. Which of the differences are changes, and which only seem so?")
	moves, turns, err := survey.Compare(s.fix[0], s.fix[1], coverage)
	if err != nil {
		return err
	}
	p.Figure(draw.Moves("day-moves", "From morning to evening", s.docs[0].Value, s.fix[0], s.fix[1], moves, coverage))
	p.Table(kit.MoveRows(moves)...)
	for _, t := range turns {
		p.P("Tilt of the saddle: %s° ± %s°, by chance %s: %s.", kit.Signed(t.By, 1), kit.Fixed(2*t.Sigma, 1), kit.Chance(t.Chance), kit.Verdict(t.Real))
	}
	p.P("A difference that is not real is not proof that nothing moved: it is less than these readings can tell.")
	return nil
}

// choose ranks the catalogue and returns its best.
func choose(p *page.Page, target contact.Position, sizes []fitgeom.Size, shelf fitgeom.Shelf) (fitgeom.Choice, error) {
	none := fitgeom.Choice{}
	index, err := fitgeom.NewIndex(sizes, shelf)
	if err != nil {
		return none, err
	}
	// A size counts as near as another within a whole tolerance: fewer spacers then decide.
	ranked, err := index.Rank(target, fitgeom.Options{Limit: 5, Grain: 1})
	if err != nil {
		return none, err
	}
	h := draw.Host{Sizes: sizes, Best: ranked.Choices, Holds: make([]bool, len(sizes))}
	h.HeadFrom, h.HeadTo = math.Inf(1), math.Inf(-1)
	count := 0
	for i, s := range sizes {
		h.HeadFrom, h.HeadTo = min(h.HeadFrom, s.Frame.Geometry.HeadAngle), max(h.HeadTo, s.Frame.Geometry.HeadAngle)
		r, err := fitgeom.Reproduce(target, s.Frame, shelf, fitgeom.Options{Limit: 1})
		if h.Holds[i] = err == nil && r.Holds(); h.Holds[i] { // an error: no part fits
			count++
		}
	}
	p.H("4. Which frame: %d sizes, of which %d hold the position", len(sizes), count)
	best := ranked.Choices[0]
	if best.Fault == nil {
		if h.Region, err = region.New(target, kit.Bounds(shelf, h.HeadFrom, h.HeadTo), nil); err != nil {
			return none, err
		}
		b := best.Best.Build
		if h.Now, err = region.FrameNow(target, (h.HeadFrom+h.HeadTo)/2, region.FrontEnd{Up: 30, Stem: shelf.Stems[0], Bar: b.Handlebar, Lever: b.Lever}); err != nil {
			return none, err
		}
		p.P("The shelf's stems and spacers reach from a head tube to the hands only from some places. With %s on 30 mm the rider would now be on reach %s mm and stack %s mm, at a head angle of %s°.",
			shelf.Stems[0].Name, kit.Fixed(h.Now.Reach, 0), kit.Fixed(h.Now.Stack, 0), kit.Fixed((h.HeadFrom+h.HeadTo)/2, 1))
		p.Figure(draw.Region("day-region", 4, h))
	}
	rows := [][]string{{"rank", "frame", "reach, mm", "stack, mm", "holds", "off by, tolerances", "stem", "spacers, mm"}}
	for i, c := range ranked.Choices {
		name := c.Size.Family + " " + c.Size.Label
		if c.Fault != nil {
			rows = append(rows, []string{fmt.Sprint(i + 1), name, "", "", "no", "", c.Fault.Error()})
			continue
		}
		holds := "no"
		if c.Best.Holds {
			holds = "yes"
		}
		stem := c.Best.Build.Stem.Name
		if c.Best.Build.Settings.Flipped {
			stem += ", upside down"
		}
		rows = append(rows, []string{
			fmt.Sprint(i + 1), name, kit.Fixed(c.Size.Frame.Geometry.Reach, 0), kit.Fixed(c.Size.Frame.Geometry.Stack, 0),
			holds, kit.Fixed(c.Best.Score, 2), stem, kit.Fixed(c.Best.Build.Settings.Spacers, 1),
		})
	}
	p.Table(rows...)
	return best, nil
}

// rebuild shows the build that was chosen.
func rebuild(p *page.Page, best fitgeom.Choice) error {
	c := best.Best
	p.H("5. Build it: %s %s", best.Size.Family, best.Size.Label)
	if !c.Holds {
		p.P("No build holds the position. This one comes nearest.")
	}
	p.P("How far off the best build is, each site against its tolerance, and how much each setting may still move:")
	p.Table(kit.ResidualRows(c.Deviations)...)
	p.Figure(draw.Left("day-room", "Room that is left on "+best.Size.Family+" "+best.Size.Label, c))
	steps, err := fitgeom.SetUp(c, convert.Basis{SeatAngle: c.Build.Frame.Geometry.SeatAngle})
	if err != nil {
		return err
	}
	p.P("The settings, in the order of work, with how far each may go by itself:")
	for i, s := range steps {
		if s.Verify {
			steps = steps[:i]
			break
		}
	}
	p.Table(kit.StepRows(steps)...)
	return nil
}

// habits of two people, with where each measure lies in the figure.
var habits = []struct {
	who   string
	lines []draw.Line
}{
	{"who measures from the bottom bracket, upright and level", []draw.Line{
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
func handOver(p *page.Page, s *sessions, best fitgeom.Choice) error {
	c := best.Best
	basis := convert.Basis{SeatAngle: c.Build.Frame.Geometry.SeatAngle}
	p.H("6. Hand it over, to each in the habit that they have")
	p.P("A sheet that does not say from where to where is a riddle. These two say the same about the new bike; the column beside has what the same tape gave on the rider's own bike, with its uncertainty.")
	for i, h := range habits {
		p.P("%c. For a fitter %s:", 'a'+i, h.who)
		f, err := draw.Set(fmt.Sprintf("day-sheet-%c", 'a'+i), "The new bike, for a fitter "+h.who+", mm", c, h.lines)
		if err != nil {
			return err
		}
		p.Figure(f)
		rows := [][]string{{"measure", "new bike", "rider's bike", "±", "from", "to", "along", "positive when"}}
		for _, l := range append([]draw.Line{{Measure: convert.SaddleTilt}}, h.lines...) {
			d := l.Measure.Definition()
			is, err := l.Measure.Of(c.Position, basis)
			if err != nil {
				return err
			}
			row := []string{d.Name, kit.Fixed(is, decimals), "–", ""}
			if was, err := convert.NewSheetWithSigma(s.fix[1].Position, s.fix[1].Covariance, basis, l.Measure); err == nil {
				row[2], row[3] = kit.Fixed(was[0].Value, decimals), kit.Fixed(2*was[0].Sigma, decimals)
			}
			rows = append(rows, append(row, d.From, d.To, d.Along, d.Positive))
		}
		p.Table(rows...)
	}
	return nil
}

// check compares the new bike, as it was built and measured, with the position that
// was to be kept.
func check(p *page.Page, s *sessions, best fitgeom.Choice) error {
	p.H("7. Check what was built")
	p.P("The new bike is surveyed once it is built. A difference from the position that was to be kept matters if it is real and beyond tolerance. " +
		"Only sites that were asked for count: another saddle has its nose elsewhere, and nobody minds.")
	moves, _, err := survey.Compare(s.fix[1], s.fix[2], coverage)
	if err != nil {
		return err
	}
	tolerance := map[contact.Site]r3.Vec{}
	for _, r := range best.Best.Deviations {
		tolerance[r.Site] = r.Tolerance
	}
	var asked []contact.Move
	var repair []string
	rows := [][]string{{"site", "forward", "within", "left", "within", "up", "within", "difference", "tolerance"}}
	for _, m := range moves {
		t, ok := tolerance[m.Site]
		if !ok {
			continue
		}
		asked = append(asked, m)
		row, off := []string{m.Site.String()}, []string{}
		for _, c := range []struct {
			by, tolerance float64
			way           string
		}{{m.By.X, t.X, "forward"}, {m.By.Y, t.Y, "left"}, {m.By.Z, t.Z, "up"}} {
			within := "any"
			if c.tolerance > 0 {
				within = kit.Fixed(c.tolerance, decimals)
				if math.Abs(c.by) > c.tolerance {
					off = append(off, kit.Signed(c.by, decimals)+" mm "+c.way)
				}
			}
			row = append(row, kit.Signed(c.by, decimals), within)
		}
		verdict := "within"
		if len(off) > 0 {
			verdict = "beyond"
			if m.Real {
				repair = append(repair, draw.Name(m.Site)+" is off by "+strings.Join(off, " and "))
			}
		}
		rows = append(rows, append(row, kit.Verdict(m.Real), verdict))
	}
	p.Figure(draw.Moves("day-check", "From what was to be kept to what was built", s.docs[2].Value, s.fix[1], s.fix[2], asked, coverage))
	p.Table(rows...)
	if len(repair) == 0 {
		p.P("Nothing is both real and beyond tolerance: the position is kept.")
		return nil
	}
	p.P("Real and beyond tolerance, so to be set again and measured again:")
	p.List(repair...)
	return nil
}
