package answers_test

import (
	"fmt"

	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
)

// A kind is a kind of bike: which bars it has, and what for.
type kind int

const (
	road kind = iota
	gravel
	mountain
	city
	timeTrial
	clipOn
	kinds
)

func (k kind) flat() bool { return k == mountain || k == city }
func (k kind) aero() bool { return k == timeTrial || k == clipOn }

func (d dice) geometry(k kind) chart.Geometry {
	g := chart.Geometry{
		Stack: d.in(500, 640), Reach: d.in(360, 430), HeadAngle: d.in(70, 74), SeatAngle: d.in(72, 75.5), SeatOffset: pick(d, 0, 0, d.in(-20, 30)),
	}
	if k == mountain {
		g.Stack, g.Reach, g.HeadAngle, g.SeatAngle = d.in(580, 650), d.in(420, 500), d.in(63, 69), d.in(73, 79)
	}
	if k == timeTrial {
		g.SeatAngle = d.in(75, 80)
	}
	if !d.one(4) {
		r := d.in(330, 350)
		g.Axles = chart.Axles{Chainstay: d.in(405, 450), Drop: d.in(30, 80), ForkOffset: d.in(38, 55), FrontRadius: r, RearRadius: pick(d, r, r, d.in(320, 350))}
	}
	return g
}

func (d dice) frame(k kind) fitgeom.Frame {
	f := fitgeom.Frame{
		Name: fmt.Sprintf("frame %d", 46+2*d.IntN(9)), Geometry: d.geometry(k),
		SteererDiameter: 28.6, MaxUnderStem: d.in(15, 60), SeatTubeTop: d.in(380, 540), SeatpostDiameter: pick(d, 27.2, 27.2, 31.6), SeatpostInsertion: d.maybe(40, 120),
	}
	if d.one(4) {
		f.SteererCut = d.in(50, 85)
	}
	if d.one(4) {
		f.SeatpostDepth = d.in(120, 320)
	}
	if d.one(3) {
		f.MaxFrontRadius, f.MaxRearRadius = d.in(335, 360), d.maybe(335, 360)
	}
	return f
}

func (d dice) stance(g chart.Geometry) chart.Wheels {
	if g.Axles == (chart.Axles{}) && !d.one(20) || !d.one(3) {
		return chart.Wheels{}
	}
	return chart.Wheels{FrontSag: d.maybe(0, 40), RearSag: d.maybe(0, 40), FrontRadius: d.maybe(325, 365), RearRadius: d.maybe(325, 365)}
}

func (d dice) headsetCap() part.HeadsetCap {
	h := d.step(5, 20, 5)
	return part.HeadsetCap{Name: fmt.Sprintf("cap %g", h), Height: h, SteererDiameter: 28.6}
}

func (d dice) stem() part.Stem {
	s := part.Stem{
		Length: d.step(40, 130, 10), Angle: pick(d, -17.0, -10, -6, 0, 6, 12), Height: pick(d, 36.0, 38, 40, 44),
		SteererDiameter: 28.6, BarDiameter: 31.8, Flippable: !d.one(3),
	}
	s.Name = fmt.Sprintf("stem %g %g°", s.Length, s.Angle)
	return s
}

// renew gives a shelf stems that can be set or sink, and extensions whose width can be set.
func (d dice) renew(s *fitgeom.Shelf) {
	for i := range s.Stems {
		stem := &s.Stems[i]
		if !d.one(3) {
			stem.Angles = part.Steps{From: -20, To: d.step(-20, 30, 10), Step: 10}
		}
		stem.Sag = d.maybe(2, 12)
	}
	for i := range s.AeroBars {
		s.AeroBars[i].ExtensionWidths = d.steps(80, 15, 4, true)
	}
}

func (d dice) dropBar() part.DropBar {
	b := part.DropBar{Width: d.step(380, 460, 20), Reach: d.in(65, 85), Drop: d.in(110, 135), Hook: d.in(40, 65)}
	switch d.IntN(3) {
	case 0:
		b.DropsWidth = b.Width + d.step(0, 60, 10)
	case 1:
		b.Flare = d.in(4, 20)
	}
	if !d.one(3) {
		b.TopsWidth = d.step(160, 240, 20)
	}
	return b
}

func (d dice) flatBar() part.FlatBar {
	return part.FlatBar{
		Width: d.step(620, 800, 20), Centre: d.in(80, 160), Rise: d.maybe(-10, 40), Forward: d.maybe(-20, 20),
		Backsweep: d.in(3, 16), Upsweep: d.in(0, 7), Hand: d.in(55, 75),
	}
}

// bar draws a bar of a shape. One in eight is in one piece with its stem.
func (d dice) bar(k kind) part.Handlebar {
	b := part.Handlebar{Name: fmt.Sprintf("bar %d", d.IntN(1000)), ClampDiameter: 31.8, RotationRange: d.maybe(2, 10)}
	switch {
	case k.flat():
		b.Flat = d.flatBar()
	case k == timeTrial:
		b.Base = part.BaseBar{Width: d.in(380, 430), Reach: d.in(130, 180), Rise: d.in(-50, 10)}
	default:
		b.Drop = d.dropBar()
	}
	if !k.flat() && (k.aero() || d.one(2)) {
		b.AeroDiameter = 31.8
	}
	if d.one(8) {
		b.ClampDiameter, b.RotationRange, b.DrawnAt = 0, 0, d.step(70, 74, 0.5)
		b.Stem = part.Stem{Length: d.step(70, 120, 10), Angle: pick(d, -8.0, -6, 0), Height: 40, SteererDiameter: 28.6}
	}
	return b
}

