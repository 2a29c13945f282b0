// Timetrial puts a rider's aero position on another time-trial bike.
//
//	go run ./examples/timetrial [-target FILE] [-frame FILE] [-shelf FILE] [-request FILE] [-o DIR]
//
// It prints a page in Markdown: the best builds with how likely each is to be
// within tolerance, what must be bought, how they keep the rules of a race, the
// set-up sheet of the first build, and then what a position that is far lower would
// take. The target may be a position, a survey, a tape survey or a sheet; the request says what is
// kept, the race and the rider. With -o it writes DIR/timetrial.html and the figures. What no flag
// names is read from the files beside it, whose data are invented.
package main

import (
	"context"
	_ "embed"
	"errors"
	"math"
	"slices"

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
	e := kit.New("timetrial", func() (*page.Page, error) { return pageOf(&a) })
	kit.Asks(e, &a, kit.Beside{Target: positionJSON, TargetName: "position.json", Frame: frameJSON, Shelf: shelfJSON, Request: requestJSON})
	return e
}

// assumed is what is taken where nobody measured how well a position is known: along each axis
// 1 mm that all points have in common, and 1 mm of their own.
func assumed(p contact.Position) (contact.Covariance, error) {
	var coords []contact.Coordinate
	for s := range p.All() {
		for _, a := range []contact.Axis{contact.AxisX, contact.AxisY, contact.AxisZ} {
			coords = append(coords, contact.Coordinate{Site: s, Axis: a})
		}
	}
	return contact.NewCovariance(coords, func(i, j int) float64 {
		switch {
		case i == j:
			return 2
		case coords[i].Axis == coords[j].Axis:
			return 1
		}
		return 0
	})
}

// pageOf makes the page.
func pageOf(a *kit.Asked) (*page.Page, error) {
	q := a.Problem
	result, err := q.Solve(context.Background())
	if err != nil {
		return nil, a.Name(err)
	}
	best := result.Candidates[0]
	p := page.New("timetrial", "An aero position on another bike")
	p.P("The forearms lie on pads and the hands hold extensions. So an aero bar has more settings than a drop bar, and most of them come in steps. " +
		"The page goes through all of them, and says how likely a build is to be within tolerance, although neither the position nor the frame's chart is exact.")
	kit.Findings(p, a.Solved.Findings)
	if err := builds(p, a, result); err != nil {
		return nil, err
	}
	if err := limited(p, a, best.Build); err != nil {
		return nil, err
	}
	p.H("3. Set-up sheet of build 1")
	if err := kit.SetUp(p, best); err != nil {
		return nil, err
	}
	if err := lower(p, q); err != nil {
		return nil, err
	}
	if err := kit.Cautions(p, "5. Cautions", best); err != nil {
		return nil, err
	}
	p.How("`Problem.Solve` of `fitgeom/solve` finds the builds, with `Problem.Rules`, and `Problem.Chance` says how likely one is to be within tolerance.")
	return p, errors.Join(kit.Give(p, "position", "the position that is wanted, which -target of every page that asks for a bike reads", q.Target), kit.GiveBuild(p, best.Build), kit.Bike(p, "Set the bike up yourself: build 1, in your hands", q, best.Build))
}

