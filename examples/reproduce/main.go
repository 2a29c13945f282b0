// Reproduce rebuilds a rider's position on another bike.
//
//	go run ./examples/reproduce [-target FILE] [-frame FILE] [-shelf FILE] [-request FILE] [-o DIR]
//
// It reads the position on bike A, as a survey, a tape survey, a sheet or a position, the frame of
// bike B and a shelf of parts, and what else is asked. It prints a page in Markdown: what was
// measured, what is asked of bike B, the best builds, the set-up sheet of the first, and cautions.
// With -o it writes DIR/reproduce.html and the figures. What no flag names is read from the files
// beside it, whose data are invented: no such bike, rider or part exists.
package main

import (
	"context"
	_ "embed"
	"errors"
	"fmt"
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/examples/internal/draw"
	"example.com/fitgeom/examples/internal/kit"
	"example.com/fitgeom/examples/internal/page"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/solve"
)

var (
	//go:embed survey.json
	surveyJSON []byte
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
	e := kit.New("reproduce", func() (*page.Page, error) { return pageOf(&a) })
	kit.Asks(e, &a, kit.Beside{Target: surveyJSON, TargetName: "survey.json", Frame: frameJSON, Shelf: shelfJSON, Request: requestJSON})
	return e
}

func pageOf(a *kit.Asked) (*page.Page, error) {
	q := a.Problem
	result, err := q.Solve(context.Background())
	if err != nil {
		return nil, a.Name(err) // a shelf of parts that do not go together
	}
	best := result.Candidates[0]

	p := page.New("reproduce", "One position, another bike")
	p.P("A rider's position is known on bike A and wanted on bike B. What an instrument read is turned into contact points, " +
		"each with its uncertainty; a tape survey, a sheet or a stored position will do as well. Every way to build bike B from a frame and a shelf of parts is gone through, " +
		"with the best settings of each, how far off it is and how much room is left, down to the set-up sheet.")
	if err := measured(p, a); err != nil {
		return nil, err
	}
	asked(p, q)
	if err := builds(p, q, result); err != nil {
		return nil, err
	}
	if err := obstacles(p, q, best); err != nil {
		return nil, err
	}
	if err := setUp(p, q.Target, best); err != nil {
		return nil, err
	}
	if err := kit.Cautions(p, "5. Cautions", best); err != nil {
		return nil, err
	}
	p.How("`contact/survey` solves the readings, `fitgeom/solve` finds the builds, and `solve.SetUp` writes the sheet with measures of `convert`.")
	return p, errors.Join(kit.Give(p, "position", "the position that is wanted, which -target of every page that asks for a bike reads", q.Target), kit.GiveBuild(p, best.Build), kit.Bike(p, "Set bike B up yourself: build 1, in your hands", q, best.Build))
}

// measured says what is known of bike A, and how well.
func measured(p *page.Page, a *kit.Asked) error {
	p.H("1. What is known of bike A")
	t := a.Request.Target
	if t.Kind() == "survey" {
		fix, err := t.Survey.Solve()
		if err != nil {
			return err
		}
		surveyed(p, t.Survey, fix)
	}
	var findings []string
	for _, f := range a.Solved.Findings {
		findings = append(findings, fmt.Sprintf("Mind: %v.", f))
	}
	p.List(findings...)
	p.P("Here and below, ± is twice the standard uncertainty, about 95 %. A question mark says that it is not known.")
	p.Table(kit.PositionRows(a.Solved.Position, a.Solved.Covariance)...)
	kit.Tilt(p, a.Solved.Position, a.Solved.Covariance)
	return nil
}

// surveyed says how bike A stood.
func surveyed(p *page.Page, read survey.Survey, fix survey.Fix) {
	if s, ok := fix.Standing(); ok {
		lean, nose, wheel := kit.Stood(s)
		p.P("The bike leaned %s° to the %s and stood %s° nose-%s. To stand level: raise the %s wheel by %s mm. "+
			"The instrument's own axes pointed anywhere. The axles and the bottom bracket tell which way the bike faces.",
			kit.Fixed(math.Abs(s.Lean), 1), lean, kit.Fixed(math.Abs(s.NoseUp), 1), nose, wheel, kit.Fixed(max(s.RaiseFront, s.RaiseRear), 0))
	}
	if n := len(read.Trueness); n > 0 {
		p.P("Of %d pairs of left and right landmarks the survey states how true they are, so that they count for more than is usual of frames.", n)
	}
	p.P("The front wheel was turned by %s (positive: left). The bar is given as it is with the wheel straight.", kit.Degrees(fix.Steer, fix.SteerSigma))
}

