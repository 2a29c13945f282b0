package survey

import (
	"strconv"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/enum"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/field"
	"example.com/fitgeom/internal/saddle"
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
	// Tilt is the slope of the saddle that a level shows, in degrees, positive nose-up. It
	// has no start and no end.
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

// span is what a reading may be.
func (k TapeKind) span() (lo, hi float64) {
	switch k {
	case Tilt:
		return -45, 45
	case Direct:
		return 0, 2000
	default:
		return -2000, 2000
	}
}

// A TapeReading is one distance, offset or slope.
type TapeReading struct {
	Kind TapeKind
	// From and To are [BottomBracket], [Ground], a contact site ([At]), a landmark of
	// frame or wheels such as [FrontAxleLeft], or a mark of your own ([Mark]). A pedal is
	// measured with its crank horizontal and pointing forward. The edges of the saddle are
	// not for tapes: measure to the saddle reference, midway between them. Nor is its top: read
	// its Tilt.
	From, To Landmark
	// Value is in mm or degrees, with the sign that Kind defines.
	Value float64
	// Sigma is the standard uncertainty of Value, 0.001 to 100 mm or 10 degrees.
	Sigma float64
	// Together names the occasion of a reading, such as "plumb line 1", if it shares an
	// error with other readings: one plumb line that hangs a little beside its place, or
	// one mark for several readings. It is empty for a reading with errors of its own.
	Together string
	// Common is the standard uncertainty of the error that readings with the same Together
	// share, which makes the values of all of them larger or all smaller: 0.001 to 100 mm or
	// 10 degrees. It comes on top of Sigma. It is 0 where Together is empty.
	Common float64
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
	// Saddle is the saddle's profile, as far as it is known.
	Saddle contact.SaddleProfile `json:"saddle,omitzero" validate:"own"`
}

// sigmaLeast is less than any tape or level can tell. With smaller ones beside large ones,
// rounding would decide.
const sigmaLeast = 0.001

// How many readings a tape survey may have: each site three times; and how many places and
// how many errors that readings share.
const (
	mostReadings = 200
	mostPlaces   = 40
	mostShared   = 40
)

// Validate reports numbers that are out of range, kinds and places that do not exist,
// readings that go from a place to itself, and more than 200 readings, 40 places or 40
// different Together.
func (t TapeSurvey) Validate() error { return t.validate(nil) }

func (t *TapeSurvey) validate(m *work.Meter) error {
	var f fault.List
	tapeFields.Check(&f, t)
	f.In("saddle", t.Saddle.Validate())
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
	t.checkCounts(&f)
	return f.Err()
}

// checkCounts reports too many places, and too many errors that readings share.
func (t *TapeSurvey) checkCounts(f *fault.List) {
	places, shared := map[Landmark]bool{}, map[string]bool{"": true}
	for i := range t.Readings[:min(len(t.Readings), mostReadings)] {
		r := &t.Readings[i]
		places[r.From], places[r.To], shared[r.Together] = true, true, true
	}
	if len(places) > mostPlaces {
		f.Add("readings", strconv.Itoa(len(places))+" places", "at most "+strconv.Itoa(mostPlaces), contact.ErrRange)
	}
	if n := len(shared) - 1; n > mostShared {
		f.Add("readings", strconv.Itoa(n)+" different together", "at most "+strconv.Itoa(mostShared), contact.ErrRange)
	}
}

var tapeFields = field.New[TapeSurvey]()

func (r *TapeReading) validate() error {
	if err := tapeKindNames.Check("kind", r.Kind); err != nil {
		return err
	}
	var f fault.List
	most := 100.0
	if r.Kind == Tilt {
		most = 10
	}
	f.Together(r.Together, r.Common, sigmaLeast, most, r.Kind.unit())
	if r.Kind == Tilt {
		lo, hi := r.Kind.span()
		f.Range("value_deg", r.Value, lo, hi, "degrees")
		f.Range("sigma_deg", r.Sigma, sigmaLeast, 10, "degrees")
		if r.From != "" || r.To != "" {
			f.Add("", string(r.From)+" to "+string(r.To), "no start and no end: a tilt is always that of the saddle", contact.ErrConflict)
		}
		return f.Err()
	}
	lo, hi := r.Kind.span()
	f.Range("value_mm", r.Value, lo, hi, "mm")
	f.Range("sigma_mm", r.Sigma, sigmaLeast, 100, "mm")
	for _, end := range []struct {
		name string
		l    Landmark
	}{{"from", r.From}, {"to", r.To}} {
		if end.l.taped() || end.l == BottomBracket || end.l == Ground && r.Kind == Vertical {
			continue
		}
		class, value := contact.ErrUnknown, short(end.l)
		if end.l == "" {
			class, value = contact.ErrMissing, ""
		}
		f.Add(end.name, value, "bottom_bracket, a contact site, a landmark of the frame, a mark, or the ground for a vertical reading", class)
	}
	if r.From == r.To {
		f.Add("", string(r.From)+" to itself", "two different places", contact.ErrConflict)
	}
	return f.Err()
}

// taped reports whether tapes are held to a landmark: to all but the edges and the top of
// the saddle, and the points that give directions.
func (l Landmark) taped() bool { return l.known() && !seen[l] }

// Solve finds the places that the readings name, by weighted least squares, and the
// covariance of all of them. There may be more readings than needed, in any mix.
//
// What the readings leave undetermined is in [Fix.Free], and the sites that it is about
// are not in the position. Where readings tell less than the following, it is assumed
// (common practice, no source), and each range says how much of it is:
//
//   - Without [Lateral] readings that lead to them from the bottom bracket, saddle and
//     clamp lie on the mid-plane to 2 mm, and left and right are equally far from it to
//     3 mm; landmarks of frame and wheels and marks lie where they usually do across the
//     bike, to 5 to 30 mm.
//   - Nose and rear of the saddle lie on the straight line through its reference at its
//     tilt, to 6 mm, unless Saddle says where they lie. Where readings alone tell nearly
//     as much, or speak against it, this is not assumed.
//
// If two points satisfy the same distances, the one closer to the usual place of that site
// is returned, and the other is in [Fix.Others].
//
// [Fix.Locate] cannot use the Fix, which has no datum, and its Steer is 0. Besides the
// faults of [TapeSurvey.Validate] Solve reports [contact.ErrConflict] for readings that
// contradict one another, as none of a million good surveys does, naming every one that
// could be wrong, by how much and by which usual slips; and whatever
// contact.Position.Validate finds in the result. The Fix then has its Suspects, and nothing
// else.
func (t TapeSurvey) Solve() (Fix, error) {
	if err := t.Validate(); err != nil {
		return Fix{}, err
	}
	p := newTapeProblem(&t)
	found := p.find()
	wrong := p.wrong(found)
	if err := p.contradiction(&found.Best, wrong.Suspects); err != nil {
		return Fix{Suspects: wrong.Suspects}, err
	}
	fix, err := p.result(found, &wrong)
	if err != nil {
		return Fix{Suspects: wrong.Suspects}, err
	}
	fix.Suspects = wrong.Suspects
	if err := saddle.Carry(t.Saddle, &fix.Position, &fix.Covariance, &fix.Ranges, fix.Others); err != nil {
		return Fix{}, err
	}
	return fix, nil
}