// builds shows the best builds with their chances, and the first of them in figures.
func builds(p *page.Page, a *kit.Asked, r solve.Result) error {
	q := a.Problem
	p.H("1. The best of %d ways to build it on frame %q", r.Combinations, q.Frame.Name)
	p.P("The score says how far off the worst coordinate is: 1 is the edge of its tolerance.")
	cov, whence := a.Solved.Covariance, "with the uncertainty of what was measured"
	if a.Request.Target.Kind() == "position" {
		whence = "if each point is uncertain by 1 mm of its own and 1 mm that all have in common, which this page assumes since a position does not say it,"
		var err error
		if cov, err = assumed(q.Target); err != nil {
			return err
		}
	}
	for i, c := range r.Candidates {
		chance, err := q.Chance(context.Background(), c, solve.Errors{Target: cov, Rounding: chart.Rounding{LengthStep: 1, AngleStep: 0.1}})
		if err != nil {
			return err
		}
		if err := kit.Describe(p, i+1, c); err != nil {
			return err
		}
		p.P("The chance that all of it is within tolerance %s and if the frame's chart is rounded to 1 mm and 0.1°, is %s.%s", whence, kit.Fixed(chance, 2), buy(q, c))
		if i > 0 {
			continue
		}
		if err := errors.Join(
			p.Draw(draw.Set("timetrial-bike", "Build 1 as it is set up, mm", c.Build, []draw.Line{
				{Measure: convert.SaddleHeight, At: 130},
				{Measure: convert.SaddleSetback, At: -110},
				{Measure: convert.PadStack, At: 560},
				{Measure: convert.PadReach, At: -180},
				{Measure: convert.ExtensionReach, At: 860},
				{Measure: convert.BarDropPads, At: 250},
			})),
			p.Draw(draw.Left("timetrial-room", "Room left on build 1", c.Build)),
		); err != nil {
			return err
		}
	}
	return nil
}

// buy says what has to be bought, where it is known what is on the bike.
func buy(q solve.Problem, c fitgeom.Candidate) string {
	if q.Bike == (fitgeom.Build{}) {
		return ""
	}
	return " To buy: " + draw.Words(c.Buy) + "."
}

// limited says of a build what the rules of the race say of a rider's position.
func limited(p *page.Page, a *kit.Asked, b fitgeom.Build) error {
	q, race := a.Problem, a.Request.Rules
	if len(q.Rules.Rules) == 0 {
		p.H("2. Rules")
		p.P("The request names no race, so that no rules were asked for.")
		return nil
	}
	p.H("2. Rules of a race on %v: %s", race.On, draw.Words(race.Discipline))
	p.P("A build that is known to break a rule does not hold the position. This is what the rules say of build 1, as far as they are about saddle, bar and aero bar:")
	found, err := q.Rules.Check(b, q.Rider)
	if err != nil {
		return err
	}
	rows := [][]string{{"rule", "build 1", "verdict", "how the number was seen"}}
	for _, f := range found {
		if !slices.ContainsFunc([]contact.Group{contact.OnSaddle, contact.OnHandlebar, contact.OnAeroBar}, f.Rule.DependsOn) {
			continue
		}
		unit, value := f.Rule.Figure.Unit(), "not stated"
		if f.Stated {
			value = kit.Fixed(f.Value, 1) + " " + unit
		}
		verdict := "not known"
		switch {
		case f.Known && f.Kept:
			verdict = "kept"
		case f.Known:
			verdict = "broken by " + kit.Fixed(math.Abs(f.By), 1) + " " + unit
		}
		rows = append(rows, []string{f.Rule.String(), value, verdict, f.Rule.Seen})
	}
	p.Table(rows...)
	tall := "How tall the rider is was not stated."
	if q.Rider.Height != 0 {
		tall = "The rider is " + kit.Fixed(q.Rider.Height/10, 0) + " cm tall."
	}
	p.P("%s %s Ask for the text that is in force: what stands here was quoted by others or remembered, as the last column says.", tall, fitgeom.CautionRaceRules.Words())
	return nil
}

// lower wants pads and hands that are too low for the frame, and says what they would
// take.
func lower(p *page.Page, q solve.Problem) error {
	p.H("4. The same with pads and hands 140 mm lower")
	for _, s := range []contact.Site{contact.PadLeft, contact.PadRight, contact.ExtensionLeft, contact.ExtensionRight} {
		if at, ok := q.Target.At(s); ok {
			q.Target.Set(s, r3.Sub(at, r3.Vec{Z: 140}))
		}
	}
	obstacles, err := kit.Nearest(p, q, "timetrial-low", "140 mm lower: how far off the nearest build is")
	for _, o := range obstacles {
		p.P("Together these would do, and add up to the least:")
		p.List(kit.Changes(o.Together)...)
	}
	return err
}
