package rider

import (
	"fmt"
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/enum"
	"example.com/fitgeom/internal/fault"
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
	Given AnkleAngle
	// Profile holds one angle for an ankle that stays as it is, or up to 3600 at
	// crank angles that are evenly spaced over the revolution, the first at 0, in
	// degrees. In between it is interpolated with a continuous slope (cubic,
	// Catmull and Rom).
	Profile []float64
}

func (a *Ankle) validate(f *fault.List, path string) {
	if err := ankleAngleNames.Check("given", a.Given); err != nil {
		f.In(path, err)
		return
	}
	switch n := len(a.Profile); {
	case n == 0:
		f.Add(path+".profile", "", "at least one angle", contact.ErrMissing)
	case n > 3600:
		f.Add(path+".profile", num.Text(float64(n), "angles"), "at most 3600", contact.ErrRange)
		return
	}
	lo, hi := -90., 60.
	if a.Given == Dorsiflexion {
		lo, hi = -70, 50
	}
	for i, v := range a.Profile {
		if !(v >= lo && v <= hi) {
			f.Range(fmt.Sprintf("%s.profile[%d]", path, i), v, lo, hi, "degrees")
		}
	}
}

// A Leg is one leg from the hip's joint centre to the sole, and what its ankle
// does. The zero Leg is a leg that is not known.
type Leg struct {
	// Thigh is the distance from the centre of the hip joint to that of the
	// knee, 200 to 700 mm.
	Thigh float64
	// Shank is the distance from the centre of the knee joint to that of the
	// ankle, 200 to 700 mm.
	Shank float64
	// AnkleHeight is the distance of the ankle's centre, square to the sole, from
	// the sole that contact.FootLeft and FootRight end at, 20 to 200 mm. What lies
	// between that and the pedal's spindle is the bike's.
	AnkleHeight float64
	// AnkleBehind is the distance along the sole from the pedal's spindle back to
	// the ankle's centre, 10 to 300 mm. It is set by where the cleat is.
	AnkleBehind float64
	// Ankle is what the ankle does over the crank circle.
	Ankle Ankle
}

func (l *Leg) known() bool {
	return l.Thigh != 0 || l.Shank != 0 || l.AnkleHeight != 0 || l.AnkleBehind != 0 || l.Ankle.Given != 0 || l.Ankle.Profile != nil
}

func (l *Leg) validate(f *fault.List, path string) {
	f.Length(path+".thigh", l.Thigh, 200, 700)
	f.Length(path+".shank", l.Shank, 200, 700)
	f.Length(path+".ankle_height", l.AnkleHeight, 20, 200)
	f.Length(path+".ankle_behind", l.AnkleBehind, 10, 300)
	l.Ankle.validate(f, path+".ankle")
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
	// shoulder's, 300 to 800 mm.
	Trunk float64
	// UpperArm is the distance from the shoulder's centre to the elbow's, 150
	// to 500 mm.
	UpperArm float64
	// Forearm is the distance from the elbow's centre to the wrist's, 150 to 450 mm.
	Forearm float64
	// WristBack and WristUp are how far the wrist's centre lies behind and above
	// the grip's site, -250 to 250 mm. Both zero: the forearm was measured to the
	// grip.
	WristBack, WristUp float64
	// Grip is the site of the hands, such as contact.HoodsLeft. Left and right
	// are taken together, midway, if the position knows both.
	Grip contact.Site
	// Keep says which angle is Angle, in degrees. The bar's place alone does not
	// tell how trunk and arms are held.
	Keep  UpperAngle
	Angle float64
}

func (u *Upper) validate(f *fault.List, path string) {
	f.Length(path+".trunk", u.Trunk, 300, 800)
	f.Length(path+".upper_arm", u.UpperArm, 150, 500)
	f.Length(path+".forearm", u.Forearm, 150, 450)
	f.Range(path+".wrist_back", u.WristBack, -250, 250, "mm")
	f.Range(path+".wrist_up", u.WristUp, -250, 250, "mm")
	if !u.Grip.Group().FrontEnd() || u.Grip.Side() == contact.Centre {
		f.Add(path+".grip", u.Grip.String(), "a site of the hands, such as hoods_left", contact.ErrUnknown)
	}
	switch u.Keep {
	case KeepElbow:
		f.Range(path+".angle", u.Angle, 0, 150, "degrees")
	case KeepTrunk:
		f.Range(path+".angle", u.Angle, -20, 120, "degrees")
	default:
		f.Add(path+".keep", "", "keep_elbow or keep_trunk", contact.ErrUnknown)
	}
}

// A Body is a rider's segments, and how the rider sits on the saddle. Its zero
// value is not valid: no length has a default. Measure the segments, or take them
// from a [Table] by its name and with its bias.
type Body struct {
	// Left and Right are the legs. One that is zero is not known; at least one
	// must be.
	Left, Right Leg
	// HipForward and HipUp are where the hip's joint centre lies, as seen from the
	// side, in front of (-200 to 200 mm) and above (20 to 250 mm) the saddle
	// reference. No table has them: they depend on pelvis, saddle and lean.
	// Measure to the greater trochanter of the seated rider (common practice, no
	// source). The hip keeps this place over the saddle.
	HipForward, HipUp float64
	// Upper is trunk and arms. Zero: not known, and no hip flexion either.
	Upper Upper
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
	if b.Left.known() {
		b.Left.validate(&f, "left")
	}
	if b.Right.known() {
		b.Right.validate(&f, "right")
	}
	f.Range("hip_forward", b.HipForward, -200, 200, "mm")
	f.Length("hip_up", b.HipUp, 20, 250)
	if b.Upper != (Upper{}) {
		b.Upper.validate(&f, "upper")
	}
	return f.Err()
}

// leg returns one leg; false if it is not known.
func (b *Body) leg(side contact.Side) (*Leg, bool) {
	switch side {
	case contact.Left:
		return &b.Left, b.Left.known()
	case contact.Right:
		return &b.Right, b.Right.known()
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
