package solve_test

import (
	"math/rand/v2"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/invented"
	"example.com/fitgeom/internal/trial"
	"gonum.org/v1/gonum/spatial/r3"
)

// draws is how many random problems to test: few, or many if FITGEOM_LONG is set,
// and a third of few with -short.
func draws(few, many int) int {
	if trial.Long() {
		return many
	}
	if testing.Short() {
		return few / 3
	}
	return few
}

func init() { trial.Rapid(20, 1000, 5) }

// kindOf is the kind of bike of a round: one after the other.
func kindOf(round int) string { return invented.BikeKinds[round%len(invented.BikeKinds)] }

func pick[T any](rng *rand.Rand, all ...T) T { return all[rng.IntN(len(all))] }

// drawProblem draws a problem, with all options filled in, and the build from its
// shelf that the target is a picture of, disturbed by so many millimetres. If that
// breaks a limit, there may be no build that holds.
func drawProblem(rng *rand.Rand, kind string, disturb float64) (solve.Problem, fitgeom.Build) {
	drawn := invented.Draw(rng, kind, disturb == 0)
	b, hands := drawn.Build, drawn.Hands
	o := solve.Problem{Target: invented.Position(b), Frame: b.Frame, Shelf: drawn.Shelf, Wheels: b.Wheels}
	for site, v := range o.Target.All() {
		v = r3.Add(v, r3.Scale(disturb, r3.Vec{X: rng.NormFloat64(), Y: 0.2 * rng.NormFloat64(), Z: rng.NormFloat64()}))
		lo, hi := site.Range()
		v.Z = max(lo.Z, min(hi.Z, v.Z)) // of pedals and soles
		o.Target.Set(site, v)
	}
	if disturb == 0 && !drawn.Stackable {
		return drawProblem(rng, kind, disturb) // nothing covers this steerer
	}

	o.Limit = 10
	tol := func(v float64) r3.Vec { return r3.Vec{X: v, Y: 3 * v, Z: v} }
	wide := pick(rng, 2.0, 2, 5, 12, 0.02)
	o.Keep = []fitgeom.Keep{{Site: contact.SaddleReference, Tolerance: r3.Vec{X: wide, Z: wide}}}
	if rng.IntN(3) == 0 {
		o.Keep = append(o.Keep, fitgeom.Keep{Site: contact.SaddleNose, Tolerance: r3.Vec{X: 5 * wide, Z: pick(rng, 0.0, 3*wide)}})
	}
	for _, left := range hands {
		w := tol(wide)
		if left != hands[0] || rng.IntN(4) == 0 { // unlike weights forward and up
			w = pick(rng, tol(2*wide), r3.Vec{X: 3 * wide, Z: wide}, r3.Vec{Z: 2 * wide})
		}
		o.Keep = append(o.Keep, fitgeom.Keep{Site: left, Tolerance: w}, fitgeom.Keep{Site: left.On(contact.Right), Tolerance: w})
	}
	for i := range o.Keep {
		if rng.IntN(6) == 0 { // on both axes alike, or not
			o.Keep[i].Weight = pick(rng, r3.Vec{X: 4, Y: 4, Z: 4}, r3.Vec{X: 0.25}, r3.Vec{Z: 9, Y: 2})
		}
	}
	if rng.IntN(4) == 0 {
		o.Keep = append(o.Keep, fitgeom.Keep{Site: contact.BarClamp, Tolerance: r3.Vec{X: 10 * wide, Z: 10 * wide}})
	}
	if rng.IntN(2) == 0 {
		o.Keep = append(o.Keep, fitgeom.Keep{Site: contact.PedalLeft, Tolerance: r3.Vec{X: 1}})
	}
	if len(o.Shelf.Pedals) > 0 && (disturb == 0 || rng.IntN(2) == 0) {
		o.Keep = append(o.Keep, fitgeom.Keep{Site: contact.FootLeft, Tolerance: r3.Vec{X: 2, Z: 1}}, fitgeom.Keep{Site: contact.FootRight, Tolerance: r3.Vec{Y: 10, Z: 1}})
	}
	o.Crank = pick(rng, fitgeom.KeepFarEnd, fitgeom.KeepFarEnd, fitgeom.KeepSaddle)
	o.Vary = pick(rng, 0, part.AllKinds, part.Stems|part.Seatposts, part.Handlebars|part.Saddles|part.Cranks)
	o.Grain = pick(rng, 0.0, 0, 0.1)
	if disturb > 0 && rng.IntN(2) == 0 {
		o.Bike = b
	}
	return o, b
}
