package survey

import (
	"strconv"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/enum"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/field"
	"example.com/fitgeom/internal/lsq"
	"example.com/fitgeom/internal/work"
)

// Places other than contact sites where tape readings start or end.
const (
	// BottomBracket is the centre of the bottom bracket.
	BottomBracket Landmark = "bottom_bracket"
	// Ground is the level ground that the bike stands on. Only [Vertical] readings start
	// or end there.
	Ground Landmark = "ground"
)

// A TapeKind is what a tape, plumb line or level measures. The zero TapeKind is not
// valid: one must be chosen.
type TapeKind uint8

// The kinds of tape readings.
const (
	// Direct is the direct distance in space, mm.
	Direct TapeKind = iota + 1
	// Horizontal is the horizontal distance along the bike, as between two plumb lines,
	// mm. It is positive if the end lies in front of the start.
	Horizontal
	// Vertical is the difference in height, mm. It is positive if the end lies above the
	// start.
	Vertical
	// Lateral is the distance across the bike, mm. It is positive if the end lies to the
	// left of the start.
	Lateral
	// Tilt is the slope of the saddle from its rear edge to its nose, in degrees,
	// positive nose-up. It has no start and no end.
	Tilt
)

var tapeKindNames = enum.New[TapeKind]("kind", []string{Direct: "direct", Horizontal: "horizontal", Vertical: "vertical", Lateral: "lateral", Tilt: "tilt"})

// String returns the kind's name, such as "direct".
func (k TapeKind) String() string { return tapeKindNames.String(k) }

// MarshalText writes the kind's name; it fails for an unknown number.
func (k TapeKind) MarshalText() ([]byte, error) { return tapeKindNames.Text(k) }

// UnmarshalText reads a name as [ParseTapeKind] does.
func (k *TapeKind) UnmarshalText(text []byte) error { return tapeKindNames.Read(k, text) }

// ParseTapeKind returns the kind of that name, or a [*contact.Error] of class
// [contact.ErrUnknown].
func ParseTapeKind(name string) (TapeKind, error) { return tapeKindNames.Parse(name) }

func (k TapeKind) unit() string {
	if k == Tilt {
		return "degrees"
	}
	return "mm"
}

// A TapeReading is one distance, offset or slope.
type TapeReading struct {
	Kind TapeKind
	// From and To are [BottomBracket], [Ground] or a contact site ([At]). A pedal is
	// measured with its crank horizontal and pointing forward.
	From, To Landmark
	// Value is in mm or degrees, with the sign that Kind defines.
	Value float64
	// Sigma is the standard uncertainty of Value, 0.001 to 100 mm or 10 degrees.
	Sigma float64
}

// A TapeSurvey holds what was measured on one bike with tape, rule, plumb line and level.
type TapeSurvey struct {
	Readings []TapeReading `json:"readings"`
	// NoseUp is the slope of the ground under the bike in degrees, positive when the
	// front stands higher. NoseUpSigma is its standard uncertainty, in degrees. Plumb
	// lines and levels follow gravity, and are corrected by this slope. Different tyre
	// sizes are ignored here.
	NoseUp      float64 `json:"nose_up_deg,omitzero" range:"-10 to 10"`
	NoseUpSigma float64 `json:"nose_up_sigma_deg,omitzero" range:"0 to 5"`
}

// What a tape survey assumes where it has no reading across the bike, as standard
// uncertainties. Common practice, no source.
const (
	centredSaddle = 2 // saddle and clamp on the mid-plane, mm
	centredPair   = 3 // midway between left and right on the mid-plane, mm
)

// sigmaLeast is less than any tape or level can tell. With smaller ones beside large ones,
// rounding would decide.
const sigmaLeast = 0.001

// vague is the standard uncertainty, mm and degrees, beyond which a coordinate counts as
// not determined. A distance says nothing of a height that it hardly depends on, and first
// order would have kilometres.
const vague = 100

