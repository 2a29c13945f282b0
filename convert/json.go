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
	Value    *float64     `json:"value,omitzero"`
	SigmaMM  *float64     `json:"sigma_mm,omitzero" range:"0 to 1.7976931348623157e308"`
	SigmaDeg *float64     `json:"sigma_deg,omitzero" range:"0 to 1.7976931348623157e308"`
	Sigma    *float64     `json:"sigma,omitzero" range:"0 to 1.7976931348623157e308"`
}

func init() {
	work.Validator(func(m *work.Meter, s Sheet) error { return s.validate(m) })
	strict.Register(
		func(e Entry) entryDocument {
			unit := e.Measure.Definition().Unit
			d := entryDocument{Measure: e.Measure, Side: e.Side}
			if unit == "ratio" {
				d.Value = &e.Value
				if e.Sigma != 0 {
					d.Sigma = &e.Sigma
				}
				return d
			}
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
			e.Value = amount(&f, "value", unit, [3]*float64{d.ValueMM, d.ValueDeg, d.Value}, true)
			e.Sigma = amount(&f, "sigma", unit, [3]*float64{d.SigmaMM, d.SigmaDeg, d.Sigma}, false)
			return e, f.Err()
		},
	)
}

// amount is strict.Amount for numbers in mm, in degrees or of a ratio.
func amount(f *fault.List, name, unit string, in [3]*float64, need bool) float64 {
	mm, deg, ratio := in[0], in[1], in[2]
	switch {
	case unit == "ratio" && (mm != nil || deg != nil), unit != "ratio" && unit != "" && ratio != nil:
		f.Add(name, "", "it in the unit of what it belongs to", fault.ErrUnknown)
		return 0
	case unit != "ratio":
		return strict.Amount(f, name, unit, mm, deg, need)
	case ratio != nil:
		return *ratio
	case need:
		f.Add(name, "", "a number", fault.ErrMissing)
	}
	return 0
}

// MarshalJSON writes the entry as documents of package fitgeom/exchange have it.
func (e Entry) MarshalJSON() ([]byte, error) { return strict.JSON(e) }

// UnmarshalJSON reads what MarshalJSON writes.
func (e *Entry) UnmarshalJSON(text []byte) error { return strict.Unmarshal(text, e) }

// MarshalJSON writes the sheet as documents of package fitgeom/exchange have it.
func (s Sheet) MarshalJSON() ([]byte, error) { return strict.JSON(s) }

// UnmarshalJSON reads what MarshalJSON writes.
func (s *Sheet) UnmarshalJSON(text []byte) error { return strict.Unmarshal(text, s) }
