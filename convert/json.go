package convert

import (
	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/strict"
	"example.com/fitgeom/internal/work"
)

// What documents have for an entry: its numbers in the unit of its measure.
type entryDocument struct {
	Measure  Measure      `json:"measure"`
	Side     contact.Side `json:"side,omitzero"`
	ValueMM  *float64     `json:"value_mm,omitzero"`
	ValueDeg *float64     `json:"value_deg,omitzero"`
	SigmaMM  *float64     `json:"sigma_mm,omitzero" range:"0 to 1.7976931348623157e308"`
	SigmaDeg *float64     `json:"sigma_deg,omitzero" range:"0 to 1.7976931348623157e308"`
}

func init() {
	work.Validator(func(m *work.Meter, s Sheet) error { return s.validate(m) })
	strict.Register(
		func(e Entry) entryDocument {
			unit := e.Measure.Definition().Unit
			d := entryDocument{Measure: e.Measure, Side: e.Side}
			d.ValueMM, d.ValueDeg = strict.In(e.Value, unit)
			if e.Sigma != 0 {
				d.SigmaMM, d.SigmaDeg = strict.In(e.Sigma, unit)
			}
			return d
		},
		func(d entryDocument) (Entry, error) {
			var f fault.List
			unit := d.Measure.Definition().Unit
			e := Entry{Measure: d.Measure, Side: d.Side}
			e.Value = strict.Amount(&f, "value", unit, d.ValueMM, d.ValueDeg, true)
			e.Sigma = strict.Amount(&f, "sigma", unit, d.SigmaMM, d.SigmaDeg, false)
			return e, f.Err()
		},
	)
}

// MarshalJSON writes the entry as documents of package fitgeom/exchange have it.
func (e Entry) MarshalJSON() ([]byte, error) { return strict.JSON(e) }

// UnmarshalJSON reads what MarshalJSON writes.
func (e *Entry) UnmarshalJSON(text []byte) error { return strict.Unmarshal(text, e) }

// MarshalJSON writes the sheet as documents of package fitgeom/exchange have it.
func (s Sheet) MarshalJSON() ([]byte, error) { return strict.JSON(s) }

// UnmarshalJSON reads what MarshalJSON writes.
func (s *Sheet) UnmarshalJSON(text []byte) error { return strict.Unmarshal(text, s) }
