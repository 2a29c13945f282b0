package exchange_test

import (
	"fmt"
	"math"
	"math/rand/v2"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/contact/survey/photo"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/request"
	"example.com/fitgeom/fitgeom/rules"
	"gonum.org/v1/gonum/spatial/r3"
)

// dice makes values of every kind that are valid, and nothing else.
type dice struct{ *rand.Rand }

func newDice(seed uint64) dice { return dice{rand.New(rand.NewPCG(seed, 2026))} }

// in returns a number of many digits, or of few.
func (d dice) in(lo, hi float64) float64 {
	v := lo + (hi-lo)*d.Float64()
	if d.IntN(2) == 0 {
		v = max(lo, min(hi, math.Round(v*10)/10))
	}
	return v
}

// maybe returns 0 or a number.
func (d dice) maybe(lo, hi float64) float64 {
	if d.IntN(2) == 0 {
		return 0
	}
	return d.in(lo, hi)
}

func (d dice) yes() bool { return d.IntN(2) == 0 }

func (d dice) vec(size float64) r3.Vec {
	return r3.Vec{X: d.in(-size, size), Y: d.in(-size, size), Z: d.in(-size, size)}
}

func (d dice) name() string {
	return []string{"", "road 54", "stem 100 −6°", "a \"b\" \\ c/d", "<&>", "tab\tline\nend", "名前 \u2028", "~/"}[d.IntN(8)]
}

func list[T any](d dice, most int, make func() T) []T {
	var all []T
	for range d.IntN(most + 1) {
		all = append(all, make())
	}
	return all
}

func (d dice) position() contact.Position {
	var p contact.Position
	for _, s := range contact.Sites() {
		if d.yes() {
			continue
		}
		var v r3.Vec
		switch {
		case s == contact.SaddleReference:
			v = r3.Vec{X: d.in(-300, -200), Y: d.in(-5, 5), Z: d.in(500, 800)}
		case s == contact.SaddleNose:
			v = r3.Vec{X: d.in(-100, 0), Y: d.in(-5, 5), Z: d.in(500, 800)}
		case s == contact.SaddleRear:
			v = r3.Vec{X: d.in(-500, -350), Y: d.in(-5, 5), Z: d.in(500, 800)}
		case s >= contact.PedalLeft:
			v = r3.Vec{X: d.in(100, 220), Y: d.in(60, 150), Z: d.in(-10, 10)}
		default:
			v = r3.Vec{X: d.in(200, 900), Y: d.in(50, 400), Z: d.in(300, 900)}
		}
		if s.Side() == contact.Right {
			v.Y = -v.Y
		}
		if s.Side() == contact.Left && v.Y <= 0 {
			v.Y = 1
		}
		if d.IntN(4) != 0 {
			p.Set(s, v)
		}
		if d.IntN(3) == 0 {
			p.SetAttitude(s, contact.Attitude{Tilt: d.in(-90, 90), Yaw: d.maybe(-180, 180), Roll: d.maybe(-180, 180)})
		}
	}
	return p
}

func (d dice) leg() rider.Leg {
	l := rider.Leg{Thigh: d.in(200, 700), Shank: d.in(200, 700), AnkleHeight: d.in(20, 200), AnkleBehind: d.in(10, 300), Ankle: rider.Ankle{Given: rider.SolePitch}}
	lo, hi := -90., 60.
	if d.yes() {
		l.Ankle.Given, lo, hi = rider.Dorsiflexion, -70, 50
	}
	l.Ankle.Profile = append(list(d, 40, func() float64 { return d.in(lo, hi) }), d.in(lo, hi))
	return l
}

func (d dice) body() rider.Body {
	b := rider.Body{HipForward: d.in(-200, 200), HipUp: d.in(20, 250)}
	legs := 1 + d.IntN(3)
	if legs&1 != 0 {
		b.Left = d.leg()
	}
	if legs&2 != 0 {
		b.Right = d.leg()
	}
	if d.yes() {
		u := &b.Upper
		*u = rider.Upper{
			Trunk: d.in(300, 800), UpperArm: d.in(150, 500), Forearm: d.in(150, 450), WristBack: d.maybe(-250, 250), WristUp: d.maybe(-250, 250),
			Grip: contact.TopsLeft + contact.Site(d.IntN(int(contact.ExtensionRight-contact.TopsLeft)+1)), Keep: rider.KeepElbow, Angle: d.in(0, 150),
		}
		if d.yes() {
			u.Keep, u.Angle = rider.KeepTrunk, d.in(-20, 120)
		}
	}
	return b
}

