package contact

import (
	"math"

	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/field"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// A SaddleProfile is the shape of a saddle: in the side view, where its ends lie from its
// reference, along and square to the line through the reference at the saddle's tilt; and
// how wide it is there. The zero SaddleProfile is not known.
type SaddleProfile struct {
	// NoseAhead is how far the nose lies in front of the reference, and RearBehind how
	// far the rear lies behind it, along that line.
	NoseAhead  float64 `json:"nose_ahead_mm,omitzero" range:"20 to 250" zero:"not known"`
	RearBehind float64 `json:"rear_behind_mm,omitzero" range:"20 to 310" zero:"not known"`
	// NoseAbove and RearAbove are how far they lie above that line, negative below it: the
	// nose of most saddles droops. They count where NoseAhead or RearBehind is known.
	NoseAbove float64 `json:"nose_above_mm,omitzero" range:"-60 to 60"`
	RearAbove float64 `json:"rear_above_mm,omitzero" range:"-60 to 60"`
	// Sigma is the standard uncertainty of each of these.
	Sigma float64 `json:"sigma_mm,omitzero" range:"0.1 to 20" zero:"1 mm"`
	// Width is how wide the saddle is where its reference was read, by the habit of who
	// read it. If it is not [ReferenceWidth], Widening must be known: solvers return the
	// reference where all others have it, by [SaddleProfile.Carry].
	Width float64 `json:"width_mm,omitzero" range:"40 to 140" zero:"80 mm"`
	// Widening is how far further back the saddle is a millimetre wider, near its
	// reference, mm for each mm: between the places where it is 70 and 90 mm wide, a
	// twentieth of their distance.
	Widening float64 `json:"widening,omitzero" range:"0.1 to 5" zero:"not known"`
}

// UsualProfileSigma is the standard uncertainty of a [SaddleProfile] that does not state
// one, mm. Common practice, no source.
const UsualProfileSigma = 1

// Validate reports numbers out of the ranges stated at the fields, and a width other than
// [ReferenceWidth] where Widening is not known.
func (p SaddleProfile) Validate() error {
	var f fault.List
	profileFields.Check(&f, &p)
	if p.Widening == 0 && p.Width != 0 && p.Width != ReferenceWidth {
		f.Add("widening", "", "to be known, since the reference was read at another width", ErrMissing)
	}
	return f.Err()
}

// Carry returns a position whose saddle reference was read where the saddle is p.Width wide
// as it is with the reference where the saddle is as wide as another shop has it, 40 to 140
// mm, and its covariance (the zero one, if it does not matter). The reference moves along
// the saddle, at its tilt and yaw, by Widening times the difference. What was read at that
// width, or without the reference, comes back as it is.
//
// Faults are those of [SaddleProfile.Validate]; [ErrRange] for a width out of range; and
// [ErrMissing] if Widening or the saddle's tilt is not known.
func (p SaddleProfile) Carry(q Position, c Covariance, width float64) (Position, Covariance, error) {
	var f fault.List
	f.In("", p.Validate())
	f.Range("width_mm", width, 40, 140, "mm")
	from := p.Width
	if from == 0 {
		from = ReferenceWidth
	}
	if from != width && p.Widening == 0 && f.Err() == nil {
		f.Add("widening", "", "to be known", ErrMissing)
	}
	if err := f.Err(); err != nil {
		return Position{}, Covariance{}, err
	}
	back := p.Widening * (width - from)
	at, ok := q.At(SaddleReference)
	if !ok || back == 0 {
		return q, c, nil
	}
	a, ok := q.Attitude(SaddleReference)
	if !ok {
		return Position{}, Covariance{}, &Error{Path: "position.sites.saddle_reference.tilt_deg", Want: "to be known, since the saddle reference was read at another width", Class: ErrMissing}
	}
	sin, cos := num.Sincos(a.Tilt)
	tan := math.Tan(a.Yaw * num.Rad)
	q.Set(SaddleReference, r3.Sub(at, r3.Vec{X: back * cos, Y: back * cos * tan, Z: back * sin}))
	// How the three coordinates change by tilt and yaw, per degree.
	c, err := c.with(map[Coordinate][]slope{
		{SaddleReference, AxisX}: {{Coordinate{SaddleReference, AxisTilt}, back * sin * num.Rad}},
		{SaddleReference, AxisY}: {{Coordinate{SaddleReference, AxisTilt}, back * sin * tan * num.Rad}, {Coordinate{SaddleReference, AxisYaw}, -back * cos * (1 + tan*tan) * num.Rad}},
		{SaddleReference, AxisZ}: {{Coordinate{SaddleReference, AxisTilt}, -back * cos * num.Rad}},
	})
	return q, c, err
}

var profileFields = field.New[SaddleProfile]()
