package fitgeom_test

import (
	"errors"
	"fmt"
	"log"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/invented"
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
	// raise the seatpost: 80.0 mm
	// lower the seatpost: 125.0 mm
	// slide the saddle forward: 30.0 mm
	// slide the saddle back: 40.0 mm
	// more spacers: 25.0 mm
	// fewer spacers, or a lower head tube: 15.0 mm
	// rotate the bar up: 6.0 degrees
	// rotate the bar down: 10.0 degrees
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
	// stem.steerer_diameter_mm 25.4 mm: want 28.6 mm as the frame has
	// settings.pad_rise_mm set: want no settings of an aero bar without one
	// seatpost.diameter_mm 31.6 mm: want 27.2 mm as the frame takes
	// parts that do not go together: true
}
