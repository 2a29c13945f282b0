package rank_test

import (
	"math"
	"math/rand/v2"
	"strconv"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/invented"
	"gonum.org/v1/gonum/spatial/r3"
)

// inventedSizes returns a catalogue of invented sizes, in families of eight, with
// the numbers rounded as charts have them: lengths to 1 mm, angles to angleStep.
func inventedSizes(n int, angleStep float64, seed uint64) []fitgeom.Size {
	rng := rand.New(rand.NewPCG(seed, 6))
	round := func(v, step float64) float64 { return math.Round(v/step) * step }
	sizes := make([]fitgeom.Size, 0, n)
	for family := 0; len(sizes) < n; family++ {
		stack, reach := 490+50*rng.Float64(), 360+25*rng.Float64()
		head, seat := 70.5+2*rng.Float64(), 72.5+2*rng.Float64()
		most := []float64{40, 50, 55}[rng.IntN(3)]
		diameter := []float64{27.2, 27.2, 31.6}[rng.IntN(3)]
		name := "road " + strconv.Itoa(family)
		for size := range min(8, n-len(sizes)) {
			s := float64(size)
			label := strconv.Itoa(47 + 2*size)
			sizes = append(sizes, fitgeom.Size{Family: name, Label: label, Frame: fitgeom.Frame{
				Name: name + " " + label,
				Geometry: chart.Geometry{
					Stack: round(stack+19*s+4*rng.Float64(), 1), Reach: round(reach+6*s+3*rng.Float64(), 1),
					HeadAngle: round(head+0.3*s, angleStep), SeatAngle: round(seat-0.2*s, angleStep),
					Axles: chart.Axles{Chainstay: 410, Drop: 70, ForkOffset: 45, FrontRadius: 340, RearRadius: 340},
				},
				SteererDiameter: 28.6, MaxUnderStem: most, SeatTubeTop: round(430+20*s, 5), SeatpostDiameter: diameter, SeatpostInsertion: 80,
			}})
		}
	}
	return sizes
}

// rider returns an invented position, seeded: that of a build on an ordinary
// frame, moved a little; some of them beyond what any frame holds.
func riderAt(seed uint64) contact.Position {
	rng := rand.New(rand.NewPCG(seed, 7))
	b := invented.Build()
	b.Frame.Geometry.Stack = 520 + 110*rng.Float64()
	b.Frame.Geometry.Reach = 370 + 50*rng.Float64()
	b.Settings.RailClamp = 115 + 60*rng.Float64()
	b.Settings.SeatpostExtension = 120 + 120*rng.Float64()
	b.Handlebar.Drop.Width += []float64{0, 0, 3, -20}[rng.IntN(4)]
	p := invented.Position(b)
	if rng.IntN(8) == 0 { // hands where no frame has them
		for _, s := range []contact.Site{contact.HoodsLeft, contact.HoodsRight} {
			at, _ := p.At(s)
			at.Z += 150
			p.Set(s, at)
		}
	}
	if rng.IntN(8) == 0 { // a saddle where no frame has it
		at, _ := p.At(contact.SaddleReference)
		p.Set(contact.SaddleReference, r3.Vec{X: at.X - 110, Z: at.Z})
		p.Forget(contact.SaddleNose)
		p.Forget(contact.SaddleRear)
	}
	for _, s := range []contact.Site{contact.TopsLeft, contact.TopsRight, contact.DropsLeft, contact.DropsRight, contact.BarClamp} {
		p.Forget(s)
	}
	if rng.IntN(4) == 0 { // drops too, so that the roll cannot do all
		q := invented.Position(b)
		for _, s := range []contact.Site{contact.DropsLeft, contact.DropsRight} {
			at, _ := q.At(s)
			at.Z += rng.Float64()
			p.Set(s, at)
		}
	}
	return p
}

// usual is an invented position that some frames hold.
func usual(seed uint64) contact.Position {
	rng := rand.New(rand.NewPCG(seed, 8))
	b := invented.Build()
	b.Frame.Geometry.Stack = 540 + 60*rng.Float64()
	b.Frame.Geometry.Reach = 375 + 30*rng.Float64()
	b.Settings.RailClamp = 135 + 20*rng.Float64()
	b.Settings.SeatpostExtension = 150 + 50*rng.Float64()
	return invented.Position(b)
}

// chooseShelf is small enough to enumerate on many frames.
func chooseShelf() fitgeom.Shelf {
	s := invented.Shelf()
	s.Handlebars = append(s.Handlebars, part.Handlebar{Name: "bar 420 short", ClampDiameter: 31.8, RotationRange: 5, Drop: part.DropBar{Width: 420, DropsWidth: 440, Reach: 72, Drop: 120, Hook: 55}})
	for length := 70.; length <= 130; length += 10 {
		s.Stems = append(s.Stems, part.Stem{Length: length, Angle: -8, Height: 40, SteererDiameter: 28.6, BarDiameter: 31.8, Flippable: true})
	}
	return s
}

// high is a position whose hands no frame reaches.
func high(p contact.Position) contact.Position {
	for _, s := range []contact.Site{contact.HoodsLeft, contact.HoodsRight} {
		at, _ := p.At(s)
		at.Z += 250
		p.Set(s, at)
	}
	return p
}
