package motion_test

import (
	"fmt"
	"log"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/motion"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/internal/invented"
	"gonum.org/v1/gonum/spatial/r3"
)

// Two habits for one knee.
func ExampleFlexionAngle() {
	hip, knee, ankle := r3.Vec{X: -190, Z: 780}, r3.Vec{X: 20, Z: 410}, r3.Vec{X: -130, Z: 10}
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
	// flexion 50.1, included 129.9, both ± 0.9 degrees for markers good to 3 mm
}

// Markers of an invented ride, of which every seventh sample of the knee was
// dropped. They lie just on the joints here; on a person they do not.
func ExampleRecording_Analyse() {
	body, position := invented.Rider()
	chain, err := rider.NewChain(body, position)
	if err != nil {
		log.Fatal(err)
	}
	r := motion.Recording{Side: contact.Left}
	for frame := range 1001 { // 5 s at 200 frames per second
		seconds := float64(frame) / 200
		p, err := chain.At(contact.Left, seconds*540) // 90 turns per minute
		if err != nil {
			log.Fatal(err)
		}
		r.Times = append(r.Times, seconds)
		r.Pedal = append(r.Pedal, motion.Sample{At: p.Pedal, Seen: true})
		r.Ankle = append(r.Ankle, motion.Sample{At: p.Ankle, Seen: true})
		r.Knee = append(r.Knee, motion.Sample{At: p.Knee, Seen: frame%7 != 0})
		r.Hip = append(r.Hip, motion.Sample{At: p.Hip, Seen: true})
	}
	m, err := r.Analyse(motion.FromSide)
	if err != nil {
		log.Fatal(err)
	}
	turns := m.Revolutions()
	fmt.Printf("%d revolutions, the first at %.1f per minute\n", len(turns), turns[0].Cadence())
	knee, err := m.Span(rider.KneeFlexion)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("knee flexion: least %.1f ± %.1f, range %.1f ± %.1f degrees\n", knee.Least.Mean, knee.Least.Spread, knee.Range.Mean, knee.Range.Spread)
	level, err := m.At(rider.KneeFlexion, 90)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("with the crank level in front: %.1f degrees in %d revolutions\n", level.Mean, level.Count)
	// Output:
	// 7 revolutions, the first at 90.0 per minute
	// knee flexion: least 27.6 ± 0.0, range 85.3 ± 0.0 degrees
	// with the crank level in front: 72.0 degrees in 7 revolutions
}

// The knees of an invented rider, left against right. The numbers are those of two
// summaries, as Motion.Span gives them.
func ExampleStat_Sub() {
	left := motion.Stat{Mean: 34.6, Spread: 1.1, Count: 88}
	right := motion.Stat{Mean: 37.9, Spread: 1.3, Count: 86}
	if by, sigma, ok := left.Sub(right); ok {
		fmt.Printf("the left knee's least flexion is %.1f ± %.1f degrees more\n", by, sigma)
	}
	// Output:
	// the left knee's least flexion is -3.3 ± 0.2 degrees more
}
