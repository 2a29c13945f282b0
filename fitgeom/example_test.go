package fitgeom_test

import (
	"errors"
	"fmt"
	"log"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/exchange"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/invented"
	"gonum.org/v1/gonum/spatial/r3"
)

// A build to its position. All parts are invented; the Examples of all packages
// of this module are about this bike.
func ExampleBuild_Position() {
	build := fitgeom.Build{
		Frame: fitgeom.Frame{
			Name: "road 54",
			Geometry: chart.Geometry{
				Stack: 560, Reach: 385, HeadAngle: 73, SeatAngle: 73.5,
				Axles: chart.Axles{Chainstay: 410, Drop: 70, ForkOffset: 45, FrontRadius: 340, RearRadius: 340},
			},
			SteererDiameter: 28.6, MaxUnderStem: 55, SeatTubeTop: 500, SeatpostDiameter: 27.2, SeatpostInsertion: 80,
		},
		Cap:       part.HeadsetCap{Name: "cap 15", Height: 15, SteererDiameter: 28.6},
		Stem:      part.Stem{Name: "stem 100 -6°", Length: 100, Angle: -6, Height: 40, SteererDiameter: 28.6, BarDiameter: 31.8, Flippable: true},
		Handlebar: part.Handlebar{Name: "bar 420", ClampDiameter: 31.8, RotationRange: 8, Drop: part.DropBar{Width: 420, Reach: 80, Drop: 125}},
		Lever:     part.Lever{Name: "lever short", Reach: 35, Rise: 25},
		Seatpost:  part.Seatpost{Name: "post 350 setback 20", Diameter: 27.2, Length: 350, Setback: 20, MinInsertion: 100, MinExtension: 45},
		Saddle:    part.Saddle{Name: "saddle 270", Length: 270, Station: 130, Height: 48, Dip: 6, RailsFrom: 110, RailsTo: 180},
		Crank:     part.Crank{Name: "crank 172.5", Length: 172.5, QFactor: 146},
		Settings: fitgeom.Settings{
			Spacers: 15, BarRotation: 2, SeatpostExtension: 170, RailClamp: 150, SaddleTilt: -1,
		},
	}
	position, err := build.Position()
	if err != nil {
		log.Fatal(err)
	}
	for _, s := range []contact.Site{contact.SaddleReference, contact.BarClamp, contact.HoodsLeft, contact.PedalLeft} {
		at, _ := position.At(s)
		fmt.Printf("%s %.1f %.1f %.1f\n", s, at.X, at.Y, at.Z)
	}
	// Output:
	// saddle_reference -188.6 0.0 684.4
	// bar_clamp 468.5 0.0 626.9
	// hoods_left 582.6 210.0 655.9
	// pedal_left 172.5 73.0 0.0
}

// The room that the settings of a build leave before each limit.
func ExampleBuild_Margins() {
	margins, err := invented.Build().Margins() // the build of the Example of Build.Position
	if err != nil {
		log.Fatal(err)
	}
	for _, m := range margins {
		fmt.Println(m)
	}
	// Output:
	// post further out: 80.0 mm
	// post further in: 125.0 mm
	// saddle further forward on its rails: 30.0 mm
	// saddle further back on its rails: 40.0 mm
	// more spacers: 25.0 mm
	// fewer spacers, or a lower head tube: 15.0 mm
	// bar turned up: 6.0 degrees
	// bar turned down: 10.0 degrees
}

// All that does not go together comes back in one error.
func ExampleBuild_Validate() {
	build := invented.Build() // the build of the Example of Build.Position
	build.Stem.SteererDiameter = 25.4
	build.Seatpost.Diameter = 31.6
	build.Settings.PadRise = 60 // there is no aero bar
	err := build.Validate()
	for _, f := range contact.Faults(err) {
		fmt.Println(f)
	}
	fmt.Println("parts that do not go together:", errors.Is(err, contact.ErrConflict))
	// Output:
	// stem.steerer_diameter 25.4 mm: want 28.6 mm as the frame has
	// settings.pad_stack set: want nothing of an aero bar without one
	// post.diameter 31.6 mm: want 27.2 mm as the frame takes
	// parts that do not go together: true
}

