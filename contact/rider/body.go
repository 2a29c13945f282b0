package rider

import (
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/enum"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/field"
	"example.com/fitgeom/internal/num"
)

// An AnkleAngle is the angle that an [Ankle] states. The zero AnkleAngle is not valid:
// one must be chosen.
type AnkleAngle uint8

// The angles of an ankle.
const (
	// SolePitch is the slope of the sole from the horizontal, from heel to toe: positive
	// toe-up, -90 to 60 degrees. The angle of the ankle joint follows.
	SolePitch AnkleAngle = iota + 1
	// Dorsiflexion is the angle of the joint: 0 with the sole square to the shank,
	// positive with the toe nearer to the shin, -70 to 50 degrees. Shank and foot turn as
	// one. With this setting the leg reaches its limit before the knee is straight.
	Dorsiflexion
)

var ankleAngleNames = enum.New[AnkleAngle]("ankle_angle", []string{SolePitch: "sole_pitch", Dorsiflexion: "dorsiflexion"})

// String returns the angle's name, such as "sole_pitch".
func (a AnkleAngle) String() string { return ankleAngleNames.String(a) }

// MarshalText writes the angle's name; it fails for an unknown number.
func (a AnkleAngle) MarshalText() ([]byte, error) { return ankleAngleNames.Text(a) }

// UnmarshalText reads a name as [ParseAnkleAngle] does.
func (a *AnkleAngle) UnmarshalText(text []byte) error { return ankleAngleNames.Read(a, text) }

// ParseAnkleAngle returns the angle of that name, or a [*contact.Error] of class
// [contact.ErrUnknown].
func ParseAnkleAngle(name string) (AnkleAngle, error) { return ankleAngleNames.Parse(name) }

// An Ankle says what the foot does over the crank circle. Geometry does not tell; it has
// to be measured or assumed. Its zero value is not valid.
type Ankle struct {
	// Given is the angle that Profile holds.
	Given AnkleAngle `json:"given"`
	// Profile holds one angle for an ankle that does not change, or up to 3600 at crank
	// angles that are evenly spaced over the revolution, the first at 0, in degrees.
	// Between them it is interpolated with a continuous slope (cubic, Catmull and Rom).
	Profile []float64 `json:"profile_deg"`
}

func (a *Ankle) validate(f *fault.List, path string) {
	if err := ankleAngleNames.Check("given", a.Given); err != nil {
		f.In(path, err)
		return
	}
	switch n := len(a.Profile); {
	case n == 0:
		f.Add(path+".profile_deg", "", "at least one angle", contact.ErrMissing)
	case n > 3600:
		f.Add(path+".profile_deg", num.Text(float64(n), "angles"), "at most 3600", contact.ErrRange)
		return
	}
	lo, hi := -90., 60.
	if a.Given == Dorsiflexion {
		lo, hi = -70, 50
	}
	for i, v := range a.Profile {
		if !(v >= lo && v <= hi) {
			f.Range(fault.At(path+".profile_deg", i), v, lo, hi, "degrees")
		}
	}
}

// A Leg is one leg from the hip's joint centre to the sole, and what its ankle
// does. The zero Leg is a leg that is not known.
type Leg struct {
	// Thigh is the distance from the centre of the hip joint to that of the
	// knee.
	Thigh float64 `json:"thigh_mm" length:"200 to 700"`
	// Shank is the distance from the centre of the knee joint to that of the
	// ankle.
	Shank float64 `json:"shank_mm" length:"200 to 700"`
	// AnkleHeight is the distance from the sole up to the ankle's centre, square to the
	// sole. The sole is that of contact.FootLeft and FootRight: what lies between it and
	// the pedal's spindle belongs to the bike.
	AnkleHeight float64 `json:"ankle_height_mm" length:"20 to 200"`
	// AnkleBehind is the distance along the sole from the pedal's spindle back to the
	// ankle's centre. The place of the cleat sets it.
	AnkleBehind float64 `json:"ankle_behind_mm" length:"10 to 300"`
	// Ankle is what the ankle does over the crank circle.
	Ankle Ankle `json:"ankle"`
}

func (l *Leg) known() bool {
	return l.Thigh != 0 || l.Shank != 0 || l.AnkleHeight != 0 || l.AnkleBehind != 0 || l.Ankle.Given != 0 || l.Ankle.Profile != nil
}

// An UpperAngle is the angle that the upper body keeps when the handlebar moves. The zero
// UpperAngle is not valid: one must be chosen.
type UpperAngle uint8

// The angles that trunk and arms may keep.
const (
	// KeepElbow keeps the elbow's flexion, 0 (straight) to 150 degrees; the trunk's lean
	// follows.
	KeepElbow UpperAngle = iota + 1
	// KeepTrunk keeps the trunk's lean, [TrunkLean], -20 to 120 degrees; the elbow's
	// flexion follows.
	KeepTrunk
)

var upperAngleNames = enum.New[UpperAngle]("upper_angle", []string{KeepElbow: "keep_elbow", KeepTrunk: "keep_trunk"})

