package solve_test

import (
	"context"
	"errors"
	"fmt"
	"log"
	"time"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom/rules"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/invented"
	"gonum.org/v1/gonum/spatial/r3"
)

// Which parts of a shelf put a position on a frame. The position is that of the
// bike as it is now, which comes back.
func ExampleProblem_Solve() {
	target := contact.New(map[contact.Site]r3.Vec{
		contact.SaddleReference: {X: -188.6, Z: 684.4},
		contact.HoodsLeft:       {X: 582.6, Y: 210, Z: 655.9},
		contact.HoodsRight:      {X: 582.6, Y: -210, Z: 655.9},
	})
	target.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: -1})

	// The frame of the Example of Build.Position in package fitgeom, and a few parts of each kind.
	r, err := solve.Problem{
		Target: target, Frame: invented.Road54(), Shelf: invented.Shelf(),
		Bike: invented.Build(), // what is on it need not be bought
	}.Solve(context.Background())
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%d candidates of %d combinations\n", len(r.Candidates), r.Combinations)
	best := r.Candidates[0]
	set := best.Build.Settings
	fmt.Println("holds:", best.Holds(), "nothing to buy:", best.Buy == 0)
	fmt.Printf("%s, %s, %.0f mm of spacers, bar turned %.1f°\n", best.Build.Cap.Name, best.Build.Stem.Name, set.Spacers, set.BarRotation)
	fmt.Printf("%s out %.1f mm, rails of %s held %.1f mm behind the nose\n", best.Build.Seatpost.Name, set.SeatpostExtension, best.Build.Saddle.Name, set.RailClamp)
	for _, res := range best.Deviations {
		fmt.Printf("%s off by %.1f mm\n", res.Site, r3.Norm(res.Off))
	}
	margins, err := best.Build.Margins()
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(margins[0])
	// Output:
	// 5 candidates of 1280 combinations
	// holds: true nothing to buy: true
	// cap 15, stem 100 -6°, 15 mm of spacers, bar turned 2.0°
	// post 350 setback 20 out 170.0 mm, rails of saddle 270 held 150.0 mm behind the nose
	// saddle_reference off by 0.0 mm
	// hoods_left off by 0.0 mm
	// hoods_right off by 0.0 mm
	// raise the seatpost: 80.0 mm
}

// What keeps a search from being made is an error; that nothing holds is none.
func ExampleProblem_Solve_faults() {
	target := contact.New(map[contact.Site]r3.Vec{
		contact.SaddleReference: {X: -188.6, Z: 684.4}, // its tilt and the hands are not known
	})
	shelf := invented.Shelf() // a few parts of each kind
	shelf.Seatposts[0].Length = 35
	_, err := solve.Problem{Target: target, Frame: invented.Road54(), Shelf: shelf}.Solve(context.Background())
	for _, f := range contact.Faults(err) {
		fmt.Println(f)
	}
	// Output:
	// target.sites.hoods_left missing: want it to be known
	// target.sites.hoods_right missing: want it to be known
	// target.sites.saddle_reference.attitude.tilt_deg missing: want it to be known
	// shelf.seatposts[0].length_mm 35 mm: want 100 to 600 mm; it looks like centimetres
}

// A rider who sits far too high for the post: what would free the build.
func ExampleProblem_Explain() {
	target := contact.New(map[contact.Site]r3.Vec{
		contact.SaddleReference: {X: -228.6, Z: 800},
		contact.HoodsLeft:       {X: 582.6, Y: 210, Z: 655.9},
		contact.HoodsRight:      {X: 582.6, Y: -210, Z: 655.9},
	})
	target.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: -1})

	// Frame and shelf are those of the Example of Problem.Solve.
	p := solve.Problem{Target: target, Frame: invented.Road54(), Shelf: invented.Shelf(), Limit: 1}
	r, err := p.Solve(context.Background())
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println("holds:", r.Holds())
	obstacles, err := p.Explain(context.Background(), r.Candidates[0])
	if err != nil {
		log.Fatal(err)
	}
	for _, o := range obstacles {
		fmt.Println(o)
	}
	// Output:
	// holds: false
	// seatposts, saddles, cranks, pedals: raise the seatpost by 38.4 mm
}

// A bar of 374 mm between the middles of its tube, for a race on the road: without the rule that is
// in the way the position is held, and what is not known is said.
func ExampleProblem_Explain_rules() {
	bike := invented.Build()
	bike.Handlebar.Drop.Width, bike.Handlebar.Drop.DropsWidth, bike.Handlebar.Drop.Tube = 374, 0, 24
	shelf := invented.Shelf()
	shelf.Handlebars = shelf.Handlebars[:1]
	shelf.Handlebars[0] = bike.Handlebar
	set, _ := rules.InForce(rules.Road, rules.Date{Year: 2026, Month: 6, Day: 7})
	p := solve.Problem{Target: invented.Position(bike), Frame: bike.Frame, Shelf: shelf, Rules: set}
	r, err := p.Solve(context.Background())
	if err != nil {
		log.Fatal(err)
	}
	best := r.Candidates[0]
	fmt.Printf("holds: %v, score %.2f\n", best.Holds(), best.Score())
	for _, said := range best.Rules {
		fmt.Println(said.Found)
	}
	obstacles, err := p.Explain(context.Background(), best)
	if err != nil {
		log.Fatal(err)
	}
	for _, o := range obstacles {
		for _, cost := range o.Rules {
			fmt.Println("in the way:", set.Rules[cost.Places[0]].Bound)
			fmt.Println("without it:", cost.Best.Build.Stem.Name)
		}
	}
	// Output:
	// holds: false, score 0.00
	// handlebar between its outer edges 398.0 mm: broken by 2.0 mm
	// between the inner faces of the hoods: not known
	// flare of the handlebar on each side: not known
	// in the way: handlebar between its outer edges at least 400 mm
	// without it: stem 100 -6°
}

