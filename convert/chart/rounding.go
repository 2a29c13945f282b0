package chart

import "example.com/fitgeom/internal/fault"

// A Rounding is how the numbers of a frame's chart are rounded: each may be off by
// half a step either way, one place as likely as any other. The zero Rounding is a
// frame that is known.
type Rounding struct {
	// LengthStep is what lengths are rounded to, 0 to 20 mm.
	LengthStep float64 `json:"length_step_mm"`
	// AngleStep is what angles are rounded to, 0 to 2 degrees.
	AngleStep float64 `json:"angle_step_deg"`
}

// Validate reports numbers that are out of the ranges stated at the fields.
func (r Rounding) Validate() error {
	var f fault.List
	f.Range("length_step", r.LengthStep, 0, 20, "mm")
	f.Range("angle_step", r.AngleStep, 0, 2, "degrees")
	return f.Err()
}