func (d dice) survey() survey.Survey {
	s := survey.Survey{
		Unit: survey.Unit(d.IntN(4)), FrontRadius: d.in(100, 450), RearRadius: d.in(100, 450),
		RadiusSigma: d.maybe(0, 50), Up: d.vec(1), UpSigma: d.maybe(0, 5),
	}
	if s.Unit != survey.Metre && d.yes() {
		s.Covariance = [3][3]float64{{d.in(0.1, 1), 0.01, 0}, {0.01, d.in(0.1, 1), -0.02}, {0, -0.02, d.in(0.1, 1)}}
	} else {
		s.Sigma = r3.Vec{X: d.in(0.01, 0.04), Y: d.in(0.01, 0.04), Z: d.in(0.01, 0.04)}
		if s.Sigma.X == 0 || s.Sigma.Y == 0 || s.Sigma.Z == 0 {
			s.Sigma = r3.Vec{X: 1e-7, Y: 0.02, Z: 0.03}
		}
	}
	for _, l := range []survey.Landmark{survey.RearAxleLeft, survey.FrontRimLeft, survey.Mark("seat tube_left")} {
		if d.yes() {
			s.Trueness = append(s.Trueness, survey.Trueness{Pair: l, Sigma: d.maybe(0, 20), Counts: survey.Counting(d.IntN(4))})
		}
	}
	names := []survey.Landmark{
		survey.BottomBracketLeft, survey.BottomBracketRight, survey.RearAxleLeft, survey.RearAxleRight, survey.FrontAxleLeft, survey.FrontAxleRight,
		survey.At(contact.HoodsLeft), survey.Mark("scratch"), survey.Mark("a.b[2]/~ é"), survey.SaddleEdgeLeft, survey.SaddleEdgeRight,
	}
	for range 1 + d.IntN(3) {
		for _, n := range names {
			s.Readings = append(s.Readings, survey.Reading{Landmark: n, At: d.vec(90)})
		}
	}
	return s
}

func (d dice) tape() survey.TapeSurvey {
	s := survey.TapeSurvey{NoseUp: d.maybe(-10, 10), NoseUpSigma: d.maybe(0, 5), Saddle: d.saddleProfile()}
	for range 1 + d.IntN(8) {
		r := survey.TapeReading{Kind: survey.Direct + survey.TapeKind(d.IntN(5)), Sigma: d.in(0.1, 10)}
		if r.Kind == survey.Tilt {
			r.Value = d.in(-45, 45)
		} else {
			r.Value, r.From, r.To = d.in(0, 2000), survey.BottomBracket, survey.At(contact.Sites()[d.IntN(int(contact.FootLeft)-1)])
		}
		if d.yes() {
			r.Together, r.Common = "plumb line", r.Sigma*d.in(0.1, 0.9)
		}
		s.Readings = append(s.Readings, r)
	}
	return s
}