// Which parts of a shelf put a position on a frame. The position is that of the
// bike as it is now, which comes back.
func ExampleReproduce() {
	target := contact.New(map[contact.Site]r3.Vec{
		contact.SaddleReference: {X: -188.6, Z: 684.4},
		contact.HoodsLeft:       {X: 582.6, Y: 210, Z: 655.9},
		contact.HoodsRight:      {X: 582.6, Y: -210, Z: 655.9},
	})
	target.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: -1})

	// The frame of the Example of Build.Position, and a few parts of each kind.
	r, err := fitgeom.Reproduce(target, invented.Road54(), invented.Shelf(), fitgeom.Options{
		Bike: invented.Build(), // what is on it need not be bought
	})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%d candidates of %d combinations\n", len(r.Candidates), r.Combinations)
	best := r.Candidates[0]
	set := best.Build.Settings
	fmt.Println("holds:", best.Holds, "nothing to buy:", best.Buy == 0)
	fmt.Printf("%s, %s, %.0f mm of spacers, bar turned %.1f°\n", best.Build.Cap.Name, best.Build.Stem.Name, set.Spacers, set.BarRotation)
	fmt.Printf("%s out %.1f mm, rails of %s held %.1f mm behind the nose\n", best.Build.Seatpost.Name, set.SeatpostExtension, best.Build.Saddle.Name, set.RailClamp)
	for _, res := range best.Deviations {
		fmt.Printf("%s off by %.1f mm\n", res.Site, r3.Norm(res.Off))
	}
	fmt.Println(best.Margins[0])
	// Output:
	// 5 candidates of 1280 combinations
	// holds: true nothing to buy: true
	// cap 15, stem 100 -6°, 15 mm of spacers, bar turned 2.0°
	// post 350 setback 20 out 170.0 mm, rails of saddle 270 held 150.0 mm behind the nose
	// saddle_reference off by 0.0 mm
	// hoods_left off by 0.0 mm
	// hoods_right off by 0.0 mm
	// post further out: 80.0 mm
}

// What keeps a search from being made is an error; that nothing holds is none.
func ExampleReproduce_faults() {
	target := contact.New(map[contact.Site]r3.Vec{
		contact.SaddleReference: {X: -188.6, Z: 684.4}, // its tilt and the hands are not known
	})
	shelf := invented.Shelf() // a few parts of each kind
	shelf.Seatposts[0].Length = 35
	_, err := fitgeom.Reproduce(target, invented.Road54(), shelf, fitgeom.Options{})
	for _, f := range contact.Faults(err) {
		fmt.Println(f)
	}
	// Output:
	// shelf.posts[0].length 35 mm: want 100 to 600 mm; it looks like centimetres
	// target.hoods_left missing: want it to be known
	// target.hoods_right missing: want it to be known
	// target.saddle_reference.tilt missing: want it to be known
}

// A rider who sits far too high for the post: what would free the build.
func ExampleExplain() {
	target := contact.New(map[contact.Site]r3.Vec{
		contact.SaddleReference: {X: -228.6, Z: 800},
		contact.HoodsLeft:       {X: 582.6, Y: 210, Z: 655.9},
		contact.HoodsRight:      {X: 582.6, Y: -210, Z: 655.9},
	})
	target.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: -1})

	frame, shelf := invented.Road54(), invented.Shelf() // those of the Example of Reproduce
	r, err := fitgeom.Reproduce(target, frame, shelf, fitgeom.Options{Limit: 1})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println("holds:", r.Holds())
	obstacles, err := fitgeom.Explain(target, frame, shelf, fitgeom.Options{Limit: 1}, r.Candidates[0])
	if err != nil {
		log.Fatal(err)
	}
	for _, o := range obstacles {
		fmt.Println(o)
	}
	// Output:
	// holds: false
	// post, saddle, cranks, pedals: post further out by 38.4 mm
}

