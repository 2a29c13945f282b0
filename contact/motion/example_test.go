package motion_test

import (
	"context"
	"errors"
	"fmt"
	"log"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/motion"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/internal/invented"
	"gonum.org/v1/gonum/spatial/r3"
)

// Three points of a leg at the far end of its stroke, and two habits for one knee.
func ExampleFlexionAngle() {
	hip, knee, ankle := r3.Vec{X: -128.6, Z: 734.4}, r3.Vec{X: 33.7, Z: 360.1}, r3.Vec{X: -73.4, Z: -41.9}
	flexion, err := motion.FlexionAngle(hip, knee, ankle, motion.FromSide)
	if err != nil {
		log.Fatal(err)
	}
	included, err := motion.IncludedAngle(hip, knee, ankle, motion.FromSide)
	if err != nil {
		log.Fatal(err)
	}
	sigma, err := motion.AngleSigma(hip, knee, ankle, 3, motion.FromSide)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("flexion %.1f, included %.1f, both ± %.1f degrees for markers good to 3 mm\n", flexion, included, sigma)
	// Output:
	// flexion 38.4, included 141.6, both ± 1.0 degrees for markers good to 3 mm
}

// Markers of an invented ride, of which every seventh sample of the knee was dropped and
// one was elsewhere. They lie just on the joints of a chain here, so that what comes out is
// what the Example of package rider has; on a person they do not.
func ExampleRecording_Analyse() {
	body, _ := invented.Rider()                          // the body of the Example of package rider
	position := invented.Position(invented.Everything()) // and its position
	chain, err := rider.NewChain(body, position)
	if err != nil {
		log.Fatal(err)
	}
	r := motion.Recording{Markers: map[motion.Marker][]motion.Sample{}}
	for frame := range 1001 { // 5 s at 200 frames per second
		seconds := float64(frame) / 200
		p, err := chain.At(contact.Left, seconds*540) // 90 turns per minute
		if err != nil {
			log.Fatal(err)
		}
		r.Times = append(r.Times, seconds)
		for marker, at := range map[motion.Marker]r3.Vec{motion.PedalLeft: p.Pedal, motion.AnkleLeft: p.Ankle, motion.KneeLeft: p.Knee, motion.HipLeft: p.Hip} {
			seen := marker != motion.KneeLeft || frame%7 != 3
			r.Markers[marker] = append(r.Markers[marker], motion.Sample{At: at, Seen: seen})
		}
	}
	r.Markers[motion.KneeLeft][401].At.X += 500
	m, err := r.Analyse(context.Background(), motion.Settings{View: motion.FromSide})
	if err != nil {
		log.Fatal(err)
	}
	turns := m.Revolutions()
	fmt.Printf("%d revolutions, the first at %.1f per minute\n", len(turns), turns[0].Cadence())
	for _, finding := range m.Quality().Findings {
		fmt.Println(finding)
	}
	knee, err := m.Curve(context.Background(), motion.KneeFlexion, contact.Left)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("knee flexion: least %.1f, most %.1f degrees\n", knee.Least().Mean, knee.Most().Mean)
	level, err := knee.At(90)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("with the crank level in front: %.1f degrees in %d revolutions\n", level.Mean, level.Count)
	// Output:
	// 7 revolutions, the first at 90.0 per minute
	// spike of knee_left by 500 mm in frame 401
	// knee flexion: least 38.4, most 116.6 degrees
	// with the crank level in front: 77.8 degrees in 7 revolutions
}

// All that is wrong with a recording comes back in one error.
func ExampleRecording_Validate() {
	err := motion.Recording{
		Times: []float64{0, 0.005, 0.005},
		Markers: map[motion.Marker][]motion.Sample{
			motion.PedalLeft: {{At: r3.Vec{Z: 172.5}, Seen: true}, {}, {}}, // seen once, then dropped
			motion.KneeLeft:  {{At: r3.Vec{X: 241, Z: 561}, Seen: true}},
		},
		Crank: 17.25,
	}.Validate()
	for _, f := range contact.Faults(err) {
		fmt.Printf("%s: %v\n", f.Path, f.Class)
	}
	fmt.Println("a contradiction among them:", errors.Is(err, contact.ErrConflict))
	// Output:
	// times[2]: contradiction
	// crank_mm: out of range
	// markers.knee_left: contradiction
	// a contradiction among them: true
}

// The knees of an invented rider, left against right. The numbers are those of two curves,
// as Motion.Curve gives them.
func ExampleStat_Sub() {
	left := motion.Stat{Mean: 34.6, Sigma: 0.12, Count: 88}
	right := motion.Stat{Mean: 37.9, Sigma: 0.14, Count: 86}
	if by, sigma, ok := left.Sub(right); ok {
		fmt.Printf("least flexion of the left knee less that of the right: %.1f ± %.1f degrees\n", by, sigma)
	}
	// Output:
	// least flexion of the left knee less that of the right: -3.3 ± 0.2 degrees
}

// A low-pass filter forward and back for a phone's 30 frames a second.
func ExampleNewFilter() {
	f, err := motion.NewFilter(30, 6, 2)
	if err != nil {
		log.Fatal(err)
	}
	once, _ := f.Gain(30, 6)
	fmt.Printf("forward and back leaves %.3f of a movement at 6 Hz\n", once*once)
	// Output:
	// forward and back leaves 0.707 of a movement at 6 Hz
}

// Where the right hip of an invented pelvis lies, by two rules that differ by a centimetre.
func ExampleHipCentre() {
	left, right, rear := r3.Vec{X: 60, Y: 125, Z: 980}, r3.Vec{X: 60, Y: -125, Z: 980}, r3.Vec{X: -100, Z: 980}
	for _, by := range []motion.HipRegression{motion.Harrington, motion.Bell} {
		hip, err := motion.HipCentre(left, right, rear, 0, contact.Right, by)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%v: %.0f forward, %.0f to the right, %.0f up\n", by, hip.X, -hip.Y, hip.Z)
	}
	// Output:
	// harrington: 12 forward, 90 to the right, 894 up
	// bell: 5 forward, 90 to the right, 905 up
}
