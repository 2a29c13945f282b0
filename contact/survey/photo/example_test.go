package photo_test

import (
	"context"
	"fmt"
	"log"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/contact/survey/photo"
)

func mark(l survey.Landmark, x, y float64) photo.Mark { return photo.Mark{Landmark: l, X: x, Y: y} }

// One photograph of an invented bike from its right side, with a phone of which the focal
// length is known. What is not in the mid-plane has its place across the bike stated or
// assumed, and that is most of its uncertainty.
func Example() {
	result, err := photo.Survey{
		Cameras: []photo.Camera{{Width: 4000, Height: 3000, Equivalent: 50}},
		Photographs: []photo.Photograph{{Marks: []photo.Mark{
			mark(survey.BottomBracketRight, 1869, 1778), mark(survey.RearAxleRight, 1264, 1675), mark(survey.FrontAxleRight, 2752, 1675),
			mark(survey.HeadTubeTopRight, 2431, 976), mark(survey.HeadTubeBottomRight, 2478, 1144),
			mark(survey.At(contact.SaddleNose), 1776, 726), mark(survey.At(contact.SaddleRear), 1379, 706),
			mark(survey.At(contact.HoodsRight), 2778, 773), mark(survey.At(contact.PedalRight), 2129, 1783),
			mark(photo.FrontGround, 2737, 2184), mark(photo.RearGround, 1264, 2184),
			mark(photo.FrontCircleRight, 3210, 1675), mark(photo.FrontCircleRight, 2744, 1208), mark(photo.FrontCircleRight, 2278, 1675),
			mark(photo.RearCircleRight, 1730, 1675), mark(photo.RearCircleRight, 1263, 1208), mark(photo.RearCircleRight, 797, 1675),
		}}},
		FrontRadius: 340, RearRadius: 340, RadiusSigma: 1, // from the ground to the axles
		FrontCircle: 311, RearCircle: 311, // the edge of the rims
		Crank: 172.5,
		// Half of the width between the levers, and of a usual saddle; pedals are as usual.
		Sideways: []photo.Sideways{{Landmark: survey.At(contact.HoodsRight), Y: -210}},
	}.Solve(context.Background())
	if err != nil {
		log.Fatal(err)
	}
	for s, at := range result.Fix.Position.All() {
		sigma, _ := result.Fix.Covariance.Sigma(s)
		fmt.Printf("%v: %.0f (± %.0f) forward, %.0f (± %.0f) up\n", s, at.X, sigma.X, at.Z, sigma.Z)
	}
	for _, f := range result.Findings {
		fmt.Println(f)
	}
	// Output:
	// saddle_nose: -63 (± 2) forward, 704 (± 5) up
	// saddle_rear: -328 (± 3) forward, 716 (± 5) up
	// hoods_right: 580 (± 8) forward, 644 (± 4) up
	// pedal_right: 172 (± 1) forward, 0 (± 0) up
}