// How likely the best build is to be within tolerance, if the survey is good to
// 1 mm along each axis and the chart was rounded.
func ExampleChance() {
	target := invented.Position(invented.Build())       // the position of the Example of Reproduce
	frame, shelf := invented.Road54(), invented.Shelf() // its frame and shelf
	opt := fitgeom.Options{Limit: 1}
	r, err := fitgeom.Reproduce(target, frame, shelf, opt)
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
		chance, err := fitgeom.Chance(target, opt, r.Candidates[0], cov, fitgeom.Rounding{LengthStep: 1, AngleStep: 0.1})
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
	target := invented.Position(invented.Build()) // the position of the Example of Reproduce
	r, err := fitgeom.Reproduce(target, invented.Road54(), invented.Shelf(), fitgeom.Options{Bike: invented.Build(), Limit: 1})
	if err != nil {
		log.Fatal(err)
	}
	steps, err := fitgeom.SetUp(r.Candidates[0], convert.Basis{}, convert.SaddleHeight, convert.BarDropHoods)
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
	// bar_roll 2.0 degrees, 1.0 to 3.0
	// saddle_height 709.9 mm, 707.4 to 712.4
	// bar_drop_hoods 28.5 mm, 24.5 to 32.5
}

// A candidate that was changed by hand does not pass for what it says.
func ExampleVerify() {
	target := invented.Position(invented.Build())       // the position of the Example of Reproduce
	frame, shelf := invented.Road54(), invented.Shelf() // its frame and shelf
	opt := fitgeom.Options{Limit: 1}
	r, err := fitgeom.Reproduce(target, frame, shelf, opt)
	if err != nil {
		log.Fatal(err)
	}
	best := r.Candidates[0]
	fmt.Println(fitgeom.Verify(target, frame, shelf, opt, best))

	best.Build.Settings.SeatpostExtension += 5
	err = fitgeom.Verify(target, frame, shelf, opt, best)
	fmt.Println(errors.Is(err, contact.ErrConflict))
	for _, f := range contact.Faults(err) {
		fmt.Println(f.Path)
	}
	// Output:
	// <nil>
	// true
	// position.saddle_reference
	// position.saddle_nose
	// position.saddle_rear
	// residuals.saddle_reference
	// residuals.saddle_reference
	// score
	// holds
	// margins
}

// sizes are three sizes of the family that the frame of the Examples is of.
const sizes = `family,size,stack_mm,reach_mm,head_angle_deg,seat_angle_deg,steerer_diameter_mm,max_under_stem_mm,seat_tube_top_mm,seatpost_diameter_mm
road,52,541,378,72.5,74,28.6,55,480,27.2
road,54,560,385,73,73.5,28.6,55,500,27.2
road,58,602,398,73.5,73,28.6,55,540,27.2
`

// Three sizes of one family, best first for a rider who sits on the middle one
// now. A broken row is reported and left out.
func ExampleIndex_Rank() {
	catalogue, err := exchange.ReadCatalogue(strings.NewReader(`family,size,stack_mm,reach_mm,head_angle_deg,seat_angle_deg,steerer_diameter_mm,max_under_stem_mm,seat_tube_top_mm,seatpost_diameter_mm
road,52,541,378,72.5,74,28.6,55,480,27.2
road,54,560,385,73,73.5,28.6,55,500,27.2
road,56,0.58,391,73,73.5,28.6,55,520,27.2
road,58,602,398,73.5,73,28.6,55,540,27.2
`))
	for _, f := range contact.Faults(err) {
		fmt.Println("left out:", f)
	}
	index, err := fitgeom.NewIndex(catalogue, invented.Shelf()) // a few parts of each kind
	if err != nil {
		log.Fatal(err)
	}
	target := invented.Position(invented.Build()) // the position of the Example of Reproduce
	ranked, err := index.Rank(target, fitgeom.Options{})
	if err != nil {
		log.Fatal(err)
	}
	for i, c := range ranked.Choices {
		b := c.Best.Build
		fmt.Printf("%d. %s %s: holds %v, off by %.2f tolerances, %s, %.0f mm of spacers\n", i+1, c.Size.Family, c.Size.Label, c.Best.Holds, c.Best.Score, b.Stem.Name, b.Settings.Spacers)
	}
	// Output:
	// left out: line 4: row 4.stack_mm 0.58 mm: want 300 to 800 mm; it looks like metres
	// 1. road 54: holds true, off by 0.00 tolerances, stem 100 -6°, 15 mm of spacers
	// 2. road 52: holds false, off by 2.60 tolerances, stem 90 0°, 15 mm of spacers
	// 3. road 58: holds false, off by 9.00 tolerances, stem 90 0°, 0 mm of spacers
}

