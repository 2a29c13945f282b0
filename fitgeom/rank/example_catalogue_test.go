package rank_test

import (
	"context"
	"fmt"
	"log"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/rank"
	"example.com/fitgeom/fitgeom/solve"
	"gonum.org/v1/gonum/spatial/r3"
)

// size is a size of an invented family.
func size(label string, stack, reach, headAngle, seatAngle, seatTubeTop float64) fitgeom.Size {
	return fitgeom.Size{Family: "road", Label: label, Frame: fitgeom.Frame{
		Name:            "road " + label,
		Geometry:        chart.Geometry{Stack: stack, Reach: reach, HeadAngle: headAngle, SeatAngle: seatAngle},
		SteererDiameter: 28.6, MaxUnderStem: 50,
		SeatTubeTop: seatTubeTop, SeatpostDiameter: 27.2, SeatpostInsertion: 80,
	}}
}

// Which size of a family holds a position with the parts of a shop, and why that one first?
func Example_catalogue() {
	target := contact.New(map[contact.Site]r3.Vec{
		contact.SaddleReference: {X: -205, Z: 705},
		contact.HoodsLeft:       {X: 580, Y: 210, Z: 655},
		contact.HoodsRight:      {X: 580, Y: -210, Z: 655},
	})
	target.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: -1})
	shop := fitgeom.Shelf{
		Caps:       []part.HeadsetCap{{Name: "cap 12", Height: 12, SteererDiameter: 28.6}},
		Spacers:    []part.Spacer{{Height: 5, Count: 2}, {Height: 10, Count: 2}},
		Handlebars: []part.Handlebar{{Name: "bar 420", ClampDiameter: 31.8, RotationRange: 8, Drop: part.DropBar{Width: 420, Reach: 78, Drop: 125}}},
		Levers:     []part.Lever{{Name: "lever", Reach: 38, Rise: 28}},
		Seatposts:  []part.Seatpost{{Name: "seatpost 350", Diameter: 27.2, Length: 350, Setback: 20, MinInsertion: 90, MinExtension: 45}},
		Saddles:    []part.Saddle{{Name: "saddle 270", Length: 270, Station: 130, Height: 48, RailsFrom: 110, RailsTo: 175}},
		Cranks:     []part.Crank{{Name: "crank 170", Length: 170, QFactor: 146}},
	}
	for length := 80.; length <= 120; length += 10 {
		shop.Stems = append(shop.Stems, part.Stem{
			Name: fmt.Sprintf("stem %.0f −6°", length), Length: length, Angle: -6, Height: 40, SteererDiameter: 28.6, BarDiameter: 31.8,
		})
	}

	index, err := rank.NewIndex(context.Background(), []fitgeom.Size{
		size("52", 538, 376, 72, 74, 470), size("54", 555, 383, 72.5, 73.5, 490), size("56", 574, 389, 73, 73.5, 510),
	})
	if err != nil {
		log.Fatal(err) // all faults of the sizes, each with its path
	}
	ranking, err := index.Rank(context.Background(), solve.Problem{Target: target, Shelf: shop})
	if err != nil {
		log.Fatal(err)
	}
	for _, choice := range ranking.Choices {
		build := choice.Best.Build
		fmt.Printf("%s: holds %v, %s, %.0f mm of spacers\n", choice.Size.Frame.Name, choice.Best.Holds(), build.Stem.Name, build.Settings.Spacers)
	}
	// Output:
	// road 54: holds true, stem 100 −6°, 20 mm of spacers
	// road 56: holds true, stem 90 −6°, 15 mm of spacers
	// road 52: holds true, stem 110 −6°, 25 mm of spacers
}
