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

// A Seat is which seat angles and posts can hold a saddle where a position
// has it: all pairs of a seat angle and a post's setback. It takes the post to be
// as long as it must. It does not change once it is made; the zero Seat
// is empty. [NewSeat] makes it.
type Seat struct {
	offset     float64
	held       vec // the rail clamp that the target wants with RailClamp 0
	along      vec // forward along the rails
	from, to   float64
	lo, hi     vec // what the saddle may be off
	reachable  bool
	least, top float64 // of the seat angle, degrees
}

// The seat angles that frames have, degrees, as convert.Geometry takes them.
const (
	leastSeatAngle = 50
	mostSeatAngle  = 90
)

// NewSeat finds the region of a position for a saddle and frames whose seat
// tube's axis passes so far in front of the bottom bracket, -100 to 100 mm
// (0: through it). Of keep only saddle sites count; nil is [fitgeom.DefaultKeep] of the target.
//
// Faults are those of both Validate and [contact.ErrMissing] for a site or a tilt that the
// target does not know and for keep that does not ask for the saddle reference
// forward and up.
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
		// How far the site is off when the reference is where it should be.
		site := num.Turned(sites[k.Site], sin, cos)
		s.bound(k.Tolerance, r3.Vec{X: reference.X + site.X - turnedReference.X - at.X, Z: reference.Z + site.Z - turnedReference.Z - at.Z})
		s.reachable = s.reachable && !num.Beyond(at.Y, k.Tolerance.Y)
	}
	if !kept {
		f.Add("keep", "", "the saddle reference asked for forward and up", contact.ErrMissing)
	}
	if err := f.Err(); err != nil {
		return Seat{}, err
	}
	s.reachable = s.reachable && s.lo.x <= s.hi.x && s.lo.z <= s.hi.z
	s.least, s.top = leastSeatAngle, mostSeatAngle
	return s, nil
}

// bound takes in the tolerance of a site that is off by so much with the saddle where it is wanted.
func (s *Seat) bound(tolerance, off r3.Vec) {
	if t := tolerance.X * (1 + num.Leeway); t != 0 {
		s.lo.x, s.hi.x = max(s.lo.x, -t-off.X), min(s.hi.x, t-off.X)
	}
	if t := tolerance.Z * (1 + num.Leeway); t != 0 {
		s.lo.z, s.hi.z = max(s.lo.z, -t-off.Z), min(s.hi.z, t-off.Z)
	}
}

// Setbacks returns the range of a post's setback, in mm, with which a seat tube
// at an angle of 50 to 90 degrees can hold the saddle somewhere on its rails;
// false if there is none, and at other angles.
func (s Seat) Setbacks(seatAngle float64) (lo, hi float64, ok bool) {
	if !s.reachable || !(seatAngle >= s.least && seatAngle <= s.top) {
		return 0, 0, false
	}
	lo, hi = s.setbacks(seatAngle)
	return lo, hi, lo <= hi
}

// setbacks: the rail clamp lies behind the post's axis by the setback, square to
// it; so that the setback is the axis' offset less the clamp's place across it.
func (s *Seat) setbacks(seatAngle float64) (lo, hi float64) {
	sin, cos := num.Sincos(seatAngle)
	across := func(v vec) float64 { return float64(v.x*sin) + float64(v.z*cos) }
	middle := s.offset - across(s.held)
	// RailClamp moves the saddle forward, so that the clamp is wanted further back.
	rail := across(s.along)
	return middle + float64(s.from*rail) - across(s.hi), middle + float64(s.to*rail) - across(s.lo)
}

// SeatAngles returns the range of seat angles, in degrees, with which a post of
// a setback can hold the saddle; false if there is none from 50 to 90 degrees.
// A steeper seat tube wants more setback.
func (s Seat) SeatAngles(setback float64) (lo, hi float64, ok bool) {
	if !s.reachable || math.IsNaN(setback) || math.IsInf(setback, 0) {
		return 0, 0, false
	}
	// where a bound grows to the setback
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
