package rules_test

import (
	"fmt"
	"log"
	"math"

	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/rules"
)

// A rule of an invented club: the saddle's nose 30 mm or more behind the bottom bracket.
var club = rules.Set{Rules: []rules.Rule{{
	Bound:  rules.Bound{Figure: rules.NoseSetback, Min: 30, Max: math.Inf(1)},
	Source: "an invented club",
}}}

// Does an invented bike keep a rule of one's own?
func Example_ownRule() {
	build := fitgeom.Build{
		Frame: fitgeom.Frame{
			Name:            "road 54",
			Geometry:        chart.Geometry{Stack: 555, Reach: 383, HeadAngle: 72.5, SeatAngle: 73.5},
			SteererDiameter: 28.6, MaxUnderStem: 50,
			SeatTubeTop: 490, SeatpostDiameter: 27.2, SeatpostInsertion: 80,
		},
		Cap:       part.HeadsetCap{Name: "cap 12", Height: 12, SteererDiameter: 28.6},
		Stem:      part.Stem{Name: "stem 100 −6°", Length: 100, Angle: -6, Height: 40, SteererDiameter: 28.6, BarDiameter: 31.8},
		Handlebar: part.Handlebar{Name: "bar 420", ClampDiameter: 31.8, RotationRange: 8, Drop: part.DropBar{Width: 420, Reach: 78, Drop: 125}},
		Lever:     part.Lever{Name: "lever", Reach: 38, Rise: 28},
		Seatpost:  part.Seatpost{Name: "seatpost 350", Diameter: 27.2, Length: 350, Setback: 20, MinInsertion: 90, MinExtension: 45},
		Saddle:    part.Saddle{Name: "saddle 270", Length: 270, Station: 130, Height: 48, RailsFrom: 110, RailsTo: 175},
		Crank:     part.Crank{Name: "crank 170", Length: 170, QFactor: 146},
		Settings:  fitgeom.Settings{Spacers: 20, SeatpostExtension: 200, RailClamp: 140},
	}
	found, err := club.Check(build, rules.Rider{})
	if err != nil {
		log.Fatal(err) // all faults of the build, each with its path
	}
	for _, f := range found {
		fmt.Println(f)
	}
	// Output:
	// saddle nose behind the bottom bracket 75.1 mm: kept
}
