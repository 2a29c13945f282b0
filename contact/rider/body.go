package rider

import (
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/enum"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/field"
	"example.com/fitgeom/internal/num"
)

// An AnkleAngle is what an [Ankle] says of the foot. The zero AnkleAngle is none:
// one must be chosen.
type AnkleAngle uint8

// The angles of an ankle.
const (
	// SolePitch is the slope of the sole against level, from heel to toe:
	// positive toe-up, -90 to 60 degrees. The shank turns about the ankle as it must.
	SolePitch AnkleAngle = iota + 1
	// Dorsiflexion is the angle of the joint: 0 with the sole square to the
	// shank, positive with the toe nearer to the shin, -70 to 50 degrees. Shank
	// and foot turn as one. So held, the reach from hip to pedal ends before the
	// knee is straight.
	Dorsiflexion
)

var ankleAngleNames = enum.New[AnkleAngle]("ankle angle", []string{SolePitch: "sole_pitch", Dorsiflexion: "dorsiflexion"})

// String returns the angle's name, such as "sole_pitch".
func (a AnkleAngle) String() string { return ankleAngleNames.String(a) }

// MarshalText writes the angle's name; it fails for a number that is none.
func (a AnkleAngle) MarshalText() ([]byte, error) { return ankleAngleNames.Text(a) }

// UnmarshalText reads a name as [ParseAnkleAngle] does.
func (a *AnkleAngle) UnmarshalText(text []byte) error { return ankleAngleNames.Read(a, text) }

// ParseAnkleAngle returns the angle of that name, or a [*contact.Error] of class [contact.ErrUnknown].
func ParseAnkleAngle(name string) (AnkleAngle, error) { return ankleAngleNames.Parse(name) }

// An Ankle says what the foot does over the crank circle. Nothing in the
// geometry tells; it has to be measured, or supposed. Its zero value is not valid.
type Ankle struct {
	// Given is the angle that Profile holds.
	Given AnkleAngle `json:"given"`
	// Profile holds one angle for an ankle that stays as it is, or up to 3600 at
	// crank angles that are evenly spaced over the revolution, the first at 0, in
	// degrees. In between it is interpolated with a continuous slope (cubic,
	// Catmull and Rom).
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
	// AnkleHeight is the distance of the ankle's centre, square to the sole, from
	// the sole that contact.FootLeft and FootRight end at. What lies
	// between that and the pedal's spindle is the bike's.
	AnkleHeight float64 `json:"ankle_height_mm" length:"20 to 200"`
	// AnkleBehind is the distance along the sole from the pedal's spindle back to
	// the ankle's centre. It is set by where the cleat is.
	AnkleBehind float64 `json:"ankle_behind_mm" length:"10 to 300"`
	// Ankle is what the ankle does over the crank circle.
	Ankle Ankle `json:"ankle"`
}

func (l *Leg) known() bool {
	return l.Thigh != 0 || l.Shank != 0 || l.AnkleHeight != 0 || l.AnkleBehind != 0 || l.Ankle.Given != 0 || l.Ankle.Profile != nil
}

// An UpperAngle is what stays as it is in the upper body when the bar moves. The
// zero UpperAngle is none: one must be chosen.
type UpperAngle uint8

// What trunk and arms keep.
const (
	// KeepElbow keeps the elbow's flexion, 0 (straight) to 150 degrees; the
	// trunk leans as it must.
	KeepElbow UpperAngle = iota + 1
	// KeepTrunk keeps the trunk's lean, [TrunkLean], -20 to 120 degrees; the
	// elbow bends as it must.
	KeepTrunk
)

var upperAngleNames = enum.New[UpperAngle]("upper angle", []string{KeepElbow: "keep_elbow", KeepTrunk: "keep_trunk"})

// String returns the angle's name, such as "keep_elbow".
func (a UpperAngle) String() string { return upperAngleNames.String(a) }

// MarshalText writes the angle's name; it fails for a number that is none.
func (a UpperAngle) MarshalText() ([]byte, error) { return upperAngleNames.Text(a) }

// UnmarshalText reads a name as [ParseUpperAngle] does.
func (a *UpperAngle) UnmarshalText(text []byte) error { return upperAngleNames.Read(a, text) }

// ParseUpperAngle returns the angle of that name, or a [*contact.Error] of class [contact.ErrUnknown].
func ParseUpperAngle(name string) (UpperAngle, error) { return upperAngleNames.Parse(name) }

// An Upper is trunk and arms down to the hands. The zero Upper is an upper body
// that is not known.
type Upper struct {
	// Trunk is the straight distance from the hip's joint centre to the
	// shoulder's.
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
	// Grip is the site of the hands, such as contact.HoodsLeft. Left and right
	// are taken together, midway, if the position knows both.
	Grip contact.Site `json:"grip"`
	// Keep says which angle is Angle, in degrees. The bar's place alone does not
	// tell how trunk and arms are held.
	Keep  UpperAngle `json:"keep"`
	Angle float64    `json:"angle_deg"`
}

// check reports a hand that is none, and an angle beyond what it says it is.
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

// A Body is a rider's segments, and how the rider sits on the saddle. Its zero
// value is not valid: no length has a default. Measure the segments, or take them
// from a [Table] by its name and with its bias.
type Body struct {
	// Left and Right are the legs. One that is zero is not known; at least one
	// must be.
	Left  Leg `json:"left,omitzero" zero:"not known"`
	Right Leg `json:"right,omitzero" zero:"not known"`
	// HipForward and HipUp are where the hip's joint centre lies, as seen from the
	// side, in front of and above the saddle
	// reference. No table has them: they depend on pelvis, saddle and lean.
	// Measure to the greater trochanter of the seated rider (common practice, no
	// source). The hip keeps this place over the saddle.
	HipForward float64 `json:"hip_forward_mm" range:"-200 to 200"`
	HipUp      float64 `json:"hip_up_mm" length:"20 to 250"`
	// Upper is trunk and arms. Zero: not known, and no hip flexion either.
	Upper Upper `json:"upper,omitzero" zero:"not known"`
}

// Validate reports numbers out of the ranges stated at the fields
// ([contact.ErrRange], [contact.ErrUnit]), sites and enumerations that do not
// exist ([contact.ErrUnknown]), and a body without a leg or an ankle without a
// profile ([contact.ErrMissing]).
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
