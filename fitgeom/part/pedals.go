package part

import "example.com/fitgeom/internal/field"

// A Crank is a crankset: both cranks with their axle.
type Crank struct {
	// Name is for people.
	Name string `json:"name"`
	// Length is from the bottom bracket's centre to the pedal's axis.
	Length float64 `json:"length_mm" length:"100 to 220"`
	// RightLength is the length of the right crank, of a pair with two lengths.
	RightLength float64 `json:"right_length_mm,omitzero" range:"50 to 220" zero:"that of the left one"`
	// QFactor is from the outer face of one crank at the pedal to that of the other,
	// laterally.
	QFactor float64 `json:"q_factor_mm" length:"100 to 250"`
}

var crankFields = field.New[Crank]()

// Validate reports numbers that are out of range.
func (k Crank) Validate() error { return crankFields.Validate(&k) }

// Lengths returns the lengths of the left crank and the right one, mm.
func (k Crank) Lengths() [2]float64 {
	if k.RightLength == 0 {
		return [2]float64{k.Length, k.Length}
	}
	return [2]float64{k.Length, k.RightLength}
}

// A Pedal is a pair of pedals with the shoes' cleats and soles: what lies between the
// spindles and the feet. Its ranges are those of either side; their zero Steps are 0 alone.
type Pedal struct {
	// Name is for people.
	Name string `json:"name"`
	// FootHeight is from the spindle's centre up to the foot's sole, with cleat and shoe.
	FootHeight float64 `json:"foot_height_mm" range:"-20 to 80"`
	// FootOffset is from the crank's outer face out to the middle of the foot's width, with
	// the cleat in the middle of the sole: a longer spindle makes it longer.
	FootOffset float64 `json:"foot_offset_mm" range:"20 to 120"`
	// Right is the right pedal, of a pair with two sizes.
	Right PedalSide `json:"right,omitzero" zero:"as the left one"`
	// CleatBack is how far back the cleats may be set under the ball of the foot, which is
	// then as far in front of the spindle.
	CleatBack Steps `json:"cleat_back_mm,omitzero" range:"-40 to 80" steps:"ends"`
	// CleatIn is how far inwards the cleats may be set under the sole, which is then as far
	// out.
	CleatIn Steps `json:"cleat_in_mm,omitzero" range:"-20 to 20" steps:"ends"`
	// ToesOut is the angle to which the cleats may be turned, positive when the toes point
	// outwards.
	ToesOut Steps `json:"toes_out_deg,omitzero" range:"-30 to 30" steps:"ends"`
	// Wedge is the angle that wedges under the cleats may have, positive when the sole's
	// inner edge is higher.
	Wedge Steps `json:"wedge_deg,omitzero" range:"-15 to 15" steps:"ends"`
}

// A PedalSide is one pedal of a pair, as [Pedal] describes the left one.
type PedalSide struct {
	// FootHeight is from its spindle's centre up to the foot's sole.
	FootHeight float64 `json:"foot_height_mm" range:"-20 to 80"`
	// FootOffset is from its crank's outer face out to the middle of the foot's width.
	FootOffset float64 `json:"foot_offset_mm" range:"20 to 120"`
}

var pedalFields = field.New[Pedal]()

// Validate reports numbers that are out of range.
func (p Pedal) Validate() error { return pedalFields.Validate(&p) }

// Sides returns the left pedal and the right one.
func (p Pedal) Sides() [2]PedalSide {
	left := PedalSide{p.FootHeight, p.FootOffset}
	if p.Right == (PedalSide{}) {
		return [2]PedalSide{left, left}
	}
	return [2]PedalSide{left, p.Right}
}
