package fitgeom_test

import (
	"fmt"
	"log"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"gonum.org/v1/gonum/spatial/r3"
)

// The bike and its parts are invented.
var frame = fitgeom.Frame{
	Name: "road 54",
	Geometry: convert.Geometry{
		Stack: 555, Reach: 383, HeadAngle: 72.5, SeatAngle: 73.5,
		Axles: convert.Axles{Chainstay: 410, Drop: 72, ForkOffset: 47, FrontRadius: 336, RearRadius: 336},
	},
	SteererDiameter: 28.6, MaxStack: 50, SeatTubeTop: 490, PostDiameter: 27.2, PostInsertion: 80,
}

var shelf = fitgeom.Shelf{
	Caps:    []part.HeadsetCap{{Name: "cap 12", Height: 12, SteererDiameter: 28.6}},
	Spacers: []part.Spacer{{Height: 5, Count: 2}, {Height: 10, Count: 2}},
	Stems: []part.Stem{
		{Name: "stem 100 −6°", Length: 100, Angle: -6, Height: 40, SteererDiameter: 28.6, BarDiameter: 31.8, Flippable: true},
		{Name: "stem 110 −6°", Length: 110, Angle: -6, Height: 40, SteererDiameter: 28.6, BarDiameter: 31.8, Flippable: true},
	},
	Bars:    []part.Bar{{Name: "bar 420", ClampDiameter: 31.8, RollRange: 8, Drop: part.DropBar{Width: 420, Reach: 78, Drop: 125}}},
	Levers:  []part.Lever{{Name: "lever", Reach: 38, Rise: 28}},
	Posts:   []part.Post{{Name: "post 350", Diameter: 27.2, Length: 350, Setback: 20, MinInsertion: 90, MinExtension: 45}},
	Saddles: []part.Saddle{{Name: "saddle 270", Length: 270, Station: 130, Stack: 48, RailsFrom: 110, RailsTo: 175}},
	Cranks:  []part.Crank{{Name: "crank 170", Length: 170, QFactor: 146}},
}

func ExampleReproduce() {
	target := contact.New(map[contact.Site]r3.Vec{
		contact.SaddleReference: {X: -205, Z: 705},
		contact.HoodsLeft:       {X: 580, Y: 209, Z: 655},
		contact.HoodsRight:      {X: 581, Y: -210, Z: 655},
	})
	target.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: -1})

	r, err := fitgeom.Reproduce(target, frame, shelf, fitgeom.Options{})
	if err != nil {
		log.Fatal(err)
	}
	best := r.Candidates[0]
	fmt.Println("holds:", best.Holds)
	fmt.Printf("%s, %.0f mm of spacers, bar turned %.1f°\n", best.Build.Stem.Name, best.Build.Settings.Spacers, best.Build.Settings.BarRoll)
	fmt.Printf("post out %.1f mm, rails held %.1f mm behind the nose\n", best.Build.Settings.PostExtension, best.Build.Settings.RailClamp)
	for _, res := range best.Residuals {
		fmt.Printf("%s off by %.1f mm\n", res.Site, r3.Norm(res.Off))
	}
	fmt.Println(best.Margins[0])
	// Output:
	// holds: true
	// stem 100 −6°, 25 mm of spacers, bar turned -1.1°
	// post out 201.3 mm, rails held 139.7 mm behind the nose
	// saddle_reference off by 0.0 mm
	// hoods_left off by 1.1 mm
	// hoods_right off by 0.6 mm
	// post further out: 58.7 mm
}

