package chart_test

import (
	"errors"
	"fmt"
	"log"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"gonum.org/v1/gonum/spatial/r3"
)

// A frame's chart with a misprint, 54 for 45. The frame is invented.
func ExampleChart_Solve() {
	printed := chart.Chart{
		Rounding: chart.Rounding{LengthStep: 1, AngleStep: 0.1}, EqualWheels: true, SeatTubeCentred: true,
		Entries: []chart.Entry{
			{Dimension: chart.Stack, Value: 560},
			{Dimension: chart.Reach, Value: 385},
			{Dimension: chart.EffectiveTopTube, Value: 551},
			{Dimension: chart.HeadAngle, Value: 73},
			{Dimension: chart.SeatAngle, Value: 73.5},
			{Dimension: chart.ForkOffset, Value: 54},
			{Dimension: chart.Chainstay, Value: 410},
			{Dimension: chart.Drop, Value: 70},
			{Dimension: chart.BottomBracketHeight, Value: 270},
			{Dimension: chart.FrontCentre, Value: 586},
			{Dimension: chart.Wheelbase, Value: 986},
			{Dimension: chart.Trail, Value: 57},
		},
	}
	done, err := printed.Solve()
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println("consistent:", done.Consistent)
	suspect := done.Suspects[0] // there is no other
	wrong := &printed.Entries[suspect.Reading]
	fmt.Printf("%s is %.0f, the others say %.0f; perhaps %v\n", wrong.Dimension, wrong.Value, wrong.Value-suspect.Against, suspect.Slips)

	wrong.Value = 45
	done, err = printed.Solve()
	if err != nil {
		log.Fatal(err)
	}
	level, sigma, _ := done.Get(chart.FrontCentreHorizontal) // not stated, but it follows
	fmt.Printf("consistent: %v, with a level front centre of %.1f ± %.1f mm\n", done.Consistent, level, sigma)
	// Output:
	// consistent: false
	// fork_offset is 54, the others say 45; perhaps [ten off: 44 digits exchanged: 45]
	// consistent: true, with a level front centre of 581.9 ± 0.2 mm
}

// The same frame on a smaller tyre in front and a larger one behind, and back.
func ExampleGeometry_OnWheels() {
	frame := chart.Geometry{
		Stack: 560, Reach: 385, HeadAngle: 73, SeatAngle: 73.5,
		Axles: chart.Axles{Chainstay: 410, Drop: 70, ForkOffset: 45, FrontRadius: 340, RearRadius: 340},
	}
	wheels := chart.Wheels{FrontRadius: 336, RearRadius: 345}
	other, err := frame.OnWheels(wheels)
	if err != nil {
		log.Fatal(err)
	}
	pitch, _ := frame.Pitch(wheels)
	fmt.Printf("pitched by %.2f degrees: stack %.1f, reach %.1f mm, head angle %.2f degrees\n", pitch, other.Stack, other.Reach, other.HeadAngle)
	again, err := other.OnWheels(chart.Wheels{FrontRadius: 340, RearRadius: 340})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("back: stack %.1f, reach %.1f mm, head angle %.2f degrees\n", again.Stack, again.Reach, again.HeadAngle)
	// Output:
	// pitched by -0.52 degrees: stack 556.5, reach 390.1 mm, head angle 73.52 degrees
	// back: stack 560.0, reach 385.0 mm, head angle 73.00 degrees
}

// The marking of a tyre to the radius of its wheel, and a rollout to the same.
func ExampleParseTyre() {
	for _, marking := range []string{"28-622", "700x28C", "29x2.25"} {
		tyre, err := chart.ParseTyre(marking)
		if err != nil {
			log.Fatal(err)
		}
		radius, err := tyre.Radius()
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%s is %v: a radius of %.1f mm\n", marking, tyre, radius)
	}
	radius, err := chart.RolloutRadius(6390, 3)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("three turns of 6390 mm: %.1f mm\n", radius)
	// Output:
	// 28-622 is 28-622: a radius of 339.0 mm
	// 700x28C is 28-622: a radius of 339.0 mm
	// 29x2.25 is 57-622: a radius of 368.1 mm
	// three turns of 6390 mm: 339.0 mm
}

