package solve_test

import (
	"math/rand/v2"
	"strings"
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

func TestMain(m *testing.M) { trial.Main(m) }

// kindOf is the kind of bike of a round: one after the other.
func kindOf(round int) string { return invented.BikeKinds[round%len(invented.BikeKinds)] }

func pick[T any](rng *rand.Rand, all ...T) T { return all[rng.IntN(len(all))] }

// renewing, behind the name of a kind, has bikes and shelves with parts of invented.Renew.
const renewing = ", renewed"

// drawProblem draws a problem, with all options filled in, and the build from its
// shelf that the target is a picture of, disturbed by so many millimetres. If that
// breaks a limit, there may be no build that holds.
func drawProblem(rng *rand.Rand, kind string, disturb float64) (solve.Problem, fitgeom.Build) {
	kind, renewed := strings.CutSuffix(kind, renewing)
	drawn := invented.Draw(rng, kind, disturb == 0)
	if renewed {
		drawn.Renew(rng)
	}
	b, hands := drawn.Build, drawn.Hands
	o := solve.Problem{Target: invented.Position(b), Frame: b.Frame, Shelf: drawn.Shelf, Wheels: b.Wheels}
	for site, v := range o.Target.All() {
		v = r3.Add(v, r3.Scale(disturb, r3.Vec{X: rng.NormFloat64(), Y: 0.2 * rng.NormFloat64(), Z: rng.NormFloat64()}))
		lo, hi := site.Range()
		v.Z = max(lo.Z, min(hi.Z, v.Z)) // of pedals and soles
		o.Target.Set(site, v)
	}
	if disturb == 0 && !drawn.Stackable {
		if renewed {
			kind += renewing
		}
		return drawProblem(rng, kind, disturb) // nothing covers this steerer
	}

	o.Limit = 10
	switch rng.IntN(4) {
	case 0, 1: // how close it comes is all
		o = o.Closest()
	case 2:
		mm := func() int { return rng.IntN(2) * rng.IntN(31) }
		o.RoomWanted = []fitgeom.RoomWish{
			{Group: pick(rng, contact.OnHandlebar, contact.OnHandlebar, contact.OnAeroBar), Up: mm(), Down: mm(), Forward: mm(), Back: mm(), Gap: pick(rng, 0.0, 1, 3)},
			{Group: contact.OnSaddle, Up: mm(), Down: mm(), Forward: mm(), Back: mm(), Gap: pick(rng, 0.0, 1)},
		}
		o.Preference = fitgeom.Preference{
			StemLength: fitgeom.Usual{From: 60, To: 100, Step: 10}, StemAngle: fitgeom.Usual{From: -10, To: 10, Step: 5}, Spacers: fitgeom.Usual{From: 0, To: float64(rng.IntN(40)), Step: 5},
			Rotation: fitgeom.Usual{From: -1, To: 1, Step: 1}, Rails: fitgeom.Usual{From: -5, To: 5, Step: pick(rng, 2.0, 10)}, Flipped: rng.IntN(3), Shim: rng.IntN(2),
		}
	}
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

// drawDirected draws a problem as drawProblem does, with flared and swept bars, levers and
// cleats that can be moved, cranks and pedals that differ from side to side, and directions
// that are kept; the target's are disturbed by as many degrees.
func drawDirected(rng *rand.Rand, kind string, disturb float64) (solve.Problem, fitgeom.Build) {
	o, b := drawProblem(rng, kind, disturb)
	direct(o.Shelf.Handlebars, &b.Handlebar, func(h *part.Handlebar) {
		if d := &h.Drop; *d != (part.DropBar{}) {
			d.Flare, d.TopsBacksweep, d.TopsUpsweep, d.TopsCentre = pick(rng, 0.0, 8, 20), pick(rng, 0.0, 12), pick(rng, 0.0, 4), pick(rng, 0.0, 80)
			if d.Flare == 0 {
				d.DropsWidth = d.Width + 20
			}
			if rng.IntN(3) == 0 {
				d.BendRadius, d.BendBelow, d.LeverUp = 60, 45, pick(rng, part.Steps{From: -8, To: 8, Step: 8}, part.Steps{To: 10, Step: 5})
			}
			if rng.IntN(3) == 0 {
				d.LeverIn = part.Steps{From: pick(rng, 0.0, -6), To: 6, Step: 6}
			}
		}
		if h.Base != (part.BaseBar{}) {
			h.Base.Slope = pick(rng, 0.0, 12)
		}
	})
	direct(o.Shelf.Levers, &b.Lever, func(l *part.Lever) { l.Slope, l.Offset = pick(rng, 0.0, 10), pick(rng, 0.0, 6) })
	direct(o.Shelf.Cranks, &b.Crank, func(k *part.Crank) { k.RightLength = pick(rng, 0, k.Length-7.5) })
	direct(o.Shelf.Pedals, &b.Pedal, func(p *part.Pedal) {
		if rng.IntN(2) == 0 {
			p.Right = part.PedalSide{FootHeight: p.FootHeight + 4, FootOffset: p.FootOffset + 3}
		}
		p.CleatBack, p.CleatIn = pick(rng, part.Steps{}, part.Steps{From: -5, To: 25}), pick(rng, part.Steps{}, part.Steps{From: -6, To: 6, Step: 1.5})
		p.ToesOut, p.Wedge = pick(rng, part.Steps{}, part.Steps{From: -10, To: 15}), pick(rng, part.Steps{}, part.Steps{From: -3, To: 3, Step: 1.5})
	})
	plant(rng, &b)
	was := o.Target
	o.Target = invented.Position(b)
	for site, v := range o.Target.All() {
		if before, ok := was.At(site); ok && disturb > 0 {
			v = r3.Add(v, r3.Scale(disturb, r3.Vec{X: rng.NormFloat64(), Y: 0.2 * rng.NormFloat64(), Z: rng.NormFloat64()}))
			if site.Group().Crank() {
				v.Z = before.Z
			}
			o.Target.Set(site, v)
		}
		if a, ok := o.Target.Attitude(site); ok {
			a.Yaw += disturb * rng.NormFloat64()
			a.Roll += disturb * rng.NormFloat64()
			if site != contact.SaddleReference {
				a.Tilt += disturb * rng.NormFloat64()
			}
			o.Target.SetAttitude(site, a)
		}
	}
	for i := range o.Keep {
		if _, ok := o.Target.Attitude(o.Keep[i].Site); ok && rng.IntN(4) > 0 {
			wide := pick(rng, 1.0, 3, 10)
			o.Keep[i].Turn = pick(rng, fitgeom.TurnTolerance{Tilt: wide}, fitgeom.TurnTolerance{Tilt: 2 * wide, Yaw: wide, Roll: wide}, fitgeom.TurnTolerance{Yaw: wide, Roll: wide, Weight: 4})
			if o.Keep[i].Site == contact.SaddleReference {
				o.Keep[i].Turn = fitgeom.TurnTolerance{Tilt: 1, Yaw: 20}
			} else if rng.IntN(6) == 0 { // the direction alone
				o.Keep[i].Tolerance = r3.Vec{}
			}
		}
	}
	if o.Bike != (fitgeom.Build{}) {
		o.Bike = b
	}
	return o, b
}

// plant sets levers and cleats of a build to any of their values.
func plant(rng *rand.Rand, b *fitgeom.Build) {
	any := func(in part.Steps) float64 {
		if n := in.Count(); n > 0 {
			return in.At(rng.IntN(n))
		}
		return in.From + (in.To-in.From)*rng.Float64()
	}
	s, d, p := &b.Settings, &b.Handlebar.Drop, &b.Pedal
	s.LeverUp, s.LeverIn = any(d.LeverUp), any(d.LeverIn)
	s.CleatLeft = fitgeom.Cleat{Back: any(p.CleatBack), In: any(p.CleatIn), ToesOut: any(p.ToesOut), Wedge: any(p.Wedge)}
	s.CleatRight = fitgeom.Cleat{Back: any(p.CleatBack), In: any(p.CleatIn), ToesOut: any(p.ToesOut), Wedge: any(p.Wedge)}
}

// direct changes the parts of a shelf, equal ones alike, and the one on the bike with them.
func direct[T comparable](all []T, on *T, change func(*T)) {
	done := map[T]T{}
	for i, was := range all {
		if _, ok := done[was]; !ok {
			now := was
			change(&now)
			done[was] = now
		}
		all[i] = done[was]
	}
	if now, ok := done[*on]; ok {
		*on = now
	}
}
