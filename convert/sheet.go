package convert

import (
	"math"
	"strconv"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/field"
	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/work"
)

// A Basis is what a [Measure] needs to know besides the position. Its zero
// value reads paired sites at their midpoint, and knows no seat tube and no ground.
type Basis struct {
	// SeatAngle is the angle of the line through the bottom bracket that measures "along
	// the seat tube" follow, from the horizontal behind the bottom bracket. Zero: not
	// known, and measures that need it are refused.
	SeatAngle float64 `json:"seat_angle_deg,omitzero" range:"50 to 90" zero:"not known"`
	// BottomBracketHeight is the bottom bracket's centre above the ground.
	// Zero: not known, and measures from the ground are refused.
	BottomBracketHeight float64 `json:"bottom_bracket_height_mm,omitzero" length:"150 to 450" zero:"not known"`
	// RailDrop is from the saddle reference down to the centre of the rails, square to the
	// saddle's straight edge.
	RailDrop float64 `json:"rail_drop_mm,omitzero" range:"15 to 100" zero:"not known"`
	// HoodBreadth is the breadth of a hood where the web of the thumb rests, laterally.
	HoodBreadth float64 `json:"hood_breadth_mm,omitzero" range:"20 to 80" zero:"not known"`
	// BarTube is the diameter of a drop bar's tube in the drops, with its tape.
	BarTube float64 `json:"bar_tube_mm,omitzero" range:"15 to 60" zero:"not known"`
	// GripLength is from the grip's inner end to the bar's end, laterally.
	GripLength float64 `json:"grip_length_mm,omitzero" range:"40 to 250" zero:"not known"`
	// PadBreadth is the breadth of a forearm pad, laterally.
	PadBreadth float64 `json:"pad_breadth_mm,omitzero" range:"30 to 200" zero:"not known"`
	// Side says where paired sites are read: [contact.Centre] is the midpoint of left and
	// right, [contact.Left] and [contact.Right] are that side alone.
	Side contact.Side `json:"side,omitzero"`
	// Mirrored says that left and right mirror each other, so that one side, or the
	// midpoint, gives both. Only [Sheet.Solve] uses it.
	Mirrored bool `json:"mirrored"`
	// Saddle is the saddle's side profile, as far as it is known. Only [Sheet.Solve] uses
	// it.
	Saddle contact.SaddleProfile `json:"saddle,omitzero" validate:"own"`
}

// Validate reports numbers that are out of range, and a side that does not exist.
func (b Basis) Validate() error {
	var f fault.List
	basisFields.Check(&f, &b)
	f.In("", sideFault(b.Side))
	f.In("saddle", b.Saddle.Validate())
	return f.Err()
}

var basisFields = field.New[Basis]()

// sideFault returns the fault of a side that does not exist.
func sideFault(s contact.Side) error {
	if s.Valid() {
		return nil
	}
	return fault.New("side", s.String(), "centre, left or right", fault.ErrUnknown)
}

// An Entry is one measure with its number.
type Entry struct {
	Measure Measure
	// Side says where paired sites are read, as in [Basis].
	Side contact.Side
	// Value is in the unit of the measure's definition: mm, degrees or a ratio.
	Value float64
	// Sigma is the standard uncertainty of Value, in the same unit. Zero: not known.
	Sigma float64
}

// A Sheet is a set-up sheet: numbers in the order in which they were asked for, and the
// basis to which they refer.
type Sheet struct {
	Basis   Basis   `json:",inline"`
	Entries []Entry `json:"entries"`
}

// mostEntries is how many entries a sheet may have: each measure on either side, and some
// more.
const mostEntries = 200

// Validate reports the faults of the basis, measures and sides that do not exist
// ([contact.ErrUnknown]), values that are not finite, uncertainties that are not 0 or
// more, and more than 200 entries ([contact.ErrRange]). [Sheet.Solve] tells whether the entries suffice and agree.
func (s Sheet) Validate() error { return s.validate(nil) }

func (s *Sheet) validate(m *work.Meter) error {
	var f fault.List
	f.In("", s.Basis.Validate())
	s.checkCount(&f)
	for i := 0; i < len(s.Entries) && m.Do(1) && !f.Full(); i++ {
		if err := s.Entries[i].validate(); err != nil {
			f.In(fault.At("entries", i), err)
		}
	}
	return f.Err()
}

func (s *Sheet) checkCount(f *fault.List) {
	if n := len(s.Entries); n > mostEntries {
		f.Add("entries", strconv.Itoa(n), "at most "+strconv.Itoa(mostEntries), contact.ErrRange)
	}
}

func (e *Entry) validate() error {
	var f fault.List
	unit := e.Measure.Definition().Unit
	value, sigma := members(unit)
	f.In("", measureNames.Check("measure", e.Measure))
	f.In("", sideFault(e.Side))
	if !num.Finite(e.Value) {
		f.Add(value, num.Text(e.Value, unit), "a finite number", contact.ErrRange)
	}
	f.Range(sigma, e.Sigma, 0, math.MaxFloat64, unit)
	return f.Err()
}

// members returns the names that documents have for a value and its uncertainty.
func members(unit string) (value, sigma string) {
	switch unit {
	case "degrees":
		return "value_deg", "sigma_deg"
	case "ratio":
		return "value", "sigma"
	}
	return "value_mm", "sigma_mm"
}

// Value returns the number of a measure in its unit, and whether the sheet has it.
// If several entries have the measure, it returns the first.
func (s Sheet) Value(m Measure) (float64, bool) {
	for _, e := range s.Entries {
		if e.Measure == m {
			return e.Value, true
		}
	}
	return 0, false
}

