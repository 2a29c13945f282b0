package survey

import (
	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/strict"
	"example.com/fitgeom/internal/work"
	"gonum.org/v1/gonum/spatial/r3"
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

// The form of a freedom in documents: what would settle it need not have a value yet.
type freedomDocument struct {
	Coordinates []PlaceCoordinate `json:"coordinates"`
	Settle      []settleDocument  `json:"settle,omitempty"`
}

type settleDocument tapeDocument

func (f Freedom) document() freedomDocument {
	d := freedomDocument{Coordinates: f.Coordinates}
	for _, r := range f.Settle {
		one := settleDocument{Kind: r.Kind, From: r.From, To: r.To}
		if r.Value != 0 || r.Sigma != 0 || r.Together != "" || r.Common != 0 {
			one = settleDocument(r.document())
		}
		d.Settle = append(d.Settle, one)
	}
	return d
}

func newFreedom(d freedomDocument) (Freedom, error) {
	var f fault.List
	free := Freedom{Coordinates: d.Coordinates}
	for _, r := range d.Settle {
		free.Settle = append(free.Settle, tapeDocument(r).reading(&f, false))
	}
	return free, f.Err()
}

// What documents have for a fix: what it tells of the rider's bike, but not what later
// readings could be placed by.
type fixDocument struct {
	Position   contact.Position   `json:"position"`
	Covariance contact.Covariance `json:"covariance,omitzero"`
	Ranges     contact.Ranges     `json:"ranges,omitempty"`
	Free       []Freedom          `json:"free,omitempty"`
	Others     []contact.Position `json:"others,omitempty"`
	Suspects   []contact.Suspect  `json:"suspects,omitempty"`
	Steer      float64            `json:"steer_deg,omitzero" range:"-180 to 180"`
	SteerSigma float64            `json:"steer_sigma_deg,omitzero" range:"0 to 1e9"`
	Findings   []Finding          `json:"findings,omitempty"`
	Residuals  []Residual         `json:"residuals,omitempty"`
	Standing   *Standing          `json:"standing,omitzero"`
	Marks      []markDocument     `json:"marks,omitempty"`
	// ProfileTilt is by how much, as a standard uncertainty, nose and rear of the saddle may
	// differ from its top, where they give the tilt. Of two fixes of the same saddle it
	// cancels.
	ProfileTilt float64 `json:"profile_tilt_deg,omitzero" range:"0 to 90"`
}

// A markDocument is the place of a mark or of a landmark of the frame.
type markDocument struct {
	Landmark Landmark `json:"landmark"`
	At       r3.Vec   `json:"at_mm"`
	Sigma    r3.Vec   `json:"sigma_mm" range:"0 to 1e9"`
}

func (f Fix) document() fixDocument {
	d := fixDocument{
		Position: f.Position, Covariance: f.Covariance, Ranges: f.Ranges, Free: f.Free, Others: f.Others, Suspects: f.Suspects,
		Steer: f.Steer, SteerSigma: f.SteerSigma, Findings: f.Findings, Residuals: f.Residuals, ProfileTilt: f.droop,
	}
	if f.hasStanding {
		d.Standing = &f.standing
	}
	for _, m := range f.marks {
		d.Marks = append(d.Marks, markDocument{Landmark: m.landmark, At: m.at, Sigma: m.sigma})
	}
	return d
}

func newFix(d fixDocument) (Fix, error) {
	f := Fix{
		Position: d.Position, Covariance: d.Covariance, Ranges: d.Ranges, Free: d.Free, Others: d.Others, Suspects: d.Suspects,
		Steer: d.Steer, SteerSigma: d.SteerSigma, Findings: d.Findings, Residuals: d.Residuals, droop: d.ProfileTilt,
	}
	if d.Standing != nil {
		f.standing, f.hasStanding = *d.Standing, true
	}
	for _, m := range d.Marks {
		f.marks = append(f.marks, mark{landmark: m.Landmark, at: m.At, sigma: m.Sigma})
	}
	return f, nil
}

// Validate reports what is wrong with a fix that was read or put together: a position that
// is not sound, numbers out of range, names that no landmark or finding has, and
// [contact.ErrConflict] for ranges whose ends are exchanged. What a survey returns is sound.
func (f Fix) Validate() error {
	var l fault.List
	strict.Check(nil, &l, "", f)
	for i, r := range f.Ranges {
		if r.Low > r.High {
			l.Add(fault.At("ranges", i)+".low", num.Text(r.Low, ""), "no more than high", contact.ErrConflict)
		}
	}
	name := func(path string, k Landmark) {
		if !k.known() && k != BottomBracket && k != Ground {
			l.Add(path, "another", landmarkWanted, contact.ErrUnknown)
		}
	}
	for i, k := range f.Findings {
		if k.Landmark != "" {
			name(fault.At("findings", i)+".landmark", k.Landmark)
		}
	}
	for i, k := range f.Residuals {
		name(fault.At("residuals", i)+".landmark", k.Landmark)
	}
	for i, k := range f.marks {
		name(fault.At("marks", i)+".landmark", k.landmark)
	}
	return l.Err()
}

func init() {
	strict.Register(Fix.document, newFix)
	strict.Register(Freedom.document, newFreedom)
	work.Validator(func(m *work.Meter, s Survey) error { return s.validate(m) })
	work.Validator(func(m *work.Meter, t TapeSurvey) error { return t.validate(m) })
	strict.Register(TapeReading.document, func(d tapeDocument) (TapeReading, error) {
		var f fault.List
		return d.reading(&f, true), f.Err()
	})
}

func (r TapeReading) document() tapeDocument {
	d := tapeDocument{Kind: r.Kind, From: r.From, To: r.To, Together: r.Together}
	d.ValueMM, d.ValueDeg = strict.In(r.Value, r.Kind.unit())
	d.SigmaMM, d.SigmaDeg = strict.In(r.Sigma, r.Kind.unit())
	if r.Common != 0 {
		d.CommonMM, d.CommonDeg = strict.In(r.Common, r.Kind.unit())
	}
	return d
}

// reading returns the reading of a document; read says that it has been taken, and has a value.
func (d tapeDocument) reading(f *fault.List, read bool) TapeReading {
	r := TapeReading{Kind: d.Kind, From: d.From, To: d.To, Together: d.Together}
	r.Value = strict.Amount(f, "value", d.Kind.unit(), d.ValueMM, d.ValueDeg, read)
	r.Sigma = strict.Amount(f, "sigma", d.Kind.unit(), d.SigmaMM, d.SigmaDeg, read)
	r.Common = strict.Amount(f, "common", d.Kind.unit(), d.CommonMM, d.CommonDeg, false)
	return r
}

// MarshalJSON writes the reading as in documents of package fitgeom/exchange.
func (r TapeReading) MarshalJSON() ([]byte, error) { return strict.JSON(r) }

// UnmarshalJSON reads what MarshalJSON writes.
func (r *TapeReading) UnmarshalJSON(text []byte) error { return strict.Unmarshal(text, r) }

// MarshalJSON writes the survey as in documents of package fitgeom/exchange.
func (s Survey) MarshalJSON() ([]byte, error) { return strict.JSON(s) }

// UnmarshalJSON reads what MarshalJSON writes.
func (s *Survey) UnmarshalJSON(text []byte) error { return strict.Unmarshal(text, s) }

// MarshalJSON writes the fix as in documents of package fitgeom/exchange.
func (f Fix) MarshalJSON() ([]byte, error) { return strict.JSON(f) }

// UnmarshalJSON reads what MarshalJSON writes. A fix that was read compares as the one that
// was written does with fixes of other datums ([Compare]); [Fix.Locate] cannot place more
// readings by it, and it has no [SideView].
func (f *Fix) UnmarshalJSON(text []byte) error { return strict.Unmarshal(text, f) }

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
