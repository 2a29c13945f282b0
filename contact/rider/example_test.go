package rider_test

import (
	"fmt"
	"log"
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/internal/invented"
	"gonum.org/v1/gonum/spatial/r3"
)

// What the joints of an invented body do over the stroke.
func Example() {
	body, position := invented.Rider()
	chain, err := rider.NewChain(body, position)
	if err != nil {
		log.Fatal(err)
	}
	for _, m := range []rider.Measure{rider.KneeFlexion, rider.HipFlexion, rider.AnkleDorsiflexion} {
		s, _ := chain.Span(m, contact.Left)
		fmt.Printf("%v: %.1f at %.0f to %.1f at %.0f degrees of crank\n", m, s.Least, s.LeastAt, s.Most, s.MostAt)
	}
	// Output:
	// knee_flexion: 27.6 at 175 to 112.9 at 355 degrees of crank
	// hip_flexion: 55.2 at 195 to 108.6 at 34 degrees of crank
	// ankle_dorsiflexion: -13.8 at 154 to 38.4 at 315 degrees of crank
}

// A saddle 15 mm higher, and what it does to the body.
func ExampleBody_Compare() {
	body, before := invented.Rider()
	after := before
	after.Set(contact.SaddleReference, r3.Vec{X: -205, Z: 720})
	changes, err := body.Compare(before, after)
	if err != nil {
		log.Fatal(err)
	}
	for _, c := range changes {
		if c.Side != contact.Right { // the right leg does the same
			fmt.Printf("%-6v %-18v least %+.1f, most %+.1f\n", c.Side, c.Measure, c.After.Least-c.Before.Least, c.After.Most-c.Before.Most)
		}
	}
	// Output:
	// left   knee_flexion       least -10.8, most -2.5
	// left   hip_flexion        least -3.3, most -0.4
	// left   ankle_dorsiflexion least -4.4, most -1.5
	// centre trunk_lean         least -1.4, most -1.4
	// centre shoulder_flexion   least +0.2, most +0.2
	// centre elbow_flexion      least +0.0, most +0.0
}

// How high the saddle has to be for a knee flexion of 32 degrees at the far end
// of the stroke, on a line as steep as a seat tube of 73.5 degrees.
func ExampleBody_RaiseSaddle() {
	body, position := invented.Rider()
	by, after, err := body.RaiseSaddle(position, contact.Left, 32, 73.5)
	if err != nil {
		log.Fatal(err)
	}
	saddle, _ := after.At(contact.SaddleReference)
	fmt.Printf("up the line by %.1f mm, to %.1f mm behind and %.1f mm above the bottom bracket\n", by, -saddle.X, saddle.Z)

	length, _, err := body.CrankLength(position, contact.Left, 40)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("or, for 40 degrees, a crank of %.1f mm\n", length)
	// Output:
	// up the line by -8.2 mm, to 202.7 mm behind and 697.1 mm above the bottom bracket
	// or, for 40 degrees, a crank of 146.6 mm
}

// A leg that is too short for its saddle is a result.
func ExampleChain_FarEnd() {
	body, position := invented.Rider()
	position.Set(contact.SaddleReference, r3.Vec{X: -205, Z: 755})
	chain, err := rider.NewChain(body, position)
	if err != nil {
		log.Fatal(err)
	}
	far, err := chain.FarEnd(contact.Right)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("short by %.1f mm at %.0f degrees of crank\n", far.Gap, far.CrankAngle)
	// Output:
	// short by 26.0 mm at 175 degrees of crank
}

// Two rules of thumb for one inseam, brought to the same datum, and what they
// do to an invented body of about that inseam.
func ExampleStartByInseam109() {
	const inseam, crank, seatAngle = 840, 172.5, 73.5
	byPedal, err := rider.StartByInseam109(inseam)
	if err != nil {
		log.Fatal(err)
	}
	byBottomBracket, err := rider.StartByInseam883(inseam)
	if err != nil {
		log.Fatal(err)
	}
	same, err := byPedal.ToBottomBracket(crank)
	if err != nil {
		log.Fatal(err)
	}
	for _, h := range []rider.SaddleToBottomBracket{same, byBottomBracket} {
		body, position := invented.Rider()
		sin, cos := math.Sincos(seatAngle * math.Pi / 180)
		position.Set(contact.SaddleReference, r3.Vec{X: -h.Height * cos, Z: h.Height * sin})
		chain, err := rider.NewChain(body, position)
		if err != nil {
			log.Fatal(err)
		}
		far, err := chain.FarEnd(contact.Left)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("%.1f mm to the bottom bracket: this body's knee is flexed by %.1f degrees at the far end\n", h.Height, far.KneeFlexion)
	}
	// Output:
	// 743.1 mm to the bottom bracket: this body's knee is flexed by 22.5 degrees at the far end
	// 741.7 mm to the bottom bracket: this body's knee is flexed by 23.4 degrees at the far end
}

// Segments from a table are named, with what they are known to be wrong by.
func ExampleTable_Length() {
	for _, table := range []rider.Table{rider.DrillisContini, rider.ANSURWomen} {
		thigh, err := table.Length(rider.Thigh, 1680)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("thigh %.0f mm: %s; %s\n", thigh, table.Source(), table.Bias())
	}
	_, err := rider.ANSURWomen.Length(rider.Trunk, 1680)
	fmt.Println(err)
	// Output:
	// thigh 412 mm: Drillis and Contini (1966), as drawn in Winter's Biomechanics and Motor Control of Human Movement; thigh 5 % longer than in ANSUR II, and hip 11 to 17 mm per 1000 mm of stature above its trochanter
	// thigh 391 mm: ANSUR II (2012), women, means computed from the public data; between landmarks on bones, not centres of joints; soldiers of one country
	// ansur_women.trunk missing: want a table that has it, or a measured length
}
