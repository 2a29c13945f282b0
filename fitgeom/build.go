package fitgeom

import (
	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/rig"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Build is a bike put together: a frame, its parts, and how they are set. A
// part whose zero value stands in it is not there; a field says when that may be.
type Build struct {
	Frame        Frame           // with its fork
	Wheels       chart.Wheels    // what it stands on: sag and tyres
	Cap          part.HeadsetCap // on the head tube, under the spacers
	Stem         part.Stem       // the zero Stem with a bar that is in one piece with its own
	BarShim      part.Shim       // between bar and stem; zero if there is none
	Handlebar    part.Handlebar
	Lever        part.Lever   // the same left and right; zero except on a drop bar
	Aero         part.AeroBar // zero if there is none
	Seatpost     part.Seatpost
	SeatpostShim part.Shim // between post and frame; zero if there is none
	Saddle       part.Saddle
	Crank        part.Crank // left and right
	Pedal        part.Pedal // left and right; zero if it does not matter
	Settings     Settings
}

// Settings is what can be adjusted on a [Build]. The zero value has no spacers
// and a level bar, but no sensible post: set it. Directions are against level
// ground as the bike stands.
type Settings struct {
	// Spacers is the height of all spacers between headset cap and stem, 0 to 150 mm.
	Spacers float64 `json:"spacers_mm"`
	// SpacersAbove is the height of all spacers on top of the stem, 0 to 150 mm.
	SpacersAbove float64 `json:"spacers_above_mm"`
	// Flipped says that the stem is mounted upside down.
	Flipped bool `json:"flipped"`
	// BarRoll is how far the bar is turned in the stem from how its maker draws
	// it, positive when the hands go up, -45 to 45 degrees. Zero for a bar in one
	// piece with its stem.
	BarRotation float64 `json:"bar_rotation_deg"`
	// AeroTilt, PadStack, PadReach, PadWidth and Extension are what the aero bar
	// is set to, as its fields of like names have it. Zero where there is none.
	AeroTilt   float64 `json:"aero_tilt_deg,omitzero"`
	PadRise    float64 `json:"pad_rise_mm,omitzero"`
	PadForward float64 `json:"pad_forward_mm,omitzero"`
	PadWidth   float64 `json:"pad_width_mm,omitzero"`
	Extension  float64 `json:"extension_mm,omitzero"`
	// PostExtension is from the seat tube's upper edge up to the centre of the
	// rail clamp, along the post, 0 to 600 mm; of a dropper post at the top of its travel.
	SeatpostExtension float64 `json:"seatpost_extension_mm"`
	// Lowered is how far a dropper post is lowered from there, 0 to 300 mm.
	Lowered float64 `json:"lowered_mm,omitzero"`
	// RailClamp is from the saddle's nose back to the centre of the rail clamp,
	// along the rails, 0 to 340 mm. More of it puts the saddle further forward.
	RailClamp float64 `json:"rail_clamp_mm"`
	// SaddleTilt is the slope of the line from the saddle's rear edge to its
	// nose, positive nose-up, -45 to 45 degrees.
	SaddleTilt float64 `json:"saddle_tilt_deg"`
	// LiftLeft and LiftRight are the height of all shims under the left and the
	// right cleat, 0 to 60 mm. Zero where the pedals do not matter.
	LiftLeft  float64 `json:"lift_left_mm,omitzero"`
	LiftRight float64 `json:"lift_right_mm,omitzero"`
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
	if !b.Handlebar.OnePiece() {
		c.In("stem", b.Stem.Validate())
	}
	c.In("bar", b.Handlebar.Validate())
	if b.Lever != (part.Lever{}) {
		c.In("lever", b.Lever.Validate())
	}
	if b.Aero != (part.AeroBar{}) {
		c.In("aero", b.Aero.Validate())
	}
	c.In("post", b.Seatpost.Validate())
	c.In("saddle", b.Saddle.Validate())
	c.In("crank", b.Crank.Validate())
	if b.Pedal != (part.Pedal{}) {
		c.In("pedal", b.Pedal.Validate())
	}
	if b.BarShim != (part.Shim{}) {
		c.In("bar_shim", b.BarShim.Validate())
	}
	if b.SeatpostShim != (part.Shim{}) {
		c.In("seatpost_shim", b.SeatpostShim.Validate())
	}
	s := &b.Settings
	c.Range("settings.spacers", s.Spacers, 0, 150, "mm")
	c.Range("settings.spacers_above", s.SpacersAbove, 0, 150, "mm")
	c.Range("settings.bar_rotation", s.BarRotation, -45, 45, "degrees")
	c.Range("settings.aero_tilt", s.AeroTilt, -45, 45, "degrees")
	c.Range("settings.pad_stack", s.PadRise, 0, 250, "mm")
	c.Range("settings.pad_reach", s.PadForward, -250, 250, "mm")
	c.Range("settings.pad_width", s.PadWidth, 0, 400, "mm")
	c.Range("settings.extension", s.Extension, 0, 600, "mm")
	c.Range("settings.seatpost_extension", s.SeatpostExtension, 0, 600, "mm")
	c.Range("settings.lowered", s.Lowered, 0, 300, "mm")
	c.Range("settings.rail_clamp", s.RailClamp, 0, 340, "mm")
	c.Range("settings.saddle_tilt", s.SaddleTilt, -45, 45, "degrees")
	c.Range("settings.lift_left", s.LiftLeft, 0, 60, "mm")
	c.Range("settings.lift_right", s.LiftRight, 0, 60, "mm")
	if c.Err() != nil {
		return c.Err()
	}
	if b.Wheels != (chart.Wheels{}) {
		c.In("", b.Frame.ValidateOn(b.Wheels))
	}
	b.conflicts(&c)
	return c.Err()
}

// conflicts reports what does not go together, of parts that are sound one by one.
func (b *Build) conflicts(c *faults) {
	s := &b.Settings
	c.match("cap.steerer_diameter", b.Cap.SteererDiameter, b.Frame.SteererDiameter, "the frame has")
	if b.Handlebar.OnePiece() {
		c.match("bar.stem.steerer_diameter", b.Handlebar.Stem.SteererDiameter, b.Frame.SteererDiameter, "the frame has")
		if b.Stem != (part.Stem{}) {
			c.Add("stem", "one", "none beside a bar in one piece with its stem", contact.ErrConflict)
		}
		if b.BarShim != (part.Shim{}) {
			c.Add("bar_shim", "one", "none in a bar in one piece with its stem", contact.ErrConflict)
		}
	} else {
		c.match("stem.steerer_diameter", b.Stem.SteererDiameter, b.Frame.SteererDiameter, "the frame has")
		held := b.Handlebar.ClampDiameter
		if b.BarShim != (part.Shim{}) {
			c.match("bar_shim.inner", b.BarShim.Inner, held, "the bar has")
			held = b.BarShim.Outer
			c.match("bar_shim.outer", held, b.Stem.BarDiameter, "the stem holds")
		} else {
			c.match("bar.clamp_diameter", held, b.Stem.BarDiameter, "the stem holds")
		}
	}
	switch drop := b.Handlebar.Drop != (part.DropBar{}); {
	case drop && b.Lever == part.Lever{}:
		c.Add("lever", "", "levers on a drop bar", contact.ErrConflict)
	case !drop:
		if b.Lever != (part.Lever{}) {
			c.Add("lever", "one", "none except on a drop bar", contact.ErrConflict)
		}
	}
	if b.Aero != (part.AeroBar{}) {
		c.match("aero.bar_diameter", b.Aero.BarDiameter, b.Handlebar.AeroDiameter, "the bar has beside its clamp")
	} else if s.AeroTilt != 0 || s.PadRise != 0 || s.PadForward != 0 || s.PadWidth != 0 || s.Extension != 0 {
		c.Add("settings.pad_stack", "set", "nothing of an aero bar without one", contact.ErrConflict)
	}
	post := b.Seatpost.Diameter
	if b.SeatpostShim != (part.Shim{}) {
		c.match("seatpost_shim.inner", b.SeatpostShim.Inner, post, "the post has")
		post = b.SeatpostShim.Outer
		c.match("seatpost_shim.outer", post, b.Frame.SeatpostDiameter, "the frame takes")
	} else {
		c.match("post.diameter", post, b.Frame.SeatpostDiameter, "the frame takes")
	}
	if s.Flipped && !b.Stem.Flippable {
		c.Add("settings.flipped", "yes", "a stem that may be mounted upside down", contact.ErrConflict)
	}
	if s.BarRotation != 0 && b.Handlebar.OnePiece() {
		c.Add("settings.bar_rotation", num.Text(s.BarRotation, "degrees"), "0 for a bar in one piece with its stem", contact.ErrConflict)
	}
	if s.Lowered > b.Seatpost.Travel {
		c.Add("settings.lowered", num.Text(s.Lowered, "mm"), "at most the post's travel, "+num.Text(b.Seatpost.Travel, "mm"), contact.ErrConflict)
	}
	if (s.LiftLeft != 0 || s.LiftRight != 0) && b.Pedal == (part.Pedal{}) {
		c.Add("settings.lift_left", "set", "no shims under cleats without pedals", contact.ErrConflict)
	}
}

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

func init() {
	rig.Position = func(build any) contact.Position { return build.(*Build).position() }
}

func (b *Build) position() contact.Position {
	var p contact.Position
	b.place(&p)
	return p
}

func (b *Build) place(p *contact.Position) {
	s := &b.Settings
	frame := b.chassis()

	sin, cos := num.Sincos(s.SaddleTilt)
	held := frame.RailClamp(&b.Seatpost, s.SeatpostExtension-s.Lowered)
	held = r3.Add(held, num.Turned(r3.Vec{X: s.RailClamp}, sin, cos)) // on to the rails below the nose
	for _, at := range b.Saddle.Places() {
		p.Set(at.Site, r3.Add(held, num.Turned(at.At, sin, cos)))
	}
	p.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: s.SaddleTilt})

	rotation := s.BarRotation
	if b.Handlebar.OnePiece() {
		rotation = b.Handlebar.DrawnAt - frame.HeadAngle
	}
	m := frame.Mount(b.stem(), s.Flipped)
	clamp := frame.Clamp(&m, b.Cap.Height+s.Spacers)
	p.Set(contact.BarClamp, clamp)
	sin, cos = num.Sincos(rotation)
	var places [3]part.Place
	for _, h := range b.Handlebar.AppendPlaces(places[:0], b.Lever) {
		pair(p, h.Site, clamp, num.Turned(h.At, sin, cos))
	}
	if b.Aero != (part.AeroBar{}) {
		b.placeAero(p, clamp)
	}

	pair(p, contact.PedalLeft, r3.Vec{}, r3.Vec{X: b.Crank.Length, Y: b.Crank.QFactor / 2})
	if b.Pedal != (part.Pedal{}) {
		y := b.Crank.QFactor/2 + b.Pedal.FootOffset
		p.Set(contact.FootLeft, r3.Vec{X: b.Crank.Length, Y: y, Z: b.Pedal.FootHeight + s.LiftLeft})
		p.Set(contact.FootRight, r3.Vec{X: b.Crank.Length, Y: -y, Z: b.Pedal.FootHeight + s.LiftRight})
	}
}

