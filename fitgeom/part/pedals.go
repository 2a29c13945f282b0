package part

import "example.com/fitgeom/internal/field"

// A Crank is a crankset: both cranks with their axle.
type Crank struct {
	// Name is for people.
	Name string `json:"name"`
	// Length is from the bottom bracket's centre to the pedal's axis.
	Length float64 `json:"length_mm" length:"100 to 220"`
	// QFactor is from the outer face of one crank at the pedal to that of the other,
	// laterally.
	QFactor float64 `json:"q_factor_mm" length:"100 to 250"`
}

var crankFields = field.New[Crank]()

// Validate reports numbers that are out of range.
func (k Crank) Validate() error { return crankFields.Validate(&k) }

// A Pedal is a pair of pedals with the shoes' cleats and soles: what lies between
// the spindle and the foot.
type Pedal struct {
	// Name is for people.
	Name string `json:"name"`
	// FootHeight is from the spindle's centre up to the foot's sole, with cleat and shoe.
	FootHeight float64 `json:"foot_height_mm" range:"-20 to 80"`
	// FootOffset is from the crank's outer face out to the middle of the foot's width.
	FootOffset float64 `json:"foot_offset_mm" range:"20 to 120"`
}

var pedalFields = field.New[Pedal]()

// Validate reports numbers that are out of range.
func (p Pedal) Validate() error { return pedalFields.Validate(&p) }
