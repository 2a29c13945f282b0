package rider_test

import (
	"fmt"
	"log"
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"gonum.org/v1/gonum/spatial/r3"
)

// invented is a body and a position that nobody has.
func invented() (rider.Body, contact.Position) {
	leg := rider.Leg{
		Thigh: 408, Shank: 416, AnkleHeight: 73, AnkleBehind: 125,
		Ankle: rider.Ankle{Given: rider.SolePitch, Profile: []float64{-20}}, // the toe stays down by 20 degrees
	}
	body := rider.Body{
		Left: leg, Right: leg, HipForward: 60, HipUp: 50,
		Upper: rider.Upper{
			Trunk: 510, UpperArm: 320, Forearm: 260, WristBack: 30, WristUp: 40,
			Grip: contact.HoodsLeft, Keep: rider.KeepElbow, Angle: 20,
		},
	}
	position := contact.New(map[contact.Site]r3.Vec{
		contact.SaddleReference: {X: -205, Z: 705},
		contact.HoodsLeft:       {X: 540, Y: 205, Z: 660},
		contact.HoodsRight:      {X: 540, Y: -205, Z: 660},
		contact.FootLeft:        {X: 172.5, Y: 125, Z: 20}, // crank 172.5 mm, sole 20 mm above the spindle
		contact.FootRight:       {X: 172.5, Y: -125, Z: 20},
	})
	return body, position
}

// What the joints of an invented body do over the stroke.
func Example() {
	body, position := invented()
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
	body, before := invented()
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
	body, position := invented()
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
	body, position := invented()
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
		body, position := invented()
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

// Two habits for one knee.
func ExampleFlexionAngle() {
	hip, knee, ankle := r3.Vec{X: -190, Z: 780}, r3.Vec{X: 20, Z: 410}, r3.Vec{X: -130, Z: 10}
	flexion, err := rider.FlexionAngle(hip, knee, ankle, rider.FromSide)
	if err != nil {
		log.Fatal(err)
	}
	included, err := rider.IncludedAngle(hip, knee, ankle, rider.FromSide)
	if err != nil {
		log.Fatal(err)
	}
	sigma, err := rider.AngleSigma(hip, knee, ankle, 3, rider.FromSide)
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
	body, position := invented()
	chain, err := rider.NewChain(body, position)
	if err != nil {
		log.Fatal(err)
	}
	r := rider.Recording{Side: contact.Left}
	for frame := range 1001 { // 5 s at 200 frames per second
		seconds := float64(frame) / 200
		p, err := chain.At(contact.Left, seconds*540) // 90 turns per minute
		if err != nil {
			log.Fatal(err)
		}
		r.Times = append(r.Times, seconds)
		r.Pedal = append(r.Pedal, rider.Sample{At: p.Pedal, Seen: true})
		r.Ankle = append(r.Ankle, rider.Sample{At: p.Ankle, Seen: true})
		r.Knee = append(r.Knee, rider.Sample{At: p.Knee, Seen: frame%7 != 0})
		r.Hip = append(r.Hip, rider.Sample{At: p.Hip, Seen: true})
	}
	motion, err := r.Analyse(rider.FromSide)
	if err != nil {
		log.Fatal(err)
	}
	turns := motion.Revolutions()
	fmt.Printf("%d revolutions, the first at %.1f per minute\n", len(turns), turns[0].Cadence())
	knee, err := motion.Span(rider.KneeFlexion)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("knee flexion: least %.1f ± %.1f, range %.1f ± %.1f degrees\n", knee.Least.Mean, knee.Least.Spread, knee.Range.Mean, knee.Range.Spread)
	level, err := motion.At(rider.KneeFlexion, 90)
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
	left := rider.Stat{Mean: 34.6, Spread: 1.1, Count: 88}
	right := rider.Stat{Mean: 37.9, Spread: 1.3, Count: 86}
	if by, sigma, ok := left.Sub(right); ok {
		fmt.Printf("the left knee's least flexion is %.1f ± %.1f degrees more\n", by, sigma)
	}
	// Output:
	// the left knee's least flexion is -3.3 ± 0.2 degrees more
}