// mostReadings is how many readings a tape survey may have: each site three times.
const mostReadings = 200

// Validate reports numbers that are out of range, kinds and places that do not exist,
// readings that go from a place to itself, and more than 200 readings.
func (t TapeSurvey) Validate() error { return t.validate(nil) }

func (t *TapeSurvey) validate(m *work.Meter) error {
	var f fault.List
	tapeFields.Check(&f, t)
	if len(t.Readings) == 0 {
		f.Add("readings", "", "at least one", contact.ErrMissing)
	} else if n := len(t.Readings); n > mostReadings {
		f.Add("readings", strconv.Itoa(n), "at most "+strconv.Itoa(mostReadings), contact.ErrRange)
	}
	for i := 0; i < len(t.Readings) && m.Do(1) && !f.Full(); i++ {
		if err := t.Readings[i].validate(); err != nil {
			f.In(fault.At("readings", i), err)
		}
	}
	return f.Err()
}

var tapeFields = field.New[TapeSurvey]()

func (r *TapeReading) validate() error {
	if err := tapeKindNames.Check("kind", r.Kind); err != nil {
		return err
	}
	var f fault.List
	if r.Kind == Tilt {
		f.Range("value_deg", r.Value, -45, 45, "degrees")
		f.Range("sigma_deg", r.Sigma, sigmaLeast, 10, "degrees")
		if r.From != "" || r.To != "" {
			f.Add("", string(r.From)+" to "+string(r.To), "no start and no end: a tilt is always that of the saddle", contact.ErrConflict)
		}
		return f.Err()
	}
	lo := -2000.0
	if r.Kind == Direct {
		lo = 0
	}
	f.Range("value_mm", r.Value, lo, 2000, "mm")
	f.Range("sigma_mm", r.Sigma, sigmaLeast, 100, "mm")
	for _, end := range []struct {
		name string
		l    Landmark
	}{{"from", r.From}, {"to", r.To}} {
		_, ok := tapeSite(end.l)
		if ok || end.l == BottomBracket || end.l == Ground && r.Kind == Vertical {
			continue
		}
		class, value := contact.ErrUnknown, short(end.l)
		if end.l == "" {
			class, value = contact.ErrMissing, ""
		}
		f.Add(end.name, value, "bottom_bracket, a contact site, or the ground for a vertical reading", class)
	}
	if r.From == r.To {
		f.Add("", string(r.From)+" to itself", "two different places", contact.ErrConflict)
	}
	return f.Err()
}

func tapeSite(l Landmark) (contact.Site, bool) {
	s, err := contact.ParseSite(string(l))
	return s, err == nil && s.Group() != contact.OnFeet
}

// Solve finds the sites that the readings name, by weighted least squares, and the
// covariance of all of them. There may be more readings than needed, in any mix.
//
// Where no [Lateral] readings lead from the bottom bracket to a site, saddle and clamp
// are assumed to be on the mid-plane to 2 mm, and left and right to be equally far from
// it to 3 mm (common practice, no source). If two points satisfy the same distances, the
// one closer to the usual place of that site is returned.
//
// [Fix.Locate] cannot use the Fix, which has no datum, and its Steer is 0. Besides the
// faults of [TapeSurvey.Validate] Solve reports [contact.ErrMissing] for coordinates that
// the readings do not determine to within 100 mm; [contact.ErrConflict] for readings that contradict one
// another, naming those that are most likely wrong and by how much; and whatever
// contact.Position.Validate finds in the result.
func (t TapeSurvey) Solve() (Fix, error) {
	if err := t.Validate(); err != nil {
		return Fix{}, err
	}
	p := newTapeProblem(&t)
	fit := lsq.Solve(p.start, p.rows, p.model)
	fit.Loosen(vague)
	if err := p.undetermined(&fit); err != nil {
		return Fix{}, err
	}
	if err := p.contradiction(&fit); err != nil {
		return Fix{}, err
	}
	return p.fix(&fit)
}