func (b *Build) placeAero(p *contact.Position, clamp r3.Vec) {
	s := &b.Settings
	sin, cos := num.Sincos(s.AeroTilt)
	pair(p, contact.PadLeft, clamp, num.Turned(r3.Vec{X: s.PadForward, Y: s.PadWidth / 2, Z: s.PadRise}, sin, cos))
	pair(p, contact.ExtensionLeft, clamp, num.Turned(b.Aero.Tip(s.PadRise, s.Extension), sin, cos))
	for _, side := range [...]contact.Side{contact.Left, contact.Right} {
		p.SetAttitude(contact.PadLeft.On(side), contact.Attitude{Tilt: s.AeroTilt})
		p.SetAttitude(contact.ExtensionLeft.On(side), contact.Attitude{Tilt: s.AeroTilt + b.Aero.ExtensionAngle})
	}
}

// chassis is what the parts are mounted on.
func (b *Build) chassis() rig.Chassis {
	pitch, _ := b.Frame.Geometry.Pitch(b.Wheels)
	return rig.NewChassis(&b.Frame.Geometry, b.Frame.SeatTubeTop, pitch)
}

// pair sets a left site, from a point on the mid-plane, and the right one.
func pair(p *contact.Position, left contact.Site, from, at r3.Vec) {
	at.X += from.X
	at.Z += from.Z
	p.Set(left, at)
	at.Y = 0 - at.Y
	p.Set(left.On(contact.Right), at)
}

// stem is the stem that carries the handlebar, a part of its own or of the bar.
func (b *Build) stem() *part.Stem {
	if b.Handlebar.OnePiece() {
		return &b.Handlebar.Stem
	}
	return &b.Stem
}

// Carrier returns the stem that carries the handlebar, be it a part of its own or of the bar.
func (b Build) Carrier() part.Stem { return *b.stem() }
