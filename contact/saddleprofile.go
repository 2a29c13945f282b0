package contact

import "example.com/fitgeom/internal/field"

// A SaddleProfile is the shape of a saddle in the side view: where its ends lie from its
// reference, along and square to the line through the reference at the saddle's tilt. The
// zero SaddleProfile is not known.
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
}

// UsualProfileSigma is the standard uncertainty of a [SaddleProfile] that does not state
// one, mm. Common practice, no source.
const UsualProfileSigma = 1

// Validate reports numbers out of the ranges stated at the fields.
func (p SaddleProfile) Validate() error { return profileFields.Validate(&p) }

var profileFields = field.New[SaddleProfile]()