// String returns the angle's name, such as "keep_elbow".
func (a UpperAngle) String() string { return upperAngleNames.String(a) }

// MarshalText writes the angle's name; it fails for an unknown number.
func (a UpperAngle) MarshalText() ([]byte, error) { return upperAngleNames.Text(a) }

// UnmarshalText reads a name as [ParseUpperAngle] does.
func (a *UpperAngle) UnmarshalText(text []byte) error { return upperAngleNames.Read(a, text) }

// ParseUpperAngle returns the angle of that name, or a [*contact.Error] of class
// [contact.ErrUnknown].
func ParseUpperAngle(name string) (UpperAngle, error) { return upperAngleNames.Parse(name) }

// An Upper is trunk and arms down to the hands. The zero Upper is an upper body
// that is not known.
type Upper struct {
	// Trunk is the direct distance from the hip's joint centre to the shoulder's.
	Trunk float64 `json:"trunk_mm" length:"300 to 800"`
	// UpperArm is the distance from the shoulder's centre to the elbow's.
	UpperArm float64 `json:"upper_arm_mm" length:"150 to 500"`
	// Forearm is the distance from the elbow's centre to the wrist's.
	Forearm float64 `json:"forearm_mm" length:"150 to 450"`
	// WristBack and WristUp are how far the wrist's centre lies behind and above
	// the grip's site. Both zero: the forearm was measured to the
	// grip.
	WristBack float64 `json:"wrist_back_mm,omitzero" range:"-250 to 250"`
	WristUp   float64 `json:"wrist_up_mm,omitzero" range:"-250 to 250"`
	// Grip is the site of the hands, such as contact.HoodsLeft. If the position knows
	// left and right, the midpoint counts.
	Grip contact.Site `json:"grip"`
	// Keep says which angle Angle is, in degrees. The handlebar's place alone does not
	// determine trunk and arms.
	Keep  UpperAngle `json:"keep"`
	Angle float64    `json:"angle_deg"`
}

// check reports a grip that is no site of the hands, and an angle out of its range.
func (u *Upper) check(f *fault.List, path string) {
	if !u.Grip.Group().FrontEnd() || u.Grip.Side() == contact.Centre {
		f.Add(path+".grip", u.Grip.String(), "a site of the hands, such as hoods_left", contact.ErrUnknown)
	}
	f.In(path, upperAngleNames.Check("keep", u.Keep))
	switch u.Keep {
	case KeepElbow:
		f.Range(path+".angle_deg", u.Angle, 0, 150, "degrees")
	case KeepTrunk:
		f.Range(path+".angle_deg", u.Angle, -20, 120, "degrees")
	}
}

// A Body is a rider's segments, and how the rider sits on the saddle. Its zero value is
// not valid: no length has a default. Measure the segments, or take them from a [Table],
// which has a known bias.
type Body struct {
	// Left and Right are the legs. A leg that is zero is not known; at least one must be
	// known.
	Left  Leg `json:"left,omitzero" zero:"not known"`
	Right Leg `json:"right,omitzero" zero:"not known"`
	// HipForward and HipUp are where the hip's joint centre lies, as seen from the side,
	// in front of and above the saddle reference. No table has them: they depend on
	// pelvis, saddle and lean. Measure to the greater trochanter of the seated rider
	// (common practice, no source). The hip keeps this place relative to the saddle.
	HipForward float64 `json:"hip_forward_mm" range:"-200 to 200"`
	HipUp      float64 `json:"hip_up_mm" length:"20 to 250"`
	// Upper is trunk and arms. Zero: not known, and then there is no hip flexion.
	Upper Upper `json:"upper,omitzero" zero:"not known"`
}

// Validate reports numbers and angles that are out of range ([contact.ErrRange],
// [contact.ErrUnit]), sites and enumerations that do not exist ([contact.ErrUnknown]),
// and a body without a leg or an ankle without a profile ([contact.ErrMissing]).
func (b Body) Validate() error {
	var f fault.List
	if !b.Left.known() && !b.Right.known() {
		f.Add("left", "", "at least one leg", contact.ErrMissing)
	}
	bodyFields.Check(&f, &b)
	if b.Left.known() {
		b.Left.Ankle.validate(&f, "left.ankle")
	}
	if b.Right.known() {
		b.Right.Ankle.validate(&f, "right.ankle")
	}
	if b.Upper != (Upper{}) {
		b.Upper.check(&f, "upper")
	}
	return f.Err()
}

var bodyFields = field.New[Body]()

// leg returns one leg; false if it is not known.
func (b *Body) leg(side contact.Side) (*Leg, bool) {
	switch side {
	case contact.Left:
		return &b.Left, b.Left.known()
	case contact.Right:
		return &b.Right, b.Right.known()
	case contact.Centre:
	}
	return nil, false
}

// sides lists the sides that have a leg.
func (b *Body) sides() []contact.Side {
	return slices.DeleteFunc([]contact.Side{contact.Left, contact.Right}, func(s contact.Side) bool {
		_, ok := b.leg(s)
		return !ok
	})
}
