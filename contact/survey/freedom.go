package survey

import (
	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/lsq"
)

// A Freedom is one way in which places may move without affecting any reading of a
// [TapeSurvey], or by so little that their ranges would be more than 200 mm or 30 degrees
// wide: one knows as much of any bicycle.
type Freedom struct {
	// Coordinates lists what moves together.
	Coordinates []PlaceCoordinate
	// Settle lists readings of which each would determine it, without Value and Sigma.
	Settle []TapeReading
}

// A PlaceCoordinate is one number of a place that a tape is held to.
type PlaceCoordinate struct {
	Place Landmark `json:"place"`
	// Axis is X, Y or Z, or the tilt of the saddle.
	Axis contact.Axis `json:"axis"`
}

// String returns the coordinate as errors write it: "hoods_left.x".
func (c PlaceCoordinate) String() string { return string(c.Place) + "." + c.Axis.String() }

// String says in words what is undetermined and which readings would settle it.
func (f Freedom) String() string { return lsq.Undetermined(f.Coordinates, "free", f.Settle) }

// String says what is measured: "vertical from bottom_bracket to bar_clamp".
func (r TapeReading) String() string {
	if r.Kind == Tilt {
		return r.Kind.String()
	}
	return r.Kind.String() + " from " + string(r.From) + " to " + string(r.To)
}
