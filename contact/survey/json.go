package survey

import (
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/strict"
	"example.com/fitgeom/internal/work"
)

// The form of a tape reading in documents: its numbers are in the unit of its kind.
type tapeDocument struct {
	Kind     TapeKind `json:"kind"`
	From     Landmark `json:"from,omitempty"`
	To       Landmark `json:"to,omitempty"`
	ValueMM  *float64 `json:"value_mm,omitzero" range:"-2000 to 2000"`
	ValueDeg *float64 `json:"value_deg,omitzero" range:"-45 to 45"`
	SigmaMM  *float64 `json:"sigma_mm,omitzero" range:"0.001 to 100"`
	SigmaDeg *float64 `json:"sigma_deg,omitzero" range:"0.001 to 10"`

	Together  string   `json:"together,omitzero"`
	CommonMM  *float64 `json:"common_mm,omitzero" range:"0.001 to 100"`
	CommonDeg *float64 `json:"common_deg,omitzero" range:"0.001 to 10"`
}

func init() {
	work.Validator(func(m *work.Meter, s Survey) error { return s.validate(m) })
	work.Validator(func(m *work.Meter, t TapeSurvey) error { return t.validate(m) })
	strict.Register(
		func(r TapeReading) tapeDocument {
			d := tapeDocument{Kind: r.Kind, From: r.From, To: r.To, Together: r.Together}
			d.ValueMM, d.ValueDeg = strict.In(r.Value, r.Kind.unit())
			d.SigmaMM, d.SigmaDeg = strict.In(r.Sigma, r.Kind.unit())
			if r.Common != 0 {
				d.CommonMM, d.CommonDeg = strict.In(r.Common, r.Kind.unit())
			}
			return d
		},
		func(d tapeDocument) (TapeReading, error) {
			var f fault.List
			r := TapeReading{Kind: d.Kind, From: d.From, To: d.To, Together: d.Together}
			r.Value = strict.Amount(&f, "value", d.Kind.unit(), d.ValueMM, d.ValueDeg, true)
			r.Sigma = strict.Amount(&f, "sigma", d.Kind.unit(), d.SigmaMM, d.SigmaDeg, true)
			r.Common = strict.Amount(&f, "common", d.Kind.unit(), d.CommonMM, d.CommonDeg, false)
			return r, f.Err()
		},
	)
}

// MarshalJSON writes the reading as in documents of package fitgeom/exchange.
func (r TapeReading) MarshalJSON() ([]byte, error) { return strict.JSON(r) }

// UnmarshalJSON reads what MarshalJSON writes.
func (r *TapeReading) UnmarshalJSON(text []byte) error { return strict.Unmarshal(text, r) }

// MarshalJSON writes the survey as in documents of package fitgeom/exchange.
func (s Survey) MarshalJSON() ([]byte, error) { return strict.JSON(s) }

// UnmarshalJSON reads what MarshalJSON writes.
func (s *Survey) UnmarshalJSON(text []byte) error { return strict.Unmarshal(text, s) }

// MarshalJSON fails: a [Fix] has no document yet. Its Position and its Covariance have
// one.
func (f Fix) MarshalJSON() ([]byte, error) { return nil, strict.NoDocument("survey.Fix") }

// UnmarshalJSON fails, as MarshalJSON does.
func (f *Fix) UnmarshalJSON([]byte) error { return strict.NoDocument("survey.Fix") }

// MarshalJSON fails: a [RigidMotion] has no document yet.
func (m RigidMotion) MarshalJSON() ([]byte, error) {
	return nil, strict.NoDocument("survey.RigidMotion")
}

// UnmarshalJSON fails, as MarshalJSON does.
func (m *RigidMotion) UnmarshalJSON([]byte) error { return strict.NoDocument("survey.RigidMotion") }

// MarshalJSON fails: a [Registration] has no document yet.
func (r Registration) MarshalJSON() ([]byte, error) {
	return nil, strict.NoDocument("survey.Registration")
}

// UnmarshalJSON fails, as MarshalJSON does.
func (r *Registration) UnmarshalJSON([]byte) error { return strict.NoDocument("survey.Registration") }
