package region

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Seat holds all pairs of a seat angle and a seatpost setback with which a saddle can be
// where a position has it. It assumes that the seatpost is long enough. [NewSeat] makes
// it, and it does not change afterwards. The zero Seat is empty.
type Seat struct {
	offset     float64
	held       vec // place of the rail clamp for the target with RailClamp 0
	along      vec // forward along the rails
	from, to   float64
	lo, hi     vec // range of the saddle's deviation within tolerance
	reachable  bool
	least, top float64 // of the seat angle, degrees
}

// The range of seat angles, degrees, as chart.Geometry accepts them.
const (
	leastSeatAngle = 50
	mostSeatAngle  = 90
)

// NewSeat finds the seat angles and setbacks with which a saddle can hold a position, on
// frames whose seat tube axis passes the bottom bracket at a distance of seatOffset, -100
// to 100 mm, positive in front of it. Only saddle sites in keep are used; nil means
// [fitgeom.DefaultKeep] of the target.
//
// Errors are those of target.Validate and saddle.Validate, [contact.ErrRange] for
// seatOffset, and [contact.ErrMissing] for a site or a tilt that the target lacks and if
// keep does not have the saddle reference with both a horizontal and a vertical
// tolerance.
func NewSeat(target contact.Position, saddle part.Saddle, seatOffset float64, keep []fitgeom.Keep) (Seat, error) {
	var f fault.List
	f.In("target", target.Validate())
	f.In("saddle", saddle.Validate())
	f.Range("seat_offset_mm", seatOffset, -100, 100, "mm")
	if keep == nil {
		keep = fitgeom.DefaultKeep(target)
	}
	a, ok := target.Attitude(contact.SaddleReference)
	if !ok {
		f.Add("target.sites.saddle_reference.attitude.tilt_deg", "", "it to be known", contact.ErrMissing)
	} else {
		f.Range("target.sites.saddle_reference.attitude.tilt_deg", a.Tilt, -45, 45, "degrees")
	}
	sin, cos := num.Sincos(a.Tilt)
	sites := map[contact.Site]r3.Vec{}
	for _, p := range saddle.Places() {
		sites[p.Site] = p.At
	}
	reference, _ := target.At(contact.SaddleReference)
	turnedReference := num.Turned(sites[contact.SaddleReference], sin, cos)
	s := Seat{
		offset: seatOffset, along: vec{cos, sin}, from: saddle.RailsFrom, to: saddle.RailsTo, reachable: true,
		held: vec{reference.X - turnedReference.X, reference.Z - turnedReference.Z},
		lo:   vec{math.Inf(-1), math.Inf(-1)}, hi: vec{math.Inf(1), math.Inf(1)},
	}
	kept := false
	for i, k := range keep {
		if k.Site.Group() != contact.OnSaddle {
			continue
		}
		f.In(fault.At("keep", i), k.Validate())
		at, known := target.At(k.Site)
		if !known {
			f.Add("target.sites."+k.Site.String(), "", "it to be known", contact.ErrMissing)
			continue
		}
		kept = kept || k.Site == contact.SaddleReference && k.Tolerance.X != 0 && k.Tolerance.Z != 0
		// The site's deviation with the reference where it should be.
		site := num.Turned(sites[k.Site], sin, cos)
		s.bound(k.Tolerance, r3.Vec{X: reference.X + site.X - turnedReference.X - at.X, Z: reference.Z + site.Z - turnedReference.Z - at.Z})
		s.reachable = s.reachable && !num.Beyond(at.Y, k.Tolerance.Y) && k.Turn.Holds(k.Turn.TurnedFrom(a, contact.Attitude{Tilt: a.Tilt}))
	}
	if !kept {
		f.Add("keep", "", "a horizontal and a vertical tolerance for the saddle reference", contact.ErrMissing)
	}
	if err := f.Err(); err != nil {
		return Seat{}, err
	}
	s.reachable = s.reachable && s.lo.x <= s.hi.x && s.lo.z <= s.hi.z
	s.least, s.top = leastSeatAngle, mostSeatAngle
	return s, nil
}

// bound narrows the range of the saddle to the tolerance of a site, whose deviation is off
// with the saddle reference where it should be.
func (s *Seat) bound(tolerance, off r3.Vec) {
	if t := tolerance.X * (1 + num.Leeway); t != 0 {
		s.lo.x, s.hi.x = max(s.lo.x, -t-off.X), min(s.hi.x, t-off.X)
	}
	if t := tolerance.Z * (1 + num.Leeway); t != 0 {
		s.lo.z, s.hi.z = max(s.lo.z, -t-off.Z), min(s.hi.z, t-off.Z)
	}
}

// Setbacks returns the range of seatpost setback, in mm, with which a seat tube at an
// angle of 50 to 90 degrees can hold the saddle somewhere along its rails. It returns
// false if there is none or the angle is out of range.
func (s Seat) Setbacks(seatAngle float64) (lo, hi float64, ok bool) {
	if !s.reachable || !(seatAngle >= s.least && seatAngle <= s.top) {
		return 0, 0, false
	}
	lo, hi = s.setbacks(seatAngle)
	return lo, hi, lo <= hi
}

// setbacks returns the range without a check of the angle. The rail clamp lies behind the
// seatpost's axis by the setback, square to it. The setback is therefore the offset of
// the axis from the bottom bracket less that of the clamp.
func (s *Seat) setbacks(seatAngle float64) (lo, hi float64) {
	sin, cos := num.Sincos(seatAngle)
	across := func(v vec) float64 { return float64(v.x*sin) + float64(v.z*cos) }
	middle := s.offset - across(s.held)
	// RailClamp moves the saddle forward, so the clamp must be further back.
	rail := across(s.along)
	return middle + float64(s.from*rail) - across(s.hi), middle + float64(s.to*rail) - across(s.lo)
}

// SeatAngles returns the range of seat angles, in degrees, with which a seatpost of the
// given setback, in mm, can hold the saddle. It returns false if there is none from 50 to
// 90 degrees. A steeper seat tube needs more setback.
func (s Seat) SeatAngles(setback float64) (lo, hi float64, ok bool) {
	if !s.reachable || math.IsNaN(setback) || math.IsInf(setback, 0) {
		return 0, 0, false
	}
	// The angle at which a bound reaches the setback.
	solve := func(bound func(float64) float64) float64 {
		a, b := num.Bisect(s.least, s.top, 60, func(angle float64) bool { return bound(angle) < setback })
		return (a + b) / 2
	}
	most := func(a float64) float64 { _, hi := s.setbacks(a); return hi }
	least := func(a float64) float64 { lo, _ := s.setbacks(a); return lo }
	if most(s.top) < setback || least(s.least) > setback {
		return 0, 0, false
	}
	return solve(most), solve(least), true
}
