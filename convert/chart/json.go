package chart

import (
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/strict"
	"example.com/fitgeom/internal/work"
)

// What documents have for an entry: its numbers in the unit of its dimension.
type entryDocument struct {
	Dimension Dimension `json:"dimension"`
	ValueMM   *float64  `json:"value_mm,omitzero"`
	ValueDeg  *float64  `json:"value_deg,omitzero"`
	StepMM    *float64  `json:"step_mm,omitzero" range:"0 to 20"`
	StepDeg   *float64  `json:"step_deg,omitzero" range:"0 to 2"`
	SigmaMM   *float64  `json:"sigma_mm,omitzero" range:"0 to 20"`
	SigmaDeg  *float64  `json:"sigma_deg,omitzero" range:"0 to 2"`

	Together  string   `json:"together,omitzero"`
	CommonMM  *float64 `json:"common_mm,omitzero" range:"0.001 to 20"`
	CommonDeg *float64 `json:"common_deg,omitzero" range:"0.001 to 2"`
}

// What documents have for a value: its numbers in the unit of its dimension.
type valueDocument struct {
	Dimension Dimension `json:"dimension"`
	ValueMM   *float64  `json:"value_mm,omitzero"`
	ValueDeg  *float64  `json:"value_deg,omitzero"`
	SigmaMM   *float64  `json:"sigma_mm,omitzero" range:"0 to 1e9"`
	SigmaDeg  *float64  `json:"sigma_deg,omitzero" range:"0 to 1e9"`
	// Effects are in the unit of the value.
	Effects  []float64 `json:"effects,omitempty"`
	Doubtful bool      `json:"doubtful,omitzero"`
}

func (v Value) document() valueDocument {
	d := valueDocument{Dimension: v.Dimension, Effects: v.Effects, Doubtful: v.Doubtful}
	d.ValueMM, d.ValueDeg = strict.In(v.Value, v.Dimension.Unit())
	if v.Sigma != 0 {
		d.SigmaMM, d.SigmaDeg = strict.In(v.Sigma, v.Dimension.Unit())
	}
	return d
}

func newValue(d valueDocument) (Value, error) {
	var f fault.List
	unit := d.Dimension.Unit()
	v := Value{Dimension: d.Dimension, Effects: d.Effects, Doubtful: d.Doubtful}
	v.Value = strict.Amount(&f, "value", unit, d.ValueMM, d.ValueDeg, true)
	v.Sigma = strict.Amount(&f, "sigma", unit, d.SigmaMM, d.SigmaDeg, false)
	return v, f.Err()
}

// MarshalJSON writes the value as documents of package fitgeom/exchange have it.
func (v Value) MarshalJSON() ([]byte, error) { return strict.JSON(v) }

// UnmarshalJSON reads what MarshalJSON writes.
func (v *Value) UnmarshalJSON(text []byte) error { return strict.Unmarshal(text, v) }

func init() {
	strict.Register(Value.document, newValue)
	work.Validator(func(m *work.Meter, c Chart) error { return c.validate(m) })
	strict.Register(
		func(e Entry) entryDocument {
			unit := e.Dimension.Unit()
			d := entryDocument{Dimension: e.Dimension, Together: e.Together}
			d.ValueMM, d.ValueDeg = strict.In(e.Value, unit)
			if e.Step != 0 {
				d.StepMM, d.StepDeg = strict.In(e.Step, unit)
			}
			if e.Sigma != 0 {
				d.SigmaMM, d.SigmaDeg = strict.In(e.Sigma, unit)
			}
			if e.Common != 0 {
				d.CommonMM, d.CommonDeg = strict.In(e.Common, unit)
			}
			return d
		},
		func(d entryDocument) (Entry, error) {
			var f fault.List
			unit := d.Dimension.Unit()
			e := Entry{Dimension: d.Dimension, Together: d.Together}
			e.Value = strict.Amount(&f, "value", unit, d.ValueMM, d.ValueDeg, true)
			e.Step = strict.Amount(&f, "step", unit, d.StepMM, d.StepDeg, false)
			e.Sigma = strict.Amount(&f, "sigma", unit, d.SigmaMM, d.SigmaDeg, false)
			e.Common = strict.Amount(&f, "common", unit, d.CommonMM, d.CommonDeg, false)
			return e, f.Err()
		},
	)
}

// MarshalJSON writes the entry as documents of package fitgeom/exchange have it.
func (e Entry) MarshalJSON() ([]byte, error) { return strict.JSON(e) }

// UnmarshalJSON reads what MarshalJSON writes.
func (e *Entry) UnmarshalJSON(text []byte) error { return strict.Unmarshal(text, e) }

// MarshalJSON writes the chart as documents of package fitgeom/exchange have it.
func (c Chart) MarshalJSON() ([]byte, error) { return strict.JSON(c) }

// UnmarshalJSON reads what MarshalJSON writes.
func (c *Chart) UnmarshalJSON(text []byte) error { return strict.Unmarshal(text, c) }
