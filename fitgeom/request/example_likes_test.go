package request_test

import (
	"context"
	"fmt"
	"log"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/request"
	"gonum.org/v1/gonum/spatial/r3"
)

// An invented frame and an invented shop.
var (
	frame = fitgeom.Frame{
		Name:            "road 54",
		Geometry:        chart.Geometry{Stack: 555, Reach: 383, HeadAngle: 72.5, SeatAngle: 73.5},
		SteererDiameter: 28.6, MaxUnderStem: 50,
		SeatTubeTop: 490, SeatpostDiameter: 27.2, SeatpostInsertion: 80,
	}
	workshop = fitgeom.Shelf{
		Caps:    []part.HeadsetCap{{Name: "cap 12", Height: 12, SteererDiameter: 28.6}},
		Spacers: []part.Spacer{{Height: 5, Count: 2}, {Height: 10, Count: 2}},
		Stems: []part.Stem{
			{Name: "stem 100 −6°", Length: 100, Angle: -6, Height: 40, SteererDiameter: 28.6, BarDiameter: 31.8, Flippable: true},
			{Name: "stem 120 −6°", Length: 120, Angle: -6, Height: 40, SteererDiameter: 28.6, BarDiameter: 31.8, Flippable: true},
		},
		Handlebars: []part.Handlebar{{Name: "bar 420", ClampDiameter: 31.8, RotationRange: 8, Drop: part.DropBar{Width: 420, Reach: 78, Drop: 125}}},
		Levers:     []part.Lever{{Name: "lever", Reach: 38, Rise: 28}},
		Seatposts:  []part.Seatpost{{Name: "seatpost 350", Diameter: 27.2, Length: 350, Setback: 20, MinInsertion: 90, MinExtension: 45}},
		Saddles:    []part.Saddle{{Name: "saddle 270", Length: 270, Station: 130, Height: 48, RailsFrom: 110, RailsTo: 175}},
		Cranks:     []part.Crank{{Name: "crank 170", Length: 170, QFactor: 146}},
	}
)

// How this workshop asks for every rider, unless something else is said.
var usual = request.Request{
	Shelf:      workshop,
	RoomWanted: []fitgeom.RoomWish{{Group: contact.OnHandlebar, Up: 5, Down: 5, Gap: 1}},
	Limit:      1,
}

// A workshop asks the same way for every rider: what is particular lies over what is usual.
func Example_likes() {
	target := contact.New(map[contact.Site]r3.Vec{
		contact.SaddleReference: {X: -205, Z: 705},
		contact.HoodsLeft:       {X: 580, Y: 210, Z: 655},
		contact.HoodsRight:      {X: 580, Y: -210, Z: 655},
	})
	target.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: -1})
	rider := request.Request{Target: request.Target{Position: target}, Frame: frame}

	problem, err := rider.Over(usual).Problem()
	if err != nil {
		log.Fatal(err) // all faults together, by their members
	}
	found, err := problem.Solve(context.Background())
	if err != nil {
		log.Fatal(err)
	}
	best := found.Candidates[0]
	fmt.Println(best.Holds(), best.Build.Stem.Name, best.Spacers)
	for _, d := range rider.Over(usual).Defaults(target)[1:3] {
		fmt.Println(d.Member+":", d.Says)
	}
	// Output:
	// true stem 100 −6° [10 10]
	// crank: with other cranks the saddle moves, so that the foot at the far end of its stroke is as far from it as before
	// wheels: the bike stands as its chart draws it, on its own tyres and without sag
}
