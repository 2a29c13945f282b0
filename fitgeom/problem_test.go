package fitgeom_test

import (
	"math/rand/v2"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
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

// A problem is a question for Reproduce, with all options filled in, on a shelf
// that full enumeration can finish. All of it is invented.
type problem struct {
	target contact.Position
	frame  fitgeom.Frame
	shelf  fitgeom.Shelf
	opt    fitgeom.Options
	from   fitgeom.Build // what the target is a disturbed picture of
}

func pick[T any](rng *rand.Rand, all ...T) T { return all[rng.IntN(len(all))] }

// some returns so many of a list, in its order.
func some[T any](rng *rand.Rand, n int, all []T) []T {
	all = append([]T(nil), all...)
	for len(all) > n {
		i := rng.IntN(len(all))
		all = append(all[:i], all[i+1:]...)
	}
	return all
}

func steps(rng *rand.Rand, from, step float64, n int) part.Steps {
	return part.Steps{From: from, To: from + step*float64(rng.IntN(n)), Step: step}
}

// bikeKinds is the kinds of bikes that are drawn.
var bikeKinds = []string{"road", "gravel", "mountain", "city", "time trial", "one piece", "clip-on"}

// drawProblem draws a bike of a kind, a shelf with it and other parts, and a target
// that is disturbed by so many millimetres. Every third shelf has equal parts.
func drawProblem(rng *rand.Rand, kind string, disturb float64) problem {
	u := rng.Float64
	p := problem{frame: invented.Road54()}
	f := &p.frame
	f.MaxUnderStem = 20 + 30*u()
	f.SeatpostInsertion = 120 * u()
	f.Geometry.HeadAngle = 71 + 3*u()
	f.Geometry.SeatAngle = 72 + 3*u()
	f.Geometry.SeatOffset = pick(rng, 0.0, 0, 12)
	if rng.IntN(3) == 0 {
		f.SteererCut = 55 + 25*u()
	}
	if rng.IntN(4) == 0 {
		f.SeatpostDepth = 200
	}
	s := &p.shelf
	s.Caps = some(rng, 1+rng.IntN(2), invented.Shelf().Caps)
	s.Spacers = []part.Spacer{{Height: 5, Count: 1 + rng.IntN(2)}, {Height: 10, Count: 1 + rng.IntN(3)}}
	if f.SteererCut != 0 { // some rings to cover the steerer with
		s.Spacers = append(s.Spacers, part.Spacer{Height: 2.5, Count: 1}, part.Spacer{Height: 20, Count: 1})
	}
	stem := func(length, angle float64) part.Stem {
		return part.Stem{Length: length, Angle: angle, Height: pick(rng, 38.0, 40), SteererDiameter: 28.6, BarDiameter: 31.8, Flippable: rng.IntN(3) > 0}
	}
	for range 1 + rng.IntN(3) {
		s.Stems = append(s.Stems, stem(float64(70+10*rng.IntN(6)), pick(rng, -17.0, -10, -6, 0)))
	}
	s.Seatposts = []part.Seatpost{{Diameter: 27.2, Length: 350, Setback: pick(rng, 0.0, 10, 20), MinInsertion: 100, MinExtension: 45}}
	if rng.IntN(2) == 0 {
		s.Seatposts = append(s.Seatposts, part.Seatpost{Diameter: 27.2, Length: 400, Setback: pick(rng, -10.0, 0, 25), MinInsertion: 80, MinExtension: 45, MaxExtension: pick(rng, 0.0, 220)})
	}
	if rng.IntN(2) == 0 { // a dropper, thinner than the frame: only with a shim
		s.Seatposts = append(s.Seatposts, part.Seatpost{Diameter: 25.4, Length: 440, MinInsertion: 110, MinExtension: 190, Travel: 125})
		if rng.IntN(3) > 0 {
			s.Shims = append(s.Shims, part.Shim{Name: "first", Inner: 25.4, Outer: 27.2}, part.Shim{Name: "second", Inner: 25.4, Outer: 27.2})
		}
	}
	s.Saddles = some(rng, 1+rng.IntN(2), invented.Shelf().Saddles)
	s.Cranks = some(rng, 1+rng.IntN(2), invented.Shelf().Cranks)
	if rng.IntN(2) == 0 {
		s.Pedals = []part.Pedal{{Name: "thin", FootHeight: 14, FootOffset: 55}, {Name: "thick", FootHeight: 22, FootOffset: 60}}
		s.CleatShims = []part.Spacer{{Height: 1, Count: 1}, {Height: 3, Count: 1}}
	}

	drop := func() part.Handlebar {
		return part.Handlebar{ClampDiameter: 31.8, AeroDiameter: 31.8, RotationRange: pick(rng, 0.0, 5, 8), Drop: part.DropBar{
			Width: float64(400 + 20*rng.IntN(3)), Flare: pick(rng, 0.0, 12), TopsWidth: 200, Reach: 70 + 10*u(), Drop: 120, Hook: 55,
		}}
	}
	flat := func() part.Handlebar {
		return part.Handlebar{ClampDiameter: 31.8, RotationRange: pick(rng, 0.0, 6), Flat: part.FlatBar{
			Width: float64(680 + 40*rng.IntN(4)), Centre: 120, Rise: float64(10 * rng.IntN(4)), Backsweep: 5 + 10*u(), Upsweep: 5 * u(), Hand: 65,
		}}
	}
	base := func() part.Handlebar {
		return part.Handlebar{ClampDiameter: 31.8, AeroDiameter: 31.8, RotationRange: pick(rng, 0.0, 4), Base: part.BaseBar{Width: 400, Reach: 150 + 20*u(), Rise: -30}}
	}
	keep := []contact.Site{contact.HoodsLeft}
	switch kind {
	case "road":
		s.Handlebars = append(s.Handlebars, drop(), drop())
	case "gravel": // drops and tops count too
		s.Handlebars = append(s.Handlebars, drop())
		s.Handlebars[0].Drop.Flare = 16
		keep = append(keep, contact.DropsLeft, contact.TopsLeft)
	case "mountain", "city":
		s.Handlebars = append(s.Handlebars, flat(), drop(), flat())
		keep = []contact.Site{contact.GripLeft}
		if kind == "mountain" {
			p.opt.Wheels = chart.Wheels{FrontSag: 30 * u(), RearSag: 40 * u(), FrontRadius: 350 + 20*u(), RearRadius: pick(rng, 0.0, 345)}
		} else { // an old thin bar that a shim makes fit
			s.Handlebars[0].ClampDiameter = 25.4
			s.Shims = append(s.Shims, part.Shim{Name: "bar", Inner: 25.4, Outer: 31.8})
		}
	case "time trial", "clip-on":
		keep = []contact.Site{contact.PadLeft, contact.ExtensionLeft}
		if kind == "clip-on" {
			s.Handlebars = append(s.Handlebars, drop())
			keep = append(keep, contact.HoodsLeft)
		} else {
			s.Handlebars = append(s.Handlebars, base(), base())
			if rng.IntN(2) == 0 {
				keep = append(keep, contact.GripLeft)
			}
		}
		for range 1 + rng.IntN(2) {
			s.AeroBars = append(s.AeroBars, part.AeroBar{
				BarDiameter: 31.8, Tilt: steps(rng, 0, 5, 3), PadRise: steps(rng, 40, 10, 4),
				PadForward: pick(rng, steps(rng, -60, 15, 4), part.Steps{From: -60, To: -10}), PadWidth: steps(rng, 160, 10, 5),
				Extension:     pick(rng, steps(rng, 250, 10, 6), part.Steps{From: 250, To: 320}),
				ExtensionDrop: 30, ExtensionAngle: pick(rng, 0.0, 8), ExtensionWidth: 110,
			})
		}
	case "one piece":
		s.Handlebars = append(s.Handlebars, drop(), drop())
		b := &s.Handlebars[0]
		b.Stem = part.Stem{Length: 100, Angle: -8, Height: 40, SteererDiameter: 28.6}
		b.DrawnAt, b.ClampDiameter, b.AeroDiameter, b.RotationRange = 73, 0, 0, 0
	}
	s.Levers = invented.Shelf().Levers
	if rng.IntN(3) == 0 { // equal parts: only their places on the shelf differ
		s.Stems = append(s.Stems, s.Stems[0])
		s.Saddles = append(s.Saddles, s.Saddles[0])
		s.Handlebars = append(s.Handlebars, s.Handlebars[0])
	}

	// A build from the shelf, and a target near its position. A build that breaks
	// a limit is welcome: then there may be no build that holds.
	b := &p.from
	*b = fitgeom.Build{
		Frame: *f, Wheels: p.opt.Wheels, Cap: pick(rng, s.Caps...), Handlebar: s.Handlebars[0], Seatpost: s.Seatposts[0],
		Saddle: pick(rng, s.Saddles...), Crank: pick(rng, s.Cranks...),
		Settings: fitgeom.Settings{SeatpostExtension: 60 + 150*u(), SaddleTilt: 3 * rng.NormFloat64()},
	}
	t := &b.Settings
	t.RailClamp = b.Saddle.RailsFrom + (b.Saddle.RailsTo-b.Saddle.RailsFrom)*u()
	if b.Handlebar.Stem == (part.Stem{}) {
		b.Stem = pick(rng, s.Stems...)
		t.Flipped = b.Stem.Flippable && b.Stem.Angle != 0 && rng.IntN(2) == 0
		t.BarRotation = b.Handlebar.RotationRange * (2*u() - 1)
		if b.Handlebar.ClampDiameter == 25.4 {
			b.BarShim = s.Shims[len(s.Shims)-1]
		}
	}
	if b.Handlebar.Drop != (part.DropBar{}) {
		b.Lever = pick(rng, s.Levers...)
	}
	if len(s.AeroBars) > 0 {
		b.Aero = pick(rng, s.AeroBars...)
		for _, v := range []struct {
			to *float64
			s  part.Steps
		}{{&t.AeroTilt, b.Aero.Tilt}, {&t.PadRise, b.Aero.PadRise}, {&t.PadForward, b.Aero.PadForward}, {&t.PadWidth, b.Aero.PadWidth}, {&t.Extension, b.Aero.Extension}} {
			*v.to = v.s.From + (v.s.To-v.s.From)*u()
			if v.s.Step != 0 {
				*v.to = v.s.From + v.s.Step*float64(rng.IntN(1+int((v.s.To-v.s.From)/v.s.Step+0.5)))
			}
		}
	}
	if len(s.Pedals) > 0 {
		b.Pedal = pick(rng, s.Pedals...)
		t.LiftLeft, t.LiftRight = pick(rng, 0.0, 1, 3, 4), pick(rng, 0.0, 1)
	}
	fitting := plantSpacers(rng, &p)
	if disturb > 0 || !fitting {
		t.Spacers, t.SpacersAbove = float64(5*rng.IntN(8)), 0
	}
	p.target = invented.Position(*b)
	for site, v := range p.target.All() {
		p.target.Set(site, r3.Add(v, r3.Scale(disturb, r3.Vec{X: rng.NormFloat64(), Y: 0.2 * rng.NormFloat64(), Z: rng.NormFloat64()})))
	}
	if disturb == 0 && !fitting {
		return drawProblem(rng, kind, disturb) // nothing covers this steerer
	}

	o := &p.opt
	o.Limit = 10
	tol := func(v float64) r3.Vec { return r3.Vec{X: v, Y: 3 * v, Z: v} }
	wide := pick(rng, 2.0, 2, 5, 12, 0.02)
	o.Keep = []fitgeom.Keep{{Site: contact.SaddleReference, Tolerance: r3.Vec{X: wide, Z: wide}}}
	if rng.IntN(3) == 0 {
		o.Keep = append(o.Keep, fitgeom.Keep{Site: contact.SaddleNose, Tolerance: r3.Vec{X: 5 * wide, Z: pick(rng, 0.0, 3*wide)}})
	}
	for _, left := range keep {
		w := tol(wide)
		if left != keep[0] || rng.IntN(4) == 0 { // unlike weights forward and up
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
	if len(s.Pedals) > 0 && (disturb == 0 || rng.IntN(2) == 0) {
		o.Keep = append(o.Keep, fitgeom.Keep{Site: contact.FootLeft, Tolerance: r3.Vec{X: 2, Z: 1}}, fitgeom.Keep{Site: contact.FootRight, Tolerance: r3.Vec{Y: 10, Z: 1}})
	}
	o.Crank = pick(rng, fitgeom.KeepFarEnd, fitgeom.KeepFarEnd, fitgeom.KeepSaddle)
	o.Vary = pick(rng, 0, all, part.Stems|part.Seatposts, part.Handlebars|part.Saddles|part.Cranks)
	o.Grain = pick(rng, 0.0, 0, 0.1)
	if disturb > 0 && rng.IntN(2) == 0 {
		o.Bike = *b
	}
	return p
}

// plantSpacers sets spacers that the shelf can make and the frame takes, if there are any.
func plantSpacers(rng *rand.Rand, p *problem) bool {
	var fitting [][2]float64
	for _, s := range stackable(p.shelf.Spacers) {
		b := p.from
		b.Settings.Spacers, b.Settings.SpacersAbove = s[0], s[1]
		if steererTakes(&b) {
			fitting = append(fitting, s)
		}
	}
	if len(fitting) == 0 {
		return false
	}
	s := pick(rng, fitting...)
	p.from.Settings.Spacers, p.from.Settings.SpacersAbove = s[0], s[1]
	return true
}
