package rider_test

import (
	"fmt"
	"log"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"gonum.org/v1/gonum/spatial/r3"
)

// An invented rider's leg, whose toe stays down by 20 degrees, and the rider's position.
var (
	leg = rider.Leg{
		Thigh: 408, Shank: 416, AnkleHeight: 73, AnkleBehind: 125,
		Ankle: rider.Ankle{Given: rider.SolePitch, Profile: []float64{-20}},
	}
	seated = contact.New(map[contact.Site]r3.Vec{
		contact.SaddleReference: {X: -188.6, Z: 684.4},
		contact.FootLeft:        {X: 172.5, Y: 128, Z: 20}, // crank 172.5 mm, sole 20 mm above the spindle
	})
)

// Cranks of 165 mm in place of 172.5: what do they do to the knee, with the saddle where it was,
// and with the saddle raised until the leg is as straight as before at the far end?
func Example_shorterCranks() {
	body := rider.Body{Left: leg, HipForward: 60, HipUp: 50}
	shorter := seated
	shorter.Set(contact.FootLeft, r3.Vec{X: 165, Y: 128, Z: 20})

	before, err := rider.NewChain(body, seated)
	if err != nil {
		log.Fatal(err) // all faults of the input, each with its path
	}
	knee, err := before.Span(rider.KneeFlexion, contact.Left)
	if err != nil {
		log.Fatal(err)
	}
	raise, raised, err := body.RaiseSaddle(shorter, contact.Left, knee.Least, 73.5)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("the saddle goes up by %.1f mm\n", raise)
	for _, p := range []contact.Position{seated, shorter, raised} {
		chain, err := rider.NewChain(body, p)
		if err != nil {
			log.Fatal(err)
		}
		knee, err := chain.Span(rider.KneeFlexion, contact.Left)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("knee flexed by %.1f to %.1f degrees\n", knee.Least, knee.Most)
	}
	// Output:
	// the saddle goes up by 7.7 mm
	// knee flexed by 38.4 to 116.6 degrees
	// knee flexed by 41.4 to 115.3 degrees
	// knee flexed by 38.4 to 114.1 degrees
}
