package chart

import (
	"math"

	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
)

// What the dimensions of a bicycle may be; wide enough for every kind.
const (
	headAngleMin, headAngleMax = 50, 90
	seatAngleMin, seatAngleMax = 50, 90
	offsetMin, offsetMax       = -100, 120
	radiusMin, radiusMax       = 100, 450
	trailMin, trailMax         = -300, 500
)

// A Steering is a front wheel and its steering axis in the side view, for numbers
// that need no frame.
type Steering struct {
	// HeadAngle is the steering axis from the horizontal, 50 to 90 degrees.
	HeadAngle float64
	// ForkOffset (rake) is the front axle in front of the steering axis, square to
	// it, -100 to 120 mm.
	ForkOffset float64
	// Radius is that of the front wheel with its tyre, 100 to 450 mm.
	Radius float64
}

// Validate reports numbers that are out of range.
func (s Steering) Validate() error {
	var f fault.List
	s.check(&f)
	f.Range("fork_offset_mm", s.ForkOffset, offsetMin, offsetMax, "mm")
	return f.Err()
}

func (s *Steering) check(f *fault.List) {
	f.Range("head_angle_deg", s.HeadAngle, headAngleMin, headAngleMax, "degrees")
	f.Length("radius_mm", s.Radius, radiusMin, radiusMax)
}

// Trail returns how far the front tyre's contact point lies behind the point where the
// steering axis meets the ground, along level ground, in mm; positive when the contact
// point is behind. Faults are those of Validate. [Steering.WithTrail] is the inverse.
// Source: J. K. Moore, Human Control of a Bicycle (2012), chapter Physical Parameters,
// equation for trail.
func (s Steering) Trail() (float64, error) {
	if err := s.Validate(); err != nil {
		return 0, err
	}
	return s.trail(), nil
}

func (s *Steering) trail() float64 {
	sin, cos := num.Sincos(s.HeadAngle)
	return (s.Radius*cos - s.ForkOffset) / sin
}

// WithTrail returns the steering with the fork offset that gives a trail of -300 to 500
// mm. Its own fork offset is ignored. Faults are those of Validate for the other fields,
// and of the trail.
func (s Steering) WithTrail(trail float64) (Steering, error) {
	var f fault.List
	s.check(&f)
	f.Range("trail_mm", trail, trailMin, trailMax, "mm")
	if err := f.Err(); err != nil {
		return Steering{}, err
	}
	sin, cos := num.Sincos(s.HeadAngle)
	s.ForkOffset = s.Radius*cos - trail*sin
	return s, nil
}

// AxisCut returns the height at which the steering axis cuts the vertical through the
// front axle, as a fraction of the wheel's radius. For information: ISO 4210-2, Annex A
// (informative; read in GOST R ISO 4210-2-2023) has 0.15 to 0.60 with head angles of 65
// to 75 degrees, and good bicycles lie outside. Faults are those of Validate, and
// [contact.ErrRange] for a head angle above 89 degrees: a vertical axis cuts nothing.
func (s Steering) AxisCut() (float64, error) {
	var f fault.List
	f.In("", s.Validate())
	if f.Len() == 0 {
		f.Range("head_angle_deg", s.HeadAngle, headAngleMin, 89, "degrees")
	}
	if err := f.Err(); err != nil {
		return 0, err
	}
	_, cos := num.Sincos(s.HeadAngle)
	return 1 - s.ForkOffset/(s.Radius*cos), nil
}

// A VirtualTopTube is an effective (virtual) top tube and what its length depends on, for
// a seat tube whose axis passes through the bottom bracket.
type VirtualTopTube struct {
	// Stack is as in [Geometry], 300 to 800 mm.
	Stack float64
	// SeatAngle is as in [Geometry], 50 to 90 degrees.
	SeatAngle float64
	// Effective is the horizontal distance from the head tube's top centre back to
	// the seat tube's axis, 300 to 1000 mm.
	Effective float64
}

// Reach returns the reach in mm of a frame with that effective top tube;
// [Geometry.EffectiveTopTube] is the inverse. Numbers that are out of range are faults.
func (t VirtualTopTube) Reach() (float64, error) {
	var f fault.List
	f.Length("stack_mm", t.Stack, stackMin, stackMax)
	f.Length("effective_mm", t.Effective, 300, 1000)
	f.Range("seat_angle_deg", t.SeatAngle, seatAngleMin, seatAngleMax, "degrees")
	if err := f.Err(); err != nil {
		return 0, err
	}
	sin, cos := num.Sincos(t.SeatAngle)
	return t.Effective - t.Stack*cos/sin, nil
}

// A SeatPoint is a point on the line of a seat tube whose axis passes through the
// bottom bracket, in the side view.
type SeatPoint struct {
	// Height is above the bottom bracket, 100 to 1200 mm.
	Height float64
	// Setback is behind the bottom bracket, -300 to 700 mm.
	Setback float64
}

// SeatPointAt returns the point at a height on the line of a seat angle of 50 to 90
// degrees. [SeatPoint.SeatAngle] is the inverse.
func SeatPointAt(height, seatAngle float64) (SeatPoint, error) {
	var f fault.List
	f.Range("seat_angle_deg", seatAngle, seatAngleMin, seatAngleMax, "degrees")
	f.Length("height_mm", height, 100, 1200)
	if err := f.Err(); err != nil {
		return SeatPoint{}, err
	}
	sin, cos := num.Sincos(seatAngle)
	return SeatPoint{Height: height, Setback: height * cos / sin}, nil
}

// SeatAngle returns the angle of the line from the bottom bracket to the point, in
// degrees from the horizontal at the rear.
func (p SeatPoint) SeatAngle() (float64, error) {
	var f fault.List
	f.Range("setback_mm", p.Setback, -300, 700, "mm")
	f.Length("height_mm", p.Height, 100, 1200)
	if err := f.Err(); err != nil {
		return 0, err
	}
	return num.Atan2(p.Height, p.Setback), nil
}

// RolloutRadius returns the radius in mm of a wheel that rolls a distance in mm in a
// number of turns, 0.1 to 1000 and not only whole ones: the rolling radius under load, on
// which trail and the height of the bottom bracket depend. The radius must be 100 to
// 450 mm. A part of a turn is exact only if the marks on tyre and ground are.
func RolloutRadius(distance, turns float64) (float64, error) {
	var f fault.List
	f.Range("turns", turns, 0.1, 1000, "turns")
	each := turns
	if f.Len() > 0 {
		each = max(1, turns)
	}
	f.Range("distance_mm", distance/each, 2*math.Pi*radiusMin, 2*math.Pi*radiusMax, "mm a turn")
	if err := f.Err(); err != nil {
		return 0, err
	}
	return distance / (2 * math.Pi * turns), nil
}