// How the next sizes compare with the best one.
func ExampleIndex_Neighbours() {
	catalogue, err := exchange.ReadCatalogue(strings.NewReader(sizes)) // the sound ones of the Example of Index.Rank
	if err != nil {
		log.Fatal(err)
	}
	index, err := fitgeom.NewIndex(catalogue, invented.Shelf()) // a few parts of each kind
	if err != nil {
		log.Fatal(err)
	}
	target := invented.Position(invented.Build()) // the position of the Example of Reproduce
	ranked, err := index.Rank(target, fitgeom.Options{Limit: 1})
	if err != nil {
		log.Fatal(err)
	}
	neighbours, err := index.Neighbours(target, fitgeom.Options{}, ranked.Choices[0].Place)
	if err != nil {
		log.Fatal(err)
	}
	for _, n := range neighbours {
		fmt.Println(n)
	}
	// Output:
	// next size down, road 52: does not hold the position
	// next size up, road 58: does not hold the position
}

// What it does to a ranking that charts are rounded to 1 mm and 0.5 degrees.
func ExampleIndex_Sensitivity() {
	catalogue, err := exchange.ReadCatalogue(strings.NewReader(sizes)) // the sound ones of the Example of Index.Rank
	if err != nil {
		log.Fatal(err)
	}
	index, err := fitgeom.NewIndex(catalogue, invented.Shelf()) // a few parts of each kind
	if err != nil {
		log.Fatal(err)
	}
	target := invented.Position(invented.Build()) // the position of the Example of Reproduce
	all, err := index.Sensitivity(target, fitgeom.Options{}, fitgeom.Rounding{LengthStep: 1, AngleStep: 0.5})
	if err != nil {
		log.Fatal(err)
	}
	for _, s := range all {
		size := catalogue[s.Place]
		fmt.Printf("%s %s: off by %.2f to %.2f tolerances, holds always %v, ever %v\n", size.Family, size.Label, s.Least, s.Most, s.Always, s.Ever)
	}
	// Output:
	// road 54: off by 0.00 to 0.46 tolerances, holds always true, ever true
	// road 52: off by 2.00 to 2.92 tolerances, holds always false, ever false
	// road 58: off by 8.49 to 9.52 tolerances, holds always false, ever false
}

// A size that is broken does not stop an index from being made.
func ExampleNewIndex_faults() {
	frame := invented.Road54() // the frame of the Example of Build.Position
	broken := frame
	broken.Geometry.Stack = 56
	index, err := fitgeom.NewIndex([]fitgeom.Size{
		{Family: "road", Label: "54", Frame: frame},
		{Family: "road", Frame: broken},
	}, invented.Shelf())
	for _, f := range contact.Faults(err) {
		fmt.Printf("%s: %v\n", f.Path, f.Class)
	}
	fmt.Println("frames:", index.Len())
	// Output:
	// sizes[1].label: missing
	// sizes[1].frame.geometry.stack: wrong unit
	// frames: 1
}

// The figures of race rules are data with their edition.
func ExampleRule_Check() {
	build := invented.Build() // the build of the Example of Build.Position
	build.Settings.SaddleTilt = -12
	for _, r := range fitgeom.Rules() {
		if r.Figure != fitgeom.SaddleSlope {
			continue
		}
		value, within, known, err := r.Check(build)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Println(r)
		fmt.Printf("known: %v, %.1f %s, within: %v\n", known, value, r.Figure.Unit(), within)
	}
	// Output:
	// slope of the saddle at most 9 degrees (UCI regulations, part 1, 1.3.014, clarification guide of about 2016)
	// known: true, 12.0 degrees, within: false
}
