package rider_test

import (
	"errors"
	"fmt"
	"log"
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/internal/invented"
	"gonum.org/v1/gonum/spatial/r3"
)

// What the joints of an invented rider do over the stroke.
func Example() {
	leg := rider.Leg{
		Thigh: 408, Shank: 416, AnkleHeight: 73, AnkleBehind: 125,
		Ankle: rider.Ankle{Given: rider.SolePitch, Profile: []float64{-20}}, // the toe stays down by 20 degrees
	}
	body := rider.Body{
		Left: leg, Right: leg,
		HipForward: 60, HipUp: 50, // from the saddle reference
		Upper: rider.Upper{
			Trunk: 510, UpperArm: 320, Forearm: 260, WristBack: 30, WristUp: 40,
			Grip: contact.HoodsLeft, Keep: rider.KeepElbow, Angle: 20,
		},
	}
	position := contact.New(map[contact.Site]r3.Vec{
		contact.SaddleReference: {X: -188.6, Z: 684.4},
		contact.HoodsLeft:       {X: 582.6, Y: 210, Z: 655.9},
		contact.FootLeft:        {X: 172.5, Y: 128, Z: 20}, // crank 172.5 mm, sole 20 mm above the spindle
		contact.FootRight:       {X: 172.5, Y: -128, Z: 20},
	})
	chain, err := rider.NewChain(body, position)
	if err != nil {
		log.Fatal(err)
	}
	for _, m := range []rider.Variable{rider.KneeFlexion, rider.HipFlexion, rider.AnkleDorsiflexion} {
		s, _ := chain.Span(m, contact.Left)
		fmt.Printf("%v: %.1f at %.0f to %.1f at %.0f degrees of crank\n", m, s.Least, s.LeastAt, s.Most, s.MostAt)
	}
	upper, _ := chain.Upper()
	fmt.Printf("the trunk leans by %.1f degrees against level\n", upper.TrunkLean)
	// Output:
	// knee_flexion: 38.4 at 176 to 116.6 at 356 degrees of crank
	// hip_flexion: 58.7 at 204 to 110.1 at 36 degrees of crank
	// ankle_dorsiflexion: -8.1 at 147 to 42.2 at 315 degrees of crank
	// the trunk leans by 51.8 degrees against level
}

// All that is missing or out of range comes back in one error.
func ExampleNewChain_faults() {
	body, _ := invented.Rider() // the body of the package's Example
	body.Left.Thigh = 40.8      // in centimetres
	_, err := rider.NewChain(body, contact.New(map[contact.Site]r3.Vec{
		contact.SaddleReference: {X: -188.6, Z: 684.4},
		contact.FootLeft:        {X: 172.5, Y: 128, Z: 20},
	}))
	for _, f := range contact.Faults(err) {
		fmt.Printf("%s: %v\n", f.Path, f.Class)
	}
	fmt.Println("a wrong unit among them:", errors.Is(err, contact.ErrUnit))
	// Output:
	// body.left.thigh_mm: wrong unit
	// position.sites.hoods_left: missing
	// position.sites.foot_right: missing
	// a wrong unit among them: true
}

// A saddle 15 mm higher, and what it does to the body.
func ExampleBody_Compare() {
	body, _ := invented.Rider()                        // the body of the package's Example
	before := invented.Position(invented.Everything()) // and its position
	after := before
	after.Set(contact.SaddleReference, r3.Vec{X: -188.6, Z: 699.4})
	changes, err := body.Compare(before, after)
	if err != nil {
		log.Fatal(err)
	}
	for _, c := range changes {
		// The right leg does much the same, and the elbow stays as the body has it.
		if c.Side != contact.Right && c.Variable != rider.ElbowFlexion {
			fmt.Printf("%-6v %-18v least %+.1f, most %+.1f\n", c.Side, c.Variable, c.After.Least-c.Before.Least, c.After.Most-c.Before.Most)
		}
	}
	// Output:
	// left   knee_flexion       least -7.0, most -2.5
	// left   hip_flexion        least -1.7, most -0.5
	// left   ankle_dorsiflexion least -2.7, most -1.5
	// centre trunk_lean         least -1.3, most -1.3
	// centre shoulder_flexion   least +0.1, most +0.1
}

// How high the saddle has to be for a knee flexion of 32 degrees at the far end
// of the stroke, on a line as steep as a seat tube of 73.5 degrees, and back
// again: the flexion at the position that comes out.
func ExampleBody_RaiseSaddle() {
	body, _ := invented.Rider()                          // the body of the package's Example
	position := invented.Position(invented.Everything()) // and its position
	by, after, err := body.RaiseSaddle(position, contact.Left, 32, 73.5)
	if err != nil {
		log.Fatal(err)
	}
	saddle, _ := after.At(contact.SaddleReference)
	fmt.Printf("up the line by %.1f mm, to %.1f mm behind and %.1f mm above the bottom bracket\n", by, -saddle.X, saddle.Z)

	chain, err := rider.NewChain(body, after)
	if err != nil {
		log.Fatal(err)
	}
	far, err := chain.FarEnd(contact.Left)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f degrees\n", far.KneeFlexion)
	// Output:
	// up the line by 14.2 mm, to 192.7 mm behind and 697.9 mm above the bottom bracket
	// 32.0 degrees
}

