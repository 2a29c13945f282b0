package fitgeom

import (
	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/enum"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/field"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Keep asks for a site to stay where the target has it.
type Keep struct {
	Site contact.Site `json:"site"`
	// Tolerance is how far off each coordinate may be, in mm. A coordinate with
	// tolerance 0 is not asked for; of one at least, or of a direction, it is.
	Tolerance r3.Vec `json:"tolerance_mm" range:"0.001 to 1000" zero:"not asked for"`
	// Weight multiplies the square of each coordinate's deviation over its tolerance.
	// Zero: 1.
	Weight r3.Vec `json:"weight,omitzero" range:"0.001 to 1000" unit:"times" zero:"1"`
	// Turn is how far off the site's direction may be.
	Turn TurnTolerance `json:"turn,omitzero" zero:"no direction is asked for"`
}

// A TurnTolerance is how far the angles of a [contact.Attitude] may be off, in degrees, by the shorter
// way round. An angle with 0 is not asked for.
type TurnTolerance struct {
	// Tilt, Yaw and Roll are the tolerances of the angles of these names.
	Tilt float64 `json:"tilt_deg,omitzero" range:"0.001 to 180" zero:"not asked for"`
	Yaw  float64 `json:"yaw_deg,omitzero" range:"0.001 to 180" zero:"not asked for"`
	Roll float64 `json:"roll_deg,omitzero" range:"0.001 to 180" zero:"not asked for"`
	// Weight multiplies the square of each angle's deviation over its tolerance.
	Weight float64 `json:"weight,omitzero" range:"0.001 to 1000" unit:"times" zero:"1"`
}

// Asks reports whether an angle is asked for.
func (t TurnTolerance) Asks() bool { return t.Tilt != 0 || t.Yaw != 0 || t.Roll != 0 }

// Angles returns the tolerances without the weight.
func (t TurnTolerance) Angles() contact.Attitude {
	return contact.Attitude{Tilt: t.Tilt, Yaw: t.Yaw, Roll: t.Roll}
}

// Price returns what the square of a degree costs of each angle: the weight over the square
// of the tolerance, or 0 for an angle that is not asked for.
func (t TurnTolerance) Price() contact.Attitude {
	weight := t.Weight
	if weight == 0 {
		weight = 1
	}
	price := func(tolerance float64) float64 {
		if tolerance == 0 {
			return 0
		}
		return weight / (tolerance * tolerance)
	}
	return contact.Attitude{Tilt: price(t.Tilt), Yaw: price(t.Yaw), Roll: price(t.Roll)}
}

// Holds reports whether every angle that was asked for is within its tolerance.
func (t TurnTolerance) Holds(off Turned) bool {
	return !num.Beyond(off.Tilt, t.Tilt) && !num.Beyond(off.Yaw, t.Yaw) && !num.Beyond(off.Roll, t.Roll)
}

// directed reports whether builds say which way what is at a site lies.
func directed(s contact.Site) bool {
	switch s.Group() {
	case contact.OnSaddle:
		return s == contact.SaddleReference
	case contact.OnHandlebar:
		return s != contact.BarClamp
	default:
		return s.Group() == contact.OnAeroBar || s.Group() == contact.OnFeet
	}
}

// Validate reports numbers that are out of range, an unknown site, [contact.ErrMissing] where
// neither a coordinate nor an angle has a tolerance, and [contact.ErrConflict] for the
// direction of a site that has none: nose and rear of the saddle, clamp and pedals.
func (k Keep) Validate() error {
	var c fault.List
	k.checkSite(&c)
	keepFields.Check(&c, &k)
	if k.Tolerance == (r3.Vec{}) && !k.Turn.Asks() {
		c.Add("tolerance_mm", "", "one for a coordinate at least, or for an angle: nothing is asked for", contact.ErrMissing)
	}
	if k.Site.Valid() && k.Turn.Asks() && !directed(k.Site) {
		c.Add("turn", "asked for", "a site with a direction", contact.ErrConflict)
	}
	return c.Err()
}

func (k *Keep) checkSite(f *fault.List) {
	if !k.Site.Valid() {
		f.Add("site", k.Site.String(), "a site of package contact", contact.ErrUnknown)
	}
}

var keepFields = field.New[Keep]()

// Weights returns the weights with 1 for those that are zero.
func (k Keep) Weights() r3.Vec {
	w := k.Weight
	for _, v := range [...]*float64{&w.X, &w.Y, &w.Z} {
		if *v == 0 {
			*v = 1
		}
	}
	return w
}

// Price returns what the square of a millimetre costs along each axis: the weight
// over the square of the tolerance, or 0 for a coordinate that is not asked for.
func (k Keep) Price() r3.Vec {
	price, weights := r3.Vec{}, k.Weights()
	for _, c := range [...]struct {
		price       *float64
		tol, weight float64
	}{{&price.X, k.Tolerance.X, weights.X}, {&price.Y, k.Tolerance.Y, weights.Y}, {&price.Z, k.Tolerance.Z, weights.Z}} {
		if c.tol != 0 {
			*c.price = c.weight / (c.tol * c.tol)
		}
	}
	return price
}

// DefaultKeep returns what a problem of package fitgeom/solve keeps unless it states
// otherwise: the saddle reference within 2 mm horizontally and vertically; hoods, grips
// of a flat or base bar, and pads within 2 mm horizontally and vertically and 5 mm
// laterally; extensions within 5 mm; the crank length within 1 mm. Of hoods, pads and
// extensions it keeps the direction, if the target knows it, within [DefaultTurn], but for the
// hoods' tilt: a bar is rotated to bring the hands to their place.
//
// Of hands and feet it keeps what the target knows: a pair if it knows one side, the
// crank length if it knows a pedal. It asks for hoods if the target knows nothing for the
// hands. Common practice, no source.
func DefaultKeep(target contact.Position) []Keep {
	keep := []Keep{{Site: contact.SaddleReference, Tolerance: r3.Vec{X: 2, Z: 2}}}
	pair := func(left contact.Site, tolerance r3.Vec, anyway bool) bool {
		_, l := target.At(left)
		_, r := target.At(left.On(contact.Right))
		if !l && !r && !anyway {
			return false
		}
		for _, s := range left.Both() {
			k := Keep{Site: s, Tolerance: tolerance}
			if _, ok := target.Attitude(s); ok && left != contact.GripLeft {
				if k.Turn = DefaultTurn(s); left == contact.HoodsLeft {
					k.Turn.Tilt = 0
				}
			}
			keep = append(keep, k)
		}
		return true
	}
	hand := r3.Vec{X: 2, Y: 5, Z: 2}
	grips := pair(contact.GripLeft, hand, false)
	pads := pair(contact.PadLeft, hand, false)
	extensions := pair(contact.ExtensionLeft, r3.Vec{X: 5, Y: 5, Z: 5}, false)
	pair(contact.HoodsLeft, hand, !grips && !pads && !extensions)
	for _, pedal := range []contact.Site{contact.PedalLeft, contact.PedalRight} {
		if _, ok := target.At(pedal); ok {
			keep = append(keep, Keep{Site: pedal, Tolerance: r3.Vec{X: 1}})
		}
	}
	return keep
}

// DefaultTurn returns how far off the direction at a site may be where nobody states
// otherwise: a saddle's tilt 1 degree; each angle of hoods, drops, tops and grips 10 degrees; a
// pad's tilt 3 degrees and its other angles 5; an extension's tilt and yaw 5 degrees; a foot's
// yaw 2 degrees and its roll 1. It is zero for sites without a direction. Common
// practice, no source.
func DefaultTurn(s contact.Site) TurnTolerance {
	switch {
	case !directed(s):
		return TurnTolerance{}
	case s == contact.SaddleReference:
		return TurnTolerance{Tilt: 1}
	case s.Group() == contact.OnHandlebar:
		return TurnTolerance{Tilt: 10, Yaw: 10, Roll: 10}
	case s.Group() == contact.OnFeet:
		return TurnTolerance{Yaw: 2, Roll: 1}
	case s.On(contact.Left) == contact.PadLeft:
		return TurnTolerance{Tilt: 3, Yaw: 5, Roll: 5}
	default: // an extension, which is round
		return TurnTolerance{Tilt: 5, Yaw: 5}
	}
}

// A CrankPolicy says where the saddle goes if crank length, or the height of the foot
// above the pedal, differs from the target's. The handlebar stays where the target has
// it. The zero CrankPolicy is [KeepFarEnd].
type CrankPolicy uint8

// The policies.
const (
	// KeepFarEnd keeps the distance from the saddle reference to the foot at the far end
	// of its stroke, in the side view. The saddle moves along the line between the two as
	// it is in the target, and up by as much as the foot is higher above the pedal. The
	// foot is taken as horizontal all the way round; where target or build do not know
	// it, the pedal counts. If left and right differ, their mean counts.
	KeepFarEnd CrankPolicy = iota
	// KeepSaddle keeps the saddle where it is over the bottom bracket.
	KeepSaddle
)

var crankPolicyNames = enum.New[CrankPolicy]("policy", []string{"keep_far_end", "keep_saddle"})

// String returns the policy's name, such as "keep_far_end".
func (p CrankPolicy) String() string { return crankPolicyNames.String(p) }

// MarshalText writes the policy's name; it fails for an unknown number.
func (p CrankPolicy) MarshalText() ([]byte, error) { return crankPolicyNames.Text(p) }

// UnmarshalText reads a name as [ParseCrankPolicy] does.
func (p *CrankPolicy) UnmarshalText(text []byte) error { return crankPolicyNames.Read(p, text) }

// ParseCrankPolicy returns the policy of that name, or a [*contact.Error] of class
// [contact.ErrUnknown].
func ParseCrankPolicy(name string) (CrankPolicy, error) { return crankPolicyNames.Parse(name) }
