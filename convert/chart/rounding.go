package chart

import "example.com/fitgeom/internal/field"

// A Rounding is how the numbers of a frame's chart are rounded: each may be off by up to
// half a step either way, any error as likely as any other. The zero Rounding is a frame
// that is known exactly.
type Rounding struct {
	// LengthStep is what lengths are rounded to.
	LengthStep float64 `json:"length_step_mm" range:"0 to 20"`
	// AngleStep is what angles are rounded to.
	AngleStep float64 `json:"angle_step_deg" range:"0 to 2"`
}

// Validate reports numbers that are out of range.
func (r Rounding) Validate() error { return roundingFields.Validate(&r) }

var roundingFields = field.New[Rounding]()