// The crank with which a knee is flexed by 45 degrees at the far end of its
// stroke, the saddle staying where it is.
func ExampleBody_CrankLength() {
	body, _ := invented.Rider()                          // the body of the package's Example
	position := invented.Position(invented.Everything()) // and its position
	length, after, err := body.CrankLength(position, contact.Left, 45)
	if err != nil {
		log.Fatal(err)
	}
	foot, _ := after.At(contact.FootLeft)
	fmt.Printf("a crank of %.1f mm; the position now has %.1f\n", length, foot.X)
	// Output:
	// a crank of 155.5 mm; the position now has 155.5
}

// A leg that is too short for its saddle is a result.
func ExampleChain_FarEnd() {
	body, _ := invented.Rider()                          // the body of the package's Example
	position := invented.Position(invented.Everything()) // and its position
	position.Set(contact.SaddleReference, r3.Vec{X: -188.6, Z: 760})
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
	// short by 31.5 mm at 176 degrees of crank
}

// The knee of one leg at every 90 degrees of its crank.
func ExampleChain_Stroke() {
	body, _ := invented.Rider()                          // the body of the package's Example
	position := invented.Position(invented.Everything()) // and its position
	chain, err := rider.NewChain(body, position)
	if err != nil {
		log.Fatal(err)
	}
	postures := make([]rider.Posture, 4)
	if err := chain.Stroke(contact.Left, postures); err != nil {
		log.Fatal(err)
	}
	for _, p := range postures {
		fmt.Printf("crank at %.0f degrees: knee %.0f in front and %.0f above, flexed by %.1f degrees\n", p.CrankAngle, p.Knee.X, p.Knee.Z, p.KneeFlexion)
	}
	// Output:
	// crank at 0 degrees: knee 241 in front and 561 above, flexed by 116.5 degrees
	// crank at 90 degrees: knee 221 in front and 524 above, flexed by 77.8 degrees
	// crank at 180 degrees: knee 28 in front and 358 above, flexed by 38.5 degrees
	// crank at 270 degrees: knee 74 in front and 380 above, flexed by 82.8 degrees
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
	body, _ := invented.Rider()                          // the body of the package's Example
	position := invented.Position(invented.Everything()) // and its position
	for _, h := range []rider.SaddleToBottomBracket{same, byBottomBracket} {
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

// How well is a change known, and how well the saddle that gives a wanted flexion?
func ExampleBody_Changes() {
	body, before := invented.Rider()
	after := before
	saddle, _ := before.At(contact.SaddleReference)
	after.Set(contact.SaddleReference, r3.Vec{X: saddle.X - 1, Z: saddle.Z + 4})

	// The tape is good to 1 mm, segments and hip to 5 mm, the sole's slope to 5 degrees.
	position, err := contact.NewCovariance([]contact.Coordinate{
		{Site: contact.SaddleReference, Axis: contact.AxisX},
		{Site: contact.SaddleReference, Axis: contact.AxisZ},
		{Site: contact.FootLeft, Axis: contact.AxisZ},
		{Site: contact.PedalLeft, Axis: contact.AxisX},
	}, func(i, j int) float64 {
		if i == j {
			return 1
		}
		return 0
	})
	if err != nil {
		log.Fatal(err)
	}
	body.Right, body.Upper = rider.Leg{}, rider.Upper{}
	numbers := []rider.Number{{Of: rider.BodyHipForward}, {Of: rider.BodyHipUp}}
	for d := rider.BodyThigh; d <= rider.BodyAnkleAngle; d++ {
		numbers = append(numbers, rider.Number{Of: d, Side: contact.Left})
	}
	known, err := rider.NewCovariance(numbers, func(i, j int) float64 {
		if i == j {
			return 25
		}
		return 0
	})
	if err != nil {
		log.Fatal(err)
	}

	changes, err := body.Changes(before, after, rider.Uncertainty{Body: known, Before: position, Moved: true})
	if err != nil {
		log.Fatal(err)
	}
	knee := changes[0]
	chain, err := rider.NewChain(body, before)
	if err != nil {
		log.Fatal(err)
	}
	_, least, _, err := chain.SpanSlopes(rider.KneeFlexion, contact.Left)
	if err != nil {
		log.Fatal(err)
	}
	sigma, err := least.Sigma(position, known)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("least flexion of the knee: %.1f ± %.1f degrees before\n", knee.Before.Least, sigma)
	certain, err := knee.Least.Real(0.95)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("the change: %.1f ± %.1f degrees, real at 95 %%: %v\n", knee.Least.Value, knee.Least.Sigma, certain)
	to35, err := body.SaddleSlopes(before, contact.Left, 35, 73.5)
	if err != nil {
		log.Fatal(err)
	}
	sigma, err = to35.Slopes.Sigma(position, known)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("for 35 degrees the saddle moves by %.1f ± %.1f mm, %.1f mm to a degree\n", to35.Value, sigma, to35.PerDegree)
	// Output:
	// least flexion of the knee: 27.6 ± 6.9 degrees before
	// the change: -2.5 ± 0.7 degrees, real at 95 %: true
	// for 35 degrees the saddle moves by -14.6 ± 12.0 mm, -2.2 mm to a degree
}
