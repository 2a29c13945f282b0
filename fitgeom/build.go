package fitgeom

import (
	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom/clearance"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/field"
	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/rig"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Build is an assembled bike: a frame, its parts, and how they are set. A part with its
// zero value is absent; the tag of its field says whether that is allowed.
type Build struct {
	// Frame is the frame with its fork.
	Frame Frame `json:"frame"`
	// Wheels is what the bike stands on: sag and tyres.
	Wheels chart.Wheels `json:"wheels,omitzero" zero:"as the chart draws it"`
	// Cap is on the head tube, under the spacers.
	Cap part.HeadsetCap `json:"cap"`
	// Stem holds the handlebar.
	Stem part.Stem `json:"stem,omitzero" zero:"in one piece with the handlebar" validate:"own"`
	// BarShim lies between handlebar and stem.
	BarShim   part.Shim      `json:"bar_shim,omitzero" zero:"none"`
	Handlebar part.Handlebar `json:"handlebar" validate:"own"`
	// Lever is the same left and right.
	Lever part.Lever   `json:"lever,omitzero" zero:"none, except on a drop bar"`
	Aero  part.AeroBar `json:"aero,omitzero" zero:"none"`
	// Seatpost holds the saddle.
	Seatpost part.Seatpost `json:"seatpost"`
	// SeatpostShim lies between seatpost and frame.
	SeatpostShim part.Shim   `json:"seatpost_shim,omitzero" zero:"none"`
	Saddle       part.Saddle `json:"saddle"`
	// Crank and Pedal are the left and the right one together.
	Crank    part.Crank `json:"crank"`
	Pedal    part.Pedal `json:"pedal,omitzero" zero:"does not matter"`
	Settings Settings   `json:"settings"`
	// Bulk is how far tyres, mudguard, pedals and shoes reach, for clearances. Builds that
	// a solver finds have usual ones.
	Bulk clearance.Bulk `json:"bulk,omitzero" zero:"usual ones" validate:"own"`
}

// Settings is what can be adjusted on a [Build]. The zero value has no spacers and a
// handlebar that is not rotated, but no sensible seatpost extension: set it. Angles are
// relative to level ground, as the bike stands.
type Settings struct {
	// Spacers is the height of all spacers between headset cap and stem.
	Spacers float64 `json:"spacers_mm" range:"0 to 150"`
	// SpacersAbove is the height of all spacers on top of the stem.
	SpacersAbove float64 `json:"spacers_above_mm" range:"0 to 150"`
	// Flipped says that the stem is mounted upside down.
	Flipped bool `json:"flipped"`
	// StemAngle is the angle of an adjustable stem, and Quill how far above the headset cap
	// the axis of a quill stem leaves the steerer's, as fields of [part.Stem] define them.
	// Zero for other stems.
	StemAngle float64 `json:"stem_angle_deg,omitzero" range:"-60 to 60"`
	Quill     float64 `json:"quill_mm,omitzero" range:"0 to 250"`
	// BarRotation is how far the handlebar is rotated in the stem from its nominal
	// position, positive when the hands go up. Zero for a one-piece bar and stem.
	BarRotation float64 `json:"bar_rotation_deg" range:"-45 to 45"`
	// LeverUp is how far both levers of a drop bar are moved up along the bend, and LeverIn
	// how far they are turned inwards about the tube. Both are zero in the levers' nominal
	// position.
	LeverUp float64 `json:"lever_up_mm,omitzero" range:"-40 to 40"`
	LeverIn float64 `json:"lever_in_deg,omitzero" range:"-30 to 30"`
	// AeroTilt, PadRise, PadForward, PadWidth and Extension are the settings of the aero
	// bar, as its fields of like names define them. Zero where there is none.
	AeroTilt   float64 `json:"aero_tilt_deg,omitzero" range:"-45 to 45"`
	PadRise    float64 `json:"pad_rise_mm,omitzero" range:"0 to 250"`
	PadForward float64 `json:"pad_forward_mm,omitzero" range:"-250 to 250"`
	PadWidth   float64 `json:"pad_width_mm,omitzero" range:"0 to 400"`
	Extension  float64 `json:"extension_mm,omitzero" range:"0 to 600"`
	// ExtensionWidth is from centre to centre of the extensions' tips. Zero where that
	// cannot be set.
	ExtensionWidth float64 `json:"extension_width_mm,omitzero" range:"0 to 400"`
	// SeatpostExtension is from the seat tube's upper edge up to the centre of the rail
	// clamp, along the seatpost; of a dropper seatpost at the top of its travel.
	SeatpostExtension float64 `json:"seatpost_extension_mm" range:"0 to 600"`
	// Lowered is how far a dropper seatpost is lowered from there.
	Lowered float64 `json:"lowered_mm,omitzero" range:"0 to 300"`
	// RailClamp is from the saddle's nose back to the centre of the rail clamp, along the
	// rails. A larger value puts the saddle further forward.
	RailClamp float64 `json:"rail_clamp_mm" range:"0 to 340"`
	// SaddleTilt is the slope of a straight edge on the saddle's highest points, front and rear,
	// positive nose-up.
	SaddleTilt float64 `json:"saddle_tilt_deg" range:"-45 to 45"`
	// LiftLeft and LiftRight are the height of all shims under the left and the right
	// cleat. Zero where the pedals do not matter.
	LiftLeft  float64 `json:"lift_left_mm,omitzero" range:"0 to 60"`
	LiftRight float64 `json:"lift_right_mm,omitzero" range:"0 to 60"`
	// CleatLeft and CleatRight are how the cleats are set. Zero where the pedals do not
	// matter.
	CleatLeft  Cleat `json:"cleat_left,omitzero" zero:"under the ball of the foot, level, pointing straight ahead"`
	CleatRight Cleat `json:"cleat_right,omitzero" zero:"under the ball of the foot, level, pointing straight ahead"`
}

// A Cleat is how the cleat under a shoe is set: by where the foot then is on the pedal, with
// the crank horizontal and pointing forward. The zero Cleat has the ball of the foot above
// the spindle, the sole level and the foot pointing straight ahead.
type Cleat struct {
	// Back is how far the ball of the foot is in front of the spindle's centre, and the cleat
	// set back under the shoe, straight along the bike.
	Back float64 `json:"back_mm,omitzero" range:"-40 to 80"`
	// In is how far the middle of the foot is further out than with the cleat in the middle
	// of the sole, and the cleat set inwards, straight across the bike.
	In float64 `json:"in_mm,omitzero" range:"-20 to 20"`
	// ToesOut is the direction of the foot seen from above, positive when the toes point
	// outwards.
	ToesOut float64 `json:"toes_out_deg,omitzero" range:"-30 to 30"`
	// Wedge is the slope of the sole seen from behind, positive when the inner edge is
	// higher. The middle of the sole stays at its height.
	Wedge float64 `json:"wedge_deg,omitzero" range:"-15 to 15"`
}

// Validate reports numbers that are out of range, and parts and settings that do not go
// together ([contact.ErrConflict]), the latter only once all numbers are in range.
// [Build.Margins] tells whether the settings stay within the parts' limits.
func (b Build) Validate() error { return b.validate() }

func (b *Build) validate() error {
	var c faults
	buildFields.Check(&c.List, b)
	c.In("frame.geometry", b.Frame.Geometry.Validate())
	c.In("handlebar", b.Handlebar.Validate())
	if !b.onePiece() {
		c.In("stem", stemFields.Validate(&b.Stem))
	}
	if b.Bulk != (clearance.Bulk{}) {
		c.In("bulk", b.Bulk.Validate())
	}
	if c.Len() > 0 {
		return c.Err()
	}
	if b.Wheels != (chart.Wheels{}) {
		c.In("", b.Frame.ValidateOn(b.Wheels))
	}
	b.conflicts(&c)
	return c.Err()
}

var (
	buildFields = field.New[Build]()
	stemFields  = field.New[part.Stem]()
)

// conflicts reports parts and settings that do not go together though each is sound by
// itself.
func (b *Build) conflicts(c *faults) {
	s := &b.Settings
	steerer := joint{b.Frame.SteererDiameter, b.Frame.SteererInterface}
	c.match("cap.steerer_diameter_mm", joint{b.Cap.SteererDiameter, b.Cap.SteererInterface}, steerer, "the frame has")
	if b.onePiece() {
		c.match("handlebar.stem.steerer_diameter_mm", joint{b.Handlebar.Stem.SteererDiameter, b.Handlebar.Stem.SteererInterface}, steerer, "the frame has")
		if b.Stem != (part.Stem{}) {
			c.Add("stem", "one", "none beside a one-piece bar and stem", contact.ErrConflict)
		}
		if b.BarShim != (part.Shim{}) {
			c.Add("bar_shim", "one", "none in a one-piece bar and stem", contact.ErrConflict)
		}
	} else {
		c.match("stem.steerer_diameter_mm", joint{b.Stem.SteererDiameter, b.Stem.SteererInterface}, steerer, "the frame has")
		bar, stem := joint{b.Handlebar.ClampDiameter, b.Handlebar.ClampInterface}, joint{b.Stem.BarDiameter, b.Stem.BarInterface}
		if b.BarShim != (part.Shim{}) {
			c.match("bar_shim.inner_diameter_mm", joint{b.BarShim.Inner, ""}, bar, "the handlebar has")
			c.match("bar_shim.outer_diameter_mm", joint{b.BarShim.Outer, ""}, stem, "the stem holds")
		} else {
			c.match("handlebar.clamp_diameter_mm", bar, stem, "the stem holds")
		}
	}
	switch drop := b.Handlebar.Drop != (part.DropBar{}); {
	case drop && b.Lever == part.Lever{}:
		c.Add("lever", "", "levers on a drop bar", contact.ErrConflict)
	case !drop:
		if b.Lever != (part.Lever{}) {
			c.Add("lever", "one", "none except on a drop bar", contact.ErrConflict)
		}
		if s.LeverUp != 0 || s.LeverIn != 0 {
			c.Add("settings.lever_up_mm", "set", "no settings of levers without them", contact.ErrConflict)
		}
	case s.LeverUp != 0 && b.Handlebar.Drop.BendRadius == 0:
		c.Add("settings.lever_up_mm", num.Text(s.LeverUp, "mm"), "0 on a bar whose bend has no stated radius", contact.ErrConflict)
	}
	if b.Aero != (part.AeroBar{}) {
		c.match("aero.bar_diameter_mm", joint{b.Aero.BarDiameter, ""}, joint{b.Handlebar.AeroDiameter, ""}, "the handlebar has beside its clamp")
	} else if s.ExtensionWidth != 0 || s.AeroTilt != 0 || s.PadRise != 0 || s.PadForward != 0 || s.PadWidth != 0 || s.Extension != 0 {
		c.Add("settings.pad_rise_mm", "set", "no settings of an aero bar without one", contact.ErrConflict)
	}
	post, tube := joint{b.Seatpost.Diameter, b.Seatpost.Interface}, joint{b.Frame.SeatpostDiameter, b.Frame.SeatpostInterface}
	if b.SeatpostShim != (part.Shim{}) {
		c.match("seatpost_shim.inner_diameter_mm", joint{b.SeatpostShim.Inner, ""}, post, "the seatpost has")
		c.match("seatpost_shim.outer_diameter_mm", joint{b.SeatpostShim.Outer, ""}, tube, "the frame takes")
	} else {
		c.match("seatpost.diameter_mm", post, tube, "the frame takes")
	}
	if !b.Seatpost.Holds(b.Saddle) {
		c.Add("seatpost.rail_width_mm", "another", "a clamp that holds the saddle's rails", contact.ErrConflict)
	}
	c.settable("settings.stem_angle_deg", s.StemAngle, &b.Stem.Angles, "an adjustable stem")
	c.settable("settings.quill_mm", s.Quill, &b.Stem.Quill, "a quill stem")
	c.settable("settings.extension_width_mm", s.ExtensionWidth, &b.Aero.ExtensionWidths, "extensions whose width can be set")
	if s.Flipped && !b.Stem.Flippable {
		c.Add("settings.flipped", "yes", "a stem that may be mounted upside down", contact.ErrConflict)
	}
	if s.BarRotation != 0 && b.onePiece() {
		c.Add("settings.bar_rotation_deg", num.Text(s.BarRotation, "degrees"), "0 for a one-piece bar and stem", contact.ErrConflict)
	}
	if s.Lowered > b.Seatpost.Travel {
		c.Add("settings.lowered_mm", num.Text(s.Lowered, "mm"), "at most the seatpost's travel, "+num.Text(b.Seatpost.Travel, "mm"), contact.ErrConflict)
	}
	if b.Pedal == (part.Pedal{}) {
		if s.LiftLeft != 0 || s.LiftRight != 0 {
			c.Add("settings.lift_left_mm", "set", "no cleat shims without pedals", contact.ErrConflict)
		}
		if s.CleatLeft != (Cleat{}) || s.CleatRight != (Cleat{}) {
			c.Add("settings.cleat_left", "set", "no cleats without pedals", contact.ErrConflict)
		}
	}
}

// Position returns where the build puts every contact point, in the axes of package
// contact: saddle (reference with its tilt, nose, rear), bar clamp, the sites that
// handlebar, levers, aero bar and pedals offer, with their directions, and the cranks. Each
// shape of a [part.Handlebar] says which sites it offers. It is exact to rounding. Faults
// are those of [Build.Validate].
func (b Build) Position() (p contact.Position, err error) {
	if err = b.validate(); err == nil {
		b.place(&p)
	}
	return p, err
}

// Clearance returns the build as package clearance sees it, without a rider's body. Faults
// are those of [Build.Validate].
func (b Build) Clearance() (clearance.Bike, error) {
	if err := b.validate(); err != nil {
		return clearance.Bike{}, err
	}
	return b.clearance(), nil
}

func (b *Build) clearance() clearance.Bike {
	return clearance.Bike{Position: b.position(), Geometry: b.Frame.Geometry, Wheels: b.Wheels, Bulk: b.Bulk}
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
	pitch := 0.0
	if b.Wheels != (chart.Wheels{}) {
		pitch, _ = b.Frame.Geometry.Pitch(b.Wheels)
	}
	frame := rig.NewChassis(&b.Frame.Geometry, b.Frame.SeatTubeTop, pitch)

	sin, cos := num.Sincos(s.SaddleTilt)
	held := frame.RailClamp(&b.Seatpost, s.SeatpostExtension-s.Lowered)
	held = r3.Add(held, num.Turned(r3.Vec{X: s.RailClamp}, sin, cos)) // on to the rails below the nose
	saddle := b.Saddle.Places()
	for i := range saddle {
		at := &saddle[i]
		p.Set(at.Site, r3.Add(held, num.Turned(at.At, sin, cos)))
	}
	p.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: s.SaddleTilt})

	rotation := s.BarRotation
	if b.onePiece() {
		rotation = b.Handlebar.DrawnAt - frame.HeadAngle
	}
	m := frame.Mount(b.stem(), b.stemSet())
	clamp := frame.Clamp(&m, b.Cap.Height+s.Spacers)
	p.Set(contact.BarClamp, clamp)
	sin, cos = num.Sincos(rotation)
	var places [3]part.Place
	all := b.Handlebar.AppendPlaces(places[:0], b.Lever, part.LeverMount{Up: s.LeverUp, In: s.LeverIn})
	for i := range all {
		h := &all[i]
		pair(p, h.Site, clamp, num.Turned(h.At, sin, cos))
		face(p, h.Site, rig.Facing(&h.Forward, &h.Left, rotation, sin, cos))
	}
	if b.Aero != (part.AeroBar{}) {
		b.placeAero(p, clamp)
	}
	b.placeFeet(p)
}

