package rider

import (
	"errors"
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// RaiseSaddle finds how far the saddle has to move along a line for a wanted knee
// flexion, 0 to 150 degrees, at the far end of the stroke. The line goes through the
// saddle reference at the given angle from the horizontal, measured as a seat angle is:
// 90 for vertical, less for a line that leans back as it rises, 45 to 135 degrees.
//
// It returns the move in mm, positive up the line, and the position with the saddle
// there: reference, nose and rear, as far as they are known. All else stays.
// [Body.Compare] shows what that does to the other leg and to the arms.
//
// The answer is exact to rounding, 1e-9 degrees in the flexion, unless the knee is nearly
// straight. Errors are those of [NewChain]; [contact.ErrMissing] for a side without a
// leg; [contact.ErrRange] for the arguments and for a saddle that would be out of bounds;
// [contact.ErrConflict] if no place on the line gives that flexion.
func (b Body) RaiseSaddle(p contact.Position, side contact.Side, kneeFlexion, lineAngle float64) (by float64, after contact.Position, err error) {
	var f fault.List
	f.Range("line_angle_deg", lineAngle, 45, 135, "degrees")
	l, err := b.wanted(&f, p, side, kneeFlexion)
	if err != nil {
		return 0, p, err
	}
	sin, cos := num.Sincos(lineAngle)
	// At each crank angle there is one height where the knee is flexed as wanted.
	// Higher, it is flexed less: the lowest of these heights is the answer.
	_, by = least(l.steps(), func(crank float64) float64 {
		low := l.lower(crank)
		x, z := l.target(crank, &low)
		return along(l.hip.X-x, l.hip.Z-z, -cos, sin, l.flexed(&low, kneeFlexion))
	})
	if by <= never {
		return 0, p, impossible(kneeFlexion, "one that some place on the line gives")
	}
	after = p
	for _, s := range []contact.Site{contact.SaddleReference, contact.SaddleNose, contact.SaddleRear} {
		if v, ok := p.At(s); ok {
			after.Set(s, r3.Vec{X: v.X - by*cos, Y: v.Y, Z: v.Z + by*sin})
		}
	}
	if err := b.gives(after, side, kneeFlexion); err != nil {
		return 0, p, err
	}
	return by, after, nil
}

// CrankLength finds the crank length for a wanted knee flexion, 0 to 150 degrees, at the
// far end of the stroke. The saddle stays where it is. It returns the length in mm, 50 to
// 250, and the position with cranks of that length on both sides.
//
// Exactness and errors are those of [Body.RaiseSaddle].
func (b Body) CrankLength(p contact.Position, side contact.Side, kneeFlexion float64) (length float64, after contact.Position, err error) {
	var f fault.List
	l, err := b.wanted(&f, p, side, kneeFlexion)
	if err != nil {
		return 0, p, err
	}
	_, length = least(l.steps(), func(crank float64) float64 {
		low := l.lower(crank)
		sin, cos := num.Sincos(crank)
		return along(low.x-l.hip.X, low.z-l.hip.Z, sin, cos, l.flexed(&low, kneeFlexion))
	})
	if length <= never {
		return 0, p, impossible(kneeFlexion, "one that some crank gives")
	}
	f.Range("crank_length_mm", length, 50, 250, "mm")
	if err := f.Err(); err != nil {
		return 0, p, err
	}
	after = p
	for _, s := range []contact.Site{contact.PedalLeft, contact.PedalRight, contact.FootLeft, contact.FootRight} {
		if v, ok := p.At(s); ok {
			x := length
			if pedal, ok := p.At(contact.PedalLeft.On(s.Side())); ok {
				x += v.X - pedal.X // a foot that is in front of its spindle
			}
			after.Set(s, r3.Vec{X: x, Y: v.Y, Z: v.Z})
		}
	}
	if err := b.gives(after, side, kneeFlexion); err != nil {
		return 0, p, err
	}
	return length, after, nil
}

// wanted checks the input of an inverse, adds to the faults found so far, and returns the
// leg.
func (b *Body) wanted(f *fault.List, p contact.Position, side contact.Side, knee float64) (*leg, error) {
	f.Range("knee_flexion_deg", knee, 0, 150, "degrees")
	c, err := NewChain(*b, p)
	if err != nil {
		return nil, errors.Join(f.Err(), err)
	}
	l, err := c.leg(side)
	return l, errors.Join(f.Err(), err)
}

// gives checks an answer against the forward computation.
func (b *Body) gives(after contact.Position, side contact.Side, knee float64) error {
	var f fault.List
	f.In("after", after.Validate())
	if err := f.Err(); err != nil {
		return err
	}
	c, err := NewChain(*b, after)
	if err != nil {
		return err
	}
	far, err := c.FarEnd(side)
	if err != nil {
		return err
	}
	tol := 1e-6
	if knee < 0.01 { // there rounding in a length is much in the angle
		tol = 1e-4
	}
	if !(math.Abs(far.KneeFlexion-knee) < tol) {
		return impossible(knee, "one that this ankle allows; the nearest is about "+num.Text(far.KneeFlexion, "degrees"))
	}
	return nil
}

func impossible(knee float64, want string) error {
	return &contact.Error{Path: "knee_flexion", Value: num.Text(knee, "degrees"), Want: want, Class: contact.ErrConflict}
}

// target returns where the chain below the knee ends at a crank angle.
func (l *leg) target(crank float64, low *lower) (x, z float64) {
	sin, cos := num.Sincos(crank)
	return l.crank*sin + low.x, l.crank*cos + low.z
}

// flexed returns how far hip and target are apart at a knee flexion, or at the nearest
// one that the chain can have.
func (l *leg) flexed(low *lower, knee float64) float64 {
	return span(l.thigh, low.link, min(180, max(0, knee-low.turn)))
}

// never is below any answer of along that makes sense.
const never = -1e6

// along returns how far a point at w from another has to move in the direction u
// to be at distance d from it, the further of the two ways, or never.
func along(wx, wz, ux, uz, d float64) float64 {
	off := ux*wz - uz*wx
	if math.Abs(off) > d {
		return never
	}
	return math.Sqrt((d-off)*(d+off)) - ux*wx - uz*wz
}
