package motion_test

import (
	"context"
	"fmt"
	"log"
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/motion"
	"gonum.org/v1/gonum/spatial/r3"
)

// laps is 10 s of an invented ride at 90 turns a minute: the hip stays, the foot points down a
// little, and the knee is where thigh and shank meet. It is seen from the left side.
func laps() motion.Recording {
	const thigh, shank, crank = 420.0, 430.0, 172.5
	r := motion.Recording{Markers: map[motion.Marker][]motion.Sample{}}
	for frame := range 2001 {
		r.Times = append(r.Times, float64(frame)/200)
		sin, cos := math.Sincos(float64(frame) / 200 * 3 * math.Pi)
		pedal := r3.Vec{X: crank * sin, Z: crank * cos}
		hip, ankle := r3.Vec{X: -130, Z: 740}, r3.Add(pedal, r3.Vec{X: -110, Z: 105})
		to := r3.Sub(ankle, hip)
		far := r3.Norm(to)
		along := (thigh*thigh - shank*shank + far*far) / (2 * far)
		across := math.Sqrt(thigh*thigh - along*along)
		knee := r3.Add(hip, r3.Add(r3.Scale(along/far, to), r3.Scale(across/far, r3.Vec{X: -to.Z, Z: to.X})))
		for marker, at := range map[motion.Marker]r3.Vec{
			motion.HipLeft: hip, motion.KneeLeft: knee, motion.AnkleLeft: ankle, motion.PedalLeft: pedal,
		} {
			r.Markers[marker] = append(r.Markers[marker], motion.Sample{At: at, Seen: true})
		}
	}
	return r
}

// From a recording to the knee's angle over the crank circle.
func Example_ride() {
	m, err := laps().Analyse(context.Background(), motion.Settings{View: motion.FromSide})
	if err != nil {
		log.Fatal(err) // all faults of the input, each with its path
	}
	knee, err := m.Curve(context.Background(), motion.KneeFlexion, contact.Left)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%d whole revolutions\n", len(m.Revolutions()))
	fmt.Printf("knee flexed by %.1f to %.1f degrees\n", knee.Least().Mean, knee.Most().Mean)
	// Output:
	// 15 whole revolutions
	// knee flexed by 36.3 to 114.0 degrees
}