func (d dice) lever() part.Lever {
	return part.Lever{Name: fmt.Sprintf("lever %d", d.IntN(100)), Reach: d.in(30, 55), Rise: d.in(15, 45)}
}

// steps draws few steps, or a range without any.
func (d dice) steps(from, step float64, most int, free bool) part.Steps {
	s := part.Steps{From: from, To: from + float64(step*float64(d.IntN(most))), Step: step}
	if free && d.one(3) {
		s.To, s.Step = from+float64(step*float64(most)), 0
	}
	return s
}

func (d dice) aeroBar() part.AeroBar {
	return part.AeroBar{
		Name: fmt.Sprintf("aero %d", d.IntN(100)), BarDiameter: 31.8, Tilt: d.steps(0, 5, 3, false), PadRise: d.steps(40, 10, 4, false),
		PadForward: d.steps(-60, 15, 3, true), PadWidth: d.steps(160, 10, 4, false), Extension: d.steps(250, 10, 4, true),
		ExtensionDrop: d.maybe(10, 40), ExtensionAngle: d.maybe(4, 15), ExtensionWidth: d.in(90, 130),
	}
}

func (d dice) post(diameter float64) part.Seatpost {
	p := part.Seatpost{
		Name: fmt.Sprintf("post %d", d.IntN(100)), Diameter: diameter, Length: d.step(300, 420, 10), Setback: pick(d, 0.0, 0, 10, 20, 25, -15),
		MinInsertion: d.in(65, 110), MinExtension: d.in(35, 60), MaxExtension: pick(d, 0, 0, d.in(180, 280)),
	}
	if d.one(5) {
		p.Length, p.Setback, p.MinExtension, p.Travel = d.step(400, 480, 10), 0, d.in(160, 210), d.step(80, 170, 10)
	}
	return p
}

func (d dice) saddle() part.Saddle {
	s := part.Saddle{Name: fmt.Sprintf("saddle %d", d.IntN(100)), Length: d.in(235, 285), Height: d.in(40, 52), Dip: d.maybe(-3, 8)}
	s.Station = float64(s.Length*0.48) + d.in(-15, 10)
	s.RailsFrom = d.in(80, 115)
	s.RailsTo = s.RailsFrom + d.in(45, 75)
	return s
}

func (d dice) crank() part.Crank {
	k := part.Crank{Length: d.step(160, 180, 2.5), QFactor: d.in(140, 180)}
	k.Name = fmt.Sprintf("crank %g", k.Length)
	return k
}

func (d dice) pedal() part.Pedal {
	return part.Pedal{Name: fmt.Sprintf("pedal %d", d.IntN(100)), FootHeight: d.in(8, 30), FootOffset: d.in(50, 65)}
}

// settings draws settings of a build, most of them within the limits of its parts.
func (d dice) settings(b *fitgeom.Build) fitgeom.Settings {
	s := fitgeom.Settings{
		Spacers: d.step(0, 30, 5), SeatpostExtension: d.in(70, 230), SaddleTilt: d.in(-4, 3), Lowered: pick(d, 0, 0, d.in(0, b.Seatpost.Travel)),
		RailClamp: d.in(b.Saddle.RailsFrom-4, b.Saddle.RailsTo+4),
	}
	if b.Frame.SteererCut != 0 {
		s.SpacersAbove = d.step(0, 20, 5)
	}
	if !b.Handlebar.OnePiece() {
		s.Flipped = b.Stem.Flippable && d.one(2)
		s.BarRotation = b.Handlebar.RotationRange * d.in(-1, 1)
	}
	if b.Aero != (part.AeroBar{}) {
		s.AeroTilt, s.PadRise, s.PadForward = d.set(b.Aero.Tilt), d.set(b.Aero.PadRise), d.set(b.Aero.PadForward)
		s.PadWidth, s.Extension = d.set(b.Aero.PadWidth), d.set(b.Aero.Extension)
	}
	if b.Pedal != (part.Pedal{}) {
		s.LiftLeft, s.LiftRight = pick(d, 0.0, 1, 3, 4), pick(d, 0.0, 1)
	}
	return s
}

// set draws one of a range of values.
func (d dice) set(s part.Steps) float64 {
	if s.Count() == 0 {
		return d.in(s.From, s.To)
	}
	return s.At(d.IntN(s.Count()))
}

// build draws a build of parts that go together.
func (d dice) build(k kind) fitgeom.Build {
	f := d.frame(k)
	b := fitgeom.Build{Frame: f, Wheels: d.stance(f.Geometry), Cap: d.headsetCap(), Handlebar: d.bar(k), Seatpost: d.post(f.SeatpostDiameter), Saddle: d.saddle(), Crank: d.crank()}
	if !b.Handlebar.OnePiece() {
		b.Stem = d.stem()
		if d.one(6) {
			b.Handlebar.ClampDiameter, b.BarShim = 25.4, part.Shim{Name: "shim bar", Inner: 25.4, Outer: 31.8}
		}
	}
	if b.Handlebar.Drop != (part.DropBar{}) {
		b.Lever = d.lever()
	}
	if k.aero() {
		b.Aero = d.aeroBar()
	}
	if d.one(6) {
		b.Seatpost.Diameter, b.SeatpostShim = 25.4, part.Shim{Name: "shim post", Inner: 25.4, Outer: f.SeatpostDiameter}
	}
	if d.one(2) {
		b.Pedal = d.pedal()
	}
	b.Settings = d.settings(&b)
	return b
}
