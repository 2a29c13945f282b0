package calibrate

import (
	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/internal/enum"
	"example.com/fitgeom/internal/fault"
)

// A Quantity is what a tape measures of a rider in the shoes of the ride. The zero Quantity is
// not valid.
type Quantity uint8

// The quantities. Places are bones under the skin: the greater trochanter beside the hip,
// the outer epicondyle beside the knee, the outer malleolus beside the ankle.
const (
	// Thigh is from trochanter to epicondyle, Shank from epicondyle to malleolus.
	Thigh Quantity = iota + 1
	Shank
	// AnkleHeight, KneeHeight and TrochanterHeight are of malleolus, epicondyle and
	// trochanter over the floor, standing.
	AnkleHeight
	KneeHeight
	TrochanterHeight
	// Inseam is from the floor to the crotch, with the tape pulled up as a saddle would.
	Inseam
	// TrochanterOverSaddle is how far the trochanter is above the saddle reference, seated with
	// the crank turning or in line with the seat tube, and TrochanterForward how far it is
	// in front of it, negative behind.
	TrochanterOverSaddle
	TrochanterForward

	quantityCount = int(TrochanterForward) + 1
)

var quantityNames = enum.New[Quantity]("quantity", []string{
	Thigh: "thigh", Shank: "shank", AnkleHeight: "ankle_height", KneeHeight: "knee_height", TrochanterHeight: "trochanter_height",
	Inseam: "inseam", TrochanterOverSaddle: "trochanter_over_saddle", TrochanterForward: "trochanter_forward",
})

// String returns the quantity's name, such as "knee_height".
func (q Quantity) String() string { return quantityNames.String(q) }

// MarshalText writes the quantity's name; it fails for an unknown number.
func (q Quantity) MarshalText() ([]byte, error) { return quantityNames.Text(q) }

// UnmarshalText reads a name as [ParseQuantity] does.
func (q *Quantity) UnmarshalText(text []byte) error { return quantityNames.Read(q, text) }

// ParseQuantity returns the quantity of that name, or a [*contact.Error] of class
// [contact.ErrUnknown].
func ParseQuantity(name string) (Quantity, error) { return quantityNames.Parse(name) }

// A Reading is what a tape says.
type Reading struct {
	Of Quantity `json:"of"`
	// Side is the leg that was measured, or Centre for both alike.
	Side contact.Side `json:"side"`
	// Value is in mm.
	Value float64 `json:"value_mm"`
	// Sigma is its standard uncertainty, 1 to 100 mm: how far the tape's ends lie from the
	// joints, and how it is read. 0 is that of [Quantity.Sigma].
	Sigma float64 `json:"sigma_mm,omitzero"`
}

// of says what a quantity is in the unknowns of a leg, and how it is read.
var of = [quantityCount]struct {
	thigh, shank, ankle, forward, up float64
	less                             float64
	sigma                            float64
	low, high                        float64
}{
	Thigh:                {thigh: 1, sigma: 10, low: 200, high: 700},
	Shank:                {shank: 1, sigma: 8, low: 200, high: 700},
	AnkleHeight:          {ankle: 1, sigma: 5, low: 20, high: 200},
	KneeHeight:           {shank: 1, ankle: 1, sigma: 8, low: 250, high: 900},
	TrochanterHeight:     {thigh: 1, shank: 1, ankle: 1, sigma: 12, low: 450, high: 1500},
	Inseam:               {thigh: 1, shank: 1, ankle: 1, less: crotch, sigma: 20, low: 400, high: 1200},
	TrochanterOverSaddle: {up: 1, sigma: 10, low: 10, high: 300},
	TrochanterForward:    {forward: 1, sigma: 12, low: -250, high: 250},
}

// crotch is how far the crotch lies below the trochanter, mm: the means of 4082 men (55) and
// 1986 women (63) of ANSUR II (2012), public data; among the first 29 men of that file it
// scatters by 17 mm.
const crotch = 58

// Sigma returns the standard uncertainty that a reading of the quantity has unless it states
// its own, mm; 0 for an unknown number. Most of it is how far a finger's idea of the bone
// lies from the joint (common practice, no source), and of the inseam how people differ.
func (q Quantity) Sigma() float64 {
	if !quantityNames.Valid(q) {
		return 0
	}
	return of[q].sigma
}

func (r *Reading) validate(f *fault.List, path string) {
	if err := quantityNames.Check("of", r.Of); err != nil {
		f.In(path, err)
		return
	}
	if r.Side > contact.Right {
		f.Add(path+".side", "", "centre, left or right", contact.ErrUnknown)
	}
	w := &of[r.Of]
	if r.Of == TrochanterForward {
		f.Range(path+".value_mm", r.Value, w.low, w.high, "mm")
	} else {
		f.Length(path+".value_mm", r.Value, w.low, w.high)
	}
	f.Optional(path+".sigma_mm", r.Sigma, 1, 100, "mm")
}

// sigma is the reading's own or the usual one.
func (r *Reading) sigma() float64 {
	if r.Sigma != 0 {
		return r.Sigma
	}
	return r.Of.Sigma()
}

// A belief is what is held of a number before anything is read.
type belief struct{ mean, sigma float64 }

// before is what bodies have, wide enough to say next to nothing (common practice, no
// source).
var before = map[rider.Dimension]belief{
	rider.BodyThigh: {420, 100}, rider.BodyShank: {425, 100}, rider.BodyAnkleHeight: {85, 30}, rider.BodyAnkleBehind: {125, 40},
	rider.BodyAnkleAngle: {0, 2}, rider.BodyHipForward: {0, 100}, rider.BodyHipUp: {90, 60},
}

// spread is the standard deviation of a segment over stature: among the first 29 men of the
// public file of ANSUR II (2012), which were seen, thigh 0.0094, shank 0.0075 and ankle
// 0.0023; and how far tables lie from one another (5 % of the thigh, so of the shank) and
// bones from joints.
var spread = map[rider.Segment]float64{rider.Thigh: 0.015, rider.Shank: 0.012, rider.AnkleHeight: 0.006}

// shoe is what shoes add to the height of an ankle, mm (common practice, no source).
var shoe = belief{20, 10}
