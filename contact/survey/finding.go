package survey

import (
	"fmt"

	"example.com/fitgeom/internal/enum"
)

// A FindingKind says what a [Finding] is about. The zero FindingKind is none.
type FindingKind uint8

// The kinds of findings.
const (
	// SetAside: one reading lies so far from the others of its landmark that it
	// was left out. Amount is how far it lies from their mean, mm.
	SetAside FindingKind = iota + 1
	// ReadOnce: the landmark was read once, so that nothing would show a slip.
	// Amount is 0.
	ReadOnce
	// Crooked: a left and a right landmark of saddle or bar do not mirror each
	// other, by more than measuring error and by more than is usual (3 mm at
	// the saddle, 5 mm at the bar; common practice, no source). Amount is how
	// far one is from the mirror of the other, mm.
	Crooked
	// WheelTurned: the front wheel was turned. Amount is by how much, degrees,
	// positive to the left. Everything that turns with it is given as with the wheel straight.
	WheelTurned
	// Scattered: the readings scatter more than their stated uncertainty, for
	// which there is less than one chance in 10,000. Amount is how many times
	// more; the stated uncertainties of the result are too small by as much.
	Scattered
)

var findingKindNames = enum.New[FindingKind]("finding", []string{SetAside: "set_aside", ReadOnce: "read_once", Crooked: "crooked", WheelTurned: "wheel_turned", Scattered: "scattered"})

// String returns the kind's name, such as "set_aside".
func (k FindingKind) String() string { return findingKindNames.String(k) }

// MarshalText writes the kind's name; it fails for a number that is none.
func (k FindingKind) MarshalText() ([]byte, error) { return findingKindNames.Text(k) }

// UnmarshalText reads a name as [ParseFindingKind] does.
func (k *FindingKind) UnmarshalText(text []byte) error { return findingKindNames.Read(k, text) }

// ParseFindingKind returns the kind of that name, or a [*contact.Error] of class [contact.ErrUnknown].
func ParseFindingKind(name string) (FindingKind, error) { return findingKindNames.Parse(name) }

// A Finding is something about a survey that a person should know.
type Finding struct {
	Kind FindingKind
	// Landmark is what it is about, the left one of a pair standing for both;
	// empty for the survey as a whole.
	Landmark Landmark
	// Reading is the place in Survey.Readings of the reading that was set aside; -1 otherwise.
	Reading int
	// Amount is in mm or degrees, as the kind says.
	Amount float64
}

// String returns the finding in a short sentence.
func (f Finding) String() string {
	switch f.Kind {
	case SetAside:
		return fmt.Sprintf("%s: reading %d lies %.1f mm from the others and was set aside", f.Landmark, f.Reading, f.Amount)
	case ReadOnce:
		return fmt.Sprintf("%s: read once, so that nothing would show a slip", f.Landmark)
	case Crooked:
		return fmt.Sprintf("%s: left and right are %.1f mm from mirroring each other", f.Landmark, f.Amount)
	case WheelTurned:
		return fmt.Sprintf("front wheel turned by %.1f degrees (positive: left)", f.Amount)
	case Scattered:
		return fmt.Sprintf("readings scatter %.1f times as much as stated", f.Amount)
	default:
		return f.Kind.String()
	}
}
