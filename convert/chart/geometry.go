package chart

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/field"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

const (
	stackMin, stackMax = 300, 800
	reachMin, reachMax = 200, 600
)

// Geometry is the side view of a frame with its fork, in the axes of package contact: the
// dimensions from which every other one follows. Its zero value is not valid: stack,
// reach and both angles are needed. Tags state the names in documents, the units and the
// ranges.
type Geometry struct {
	// Stack is the head tube's top centre above the bottom bracket. The headset's upper
	// cap is not part of it.
	Stack float64 `json:"stack_mm" length:"300 to 800"`
	// Reach is the head tube's top centre in front of the bottom bracket.
	Reach float64 `json:"reach_mm" length:"200 to 600"`
	// HeadAngle is the angle of the steering axis from the horizontal.
	HeadAngle float64 `json:"head_angle_deg" range:"50 to 90"`
	// SeatAngle is the angle of the seat tube's axis from the horizontal.
	SeatAngle float64 `json:"seat_angle_deg" range:"50 to 90"`
	// SeatOffset is how far the seat tube's axis passes in front of the bottom bracket,
	// square to the axis. Zero: through it.
	SeatOffset float64 `json:"seat_offset_mm,omitzero" range:"-100 to 100"`
	// Axles says where the wheels are. Its zero value: not stated.
	Axles Axles `json:"axles,omitzero" zero:"not stated"`
}

// Axles is the part of a [Geometry] that concerns the wheels: all of it is
// stated, or none. The zero value states nothing.
type Axles struct {
	// Chainstay is the direct distance from bottom bracket to rear axle in the side view.
	Chainstay float64 `json:"chainstay_mm" length:"250 to 600"`
	// Drop is how far the bottom bracket lies below the rear axle; negative when it lies
	// above.
	Drop float64 `json:"bb_drop_mm" range:"-150 to 150"`
	// ForkOffset (rake) is how far the front axle lies in front of the steering axis,
	// square to it.
	ForkOffset float64 `json:"fork_offset_mm" range:"-100 to 120"`
	// FrontRadius and RearRadius are the radii of the wheels with the tyres for which the
	// geometry was drawn.
	FrontRadius float64 `json:"front_radius_mm" length:"100 to 450"`
	RearRadius  float64 `json:"rear_radius_mm" length:"100 to 450"`
}

// Validate reports every number that is out of its range: [contact.ErrRange], or
// [contact.ErrUnit] where another unit explains it; and [contact.ErrConflict] for
// axles that cannot be where they are stated.
func (g Geometry) Validate() error {
	var f fault.List
	geometryFields.Check(&f, &g)
	if g.Axles != (Axles{}) && f.Len() == 0 {
		if fc := g.front().X; fc < 400 || fc > 1100 {
			f.Add("axles", "front centre "+num.Text(fc, "mm"), num.Span(400, 1100, "mm")+" from these dimensions", contact.ErrConflict)
		}
	}
	return f.Err()
}

var geometryFields = field.New[Geometry]()

// HeadTop returns the head tube's top centre, (reach, 0, stack) in mm.
func (g Geometry) HeadTop() r3.Vec { return r3.Vec{X: g.Reach, Z: g.Stack} }

// SteererUp returns the unit vector up the steering axis, which points back and up.
func (g Geometry) SteererUp() r3.Vec {
	sin, cos := num.Sincos(g.HeadAngle)
	return r3.Vec{X: -cos, Z: sin}
}

// SeatUp returns the unit vector up the seat tube's axis, which points back and up.
func (g Geometry) SeatUp() r3.Vec {
	sin, cos := num.Sincos(g.SeatAngle)
	return r3.Vec{X: -cos, Z: sin}
}

// SeatFoot returns the point of the seat tube's axis that is nearest to the
// bottom bracket, in mm. Lengths along the seat tube count from there.
func (g Geometry) SeatFoot() r3.Vec {
	sin, cos := num.Sincos(g.SeatAngle)
	return r3.Vec{X: g.SeatOffset * sin, Z: g.SeatOffset * cos}
}

// EffectiveTopTube returns the horizontal distance in mm from the head tube's top centre
// back to the seat tube's axis.
func (g Geometry) EffectiveTopTube() float64 {
	sin, cos := num.Sincos(g.SeatAngle)
	return g.Reach + (g.Stack*cos-g.SeatOffset)/sin
}

// front is the front axle, which stands on the same ground as the rear wheel.
func (g *Geometry) front() r3.Vec {
	z := g.Axles.Drop + g.Axles.FrontRadius - g.Axles.RearRadius
	sin, cos := num.Sincos(g.HeadAngle)
	return r3.Vec{X: g.Reach + ((g.Stack-z)*cos+g.Axles.ForkOffset)/sin, Z: z}
}

// FrontAxle returns the front axle's centre in mm, wheel straight ahead, and
// whether the axles are stated.
func (g Geometry) FrontAxle() (r3.Vec, bool) {
	if g.Axles == (Axles{}) {
		return r3.Vec{}, false
	}
	return g.front(), true
}

// RearAxle returns the rear axle's centre in mm, and whether the axles are stated.
func (g Geometry) RearAxle() (r3.Vec, bool) {
	a := g.Axles
	if a == (Axles{}) {
		return r3.Vec{}, false
	}
	return r3.Vec{X: -math.Sqrt((a.Chainstay - a.Drop) * (a.Chainstay + a.Drop)), Z: a.Drop}, true
}

// Wheelbase returns the horizontal distance in mm from rear to front axle, and whether
// the axles are stated.
func (g Geometry) Wheelbase() (float64, bool) {
	f, ok := g.FrontAxle()
	r, _ := g.RearAxle()
	return f.X - r.X, ok
}

// Trail returns the trail in mm as [Steering.Trail] has it, and whether the axles are
// stated.
func (g Geometry) Trail() (float64, bool) {
	if g.Axles == (Axles{}) {
		return 0, false
	}
	s := Steering{HeadAngle: g.HeadAngle, ForkOffset: g.Axles.ForkOffset, Radius: g.Axles.FrontRadius}
	return s.trail(), true
}

// SteererToAxle returns the distance in mm down the steering axis from the head tube's
// top centre to the point on the steering axis closest to the front axle (head tube,
// lower headset and fork together), and whether the axles are stated.
func (g Geometry) SteererToAxle() (float64, bool) {
	f, ok := g.FrontAxle()
	return r3.Dot(r3.Sub(g.HeadTop(), f), g.SteererUp()), ok
}

// BottomBracketHeight returns the bottom bracket's centre above the ground in
// mm, and whether the axles are stated.
func (g Geometry) BottomBracketHeight() (float64, bool) {
	return g.Axles.RearRadius - g.Axles.Drop, g.Axles != (Axles{})
}
