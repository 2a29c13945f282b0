package motion

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/enum"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// A View is how points are taken: in space, or projected on the bike's mid-plane first.
// The zero View is [InSpace].
type View uint8

// The views.
const (
	// InSpace takes points as they are. A knee that moves sideways changes the angle.
	InSpace View = iota
	// FromSide drops Y, like a distant camera that looks straight at the side of the
	// bike. Only this view agrees with the chain of package contact/rider, whose joints all lie in one plane.
	FromSide

	viewCount = int(FromSide) + 1
)

var viewNames = enum.New[View]("view", []string{"in_space", "from_side"})

// String returns the view's name, such as "in_space".
func (v View) String() string { return viewNames.String(v) }

// MarshalText writes the view's name; it fails for an unknown number.
func (v View) MarshalText() ([]byte, error) { return viewNames.Text(v) }

// UnmarshalText reads a name as [ParseView] does.
func (v *View) UnmarshalText(text []byte) error { return viewNames.Read(v, text) }

// ParseView returns the view of that name, or a [*contact.Error] of class
// [contact.ErrUnknown].
func ParseView(name string) (View, error) { return viewNames.Parse(name) }

// see returns a vector as the view takes it.
func (v View) see(p r3.Vec) r3.Vec {
	if v == FromSide {
		p.Y = 0
	}
	return p
}

// far is the largest coordinate that a point may have, mm.
const far = 1e4

// shortest is the smallest distance between two points that define a direction, mm.
const shortest = 1

// IncludedAngle returns the angle at a joint between the lines to two other points, 0 to
// 180 degrees; it is 180 for a straight limb. Sources that print 150° for a knee near the
// far end of the stroke mean this angle.
//
// Faults are [contact.ErrRange] for coordinates that are not finite or beyond 10 m and
// for points closer together than 1 mm in the view, and [contact.ErrUnknown] for a view
// that does not exist.
func IncludedAngle(from, joint, to r3.Vec, v View) (float64, error) {
	a, b, err := limbs(from, joint, to, v)
	if err != nil {
		return 0, err
	}
	return between(a, b), nil
}

// FlexionAngle returns 180 degrees minus [IncludedAngle]; it is 0 for a straight limb.
// Sources that print 25° to 35° for a knee at the far end of the stroke mean this angle.
// Faults are those of IncludedAngle.
func FlexionAngle(from, joint, to r3.Vec, v View) (float64, error) {
	a, b, err := limbs(from, joint, to, v)
	if err != nil {
		return 0, err
	}
	return between(r3.Scale(-1, a), b), nil
}

// AngleSigma returns the standard uncertainty in degrees of [IncludedAngle] and
// [FlexionAngle], to first order (JCGM 100:2008, 5.1.2). Every coordinate of the three
// points has the standard uncertainty sigma, in mm, and their errors are independent. The
// formula is sigma·√(2/L₁² + 2/L₂² − 2·cos θ/(L₁·L₂)), with L₁ and L₂ the distances from
// the joint and θ the included angle.
//
// Near 0 and 180 degrees the formula fails, since an angle cannot go beyond them. Faults
// are [contact.ErrRange] for an uncertainty of more than 0.3 of the distance to either,
// and for a sigma that is not above 0 and at most 100 mm; and those of IncludedAngle.
func AngleSigma(from, joint, to r3.Vec, sigma float64, v View) (float64, error) {
	a, b, err := limbs(from, joint, to, v)
	var f fault.List
	f.Range("sigma_mm", sigma, math.SmallestNonzeroFloat64, 100, "mm")
	if err := f.Err(); err != nil {
		return 0, err
	}
	if err != nil {
		return 0, err
	}
	la, lb := r3.Norm(a), r3.Norm(b)
	angle := between(a, b)
	_, cos := num.Sincos(angle)
	// The sum is never below (1/L₁ − 1/L₂)²; rounding cannot make it negative.
	u := sigma * math.Sqrt(2/(la*la)+2/(lb*lb)-2*cos/(la*lb)) / num.Rad
	if limit := 0.3 * min(angle, 180-angle); u > limit {
		f.Add("angle_deg", num.Text(angle, "degrees"), "further from 0 and 180 degrees for an uncertainty of "+num.Text(u, "degrees"), contact.ErrRange)
	}
	if err := f.Err(); err != nil {
		return 0, err
	}
	return u, nil
}

// limbs returns the vectors from a joint to its neighbours.
func limbs(from, joint, to r3.Vec, v View) (a, b r3.Vec, err error) {
	var f fault.List
	if int(v) >= viewCount {
		f.Add("view", "", "in_space or from_side", contact.ErrUnknown)
	}
	point(&f, "from", from)
	point(&f, "joint", joint)
	point(&f, "to", to)
	if err := f.Err(); err != nil {
		return a, b, err
	}
	a, b = v.see(r3.Sub(from, joint)), v.see(r3.Sub(to, joint))
	for _, limb := range []struct {
		name string
		v    r3.Vec
	}{{"from", a}, {"to", b}} {
		if l := r3.Norm(limb.v); l < shortest {
			f.Add(limb.name, num.Text(l, "mm from the joint"), "at least "+num.Text(shortest, "mm"), contact.ErrRange)
		}
	}
	return a, b, f.Err()
}

func point(f *fault.List, path string, p r3.Vec) {
	if bounded(p) {
		return
	}
	for i, v := range [...]float64{p.X, p.Y, p.Z} {
		f.Range(fault.At(path, i), v, -far, far, "mm")
	}
}

func bounded(p r3.Vec) bool {
	return math.Abs(p.X) <= far && math.Abs(p.Y) <= far && math.Abs(p.Z) <= far
}

// between returns the angle between two vectors, exact to rounding at any angle.
func between(a, b r3.Vec) float64 {
	return num.Atan2(r3.Norm(r3.Cross(a, b)), r3.Dot(a, b))
}