// Of returns the measure of a position in the unit of its definition, exact to rounding (about 1e-12 mm). Errors are those of [NewSheet].
func (m Measure) Of(p contact.Position, b Basis) (float64, error) {
	one := [1]Measure{m}
	points, err := prepare(&p, b, one[:])
	if err != nil {
		return 0, err
	}
	return measures[m].value(&points, nil), nil
}

// NewSheet returns the given measures of a position, in that order.
//
// Errors are [contact.ErrMissing] for each site, tilt, seat angle or height that is
// needed and not known, [contact.ErrConflict] for a saddle whose tilt is nearly that of
// the seat tube along which its height is asked for, [contact.ErrRange] and [contact.ErrUnknown] for a basis that does
// not validate, [contact.ErrUnknown] for a measure that does not exist, and those of
// p.Validate. The faults of all measures are reported together.
func NewSheet(p contact.Position, b Basis, ms ...Measure) (Sheet, error) {
	points, err := prepare(&p, b, ms)
	if err != nil {
		return Sheet{}, err
	}
	s := Sheet{Basis: b, Entries: make([]Entry, 0, len(ms))}
	for _, m := range ms {
		s.Entries = append(s.Entries, Entry{Measure: m, Side: b.Side, Value: measures[m].value(&points, nil)})
	}
	return s, nil
}

// NewSheetWithSigma is [NewSheet] with the standard uncertainty of each number, from the
// covariance of the position, to first order. Its errors are those of NewSheet, and
// [contact.ErrMissing] for coordinates that the covariance lacks.
func NewSheetWithSigma(p contact.Position, cov contact.Covariance, b Basis, ms ...Measure) (Sheet, error) {
	points, err := prepare(&p, b, ms)
	if err != nil {
		return Sheet{}, err
	}
	var f fault.List
	sheet := Sheet{Basis: b, Entries: make([]Entry, 0, len(ms))}
	var gradient []contact.Derivative
	for _, m := range ms {
		gradient = gradient[:0]
		r := Entry{Measure: m, Side: b.Side}
		r.Value = measures[m].value(&points, func(s contact.Site, a contact.Axis, by float64) {
			gradient = append(gradient, contact.Derivative{Coordinate: contact.Coordinate{Site: s, Axis: a}, By: by})
		})
		variance, err := cov.Between(gradient, gradient)
		f.In(m.String(), err)
		r.Sigma = math.Sqrt(max(0, variance))
		sheet.Entries = append(sheet.Entries, r)
	}
	if err := f.Err(); err != nil {
		return Sheet{}, err
	}
	return sheet, nil
}

// Gradient returns the derivative of the measure by each coordinate of the position that
// it depends on, exact to rounding. It leaves out a derivative that does not exist, such
// as that of the direct distance of two coincident points. Errors are those of [NewSheet].
func (m Measure) Gradient(p contact.Position, b Basis) ([]contact.Derivative, error) {
	points, err := prepare(&p, b, []Measure{m})
	if err != nil {
		return nil, err
	}
	var slopes []contact.Derivative
	measures[m].value(&points, func(s contact.Site, a contact.Axis, by float64) {
		slopes = append(slopes, contact.Derivative{Coordinate: contact.Coordinate{Site: s, Axis: a}, By: by})
	})
	return slopes, nil
}

// prepare checks all of the input and lays the position out for measuring.
func prepare(p *contact.Position, b Basis, ms []Measure) (points, error) {
	var f fault.List
	f.In("position", p.Validate())
	f.In("basis", b.Validate())
	points := newPoints(p, b)
	for _, m := range ms {
		if err := measureNames.Check("measure", m); err != nil {
			f.In("sheet", err)
			continue
		}
		m.missing(&f, &points, b)
	}
	return points, f.Err()
}

// missing adds what the measure needs and the position or basis does not give.
func (m Measure) missing(f *fault.List, p *points, b Basis) {
	e := &measures[m]
	need := func(site contact.Site) {
		if !p.known[site] {
			f.Add(e.Name, "", site.String()+" to be known", contact.ErrMissing)
		}
	}
	for _, site := range e.Needs {
		switch {
		case site.Side() == contact.Centre:
			need(site)
		case e.Pair || b.Side == contact.Centre:
			need(site)
			need(site.On(contact.Right))
		default:
			need(site.On(b.Side))
		}
	}
	if e.Tilt && !p.tilts {
		f.Add(e.Name, "", "the tilt of the saddle to be known", contact.ErrMissing)
	}
	if e.SeatAngle && b.SeatAngle == 0 {
		f.Add(e.Name, "", "a seat angle", contact.ErrMissing)
	}
	if e.SeatAngle && e.Tilt && b.SeatAngle != 0 && p.tilts {
		p.checkTube(f, e.Name)
	}
	if e.Ground && b.BottomBracketHeight == 0 {
		f.Add(e.Name, "", "the height of the bottom bracket", contact.ErrMissing)
	}
	if e.size != nil && e.size(&b) == 0 {
		f.Add(e.Name, "", e.Size, contact.ErrMissing)
	}
	if left := e.Direction.Site; left != 0 {
		for _, side := range [...]contact.Side{contact.Left, contact.Right} {
			if s := left.On(side); (b.Side == side || b.Side == contact.Centre) && !p.turns[s] {
				f.Add(e.Name, "", "the direction of "+s.String()+" to be known", contact.ErrMissing)
			}
		}
	}
}