func (d dice) photographs() photo.Survey {
	s := photo.Survey{
		Cameras: []photo.Camera{
			{Width: 4000, Height: 3000, Focal: d.in(2000, 9000), FocalSigma: d.maybe(0.0001, 0.5), CentreX: d.maybe(0, 4000), CentreY: d.maybe(0, 3000), CentreSigma: d.maybe(0.01, 1000), K1: d.maybe(-0.01, 0.05), P1: d.maybe(-0.01, 0.01), Corner: d.maybe(0.00001, 0.1)},
			{Width: 3000, Height: 4000, Equivalent: d.maybe(24, 85)},
		},
		Sigma: d.maybe(0.01, 200), FrontRadius: d.in(100, 450), RearRadius: d.in(100, 450), RadiusSigma: d.maybe(0.1, 50),
		FrontCircle: d.maybe(100, 450), CircleSigma: d.maybe(0.01, 50), Crank: d.maybe(60, 220), CrankSigma: d.maybe(0.01, 20), Saddle: d.saddleProfile(),
	}
	for i := range 1 + d.IntN(3) {
		p := photo.Photograph{Name: []string{"", "left side"}[i%2], Camera: i % 2}
		for _, l := range []survey.Landmark{
			survey.BottomBracketLeft, survey.RearAxleRight, survey.At(contact.HoodsLeft), survey.Mark("a.b[2]/~ é"), photo.FrontCircleLeft, photo.FrontCircleLeft, photo.RearGround, photo.Plumb("~ line"), photo.Plumb("~ line"),
		} {
			p.Marks = append(p.Marks, photo.Mark{Landmark: l, X: d.in(-10, 4000), Y: d.in(0, 3000), Sigma: d.maybe(0.01, 200)})
		}
		s.Photographs = append(s.Photographs, p)
	}
	if d.yes() {
		s.Distances = []photo.Distance{{From: survey.BottomBracketLeft, To: photo.RearGround, Value: d.in(10, 3000), Sigma: d.maybe(0.01, 100)}}
		s.Sideways = []photo.Sideways{{Landmark: survey.At(contact.HoodsLeft), Y: d.in(-600, 600), Sigma: d.maybe(0.1, 200)}}
		s.Trueness = []survey.Trueness{{Pair: survey.RearAxleLeft, Sigma: d.maybe(0, 20), Counts: survey.Counting(d.IntN(4))}}
	}
	return s
}

func (d dice) saddleProfile() contact.SaddleProfile {
	return contact.SaddleProfile{NoseAhead: d.maybe(20, 250), RearBehind: d.maybe(20, 310), NoseAbove: d.maybe(-60, 60), RearAbove: d.maybe(-60, 60), Sigma: d.maybe(0.1, 20)}
}

func (d dice) sheet() convert.Sheet {
	s := convert.Sheet{Basis: convert.Basis{SeatAngle: d.maybe(50, 90), BottomBracketHeight: d.maybe(150, 450), Side: contact.Side(d.IntN(3)), Mirrored: d.yes(), Saddle: d.saddleProfile()}}
	s.Basis.RailDrop, s.Basis.HoodBreadth, s.Basis.BarTube = d.maybe(15, 100), d.maybe(20, 80), d.maybe(15, 60)
	s.Basis.GripLength, s.Basis.PadBreadth = d.maybe(40, 250), d.maybe(30, 200)
	for _, m := range convert.Measures() {
		if d.yes() {
			s.Entries = append(s.Entries, convert.Entry{Measure: m, Side: contact.Side(d.IntN(3)), Value: d.in(-1000, 1000), Sigma: d.maybe(0, 5)})
		}
	}
	return s
}

func (d dice) chart() chart.Chart {
	c := chart.Chart{
		Rounding: chart.Rounding{LengthStep: d.in(0.5, 20), AngleStep: d.in(0.1, 2)}, SeatAngleHeight: d.maybe(300, 900), EqualWheels: d.yes(), SeatTubeCentred: d.yes(),
	}
	for _, s := range []chart.Entry{
		{Dimension: chart.Stack, Value: d.in(500, 600)},
		{Dimension: chart.Reach, Value: d.in(350, 420)},
		{Dimension: chart.HeadAngle, Value: d.in(70, 74)},
		{Dimension: chart.Chainstay, Value: d.in(400, 450)},
	} {
		s.Step = d.maybe(0.1, 1)
		if d.yes() {
			s.Together, s.Common = "height gauge", d.in(0.1, 1)
		}
		if d.IntN(4) != 0 || c.Entries == nil {
			c.Entries = append(c.Entries, s)
		}
	}
	return c
}

func (d dice) frame() fitgeom.Frame {
	f := fitgeom.Frame{
		Name: d.name(),
		Geometry: chart.Geometry{
			Stack: d.in(500, 640), Reach: d.in(350, 420), HeadAngle: d.in(70, 74), SeatAngle: d.in(72, 75), SeatOffset: d.maybe(-50, 50),
		},
		SteererDiameter: 28.6, MaxUnderStem: d.in(0, 150), SteererCut: d.maybe(20, 400), SeatTubeTop: d.in(400, 600), SeatpostDiameter: 27.2,
		SeatpostInsertion: d.maybe(0, 300), SeatpostDepth: d.maybe(50, 700), MaxFrontRadius: d.maybe(100, 450), MaxRearRadius: d.maybe(100, 450),
	}
	if d.yes() {
		f.Geometry.Axles = chart.Axles{Chainstay: d.in(400, 450), Drop: d.maybe(50, 80), ForkOffset: d.in(40, 60), FrontRadius: d.in(330, 350), RearRadius: d.in(330, 350)}
	}
	return f
}

