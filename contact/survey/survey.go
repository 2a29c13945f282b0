// Package survey turns an instrument's readings of a bicycle into contact points
// in the axes of package contact, with their uncertainty.
//
// The instrument may stand anywhere and its axes may point anywhere, as long as
// they are right-handed and in mm; the bike may lean, and need not stand level.
// What ties the two together, the datum, comes from the bike itself:
//
//   - the mid-plane from the left and right ends of both axles and of the bottom
//     bracket, by least squares;
//   - level from the line between the axles and the radii of both tyres;
//   - the origin from the bottom bracket.
//
// The front wheel must point straight ahead; [Fix.Steer] tells whether it did.
//
// # Uncertainty
//
// Uncertainties are standard uncertainties (one standard deviation, JCGM
// 100:2008). They go through to the result to first order, with the datum's own
// share: a point far from the datum is less certain than the instrument says.
package survey

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/check"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Landmark names a place on the bike that can be read with an instrument: one
// of the constants below or, as [At] has it, any site of package contact.
type Landmark string

// The landmarks of the datum, all of which a survey needs, and the edges of the saddle.
const (
	// BottomBracketLeft and BottomBracketRight are the centres of the ends of
	// the crank axle, or of the bottom bracket's faces.
	BottomBracketLeft  Landmark = "bottom_bracket_left"
	BottomBracketRight Landmark = "bottom_bracket_right"
	// RearAxleLeft to FrontAxleRight are the centres of the axles' ends.
	RearAxleLeft   Landmark = "rear_axle_left"
	RearAxleRight  Landmark = "rear_axle_right"
	FrontAxleLeft  Landmark = "front_axle_left"
	FrontAxleRight Landmark = "front_axle_right"
	// SaddleEdgeLeft and SaddleEdgeRight are the upper edges of the saddle
	// where it is 80 mm wide; midway lies the saddle reference. They take the
	// place of a reading of the saddle reference itself.
	SaddleEdgeLeft  Landmark = "saddle_edge_left"
	SaddleEdgeRight Landmark = "saddle_edge_right"
)

// datum lists the landmarks that the datum rests on, left before right.
var datum = [...]Landmark{BottomBracketLeft, BottomBracketRight, RearAxleLeft, RearAxleRight, FrontAxleLeft, FrontAxleRight}

// At returns the landmark of a contact site. A pedal is read at the centre of
// its thread at the crank's outer face, with the crank at any angle. The foot
// sites are not read by a survey.
func At(s contact.Site) Landmark { return Landmark(s.String()) }

// known reports whether the landmark is one that a survey can hold.
func (l Landmark) known() bool {
	for _, d := range datum {
		if l == d {
			return true
		}
	}
	if l == SaddleEdgeLeft || l == SaddleEdgeRight {
		return true
	}
	s, err := contact.ParseSite(string(l))
	return err == nil && s < contact.FootLeft
}

// A Reading is one reading of one landmark.
type Reading struct {
	Landmark Landmark
	// At is the point in the instrument's own axes, mm.
	At r3.Vec
}

// A Survey is what an instrument read on one bike. Its zero value is not valid.
type Survey struct {
	// Readings holds the readings in any order. A landmark may be read several times.
	Readings []Reading
	// Sigma is the standard uncertainty of one reading along each axis of the
	// instrument, above 0 and at most 50 mm.
	Sigma r3.Vec
	// FrontRadius and RearRadius are the heights of the axles above the ground
	// that the tyres stand on, 100 to 450 mm.
	FrontRadius, RearRadius float64
	// RadiusSigma is the standard uncertainty of each radius, 0 to 50 mm.
	RadiusSigma float64
	// Up is the direction of up in the instrument's axes, of any length.
	// Zero: the instrument does not know gravity.
	Up r3.Vec
}

// Validate reports what is wrong with the numbers and names of a survey, one by
// one: [contact.ErrRange], [contact.ErrUnknown], [contact.ErrMissing] for
// landmarks that the datum needs, and [contact.ErrUnit] for a radius.
// What the readings say together is judged by [Survey.Solve].
func (s Survey) Validate() error {
	var f check.Faults
	for i, v := range [...]float64{s.Sigma.X, s.Sigma.Y, s.Sigma.Z} {
		f.Range("sigma."+"xyz"[i:i+1], v, math.SmallestNonzeroFloat64, 50, "mm")
	}
	f.Length("front_radius", s.FrontRadius, 100, 450)
	f.Length("rear_radius", s.RearRadius, 100, 450)
	f.Range("radius_sigma", s.RadiusSigma, 0, 50, "mm")
	if !num.Finite(s.Up.X, s.Up.Y, s.Up.Z) {
		f.Add("up", "", "three finite numbers", contact.ErrRange)
	}
	seen := map[Landmark]bool{}
	for _, r := range s.Readings {
		if !r.Landmark.known() {
			f.Add("readings."+string(r.Landmark), "", "a landmark such as rear_axle_left or hoods_right", contact.ErrUnknown)
		}
		for i, v := range [...]float64{r.At.X, r.At.Y, r.At.Z} {
			f.Range("readings."+string(r.Landmark)+"."+"xyz"[i:i+1], v, -1e5, 1e5, "mm")
		}
		seen[r.Landmark] = true
	}
	need := func(l Landmark) {
		if !seen[l] {
			f.Add("readings."+string(l), "", "at least one reading", contact.ErrMissing)
		}
	}
	for _, l := range datum {
		need(l)
	}
	switch left, right := seen[SaddleEdgeLeft], seen[SaddleEdgeRight]; {
	case left && !right:
		need(SaddleEdgeRight)
	case right && !left:
		need(SaddleEdgeLeft)
	case left && seen[At(contact.SaddleReference)]:
		f.Add("readings."+string(At(contact.SaddleReference)), "read", "either it or the edges of the saddle", contact.ErrConflict)
	}
	return f.Err()
}
