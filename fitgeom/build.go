package fitgeom

import (
	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/rigid"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Build is a bike put together: a frame, its parts, and how they are set. A
// part whose zero value stands in it is not there; a field says when that may be.
type Build struct {
	Frame    Frame           // with its fork
	Stance   Stance          // how it stands: sag and tyres
	Cap      part.HeadsetCap // on the head tube, under the spacers
	Stem     part.Stem       // the zero Stem with a bar that is in one piece with its own
	BarShim  part.Shim       // between bar and stem; zero if there is none
	Bar      part.Bar
	Lever    part.Lever   // the same left and right; zero except on a drop bar
	Aero     part.AeroBar // zero if there is none
	Post     part.Post
	PostShim part.Shim // between post and frame; zero if there is none
	Saddle   part.Saddle
	Crank    part.Crank // left and right
	Pedal    part.Pedal // left and right; zero if it does not matter
	Settings Settings
}

// Settings is what can be adjusted on a [Build]. The zero value has no spacers
// and a level bar, but no sensible post: set it. Directions are against level
// ground as the bike stands.
type Settings struct {
	// Spacers is the height of all spacers between headset cap and stem, 0 to 150 mm.
	Spacers float64
	// SpacersAbove is the height of all spacers on top of the stem, 0 to 150 mm.
	SpacersAbove float64
	// Flipped says that the stem is mounted upside down.
	Flipped bool
	// BarRoll is how far the bar is turned in the stem from how its maker draws
	// it, positive when the hands go up, -45 to 45 degrees. Zero for a bar in one
	// piece with its stem.
	BarRoll float64
	// AeroTilt, PadStack, PadReach, PadWidth and Extension are what the aero bar
	// is set to, as its fields of like names have it. Zero where there is none.
	AeroTilt  float64
	PadStack  float64
	PadReach  float64
	PadWidth  float64
	Extension float64
	// PostExtension is from the seat tube's upper edge up to the centre of the
	// rail clamp, along the post, 0 to 600 mm; of a dropper post at the top of its travel.
	PostExtension float64
	// Lowered is how far a dropper post is lowered from there, 0 to 300 mm.
	Lowered float64
	// RailClamp is from the saddle's nose back to the centre of the rail clamp,
	// along the rails, 0 to 340 mm. More of it puts the saddle further forward.
	RailClamp float64
	// SaddleTilt is the slope of the line from the saddle's rear edge to its
	// nose, positive nose-up, -45 to 45 degrees.
	SaddleTilt float64
	// LiftLeft and LiftRight are the height of all shims under the left and the
	// right cleat, 0 to 60 mm. Zero where the pedals do not matter.
	LiftLeft  float64
	LiftRight float64
}

// Validate reports numbers that are out of the ranges stated at the fields, and
// parts and settings that do not go together ([contact.ErrConflict]), which is asked
// once all numbers are in their ranges. Whether the settings stay within the parts'
// limits is told by [Build.Margins].
func (b Build) Validate() error { return b.validate() }

func (b *Build) validate() error {
	var c faults
	c.In("frame", b.Frame.validate())
	c.In("cap", b.Cap.Validate())
	if !b.Bar.OnePiece() {
		c.In("stem", b.Stem.Validate())
	}
	c.In("bar", b.Bar.Validate())
	if b.Lever != (part.Lever{}) {
		c.In("lever", b.Lever.Validate())
	}
	if b.Aero != (part.AeroBar{}) {
		c.In("aero", b.Aero.Validate())
	}
	c.In("post", b.Post.Validate())
	c.In("saddle", b.Saddle.Validate())
	c.In("crank", b.Crank.Validate())
	if b.Pedal != (part.Pedal{}) {
		c.In("pedal", b.Pedal.Validate())
	}
	if b.BarShim != (part.Shim{}) {
		c.In("bar_shim", b.BarShim.Validate())
	}
	if b.PostShim != (part.Shim{}) {
		c.In("post_shim", b.PostShim.Validate())
	}
	s := &b.Settings
	c.Range("settings.spacers", s.Spacers, 0, 150, "mm")
	c.Range("settings.spacers_above", s.SpacersAbove, 0, 150, "mm")
	c.Range("settings.bar_roll", s.BarRoll, -45, 45, "degrees")
	c.Range("settings.aero_tilt", s.AeroTilt, -45, 45, "degrees")
	c.Range("settings.pad_stack", s.PadStack, 0, 250, "mm")
	c.Range("settings.pad_reach", s.PadReach, -250, 250, "mm")
	c.Range("settings.pad_width", s.PadWidth, 0, 400, "mm")
	c.Range("settings.extension", s.Extension, 0, 600, "mm")
	c.Range("settings.post_extension", s.PostExtension, 0, 600, "mm")
	c.Range("settings.lowered", s.Lowered, 0, 300, "mm")
	c.Range("settings.rail_clamp", s.RailClamp, 0, 340, "mm")
	c.Range("settings.saddle_tilt", s.SaddleTilt, -45, 45, "degrees")
	c.Range("settings.lift_left", s.LiftLeft, 0, 60, "mm")
	c.Range("settings.lift_right", s.LiftRight, 0, 60, "mm")
	if c.Err() != nil {
		return c.Err()
	}
	b.Frame.checkStance(&c, b.Stance)
	b.conflicts(&c)
	return c.Err()
}

// conflicts reports what does not go together, of parts that are sound one by one.
func (b *Build) conflicts(c *faults) {
	s := &b.Settings
	c.match("cap.steerer_diameter", b.Cap.SteererDiameter, b.Frame.SteererDiameter, "the frame has")
	if b.Bar.OnePiece() {
		c.match("bar.stem.steerer_diameter", b.Bar.Stem.SteererDiameter, b.Frame.SteererDiameter, "the frame has")
		if b.Stem != (part.Stem{}) {
			c.Add("stem", "one", "none beside a bar in one piece with its stem", contact.ErrConflict)
		}
		if b.BarShim != (part.Shim{}) {
			c.Add("bar_shim", "one", "none in a bar in one piece with its stem", contact.ErrConflict)
		}
	} else {
		c.match("stem.steerer_diameter", b.Stem.SteererDiameter, b.Frame.SteererDiameter, "the frame has")
		held := b.Bar.ClampDiameter
		if b.BarShim != (part.Shim{}) {
			c.match("bar_shim.inner", b.BarShim.Inner, held, "the bar has")
			held = b.BarShim.Outer
			c.match("bar_shim.outer", held, b.Stem.BarDiameter, "the stem holds")
		} else {
			c.match("bar.clamp_diameter", held, b.Stem.BarDiameter, "the stem holds")
		}
	}
	switch drop := b.Bar.Drop != (part.DropBar{}); {
	case drop && b.Lever == part.Lever{}:
		c.Add("lever", "", "levers on a drop bar", contact.ErrConflict)
	case !drop:
		if b.Lever != (part.Lever{}) {
			c.Add("lever", "one", "none except on a drop bar", contact.ErrConflict)
		}
	}
	if b.Aero != (part.AeroBar{}) {
		c.match("aero.bar_diameter", b.Aero.BarDiameter, b.Bar.AeroDiameter, "the bar has beside its clamp")
	} else if s.AeroTilt != 0 || s.PadStack != 0 || s.PadReach != 0 || s.PadWidth != 0 || s.Extension != 0 {
		c.Add("settings.pad_stack", "set", "nothing of an aero bar without one", contact.ErrConflict)
	}
	post := b.Post.Diameter
	if b.PostShim != (part.Shim{}) {
		c.match("post_shim.inner", b.PostShim.Inner, post, "the post has")
		post = b.PostShim.Outer
		c.match("post_shim.outer", post, b.Frame.PostDiameter, "the frame takes")
	} else {
		c.match("post.diameter", post, b.Frame.PostDiameter, "the frame takes")
	}
	if s.Flipped && !b.Stem.Flippable {
		c.Add("settings.flipped", "yes", "a stem that may be mounted upside down", contact.ErrConflict)
	}
	if s.BarRoll != 0 && b.Bar.OnePiece() {
		c.Add("settings.bar_roll", num.Text(s.BarRoll, "degrees"), "0 for a bar in one piece with its stem", contact.ErrConflict)
	}
	if s.Lowered > b.Post.Travel {
		c.Add("settings.lowered", num.Text(s.Lowered, "mm"), "at most the post's travel, "+num.Text(b.Post.Travel, "mm"), contact.ErrConflict)
	}
	if (s.LiftLeft != 0 || s.LiftRight != 0) && b.Pedal == (part.Pedal{}) {
		c.Add("settings.lift_left", "set", "no shims under cleats without pedals", contact.ErrConflict)
	}
}

// fits reports whether two nominal diameters are the same. Steps between
// nominal diameters are 0.1 mm or more, so anything nearer is rounding.
func fits(a, b float64) bool { return a-b < 0.05 && b-a < 0.05 }

// Position returns where the build puts every contact point, in the axes of
// package contact: saddle (reference with its tilt, nose, rear), bar clamp, the
// sites that bar, levers, aero bar and pedals offer, and the cranks. Which
// sites a bar offers stands at its shapes. It is exact to rounding, and fails
// only as [Build.Validate] does.
func (b Build) Position() (p contact.Position, err error) {
	if err = b.validate(); err == nil {
		b.place(&p)
	}
	return p, err
}

func (b *Build) position() contact.Position {
	var p contact.Position
	b.place(&p)
	return p
}

func (b *Build) place(p *contact.Position) {
	s := &b.Settings
	frame := newChassis(&b.Frame, &b.Stance)

	sin, cos := num.Sincos(s.SaddleTilt)
	held := railClamp(&frame, &b.Post, s.PostExtension-s.Lowered)
	held = r3.Add(held, rigid.Turned(r3.Vec{X: s.RailClamp}, sin, cos)) // on to the rails below the nose
	for site, at := range rigid.SaddleSites(&b.Saddle) {
		p.Set(contact.Site(site), r3.Add(held, rigid.Turned(at, sin, cos)))
	}
	p.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: s.SaddleTilt})

	stem, roll := &b.Stem, s.BarRoll
	if b.Bar.OnePiece() {
		stem, roll = &b.Bar.Stem, b.Bar.DrawnAt-frame.headAngle
	}
	m := newMount(&frame, stem, s.Flipped)
	clamp := m.at(&frame, b.Cap.Height+s.Spacers)
	p.Set(contact.BarClamp, clamp)
	sin, cos = num.Sincos(roll)
	var sites [3]rigid.Site
	for _, h := range rigid.BarSites(sites[:0], &b.Bar, &b.Lever) {
		pair(p, h.Left, clamp, rigid.Turned(h.At, sin, cos))
	}
	if b.Aero != (part.AeroBar{}) {
		sin, cos = num.Sincos(s.AeroTilt)
		pair(p, contact.PadLeft, clamp, rigid.Turned(r3.Vec{X: s.PadReach, Y: s.PadWidth / 2, Z: s.PadStack}, sin, cos))
		pair(p, contact.ExtensionLeft, clamp, rigid.Turned(rigid.ExtensionTip(&b.Aero, s.PadStack, s.Extension), sin, cos))
		pads, tips := contact.Attitude{Tilt: s.AeroTilt}, contact.Attitude{Tilt: s.AeroTilt + b.Aero.ExtensionAngle}
		p.SetAttitude(contact.PadLeft, pads)
		p.SetAttitude(contact.PadRight, pads)
		p.SetAttitude(contact.ExtensionLeft, tips)
		p.SetAttitude(contact.ExtensionRight, tips)
	}

	pair(p, contact.PedalLeft, r3.Vec{}, r3.Vec{X: b.Crank.Length, Y: b.Crank.QFactor / 2})
	if b.Pedal != (part.Pedal{}) {
		y := b.Crank.QFactor/2 + b.Pedal.Stance
		p.Set(contact.FootLeft, r3.Vec{X: b.Crank.Length, Y: y, Z: b.Pedal.Stack + s.LiftLeft})
		p.Set(contact.FootRight, r3.Vec{X: b.Crank.Length, Y: -y, Z: b.Pedal.Stack + s.LiftRight})
	}
}