func (d dice) size(i int) fitgeom.Size {
	s := fitgeom.Size{Family: "family " + []string{"a", "\"b\"", "#c, d"}[d.IntN(3)], Label: fmt.Sprint(i), Frame: d.frame()}
	s.Frame.Name = s.Family + " " + s.Label
	return s
}

func (d dice) sizes() []fitgeom.Size {
	i := 0
	return list(d, 5, func() fitgeom.Size { i++; return d.size(i) })
}

func (d dice) cap() part.HeadsetCap {
	return part.HeadsetCap{Name: d.name(), Height: d.in(0, 60), SteererDiameter: 28.6}
}

func (d dice) stem() part.Stem {
	return part.Stem{Name: d.name(), Length: d.in(20, 180), Angle: d.in(-60, 60), Height: d.in(20, 80), SteererDiameter: 28.6, BarDiameter: 31.8, Flippable: d.yes()}
}

func (d dice) bar() part.Handlebar {
	b := part.Handlebar{Name: d.name(), ClampDiameter: 31.8, AeroDiameter: d.maybe(20, 45), RotationRange: d.maybe(0, 30)}
	if d.IntN(3) == 0 {
		b.ClampDiameter, b.RotationRange, b.Stem, b.DrawnAt = 0, 0, d.stem(), d.in(60, 80)
		b.Stem.Flippable = false
	}
	switch d.IntN(3) {
	case 0:
		b.Drop = part.DropBar{Width: d.in(250, 700), DropsWidth: d.maybe(250, 900), TopsWidth: d.maybe(50, 600), Reach: d.in(30, 150), Drop: d.in(50, 250), Hook: d.maybe(0, 150)}
		if b.Drop.DropsWidth == 0 {
			b.Drop.Flare = d.maybe(0, 45)
		}
	case 1:
		b.Flat = part.FlatBar{Width: d.in(500, 900), Centre: d.in(0, 500), Rise: d.maybe(-100, 150), Forward: d.maybe(-150, 150), Backsweep: d.in(-20, 60), Upsweep: d.in(-20, 30), Hand: d.in(20, 150)}
	default:
		b.Base = part.BaseBar{Width: d.in(250, 700), Reach: d.in(0, 250), Rise: d.maybe(-150, 150)}
	}
	return b
}

func (d dice) lever() part.Lever {
	return part.Lever{Name: d.name(), Reach: d.in(1, 120), Rise: d.in(-60, 100)}
}

func (d dice) steps(lo, hi float64) part.Steps {
	return part.Steps{From: lo, To: hi, Step: d.in(0.5, 10)}
}

func (d dice) aero() part.AeroBar {
	return part.AeroBar{
		Name: d.name(), BarDiameter: 31.8, Tilt: d.steps(-10, 20), PadRise: d.steps(0, 100), PadForward: part.Steps{From: -50, To: 50}, PadWidth: d.steps(100, 300),
		Extension: d.steps(100, 400), ExtensionDrop: d.maybe(-50, 150), ExtensionAngle: d.maybe(-30, 60), ExtensionWidth: d.in(0, 400),
	}
}

func (d dice) post() part.Seatpost {
	return part.Seatpost{
		Name: d.name(), Diameter: 27.2, Length: d.in(100, 600), Setback: d.in(-60, 80), MinInsertion: d.in(20, 300), MinExtension: d.in(0, 400),
		MaxExtension: d.maybe(50, 600), Travel: d.maybe(0, 300),
	}
}

func (d dice) saddle() part.Saddle {
	return part.Saddle{Name: d.name(), Length: d.in(180, 340), Station: d.in(30, 150), Height: d.in(15, 100), Dip: d.maybe(-20, 40), ReferenceWidth: d.maybe(70, 90), Widening: d.in(0.1, 1.5), NoseDroop: d.maybe(0, 60), RearDroop: d.maybe(0, 60), RailsFrom: d.in(40, 150), RailsTo: d.in(150, 300)}
}