func asked(p *page.Page, q solve.Problem) {
	p.H("2. What is asked of bike B, frame %q", q.Frame.Name)
	p.P("These must come back to where they were, within these tolerances. What nobody asks for may be anywhere.")
	rows := [][]string{{"site, mm", "forward", "within", "left", "within", "up", "within"}}
	keep := q.Keep
	if keep == nil {
		keep = fitgeom.DefaultKeep(q.Target)
	}
	for _, k := range keep {
		at, _ := q.Target.At(k.Site)
		row := []string{draw.Words(k.Site)}
		for _, c := range [][2]float64{{at.X, k.Tolerance.X}, {at.Y, k.Tolerance.Y}, {at.Z, k.Tolerance.Z}} {
			if c[1] == 0 {
				row = append(row, "any", "")
				continue
			}
			row = append(row, kit.Fixed(c[0], 1), kit.Fixed(c[1], 1))
		}
		rows = append(rows, row)
	}
	p.Table(rows...)
}

func builds(p *page.Page, q solve.Problem, r solve.Result) error {
	p.H("3. The best of %d ways to build it", r.Combinations)
	p.P("A build's score is the root of the sum of the squares of its deviations, each divided by its tolerance: the lower, the better.")
	if !r.Holds() {
		p.P("No build holds the position. These come nearest.")
	}
	for i, c := range r.Candidates {
		if err := kit.Describe(p, i+1, c); err != nil {
			return err
		}
		if i == 0 {
			if err := figures(p, q.Target, c); err != nil {
				return err
			}
		}
		margins, err := c.Build.Margins()
		if err != nil {
			return err
		}
		rows := [][]string{{"room left", "", "unit"}}
		for _, m := range margins {
			rows = append(rows, []string{m.Limit.Words(), kit.Fixed(m.Room, 1), m.Limit.Unit()})
		}
		p.Table(rows...)
	}
	return nil
}

// figures draws a build, how far off it is, and its room.
func figures(p *page.Page, target contact.Position, c fitgeom.Candidate) error {
	return errors.Join(
		p.Draw(draw.Set("reproduce-bike", "Bike B as build 1 sets it up, mm", c.Build, []draw.Line{
			{Measure: convert.SaddleHeight, At: 130},
			{Measure: convert.SaddleSetback, At: -110},
			{Measure: convert.ReachHoodsHorizontal, At: 800},
			{Measure: convert.BarDropHoods, At: 720},
			{Measure: convert.BarStack, At: 850},
		})),
		p.Draw(draw.Off("reproduce-off", "How far off build 1 is", target, c)),
		p.Draw(draw.Left("reproduce-room", "Room left on build 1", c.Build)),
	)
}

// obstacles says what would free a build that does not hold.
func obstacles(p *page.Page, q solve.Problem, c fitgeom.Candidate) error {
	found, err := q.Explain(context.Background(), c)
	if err != nil || len(found) == 0 {
		return err
	}
	var items []string
	for _, o := range found {
		items = append(items, draw.Words(o))
	}
	p.P("These changes would free build 1. Each goes beyond what its parts allow:")
	p.List(items...)
	return nil
}

// sheet is the order in which a fitter sets and checks: seat first, then front.
var sheet = []convert.Measure{
	convert.CrankLength, convert.SaddleTilt, convert.SaddleHeight, convert.SaddleHeightSeatTube, convert.SaddleHeightPedal,
	convert.SaddleSetback, convert.SaddleSetbackNose, convert.BarDropClamp, convert.BarDropHoods, convert.ReachClamp, convert.ReachClampHorizontal,
	convert.ReachHoods, convert.ReachHoodsHorizontal, convert.BarStack, convert.BarReach, convert.HoodsWidth,
}

// setUp shows what is to be set and verified, and what the same tape gives on bike A.
func setUp(p *page.Page, target contact.Position, c fitgeom.Candidate) error {
	basis := convert.Basis{SeatAngle: c.Build.Frame.Geometry.SeatAngle}
	steps, err := solve.SetUp(c, basis, sheet...)
	if err != nil {
		return err
	}
	p.H("4. Set-up sheet of build 1")
	p.P("Stand the bike level. Go down this sheet, set each number, and verify it with tape and level, on either side where the sides differ. The last column is what the same tape gives on bike A.")
	rows := kit.StepRows(steps)
	rows[0] = append(rows[0], "bike A")
	for i, s := range steps {
		was := ""
		if s.Verify {
			m, err := convert.ParseMeasure(s.Name)
			if err != nil {
				return err
			}
			on := basis
			on.Side = s.Side
			if v, err := m.Of(target, on); err == nil {
				was = kit.Fixed(v, 1)
			}
		}
		rows[i+1] = append(rows[i+1], was)
	}
	p.Sheet(rows...)
	p.P("The seat tube line is at %s°.", kit.Fixed(basis.SeatAngle, 1))
	return nil
}
