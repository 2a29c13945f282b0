// Timetrial puts a rider's aero position on another time-trial bike.
//
//	go run ./examples/timetrial [-position FILE] [-frame FILE] [-shelf FILE] [-o DIR]
//
// It prints a page in Markdown: the best builds with how likely each is to be
// within tolerance, what must be bought, how they keep the rules of a race, the
// set-up sheet of the first build, and then what a position that is far lower would
// take. With -o it writes DIR/timetrial.html and the figures. Without flags it reads
// the files beside it. All data in them are invented.
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
	"example.com/fitgeom/fitgeom/rules"
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
)

func main() { example().Main() }

func example() *kit.Example {
	return kit.Rebuild("timetrial", positionJSON, frameJSON, shelfJSON, pageOf)
}

// keep asks for saddle, pads and tips; the hands on the base bar may be where
// they come to be.
var keep = []fitgeom.Keep{
	{Site: contact.SaddleReference, Tolerance: r3.Vec{X: 4, Z: 4}},
	{Site: contact.PadLeft, Tolerance: r3.Vec{X: 5, Y: 5, Z: 5}},
	{Site: contact.PadRight, Tolerance: r3.Vec{X: 5, Y: 5, Z: 5}},
	{Site: contact.ExtensionLeft, Tolerance: r3.Vec{X: 8, Y: 8, Z: 8}},
	{Site: contact.ExtensionRight, Tolerance: r3.Vec{X: 8, Y: 8, Z: 8}},
}

// raceDay is the day of the race, by whose rules a build has to go.
var raceDay = rules.Date{Year: 2026, Month: 6, Day: 7}

// problem asks for builds that differ in stem, bar or aero bar and keep the rules of the race. The first crank, saddle and seatpost of the shelf are on the bike already.
func problem(target contact.Position, f fitgeom.Frame, s fitgeom.Shelf) (solve.Problem, error) {
	set, ok := rules.InForce(rules.TimeTrial, raceDay)
	if !ok {
		return solve.Problem{}, errors.New("no rules are known")
	}
	return solve.Problem{
		Target: target, Frame: f, Shelf: s, Keep: keep, Limit: 3, Rules: set, Rider: rules.Rider{Height: 1830},
		Bike: fitgeom.Build{Crank: s.Cranks[0], Saddle: s.Saddles[0], Seatpost: s.Seatposts[0]},
	}, nil
}

// covariance is what two instruments could have told: 1 mm that all points have
// in common along each axis, and 1 mm of their own.
func covariance(p contact.Position) (contact.Covariance, error) {
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
func pageOf(position contact.Position, f fitgeom.Frame, s fitgeom.Shelf) (*page.Page, error) {
	q, err := problem(position, f, s)
	if err != nil {
		return nil, err
	}
	result, err := q.Solve(context.Background())
	if err != nil {
		return nil, err
	}
	best := result.Candidates[0]
	p := page.New("timetrial", "An aero position on another bike")
	p.P("The forearms lie on pads and the hands hold extensions. So an aero bar has more settings than a drop bar, and most of them come in steps. " +
		"`Problem.Solve` of `fitgeom/solve` goes through all of them. `Problem.Chance` says how likely a build is to be within tolerance, although neither the survey nor the frame's chart is exact. " +
		"The files beside this program are invented: no such bike, rider or part exists.")
	if err := builds(p, q, result); err != nil {
		return nil, err
	}
	if err := limited(p, q, best.Build); err != nil {
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
	return p, kit.Bike(p, "Set the bike up yourself: build 1, in your hands", q.Target, best.Build, q.Shelf)
}

// builds shows the best builds with their chances, and the first of them in figures.
func builds(p *page.Page, q solve.Problem, r solve.Result) error {
	p.H("1. The best of %d ways to build it on frame %q", r.Combinations, q.Frame.Name)
	p.P("The score says how far off the worst coordinate is: 1 is the edge of its tolerance.")
	cov, err := covariance(q.Target)
	if err != nil {
		return err
	}
	for i, c := range r.Candidates {
		chance, err := q.Chance(context.Background(), c, solve.Errors{Target: cov, Rounding: chart.Rounding{LengthStep: 1, AngleStep: 0.1}})
		if err != nil {
			return err
		}
		if err := kit.Describe(p, i+1, c); err != nil {
			return err
		}
		p.P("The chance that all of it is within tolerance, with the errors of the survey and the rounding of the chart, is %s. To buy: %v.", kit.Fixed(chance, 2), draw.Words(c.Buy))
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

// limited says of a build what the rules of the race say of a rider's position.
func limited(p *page.Page, q solve.Problem, b fitgeom.Build) error {
	p.H("2. Rules of a time trial on %v", raceDay)
	p.P("A build that is known to break a rule does not hold the position (`Problem.Rules`). This is what the rules say of build 1, as far as they are about saddle, bar and aero bar:")
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
	p.P("The rider is %s cm tall. %s Ask for the text that is in force: what stands here was quoted by others or remembered, as the last column says.", kit.Fixed(q.Rider.Height/10, 0), fitgeom.CautionRaceRules.Words())
	return nil
}

// lower wants pads and hands that are too low for the frame, and says what they would
// take.
func lower(p *page.Page, q solve.Problem) error {
	p.H("4. The same with pads and hands 140 mm lower")
	for _, s := range []contact.Site{contact.PadLeft, contact.PadRight, contact.ExtensionLeft, contact.ExtensionRight} {
		at, _ := q.Target.At(s)
		q.Target.Set(s, r3.Sub(at, r3.Vec{Z: 140}))
	}
	obstacles, err := kit.Nearest(p, q, "timetrial-low", "140 mm lower: how far off the nearest build is")
	for _, o := range obstacles {
		p.P("Together these would do, and add up to the least:")
		p.List(kit.Changes(o.Together)...)
	}
	return err
}