func (d dice) crank() part.Crank {
	return part.Crank{Name: d.name(), Length: d.in(100, 220), QFactor: d.in(100, 250)}
}

func (d dice) pedal() part.Pedal {
	return part.Pedal{Name: d.name(), FootHeight: d.in(-20, 80), FootOffset: d.in(20, 120)}
}

func (d dice) spacer() part.Spacer {
	return part.Spacer{Height: float64(10+d.IntN(590)) / 10, Count: 1 + d.IntN(20)}
}

func (d dice) shim() part.Shim {
	return part.Shim{Name: d.name(), Inner: d.in(20, 30), Outer: d.in(30, 45)}
}

func (d dice) shelf() fitgeom.Shelf {
	s := fitgeom.Shelf{
		Caps: list(d, 3, d.cap), Spacers: list(d, 3, d.spacer), Stems: list(d, 3, d.stem), Handlebars: list(d, 3, d.bar), Levers: list(d, 2, d.lever),
		AeroBars: list(d, 2, d.aero), Seatposts: list(d, 2, d.post), Saddles: list(d, 2, d.saddle), Cranks: list(d, 2, d.crank), Pedals: list(d, 2, d.pedal),
		Shims: list(d, 2, d.shim), CleatShims: list(d, 2, d.spacer),
	}
	s.Caps, s.Stems, s.Handlebars, s.Levers = append(s.Caps, d.cap()), append(s.Stems, d.stem()), append(s.Handlebars, d.bar()), append(s.Levers, d.lever())
	s.Seatposts, s.Saddles, s.Cranks = append(s.Seatposts, d.post()), append(s.Saddles, d.saddle()), append(s.Cranks, d.crank())
	return s
}

func (d dice) build() fitgeom.Build {
	b := fitgeom.Build{Frame: d.frame(), Cap: d.cap(), Handlebar: d.bar(), Seatpost: d.post(), Saddle: d.saddle(), Crank: d.crank()}
	s := &b.Settings
	*s = fitgeom.Settings{
		Spacers: d.in(0, 150), SpacersAbove: d.in(0, 150), SeatpostExtension: d.in(0, 600), Lowered: d.maybe(0, b.Seatpost.Travel), RailClamp: d.in(0, 340), SaddleTilt: d.in(-45, 45),
	}
	if b.Handlebar.DrawnAt == 0 {
		b.Stem = d.stem()
		s.BarRotation, s.Flipped = d.in(-45, 45), b.Stem.Flippable && d.yes()
	}
	if b.Handlebar.Drop != (part.DropBar{}) {
		b.Lever = part.Lever{Name: "lever", Reach: d.in(1, 120), Rise: d.maybe(-60, 100)}
	}
	if b.Handlebar.AeroDiameter != 0 && d.yes() {
		b.Aero = d.aero()
		b.Aero.BarDiameter = b.Handlebar.AeroDiameter
		s.AeroTilt, s.PadRise, s.PadForward, s.PadWidth, s.Extension = d.in(-45, 45), d.in(0, 250), d.in(-250, 250), d.in(0, 400), d.in(0, 600)
	}
	if d.yes() {
		b.Pedal = d.pedal()
		b.Pedal.FootOffset = 50
		b.Bulk = frozenBulk
		b.Bulk.FrontTyre, b.Bulk.Shoe.Toe, b.Bulk.Stay.Radius = d.maybe(10, 150), d.in(60, 250), d.in(3, 40)
		s.LiftLeft, s.LiftRight = d.maybe(0, 60), d.maybe(0, 60)
	}
	if d.yes() {
		b.Seatpost.Diameter, b.SeatpostShim = 25.4, part.Shim{Name: d.name(), Inner: 25.4, Outer: 27.2}
	}
	if b.Stem != (part.Stem{}) && d.yes() {
		b.Handlebar.ClampDiameter, b.BarShim = 25.4, part.Shim{Name: d.name(), Inner: 25.4, Outer: 31.8}
	}
	if b.Frame.Geometry.Axles != (chart.Axles{}) && d.yes() {
		b.Wheels = chart.Wheels{FrontSag: d.in(0, 50), RearSag: d.maybe(0, 50), FrontRadius: d.maybe(320, 350), RearRadius: d.maybe(320, 350)}
	}
	return b
}