func ExampleBuild_Position() {
	b := fitgeom.Build{
		Frame: frame, Cap: shelf.Caps[0], Stem: shelf.Stems[0], Bar: shelf.Bars[0], Lever: shelf.Levers[0],
		Post: shelf.Posts[0], Saddle: shelf.Saddles[0], Crank: shelf.Cranks[0],
		Settings: fitgeom.Settings{Spacers: 20, PostExtension: 180, RailClamp: 140, SaddleTilt: -1},
	}
	p, err := b.Position()
	if err != nil {
		log.Fatal(err)
	}
	for _, s := range []contact.Site{contact.SaddleReference, contact.BarClamp, contact.HoodsLeft} {
		at, _ := p.At(s)
		fmt.Printf("%s %.1f %.1f %.1f\n", s, at.X, at.Y, at.Z)
	}
	// Output:
	// saddle_reference -198.6 0.0 684.5
	// bar_clamp 465.4 0.0 624.5
	// hoods_left 581.4 210.0 652.5
}

// A stem that the frame's steerer does not fit is a fault that names both.
func ExampleBuild_Validate() {
	b := fitgeom.Build{
		Frame: frame, Cap: shelf.Caps[0], Stem: shelf.Stems[0], Bar: shelf.Bars[0], Lever: shelf.Levers[0],
		Post: shelf.Posts[0], Saddle: shelf.Saddles[0], Crank: shelf.Cranks[0],
	}
	b.Stem.SteererDiameter = 25.4
	fmt.Println(b.Validate())
	// Output:
	// stem.steerer_diameter 25.4 mm: want 28.6 mm as the frame has
}

// A rider who sits far too high for the post: what would free the build.
func ExampleExplain() {
	target := contact.New(map[contact.Site]r3.Vec{
		contact.SaddleReference: {X: -235, Z: 800},
		contact.HoodsLeft:       {X: 580, Y: 210, Z: 655},
		contact.HoodsRight:      {X: 580, Y: -210, Z: 655},
	})
	target.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: -1})

	opt := fitgeom.Options{Limit: 1}
	r, err := fitgeom.Reproduce(target, frame, shelf, opt)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println("holds:", r.Holds())
	obstacles, err := fitgeom.Explain(target, frame, shelf, opt, r.Candidates[0])
	if err != nil {
		log.Fatal(err)
	}
	for _, o := range obstacles {
		for _, c := range o.Alone {
			fmt.Println(c)
		}
	}
	// Output:
	// holds: false
	// post further out by 38.2 mm
}

func ExampleSetUp() {
	target := contact.New(map[contact.Site]r3.Vec{
		contact.SaddleReference: {X: -205, Z: 705},
		contact.HoodsLeft:       {X: 580, Y: 210, Z: 655},
		contact.HoodsRight:      {X: 580, Y: -210, Z: 655},
	})
	target.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: -1})

	r, err := fitgeom.Reproduce(target, frame, shelf, fitgeom.Options{Limit: 1})
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
	// rail_clamp 139.7 mm, 137.7 to 141.7
	// post_extension 201.3 mm, 199.2 to 203.4
	// bar_roll -3.5 degrees, -4.4 to -2.5
	// saddle_height 734.2 mm, 731.7 to 736.7
	// bar_drop_hoods 50.0 mm, 46.0 to 54.0
}

// The time-trial figures of race rules are data with their edition.
func ExampleRule_Check() {
	for _, r := range fitgeom.Rules() {
		if r.Figure == fitgeom.SaddleSlope {
			b := fitgeom.Build{
				Frame: frame, Cap: shelf.Caps[0], Stem: shelf.Stems[0], Bar: shelf.Bars[0], Lever: shelf.Levers[0],
				Post: shelf.Posts[0], Saddle: shelf.Saddles[0], Crank: shelf.Cranks[0],
				Settings: fitgeom.Settings{PostExtension: 180, RailClamp: 140, SaddleTilt: -12},
			}
			value, within, _, err := r.Check(b)
			if err != nil {
				log.Fatal(err)
			}
			fmt.Println(r)
			fmt.Println(value, within)
		}
	}
	// Output:
	// slope of the saddle at most 9 degrees (UCI regulations, part 1, 1.3.014, clarification guide of about 2016)
	// 12 false
}