// Trail, and from it the fork's offset again; both numbers that are out of range
// are named.
func ExampleSteering_Trail() {
	steering := chart.Steering{HeadAngle: 73, ForkOffset: 45, Radius: 340}
	trail, err := steering.Trail()
	if err != nil {
		log.Fatal(err)
	}
	again, err := chart.Steering{HeadAngle: 73, Radius: 340}.WithTrail(trail)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("trail %.1f mm, offset %.1f mm\n", trail, again.ForkOffset)

	_, err = chart.Steering{HeadAngle: 7.3, ForkOffset: 45, Radius: 34}.Trail()
	fmt.Println(err)
	// Output:
	// trail 56.9 mm, offset 45.0 mm
	// head_angle_deg 7.3 degrees: want 50 to 90 degrees
	// radius_mm 34 mm: want 100 to 450 mm; it looks like centimetres
}

// How far a point on the line of a seat tube of 73.5 degrees lies behind the
// bottom bracket, and what the line to the saddle reference is.
func ExampleSeatPointAt() {
	point, err := chart.SeatPointAt(684.4, 73.5)
	if err != nil {
		log.Fatal(err)
	}
	angle, err := chart.SeatPoint{Height: 684.4, Setback: 188.6}.SeatAngle()
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f mm; %.2f degrees\n", point.Setback, angle)
	// Output:
	// 202.7 mm; 74.59 degrees
}

// Inches as people write them.
func ExampleInches() {
	for _, text := range []string{"1 1/8", "1.125", "1-1/8"} {
		mm, err := chart.Inches(text)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%s in: %.3f mm\n", text, mm)
	}
	_, err := chart.Inches("28.6 mm")
	fmt.Println(errors.Is(err, contact.ErrUnknown))
	// Output:
	// 1 1/8 in: 28.575 mm
	// 1.125 in: 28.575 mm
	// 1-1/8 in: 28.575 mm
	// true
}

// How a frame steers, what sag changes of it, and what sinks when the wheel is turned.
func ExampleGeometry_Handling() {
	frame := chart.Geometry{
		Stack: 560, Reach: 385, HeadAngle: 73, SeatAngle: 73.5,
		Axles: chart.Axles{Chainstay: 410, Drop: 70, ForkOffset: 45, FrontRadius: 340, RearRadius: 340},
	}
	drawn, err := frame.Handling(chart.Wheels{})
	if err != nil {
		log.Fatal(err)
	}
	sagged, err := frame.Handling(chart.Wheels{FrontSag: 25})
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("trail %.1f mm, front centre %.1f mm\n", drawn.Trail, drawn.FrontCentre)
	change := sagged.Sub(drawn)
	fmt.Printf("25 mm of sag: head angle %+.2f degrees, trail %+.1f mm\n", change.HeadAngle, change.Trail)

	sunk, err := chart.Steering{HeadAngle: 73, ForkOffset: 45, Radius: 340}.Sink(30)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("steered by 30 degrees: the frame sinks by %.1f mm, the axle by %.1f mm\n", sunk.Frame, sunk.Axle)

	hood := r3.Vec{X: 580, Y: 210, Z: 640}
	ahead, direct := frame.FromSteeringAxis(hood)
	fmt.Printf("a hood %.0f mm ahead of the steering axis turns on a radius of %.0f mm\n", ahead, direct)
	// Output:
	// trail 56.9 mm, front centre 581.9 mm
	// 25 mm of sag: head angle +1.40 degrees, trail -8.7 mm
	// steered by 30 degrees: the frame sinks by 1.9 mm, the axle by 3.7 mm
	// a hood 210 mm ahead of the steering axis turns on a radius of 297 mm
}
