package chart

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/field"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// Wheels says how a bike stands if not as its chart draws it: with suspension that sags
// under the rider, or on other tyres. Both turn the whole frame about the bottom bracket.
// The zero Wheels turns nothing.
type Wheels struct {
	// FrontSag is how far the front axle moves up along the steering axis under the rider.
	FrontSag float64 `json:"front_sag_mm,omitzero" range:"0 to 120"`
	// RearSag is how far the rear axle moves up, vertical as the frame is drawn: the sag
	// of the wheel, not of the shock.
	RearSag float64 `json:"rear_sag_mm,omitzero" range:"0 to 120"`
	// FrontRadius and RearRadius are the radii of the wheels with the tyres that are
	// fitted. Zero: those of the frame's geometry.
	FrontRadius float64 `json:"front_radius_mm,omitzero" length:"100 to 450" zero:"those of the frame's geometry"`
	RearRadius  float64 `json:"rear_radius_mm,omitzero" length:"100 to 450" zero:"those of the frame's geometry"`
}

// Validate reports numbers that are out of range.
func (w Wheels) Validate() error { return wheelsFields.Validate(&w) }

var wheelsFields = field.New[Wheels]()

// On returns the wheels with the radii of a geometry in place of those that are not stated.
func (w Wheels) On(g Geometry) Wheels {
	if w.FrontRadius == 0 {
		w.FrontRadius = g.Axles.FrontRadius
	}
	if w.RearRadius == 0 {
		w.RearRadius = g.Axles.RearRadius
	}
	return w
}

// maxPitch is how far wheels may turn a frame, degrees.
const maxPitch = 15

// ValidateOn reports why a frame cannot stand on the wheels: [contact.ErrMissing] for
// wheels other than zero under a geometry that does not state its axles,
// [contact.ErrConflict] for wheels that turn it by more than 15 degrees, and whatever
// Validate reports.
func (w Wheels) ValidateOn(g Geometry) error {
	var f fault.List
	if w != (Wheels{}) {
		w.check(&f, &g)
	}
	return f.Err()
}

func (w Wheels) check(f *fault.List, g *Geometry) {
	f.In("wheels", w.Validate())
	if g.Axles == (Axles{}) {
		f.Add("geometry.axles", "", "the axles, to tell how the frame stands", contact.ErrMissing)
	}
	if f.Len() > 0 {
		return
	}
	if pitch, _ := g.Pitch(w); !(math.Abs(pitch) <= maxPitch) {
		f.Add("wheels", "pitch "+num.Text(pitch, "degrees"), num.Span(-maxPitch, maxPitch, "degrees"), contact.ErrConflict)
	}
}

// Pitch returns by how many degrees wheels turn the frame about the bottom bracket,
// positive nose-up, on level ground; false if that needs axles that the geometry does not
// state. It is exact plane geometry: the slope of the line through the axles on the
// ground, which the radii give, less its slope in the frame.
func (g Geometry) Pitch(w Wheels) (float64, bool) {
	if w == (Wheels{}) {
		return 0, true
	}
	if g.Axles == (Axles{}) {
		return 0, false
	}
	front, rear := g.axlesOn(w)
	on := w.On(g)
	d := r3.Sub(front, rear)
	return math.Asin((on.FrontRadius-on.RearRadius)/math.Hypot(d.X, d.Z))/num.Rad - num.Atan2(d.Z, d.X), true
}

// axlesOn returns both axles in the frame's own axes, with the sag of the wheels.
func (g *Geometry) axlesOn(w Wheels) (front, rear r3.Vec) {
	front, _ = g.FrontAxle()
	rear, _ = g.RearAxle()
	front = r3.Add(front, r3.Scale(w.FrontSag, g.SteererUp()))
	rear.Z += w.RearSag
	return front, rear
}

// AxlesOn returns both axles' centres in mm as the frame stands on wheels, front wheel
// straight ahead, and whether the axles are stated. The ground lies each wheel's radius
// below its axle.
func (g Geometry) AxlesOn(w Wheels) (front, rear r3.Vec, ok bool) {
	if g.Axles == (Axles{}) {
		return r3.Vec{}, r3.Vec{}, false
	}
	front, rear = g.axlesOn(w)
	pitch, _ := g.Pitch(w)
	sin, cos := num.Sincos(pitch)
	return num.Turned(front, sin, cos), num.Turned(rear, sin, cos), true
}

// OnWheels returns the frame as it stands on other wheels. The whole frame turns about
// the bottom bracket by [Geometry.Pitch]: stack, reach, both angles and the drop are
// those of the frame as it stands. Faults are those of [Geometry.Validate],
// [Wheels.Validate] and [Wheels.ValidateOn], and those of the frame as it then stands,
// under "on_wheels".
func (g Geometry) OnWheels(w Wheels) (Geometry, error) {
	var f fault.List
	f.In("geometry", g.Validate())
	if w != (Wheels{}) {
		w.check(&f, &g)
	}
	if err := f.Err(); err != nil || w == (Wheels{}) {
		return g, err
	}
	pitch, _ := g.Pitch(w)
	_, rear := g.axlesOn(w)
	sin, cos := num.Sincos(pitch)
	on := w.On(g)
	h := g
	h.Reach = g.Reach*cos - g.Stack*sin
	h.Stack = g.Reach*sin + g.Stack*cos
	h.HeadAngle -= pitch
	h.SeatAngle -= pitch
	h.Axles.Chainstay = math.Hypot(rear.X, rear.Z)
	h.Axles.Drop = rear.X*sin + rear.Z*cos
	h.Axles.FrontRadius, h.Axles.RearRadius = on.FrontRadius, on.RearRadius
	f.In("on_wheels", h.Validate())
	if err := f.Err(); err != nil {
		return Geometry{}, err
	}
	return h, nil
}
