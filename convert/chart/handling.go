package chart

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// MechanicalTrail returns how far the front tyre's contact point lies behind the steering
// axis, square to it, in mm: the lever arm of lateral forces at the contact point. It
// does not tell how large these forces are. Faults are those of Validate. Source: J. K.
// Moore, Human Control of a Bicycle (2012), function trail of DynamicistToolKit.
func (s Steering) MechanicalTrail() (float64, error) {
	if err := s.Validate(); err != nil {
		return 0, err
	}
	return s.mechanicalTrail(), nil
}

func (s *Steering) mechanicalTrail() float64 {
	_, cos := num.Sincos(s.HeadAngle)
	return s.Radius*cos - s.ForkOffset
}

// WheelFlopFactor returns trail · sin(head angle) · cos(head angle), in mm. It is a factor
// and not a distance: while the steering angle is small, the front of the frame sinks by
// half of it times the square of the angle in radians ([Steering.Sink] has all angles).
// The axle sinks by more, since the wheel leans. The factor does not tell how far anything
// sinks at 90°. Faults are those of Validate.
func (s Steering) WheelFlopFactor() (float64, error) {
	if err := s.Validate(); err != nil {
		return 0, err
	}
	return s.flop(), nil
}

func (s *Steering) flop() float64 {
	_, cos := num.Sincos(s.HeadAngle)
	return s.mechanicalTrail() * cos
}

// A Sink is how far the front of a bike sinks when the front wheel is turned.
type Sink struct {
	// Frame is how far the steering axis sinks, along the vertical, in mm; negative where
	// it rises.
	Frame float64
	// Axle is how far the front axle's centre comes nearer to the ground, in mm.
	Axle float64
}

// Sink returns how far frame and axle sink when the front wheel is turned by an angle of
// -180 to 180 degrees from straight ahead. The tyre is thin, and the frame keeps its head
// angle: that it pitches by a fraction of a degree while it sinks is left out. Faults are
// those of Validate, and of the angle.
func (s Steering) Sink(angle float64) (Sink, error) {
	var f fault.List
	f.In("", s.Validate())
	f.Range("angle_deg", angle, -180, 180, "degrees")
	if err := f.Err(); err != nil {
		return Sink{}, err
	}
	_, cosH := num.Sincos(s.HeadAngle)
	sin, _ := num.Sincos(angle)
	half, _ := num.Sincos(angle / 2)
	// The axle's direction rises by sin·cosH: the wheel leans, and its centre stands lower.
	rise := sin * cosH
	axle := s.Radius * rise * rise / (1 + math.Sqrt(1-rise*rise))
	// The offset, turned, no longer carries the axle forward and up.
	return Sink{Frame: axle - 2*half*half*s.ForkOffset*cosH, Axle: axle}, nil
}

// A Handling is the numbers of a frame that say how it steers, as it stands on its wheels.
// They compare frames; none tells how a bike rides, which rider, load and speed decide
// too.
type Handling struct {
	// HeadAngle is that of the frame as it stands, in degrees.
	HeadAngle float64
	// Trail is [Steering.Trail], MechanicalTrail and WheelFlopFactor are the methods of
	// these names, mm.
	Trail, MechanicalTrail, WheelFlopFactor float64
	// FrontCentre is from the bottom bracket to the front axle, horizontal, mm. It does not
	// tell whether a toe clears the wheel: package fitgeom/clearance does.
	FrontCentre float64
	// Wheelbase is from axle to axle, horizontal, mm.
	Wheelbase float64
	// BottomBracketHeight is the bottom bracket above the ground, mm.
	BottomBracketHeight float64
}

// Handling returns the numbers of a frame on wheels: with the zero Wheels as its chart
// draws it, and otherwise with other tyres and with sag, which change the head angle as
// well as the radius. Faults are those of [Geometry.OnWheels], and [contact.ErrMissing]
// for a geometry that does not state its axles.
func (g Geometry) Handling(w Wheels) (Handling, error) {
	var f fault.List
	if g.Axles == (Axles{}) {
		f.Add("geometry.axles", "", "the axles", contact.ErrMissing)
		return Handling{}, f.Err()
	}
	g, err := g.OnWheels(w)
	if err != nil {
		return Handling{}, err
	}
	s := Steering{HeadAngle: g.HeadAngle, ForkOffset: g.Axles.ForkOffset, Radius: g.Axles.FrontRadius}
	base, _ := g.Wheelbase()
	height, _ := g.BottomBracketHeight()
	return Handling{
		HeadAngle: g.HeadAngle, Trail: s.trail(), MechanicalTrail: s.mechanicalTrail(), WheelFlopFactor: s.flop(),
		FrontCentre: g.front().X, Wheelbase: base, BottomBracketHeight: height,
	}, nil
}

// Sub returns by how much each number of h is greater than that of another Handling, such
// as what sag does to trail.
func (h Handling) Sub(other Handling) Handling {
	return Handling{
		HeadAngle: h.HeadAngle - other.HeadAngle, Trail: h.Trail - other.Trail,
		MechanicalTrail: h.MechanicalTrail - other.MechanicalTrail, WheelFlopFactor: h.WheelFlopFactor - other.WheelFlopFactor,
		FrontCentre: h.FrontCentre - other.FrontCentre, Wheelbase: h.Wheelbase - other.Wheelbase,
		BottomBracketHeight: h.BottomBracketHeight - other.BottomBracketHeight,
	}
}

// FromSteeringAxis returns how far a point, such as a hand, lies from the steering axis,
// in mm: ahead of it in the side view, square to the axis and negative behind it; and
// directly, which is the radius on which the point turns when the bike is steered. Points
// and geometry are of one frame as it stands ([Geometry.OnWheels]). Stem length alone
// does not tell it: a long stem with a bar that sweeps back puts the hands where a short
// stem does.
func (g Geometry) FromSteeringAxis(point r3.Vec) (ahead, direct float64) {
	up := g.SteererUp()
	v := r3.Sub(point, g.HeadTop())
	ahead = float64(v.X*up.Z) - float64(v.Z*up.X)
	return ahead, math.Hypot(ahead, v.Y)
}