func (b *Build) placeAero(p *contact.Position, clamp r3.Vec) {
	s := &b.Settings
	sin, cos := num.Sincos(s.AeroTilt)
	pair(p, contact.PadLeft, clamp, num.Turned(r3.Vec{X: s.PadForward, Y: s.PadWidth / 2, Z: s.PadRise}, sin, cos))
	tip := b.Aero.Tip(s.PadRise, s.Extension)
	if b.Aero.ExtensionWidths != (part.Steps{}) {
		tip.Y = s.ExtensionWidth / 2
	}
	pair(p, contact.ExtensionLeft, clamp, num.Turned(tip, sin, cos))
	face(p, contact.PadLeft, contact.Attitude{Tilt: s.AeroTilt})
	face(p, contact.ExtensionLeft, contact.Attitude{Tilt: s.AeroTilt + b.Aero.ExtensionAngle})
}

func (b *Build) placeFeet(p *contact.Position) {
	lengths, sides, s := b.Crank.Lengths(), b.Pedal.Sides(), &b.Settings
	for i, sign := range [2]float64{1, -1} {
		out := b.Crank.QFactor / 2
		p.Set(contact.PedalLeft.Both()[i], r3.Vec{X: lengths[i], Y: sign * out})
		if b.Pedal == (part.Pedal{}) {
			continue
		}
		foot, cleat, lift := contact.FootLeft, &s.CleatLeft, s.LiftLeft
		if i == 1 {
			foot, cleat, lift = contact.FootRight, &s.CleatRight, s.LiftRight
		}
		p.Set(foot, r3.Vec{X: lengths[i] + cleat.Back, Y: sign * (out + sides[i].FootOffset + cleat.In), Z: sides[i].FootHeight + lift})
		p.SetAttitude(foot, contact.Attitude{Yaw: sign*cleat.ToesOut + 0, Roll: 0 - sign*cleat.Wedge})
	}
}

