package survey

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/enum"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/field"
	"example.com/fitgeom/internal/lsq"
)

// Places that tape readings start from or end at, besides contact sites.
const (
	// BottomBracket is the centre of the bottom bracket.
	BottomBracket Landmark = "bottom_bracket"
	// Ground is the level ground that the bike stands on. Only [Vertical] readings go to it.
	Ground Landmark = "ground"
)

// A TapeKind is a way to hold tape, plumb line or level. The zero TapeKind is none:
// one must be chosen.
type TapeKind uint8

// The ways.
const (
	// Direct is the shortest way in space, mm.
	Direct TapeKind = iota + 1
	// Horizontal is the level distance along the bike, as between two plumb lines:
	// positive if the end lies in front of the start, mm.
	Horizontal
	// Vertical is the difference in height: positive if the end is the higher, mm.
	Vertical
	// Lateral is the distance across the bike: positive if the end lies to the
	// left of the start, mm.
	Lateral
	// Tilt is the slope of the saddle, from its rear edge to its nose: positive
	// nose-up, degrees. It has no start and no end.
	Tilt
)

var tapeKindNames = enum.New[TapeKind]("kind", []string{Direct: "direct", Horizontal: "horizontal", Vertical: "vertical", Lateral: "lateral", Tilt: "tilt"})

// String returns the kind's name, such as "direct".
func (k TapeKind) String() string { return tapeKindNames.String(k) }

// MarshalText writes the kind's name; it fails for a number that is none.
func (k TapeKind) MarshalText() ([]byte, error) { return tapeKindNames.Text(k) }

// UnmarshalText reads a name as [ParseTapeKind] does.
func (k *TapeKind) UnmarshalText(text []byte) error { return tapeKindNames.Read(k, text) }

// ParseTapeKind returns the kind of that name, or a [*contact.Error] of class [contact.ErrUnknown].
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
	// From and To are [BottomBracket], [Ground], or a contact site ([At]). A
	// pedal is measured to with its crank level and pointing forward.
	From, To Landmark
	// Value is in mm or degrees and signed as the kind says.
	Value float64
	// Sigma is its standard uncertainty, above 0 and at most 100 mm or 10 degrees.
	Sigma float64
}

// A TapeSurvey is what tape, rule, plumb line and level gave on one bike.
type TapeSurvey struct {
	Readings []TapeReading `json:"readings"`
	// NoseUp is the slope of the ground under the bike in degrees, positive when
	// the front stands higher, and NoseUpSigma its standard
	// uncertainty. Plumb lines and levels follow gravity, and are
	// corrected by it; tyres of unlike size count for nothing here.
	NoseUp      float64 `json:"nose_up_deg,omitzero" range:"-10 to 10"`
	NoseUpSigma float64 `json:"nose_up_sigma_deg,omitzero" range:"0 to 5"`
}

// What a tape survey supposes where it has no reading across the bike, as
// standard uncertainties. Common practice, no source.
const (
	centredSaddle = 2 // saddle and clamp on the mid-plane, mm
	centredPair   = 3 // midway between left and right on the mid-plane, mm
)

// Validate reports numbers out of the ranges stated at the fields, kinds and
// places that do not exist, and readings that go from a place to itself.
func (t TapeSurvey) Validate() error {
	var f fault.List
	tapeFields.Check(&f, &t)
	if len(t.Readings) == 0 {
		f.Add("readings", "", "at least one", contact.ErrMissing)
	}
	for i, r := range t.Readings {
		r.check(&f, fault.At("readings", i))
	}
	return f.Err()
}

var tapeFields = field.New[TapeSurvey]()

func (r *TapeReading) check(f *fault.List, path string) {
	if err := tapeKindNames.Check("kind", r.Kind); err != nil {
		f.In(path, err)
		return
	}
	if r.Kind == Tilt {
		f.Range(path+".value_deg", r.Value, -45, 45, "degrees")
		f.Range(path+".sigma_deg", r.Sigma, math.SmallestNonzeroFloat64, 10, "degrees")
		if r.From != "" || r.To != "" {
			f.Add(path, string(r.From)+" to "+string(r.To), "no start and no end for a tilt, which is the saddle's", contact.ErrConflict)
		}
		return
	}
	lo := -2000.0
	if r.Kind == Direct {
		lo = 0
	}
	f.Range(path+".value_mm", r.Value, lo, 2000, "mm")
	f.Range(path+".sigma_mm", r.Sigma, math.SmallestNonzeroFloat64, 100, "mm")
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
		f.Add(path+"."+end.name, value, "bottom_bracket, a contact site, or the ground for a vertical reading", class)
	}
	if r.From == r.To {
		f.Add(path, string(r.From)+" to itself", "two places", contact.ErrConflict)
	}
}

func tapeSite(l Landmark) (contact.Site, bool) {
	s, err := contact.ParseSite(string(l))
	return s, err == nil && s.Group() != contact.OnFeet
}

// Solve finds the sites that the readings name, by weighted least squares, with
// the covariance of all of them. Readings may be more than needed, and in any mix.
//
// Where no [Lateral] readings lead from the bottom bracket to a site, saddle and clamp are
// taken to be on the mid-plane to 2 mm, and left and right to be as far from it to
// 3 mm (common practice, no source). Of two points that satisfy the same distances, the
// one nearer to where that site usually is comes out.
//
// The Fix has no datum that [Fix.Locate] could use, and its Steer is 0. Besides
// the faults of [TapeSurvey.Validate] it reports [contact.ErrMissing] for
// coordinates that the readings leave
// free; [contact.ErrConflict] for readings that contradict one another, naming
// those that are most likely wrong and by how much; and whatever
// contact.Position.Validate finds in the result.
func (t TapeSurvey) Solve() (Fix, error) {
	if err := t.Validate(); err != nil {
		return Fix{}, err
	}
	p := newTapeProblem(&t)
	fit := lsq.Solve(p.start, p.rows, p.model)
	if err := p.undetermined(&fit); err != nil {
		return Fix{}, err
	}
	if err := p.contradiction(&fit); err != nil {
		return Fix{}, err
	}
	fix, err := p.fix(&fit)
	if err != nil {
		return Fix{}, err
	}
	var f fault.List
	f.In("position", fix.Position.Validate())
	if err := f.Err(); err != nil {
		return Fix{}, err
	}
	return fix, nil
}