// pair sets a left site, from a point on the mid-plane, and the right one.
func pair(p *contact.Position, left contact.Site, from, at r3.Vec) {
	at.X += from.X
	at.Z += from.Z
	p.Set(left, at)
	at.Y = 0 - at.Y
	p.Set(left+1, at)
}

// railClamp is the centre of the rail clamp of a post, which lies behind the
// post's axis by its setback.
func railClamp(f *chassis, p *part.Post, extension float64) r3.Vec {
	return r3.Vec{
		X: f.seatTop.X + float64(extension*f.seatUp.X) - float64(p.Setback*f.seatUp.Z),
		Z: f.seatTop.Z + float64(extension*f.seatUp.Z) + float64(p.Setback*f.seatUp.X),
	}
}

// A mount is where a stem holds the bar: foot, with its lower edge on the head
// tube's top, and from there up the steerer.
type mount struct{ foot r3.Vec }

func newMount(f *chassis, s *part.Stem, flipped bool) mount {
	way := stemWay(f, s, flipped)
	return mount{r3.Vec{
		X: f.headTop.X + float64(s.Height/2*f.steererUp.X) + float64(s.Length*way.X),
		Z: f.headTop.Z + float64(s.Height/2*f.steererUp.Z) + float64(s.Length*way.Z),
	}}
}

func (m *mount) at(f *chassis, up float64) r3.Vec {
	return r3.Vec{X: m.foot.X + float64(up*f.steererUp.X), Z: m.foot.Z + float64(up*f.steererUp.Z)}
}

// stemWay is the unit vector along a mounted stem, to the bar.
func stemWay(f *chassis, s *part.Stem, flipped bool) r3.Vec {
	angle := s.Angle
	if flipped {
		angle = -angle
	}
	sin, cos := num.Sincos(90 - f.headAngle + angle)
	return r3.Vec{X: cos, Z: sin}
}
