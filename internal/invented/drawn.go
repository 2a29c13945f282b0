package invented

import (
	"math"
	"math/rand/v2"
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
)

// A Drawn is a bike that was drawn at random, and a shelf with its parts and others,
// which full enumeration can finish. All of it is invented.
type Drawn struct {
	// Build may break limits of its parts.
	Build fitgeom.Build
	Shelf fitgeom.Shelf
	// Hands is where such a bike is held: the left site of each pair.
	Hands []contact.Site
	// Stackable says that rings of the shelf suit the steerer.
	Stackable bool
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

// BikeKinds is the kinds of bikes that Draw knows.
var BikeKinds = []string{"road", "gravel", "mountain", "city", "time trial", "one piece", "clip-on"}

// Draw draws a bike of a kind and a shelf. Every third shelf has equal parts. The
// bike's spacers are from the shelf if they are to be and there are some that its
// steerer takes, else of any height.
func Draw(rng *rand.Rand, kind string, stacked bool) Drawn {
	p := Drawn{Build: fitgeom.Build{Frame: Road54()}}
	p.frame(rng)
	p.common(rng)
	p.hands(rng, kind)
	p.build(rng)
	p.Stackable = plantSpacers(rng, &p)
	if !stacked || !p.Stackable {
		p.Build.Settings.Spacers, p.Build.Settings.SpacersAbove = float64(5*rng.IntN(8)), 0
	}
	return p
}

func (p *Drawn) frame(rng *rand.Rand) {
	u := rng.Float64
	f := &p.Build.Frame
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
}

// common draws what every kind of bike has on its shelf.
func (p *Drawn) common(rng *rand.Rand) {
	f := &p.Build.Frame
	s := &p.Shelf
	s.Caps = some(rng, 1+rng.IntN(2), Shelf().Caps)
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
	s.Saddles = some(rng, 1+rng.IntN(2), Shelf().Saddles)
	for i := range s.Saddles {
		if a := &s.Saddles[i]; rng.IntN(2) == 0 {
			a.NoseDroop, a.RearDroop, a.ReferenceWidth, a.Widening = 14, 4, 70, 0.9
		}
	}
	s.Cranks = some(rng, 1+rng.IntN(2), Shelf().Cranks)
	if rng.IntN(2) == 0 {
		s.Pedals = []part.Pedal{{Name: "thin", FootHeight: 14, FootOffset: 55}, {Name: "thick", FootHeight: 22, FootOffset: 60}}
		s.CleatShims = []part.Spacer{{Height: 1, Count: 1}, {Height: 3, Count: 1}}
	}
}

// hands draws bars, and what of them the rider holds.
func (p *Drawn) hands(rng *rand.Rand, kind string) {
	u, s := rng.Float64, &p.Shelf
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
	p.Hands = []contact.Site{contact.HoodsLeft}
	switch kind {
	case "road":
		s.Handlebars = append(s.Handlebars, drop(), drop())
	case "gravel": // drops and tops count too
		s.Handlebars = append(s.Handlebars, drop())
		s.Handlebars[0].Drop.Flare = 16
		p.Hands = append(p.Hands, contact.DropsLeft, contact.TopsLeft)
	case "mountain", "city":
		s.Handlebars = append(s.Handlebars, flat(), drop(), flat())
		p.Hands = []contact.Site{contact.GripLeft}
		if kind == "mountain" {
			p.Build.Wheels = chart.Wheels{FrontSag: 30 * u(), RearSag: 40 * u(), FrontRadius: 350 + 20*u(), RearRadius: pick(rng, 0.0, 345)}
		} else { // an old thin bar that a shim makes fit
			s.Handlebars[0].ClampDiameter = 25.4
			s.Shims = append(s.Shims, part.Shim{Name: "bar", Inner: 25.4, Outer: 31.8})
		}
	case "time trial", "clip-on":
		p.Hands = []contact.Site{contact.PadLeft, contact.ExtensionLeft}
		if kind == "clip-on" {
			s.Handlebars = append(s.Handlebars, drop())
			p.Hands = append(p.Hands, contact.HoodsLeft)
		} else {
			s.Handlebars = append(s.Handlebars, base(), base())
			if rng.IntN(2) == 0 {
				p.Hands = append(p.Hands, contact.GripLeft)
			}
		}
		p.aeroBars(rng)
	case "one piece":
		s.Handlebars = append(s.Handlebars, drop(), drop())
		b := &s.Handlebars[0]
		b.Stem = part.Stem{Length: 100, Angle: -8, Height: 40, SteererDiameter: 28.6}
		b.DrawnAt, b.ClampDiameter, b.AeroDiameter, b.RotationRange = 73, 0, 0, 0
	}
	s.Levers = Shelf().Levers
	if rng.IntN(3) == 0 { // equal parts: only their places on the shelf differ
		s.Stems = append(s.Stems, s.Stems[0])
		s.Saddles = append(s.Saddles, s.Saddles[0])
		s.Handlebars = append(s.Handlebars, s.Handlebars[0])
	}
}

func (p *Drawn) aeroBars(rng *rand.Rand) {
	s := &p.Shelf
	for range 1 + rng.IntN(2) {
		s.AeroBars = append(s.AeroBars, part.AeroBar{
			BarDiameter: 31.8, Tilt: steps(rng, 0, 5, 3), PadRise: steps(rng, 40, 10, 4),
			PadForward: pick(rng, steps(rng, -60, 15, 4), part.Steps{From: -60, To: -10}), PadWidth: steps(rng, 160, 10, 5),
			Extension:     pick(rng, steps(rng, 250, 10, 6), part.Steps{From: 250, To: 320}),
			ExtensionDrop: 30, ExtensionAngle: pick(rng, 0.0, 8), ExtensionWidth: 110,
		})
	}
}

// build takes a build from the shelf. One that breaks a limit is welcome.
func (p *Drawn) build(rng *rand.Rand) {
	u, s := rng.Float64, &p.Shelf
	b := &p.Build
	b.Cap, b.Handlebar, b.Seatpost, b.Saddle, b.Crank = pick(rng, s.Caps...), s.Handlebars[0], s.Seatposts[0], pick(rng, s.Saddles...), pick(rng, s.Cranks...)
	b.Settings = fitgeom.Settings{SeatpostExtension: 60 + 150*u(), SaddleTilt: 3 * rng.NormFloat64()}
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
}

// plantSpacers sets spacers that the shelf can make and the frame takes, if there are any.
func plantSpacers(rng *rand.Rand, p *Drawn) bool {
	var fitting [][2]float64
	for _, s := range Stacks(p.Shelf.Spacers) {
		b := p.Build
		b.Settings.Spacers, b.Settings.SpacersAbove = s[0], s[1]
		if SteererTakes(&b) {
			fitting = append(fitting, s)
		}
	}
	if len(fitting) == 0 {
		return false
	}
	s := pick(rng, fitting...)
	p.Build.Settings.Spacers, p.Build.Settings.SpacersAbove = s[0], s[1]
	return true
}

// Stacks returns every pair of heights under and above a stem that rings make.
func Stacks(rings []part.Spacer) [][2]float64 {
	seen := map[[2]int]bool{{}: true}
	for _, s := range rings {
		for range s.Count {
			h := int(math.Round(s.Height * 10))
			for _, at := range keys(seen) {
				seen[[2]int{at[0] + h, at[1]}] = true
				seen[[2]int{at[0], at[1] + h}] = true
			}
		}
	}
	var all [][2]float64
	for _, at := range keys(seen) {
		all = append(all, [2]float64{float64(at[0]) / 10, float64(at[1]) / 10})
	}
	return all
}

func keys(m map[[2]int]bool) [][2]int {
	var all [][2]int
	for k := range m {
		all = append(all, k)
	}
	slices.SortFunc(all, func(a, b [2]int) int { return slices.Compare(a[:], b[:]) })
	return all
}

// SteererTakes reports whether the frame of a build takes its cap, spacers and stem.
func SteererTakes(b *fitgeom.Build) bool {
	s := b.Settings
	if b.Stem.Quill != (part.Steps{}) && (s.Spacers != 0 || s.SpacersAbove != 0) {
		return false
	}
	height := b.Stem.Height + b.Handlebar.Stem.Height // one of them is 0
	under := b.Cap.Height + s.Spacers
	if under > b.Frame.MaxUnderStem+1e-6 {
		return false
	}
	cut := b.Frame.SteererCut
	if cut == 0 {
		return s.SpacersAbove == 0
	}
	return under+height <= cut+5+1e-6 && under+height+s.SpacersAbove >= cut+2-1e-6
}