func (d dice) results() []fitgeom.Candidate {
	return list(d, 2, func() fitgeom.Candidate {
		buy := part.Kinds(d.IntN(int(part.AllKinds) + 1))
		return fitgeom.Candidate{
			Build: d.build(), Spacers: list(d, 3, func() float64 { return d.in(1, 60) }), SpacersAbove: list(d, 3, func() float64 { return d.in(1, 60) }),
			Buy: buy, Purchases: len(buy.Each()), SaddleMoved: fitgeom.SaddleMove{By: d.vec(10), Crank: d.maybe(-10, 10), Foot: d.maybe(-10, 10)},
			Deviations: list(d, 3, func() fitgeom.Deviation {
				site := contact.Sites()[d.IntN(len(contact.Sites()))]
				return fitgeom.Deviation{Keep: fitgeom.Keep{Site: site, Tolerance: r3.Vec{X: 2, Y: d.maybe(0.001, 1000), Z: 2}, Weight: r3.Vec{Y: d.maybe(0.001, 1000)}}, Off: d.vec(10)}
			}),
			Rules: list(d, 2, func() fitgeom.Ruling {
				return fitgeom.Ruling{Place: d.IntN(100), Broken: d.yes(), Rule: d.name(), Found: d.name()}
			}),
		}
	})
}

func (d dice) request() request.Request {
	var r request.Request
	switch d.IntN(5) {
	case 0:
		r.Target.Position = d.position()
	case 1:
		r.Target.Survey = d.survey()
	case 2:
		r.Target.Tape = d.tape()
	case 3:
		r.Target.Sheet = d.sheet()
	}
	if d.yes() {
		r.Frame = d.frame()
	} else {
		r.Sizes = d.sizes()
	}
	if d.yes() {
		r.Shelf = d.shelf()
		if n := len(r.Shelf.Cranks); n == 1 {
			r.Bike.Crank = r.Shelf.Cranks[0].Name
		}
	}
	r.Keep = list(d, 3, func() fitgeom.Keep {
		return fitgeom.Keep{Site: contact.Sites()[d.IntN(len(contact.Sites()))], Tolerance: r3.Vec{X: 2, Y: d.maybe(0.001, 1000), Z: 2}, Weight: r3.Vec{Y: d.maybe(0.001, 1000)}}
	})
	if r.NoRoom = d.yes(); !r.NoRoom {
		r.RoomWanted = list(d, 2, func() fitgeom.RoomWish {
			return fitgeom.RoomWish{Group: contact.OnSaddle, Up: d.IntN(31), Back: d.IntN(31), Gap: d.maybe(0, 10)}
		})
	}
	if d.yes() {
		r.Preference = fitgeom.Preference{Nothing: d.yes(), Spacers: fitgeom.Usual{To: d.in(0, 60), Step: 5}, Flipped: d.IntN(100)}
		if r.Frame.Geometry.Axles != (chart.Axles{}) {
			r.Wheels = chart.Wheels{FrontSag: d.in(0, 50), RearRadius: d.maybe(320, 350)}
		}
		r.Rules = request.Race{Discipline: rules.TimeTrial, On: rules.Date{Year: 2026, Month: 6, Day: 1 + d.IntN(28)}}
		r.Rider.Height = d.in(1500, 2000)
		r.Want, r.Crank, r.Vary, r.Partial = request.Wanted(d.IntN(4)), fitgeom.KeepSaddle, part.Kinds(d.IntN(int(part.AllKinds)+1)), d.yes()
	}
	r.Grain, r.Limit, r.Work = d.maybe(0.001, 10), d.IntN(1001), d.IntN(100_000_001)
	return r
}

func (d dice) faults() []contact.Error {
	return list(d, 3, func() contact.Error {
		class := []error{nil, contact.ErrMissing, contact.ErrRange, contact.ErrUnit, contact.ErrConflict, contact.ErrUnknown, contact.ErrBudget}[d.IntN(7)]
		return contact.Error{Path: d.name(), Line: d.IntN(3), Value: d.name(), Want: d.name(), Class: class}
	})
}
