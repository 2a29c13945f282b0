package fitgeom

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/rigid"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Stance is what turns a frame nose-up or nose-down from how its maker draws
// it: suspension that sags under the rider, and other tyres. The zero Stance
// turns nothing.
type Stance struct {
	// FrontSag is how far the front axle moves up along the steering axis under
	// the rider, 0 to 120 mm.
	FrontSag float64 `json:"front_sag_mm,omitzero"`
	// RearSag is how far the rear axle moves up, square to the ground as the
	// frame is drawn, 0 to 120 mm: sag of the wheel and not of the shock.
	RearSag float64 `json:"rear_sag_mm,omitzero"`
	// FrontRadius and RearRadius are the radii of the wheels with the tyres
	// that are on it, 100 to 450 mm. Zero: those of the frame's geometry.
	FrontRadius float64 `json:"front_radius_mm,omitzero"`
	RearRadius  float64 `json:"rear_radius_mm,omitzero"`
}

// Validate reports numbers that are out of the ranges stated at the fields.
func (s Stance) Validate() error {
	var c faults
	c.Range("front_sag", s.FrontSag, 0, 120, "mm")
	c.Range("rear_sag", s.RearSag, 0, 120, "mm")
	c.Optional("front_radius", s.FrontRadius, 100, 450, "mm")
	c.Optional("rear_radius", s.RearRadius, 100, 450, "mm")
	return c.Err()
}

// Pitch returns by how many degrees the frame is turned about the bottom
// bracket, positive nose-up, when it stands so on level ground. It is exact
// plane geometry: the line through the axles slopes on the ground by the
// difference of the radii over its length, and in the frame as the axles lie.
//
// Faults are [contact.ErrMissing] for a stance other than zero on a frame whose
// geometry does not state the axles, [contact.ErrConflict] for one that turns it by
// more than 15 degrees, and whatever both Validate report.
func (f Frame) Pitch(s Stance) (float64, error) {
	var c faults
	c.In("geometry", f.Geometry.Validate())
	f.checkStance(&c, s)
	if err := c.Err(); err != nil {
		return 0, err
	}
	pitch, _, _ := f.standing(s)
	return pitch, nil
}

func (f *Frame) checkStance(c *faults, s Stance) {
	if s == (Stance{}) {
		return
	}
	c.In("stance", s.Validate())
	if c.Err() != nil {
		return
	}
	if f.Geometry.Axles == (convert.Axles{}) {
		c.Add("frame.geometry.axles", "", "the axles, to tell how the frame stands", contact.ErrMissing)
	} else if pitch, _, _ := f.standing(s); !(math.Abs(pitch) <= 15) {
		c.Add("stance", "pitch "+num.Text(pitch, "degrees"), num.Span(-15, 15, "degrees"), contact.ErrConflict)
	}
}

// standing returns the pitch and, in the frame's own axes, both axles.
func (f *Frame) standing(s Stance) (pitch float64, front, rear r3.Vec) {
	front, _ = f.Geometry.FrontAxle()
	rear, _ = f.Geometry.RearAxle()
	if s == (Stance{}) {
		return 0, front, rear
	}
	front = r3.Add(front, r3.Scale(s.FrontSag, f.Geometry.SteererUp()))
	rear.Z += s.RearSag
	rf, rr := f.radii(s)
	d := r3.Sub(front, rear)
	return math.Asin((rf-rr)/math.Hypot(d.X, d.Z))/num.Rad - num.Atan2(d.Z, d.X), front, rear
}

func (f *Frame) radii(s Stance) (front, rear float64) {
	front, rear = f.Geometry.Axles.FrontRadius, f.Geometry.Axles.RearRadius
	if s.FrontRadius != 0 {
		front = s.FrontRadius
	}
	if s.RearRadius != 0 {
		rear = s.RearRadius
	}
	return front, rear
}

// A chassis is what parts are mounted on, as the frame stands.
type chassis struct {
	headTop, steererUp r3.Vec
	headAngle          float64
	seatTop, seatUp    r3.Vec // the seat tube's upper edge, and up its axis
}

func newChassis(f *Frame, s *Stance) chassis {
	g := &f.Geometry
	up := r3.Vec{}
	up.Z, up.X = num.Sincos(g.HeadAngle)
	up.X = -up.X
	seat := r3.Vec{}
	seat.Z, seat.X = num.Sincos(g.SeatAngle)
	seat.X = -seat.X
	// The tube passes in front of the bottom bracket, square to its axis.
	c := chassis{
		headTop: r3.Vec{X: g.Reach, Z: g.Stack}, steererUp: up, headAngle: g.HeadAngle,
		seatTop: r3.Vec{X: float64(g.SeatOffset*seat.Z) + float64(f.SeatTubeTop*seat.X), Z: float64(f.SeatTubeTop*seat.Z) - float64(g.SeatOffset*seat.X)},
		seatUp:  seat,
	}
	if *s != (Stance{}) {
		pitch, _, _ := f.standing(*s)
		sin, cos := num.Sincos(pitch)
		c.headAngle -= pitch
		c.headTop, c.steererUp = rigid.Turned(c.headTop, sin, cos), rigid.Turned(c.steererUp, sin, cos)
		c.seatTop, c.seatUp = rigid.Turned(c.seatTop, sin, cos), rigid.Turned(c.seatUp, sin, cos)
	}
	return c
}
