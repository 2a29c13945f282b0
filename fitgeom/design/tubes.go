package design

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/field"
	"example.com/fitgeom/internal/num"
)

// Tubes is the outer diameters of the main tubes, and how much is left of head and seat
// tube beyond the tubes that meet them: from the end to where the other tube's edge meets
// the surface. The zero Tubes stands for usual ones, which are common practice, no source.
type Tubes struct {
	// Head, Top, Down and Seat are the outer diameters.
	Head float64 `json:"head_mm" range:"25 to 80"`
	Top  float64 `json:"top_mm" range:"15 to 80"`
	Down float64 `json:"down_mm" range:"15 to 100"`
	Seat float64 `json:"seat_mm" range:"20 to 80"`
	// Shell is the bottom bracket shell.
	Shell float64 `json:"shell_mm" range:"30 to 80"`
	// AboveTop is left of the head tube above the top tube, BelowDown below the down tube,
	// and SeatAbove of the seat tube above the top tube.
	AboveTop  float64 `json:"above_top_mm" range:"0 to 150"`
	BelowDown float64 `json:"below_down_mm" range:"0 to 150"`
	SeatAbove float64 `json:"seat_above_mm" range:"0 to 300"`
}

var (
	tubesFields = field.New[Tubes]()
	usualTubes  = Tubes{Head: 36, Top: 28.6, Down: 31.8, Seat: 28.6, Shell: 40, AboveTop: 12, BelowDown: 10, SeatAbove: 35}
)

// Validate reports numbers that are out of range, and [contact.ErrConflict] for a tube that
// is thicker than the one on which it is cut.
func (t Tubes) Validate() error {
	var f fault.List
	tubesFields.Check(&f, &t)
	if f.Len() > 0 {
		return f.Err()
	}
	for _, c := range [...]struct {
		name      string
		thin, fat float64
		on        string
	}{
		{"top_mm", t.Top, t.Head, "the head tube"},
		{"top_mm", t.Top, t.Seat, "the seat tube"},
		{"down_mm", t.Down, t.Head, "the head tube"},
		{"down_mm", t.Down, t.Shell, "the shell"},
		{"seat_mm", t.Seat, t.Shell, "the shell"},
	} {
		if c.thin > c.fat {
			f.Add(c.name, num.Text(c.thin, "mm"), "no thicker than "+c.on+", "+num.Text(c.fat, "mm"), contact.ErrConflict)
		}
	}
	return f.Err()
}

// A Mitre is how the end of a round tube is cut to sit on another round tube.
type Mitre struct {
	// Radius is that at which the tube is cut: half of its outer diameter for the outer
	// edge, or half of the inner one for the inner edge.
	Radius float64 `json:"radius_mm" range:"1 to 100"`
	// On is the radius of the tube on which it sits.
	On float64 `json:"on_mm" range:"1 to 100"`
	// Angle is between both axes, more than 0 and less than 180 degrees: from the other
	// tube's axis, the way from the cut tube's lower line to its upper line, to the cut
	// tube's axis, away from the joint.
	Angle float64 `json:"angle_deg" range:"10 to 170"`
	// Offset is how far the cut tube's axis passes the other's, on the side of the
	// quarter-way line.
	Offset float64 `json:"offset_mm" range:"-100 to 100"`
}

var mitreFields = field.New[Mitre]()

// Validate reports numbers that are out of range, and [contact.ErrConflict] for a tube that
// does not lie within the width of the one on which it sits.
func (m Mitre) Validate() error {
	var f fault.List
	mitreFields.Check(&f, &m)
	if f.Len() == 0 && m.Radius+math.Abs(m.Offset) > m.On {
		f.Add("radius_mm", num.Text(m.Radius+math.Abs(m.Offset), "mm")+" from the other's axis", "at most "+num.Text(m.On, "mm"), contact.ErrConflict)
	}
	return f.Err()
}

// At returns how far from the crossing of both axes the cut lies, along the cut tube, in
// mm, at an angle round it: 0 degrees is its upper line, 180 its lower one. Wrapped round
// the tube, the curve is the template for the cut. Plane geometry: where a line of the one
// cylinder meets the other. Faults are those of Validate, and of an angle that is no
// number.
func (m Mitre) At(around float64) (float64, error) {
	var f fault.List
	f.In("", m.Validate())
	f.Range("around_deg", around, -360, 360, "degrees")
	if err := f.Err(); err != nil {
		return 0, err
	}
	return m.at(around), nil
}

func (m *Mitre) at(around float64) float64 {
	sin, cos := num.Sincos(m.Angle)
	sinA, cosA := num.Sincos(around)
	across := m.Radius*sinA + m.Offset
	return math.Sqrt(max(0, float64(m.On*m.On)-float64(across*across)))/sin + m.Radius*cosA*cos/sin
}