// pair sets a left site, from a point on the mid-plane, and the right one.
func pair(p *contact.Position, left contact.Site, from, at r3.Vec) {
	at.X += from.X
	at.Z += from.Z
	p.Set(left, at)
	at.Y = 0 - at.Y
	p.Set(left.On(contact.Right), at)
}

// face sets the direction at a left site, and that at the right one, which mirrors it.
func face(p *contact.Position, left contact.Site, a contact.Attitude) {
	p.SetAttitude(left, a)
	a.Yaw, a.Roll = 0-a.Yaw, 0-a.Roll
	p.SetAttitude(left.On(contact.Right), a)
}

func (b *Build) stemSet() rig.StemSet {
	return rig.StemSet{Flipped: b.Settings.Flipped, Angle: b.Settings.StemAngle, Quill: b.Settings.Quill}
}

// onePiece is part.Handlebar.OnePiece, for which the handlebar would be copied.
func (b *Build) onePiece() bool { return b.Handlebar.DrawnAt != 0 }

// stem is the stem that carries the handlebar, a part of its own or one piece with it.
func (b *Build) stem() *part.Stem {
	if b.onePiece() {
		return &b.Handlebar.Stem
	}
	return &b.Stem
}

// Carrier returns the stem that carries the handlebar: a part of its own, or that of a
// one-piece bar and stem.
func (b Build) Carrier() part.Stem { return *b.stem() }