// How likely the best build is to be within tolerance, if the survey is good to
// 1 mm along each axis and the chart was rounded.
func ExampleProblem_Chance() {
	target := invented.Position(invented.Build()) // position, frame and shelf of the Example of Problem.Solve
	p := solve.Problem{Target: target, Frame: invented.Road54(), Shelf: invented.Shelf(), Limit: 1}
	r, err := p.Solve(context.Background())
	if err != nil {
		log.Fatal(err)
	}

	var coords []contact.Coordinate
	for s := range target.All() {
		for _, a := range []contact.Axis{contact.AxisX, contact.AxisY, contact.AxisZ} {
			coords = append(coords, contact.Coordinate{Site: s, Axis: a})
		}
	}
	for _, sigma := range []float64{0.5, 1} {
		cov, err := contact.NewCovariance(coords, func(i, j int) float64 {
			if i == j {
				return sigma * sigma
			}
			return 0 // no errors in common
		})
		if err != nil {
			log.Fatal(err)
		}
		chance, err := p.Chance(context.Background(), r.Candidates[0], solve.Errors{Target: cov, Rounding: chart.Rounding{LengthStep: 1, AngleStep: 0.1}})
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("a survey good to %.1f mm: %.2f\n", sigma, chance)
	}
	// Output:
	// a survey good to 0.5 mm: 0.91
	// a survey good to 1.0 mm: 0.32
}

// The numbers to set a candidate by, and to verify it by with a tape.
func ExampleSetUp() {
	target := invented.Position(invented.Build()) // the position of the Example of Problem.Solve
	r, err := solve.Problem{Target: target, Frame: invented.Road54(), Shelf: invented.Shelf(), Bike: invented.Build(), Limit: 1}.Solve(context.Background())
	if err != nil {
		log.Fatal(err)
	}
	steps, err := solve.SetUp(r.Candidates[0], convert.Basis{}, convert.SaddleHeight, convert.BarDropHoods)
	if err != nil {
		log.Fatal(err)
	}
	for _, s := range steps {
		if s.Limited {
			fmt.Printf("%s %.1f %s, %.1f to %.1f\n", s.Name, s.Value, s.Unit, s.Low, s.High)
		}
	}
	// Output:
	// rail_clamp 150.0 mm, 148.0 to 152.0
	// seatpost_extension 170.0 mm, 167.9 to 172.1
	// bar_rotation 2.0 degrees, 1.0 to 3.0
	// saddle_height 709.9 mm, 707.4 to 712.4
	// bar_drop_hoods 28.5 mm, 24.5 to 32.5
}

// A candidate that was changed by hand does not pass for what it says.
func ExampleProblem_Verify() {
	target := invented.Position(invented.Build()) // position, frame and shelf of the Example of Problem.Solve
	p := solve.Problem{Target: target, Frame: invented.Road54(), Shelf: invented.Shelf(), Limit: 1}
	r, err := p.Solve(context.Background())
	if err != nil {
		log.Fatal(err)
	}
	best := r.Candidates[0]
	fmt.Println(p.Verify(best))

	best.Build.Settings.SeatpostExtension += 5
	err = p.Verify(best)
	fmt.Println(errors.Is(err, contact.ErrConflict))
	for _, f := range contact.Faults(err) {
		fmt.Println(f.Path)
	}
	// Output:
	// <nil>
	// true
	// deviations[0]
}

// A request whose client has gone ends with its context, wherever the search is. What is
// too much work ends with the budget, here with the best so far and with a bound of what
// may be better: the hoods are wanted 60 mm higher, where these parts do not reach.
func ExampleProblem_Solve_stopped() {
	target := invented.Position(invented.Build()) // position, frame and shelf of the Example of Problem.Solve
	target = target.Moved(r3.Vec{Z: 60}, contact.HoodsLeft, contact.HoodsRight)
	p := solve.Problem{Target: target, Frame: invented.Road54(), Shelf: invented.Shelf()}

	request, cancel := context.WithTimeout(context.Background(), time.Minute)
	cancel() // the client hangs up
	_, err := p.Solve(request)
	fmt.Println(errors.Is(err, context.Canceled))

	p.Budget.Work = 1400
	_, err = p.Solve(context.Background())
	fmt.Println(errors.Is(err, contact.ErrBudget))

	p.Budget.Partial = true
	r, err := p.Solve(context.Background())
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(r.Complete, len(r.Candidates))
	fmt.Printf("the best scores %.3f; nothing that was left out scores less than %.3f\n", r.Candidates[0].Distance(), r.Bound)
	// Output:
	// true
	// true
	// false 5
	// the best scores 4.737; nothing that was left out scores less than 2.828
}

// A build that holds the position today may have no room for a rider who changes.
func ExampleProblem_Room() {
	b := invented.Build()
	p := solve.Problem{Target: invented.Position(b), Frame: b.Frame, Shelf: invented.Shelf()}
	r, err := p.Solve(context.Background())
	if err != nil {
		log.Fatal(err)
	}
	room, err := p.Room(context.Background(), r.Candidates[0], solve.Movement{Gap: 1})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(room)
	fmt.Println("down:", room.Down.Ends)
	// Output:
	// up 13 mm, down 19 mm, forward 4 mm, back 6 mm
	// down: [caps, stems, handlebars, levers, aero bars: a shorter stem by 1.1 mm]
}
