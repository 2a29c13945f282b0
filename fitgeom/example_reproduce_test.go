package fitgeom_test

import (
	"context"
	"fmt"
	"log"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/solve"
	"gonum.org/v1/gonum/spatial/r3"
)

// An invented frame.
var road54 = fitgeom.Frame{
	Name:              "road 54",
	Geometry:          chart.Geometry{Stack: 555, Reach: 383, HeadAngle: 72.5, SeatAngle: 73.5},
	SteererDiameter:   28.6,
	MaxUnderStem:      50,
	SeatTubeTop:       490,
	SeatpostDiameter:  27.2,
	SeatpostInsertion: 80,
}

// Invented parts.
var shelf = fitgeom.Shelf{
	Caps:    []part.HeadsetCap{{Name: "cap 12", Height: 12, SteererDiameter: 28.6}},
	Spacers: []part.Spacer{{Height: 5, Count: 2}, {Height: 10, Count: 2}},
	Stems: []part.Stem{
		{Name: "stem 100 −6°", Length: 100, Angle: -6, Height: 40, SteererDiameter: 28.6, BarDiameter: 31.8},
		{Name: "stem 110 −6°", Length: 110, Angle: -6, Height: 40, SteererDiameter: 28.6, BarDiameter: 31.8},
	},
	Handlebars: []part.Handlebar{{Name: "bar 420", ClampDiameter: 31.8, RotationRange: 8, Drop: part.DropBar{Width: 420, Reach: 78, Drop: 125}}},
	Levers:     []part.Lever{{Name: "lever", Reach: 38, Rise: 28}},
	Seatposts:  []part.Seatpost{{Name: "seatpost 350", Diameter: 27.2, Length: 350, Setback: 20, MinInsertion: 90, MinExtension: 45}},
	Saddles:    []part.Saddle{{Name: "saddle 270", Length: 270, Station: 130, Height: 48, RailsFrom: 110, RailsTo: 175}},
	Cranks:     []part.Crank{{Name: "crank 170", Length: 170, QFactor: 146}},
}

// A rider's position is recorded on one bike and reproduced on another: which of the
// parts at hand put it on this frame, how are they set, and how much room is left?
func Example() {
	position := contact.New(map[contact.Site]r3.Vec{
		contact.SaddleReference: {X: -205, Z: 705}, // 205 mm behind the bottom bracket, 705 mm above
		contact.HoodsLeft:       {X: 580, Y: 209, Z: 655},
		contact.HoodsRight:      {X: 581, Y: -210, Z: 655},
	})
	position.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: -1})

	result, err := solve.Problem{Target: position, Frame: road54, Shelf: shelf}.Solve(context.Background())
	if err != nil {
		log.Fatal(err) // all faults of the input, each with its path
	}
	best := result.Candidates[0]
	build, set := best.Build, best.Build.Settings
	fmt.Println("holds:", best.Holds())
	fmt.Printf("%s, %.0f mm of spacers\n", build.Stem.Name, set.Spacers)
	fmt.Printf("seatpost out %.1f mm, rails clamped %.1f mm behind the nose\n", set.SeatpostExtension, set.RailClamp)

	at, err := build.Position()
	if err != nil {
		log.Fatal(err)
	}
	hoods, _ := at.At(contact.HoodsLeft)
	fmt.Printf("left hood %.1f mm forward, %.1f mm up\n", hoods.X, hoods.Z)

	margins, err := build.Margins()
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println("least room to", margins[0])
	// Output:
	// holds: true
	// stem 100 −6°, 20 mm of spacers
	// seatpost out 201.3 mm, rails clamped 139.7 mm behind the nose
	// left hood 580.7 mm forward, 655.1 mm up
	// least room to raise the seatpost: 58.7 mm
}
