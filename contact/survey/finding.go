package survey

import (
	"fmt"
	"strings"

	"example.com/fitgeom/internal/enum"
)

// A FindingKind is the kind of a [Finding]. The zero FindingKind is not valid.
type FindingKind uint8

// The kinds of findings.
const (
	// SetAside: one reading lies so far from the others of its landmark that it was left
	// out. Amount is its distance from their mean, mm.
	SetAside FindingKind = iota + 1
	// ReadOnce: the landmark was read only once, so a mistake would not show. Amount is
	// 0.
	ReadOnce
	// Crooked: a left and a right landmark of the saddle or the bar are not mirror
	// images, by more than measuring error and by more than is usual (3 mm at the saddle,
	// 5 mm at the bar; common practice, no source). Amount is the distance from one to
	// the mirror image of the other, mm.
	Crooked
	// WheelTurned: the front wheel was turned. Amount is the steering angle in degrees,
	// positive to the left. Everything that turns with the wheel is given as it is with
	// the wheel straight.
	WheelTurned
	// Scattered: the readings scatter more than their stated uncertainty, by so much that
	// the chance of it is less than 1 in 10,000. Amount is the ratio of the scatter to
	// the stated uncertainty. The stated uncertainties of the result are too small by the
	// same factor.
	Scattered
	// OffCentre: the point midway between a left and a right landmark of the frame lies
	// beside the mid-plane, and did not count for it. An axle has one end that sticks out
	// further, or the wheel does not sit in the middle. Amount is how far, mm, positive to
	// the left.
	OffCentre
	// Askew: the line from right to left is not square to the mid-plane and did not count
	// for it. Amount is by how much one end lies ahead of the other or above it, mm.
	Askew
	// OutOfTrue: the pairs of the frame mirror each other less well than is usual. Amount
	// is how far each landmark is off, as a standard uncertainty, mm. The result allows for
	// it.
	OutOfTrue
)

var findingKindNames = enum.New[FindingKind]("finding", []string{SetAside: "set_aside", ReadOnce: "read_once", Crooked: "crooked", WheelTurned: "wheel_turned", Scattered: "scattered", OffCentre: "off_centre", Askew: "askew", OutOfTrue: "out_of_true"})

// String returns the kind's name, such as "set_aside".
func (k FindingKind) String() string { return findingKindNames.String(k) }

// MarshalText writes the kind's name; it fails for an unknown number.
func (k FindingKind) MarshalText() ([]byte, error) { return findingKindNames.Text(k) }

// UnmarshalText reads a name as [ParseFindingKind] does.
func (k *FindingKind) UnmarshalText(text []byte) error { return findingKindNames.Read(k, text) }

// ParseFindingKind returns the kind of that name, or a [*contact.Error] of class
// [contact.ErrUnknown].
func ParseFindingKind(name string) (FindingKind, error) { return findingKindNames.Parse(name) }

// A Finding is something that a person should know about a survey.
type Finding struct {
	Kind FindingKind `json:"kind"`
	// Landmark is the landmark concerned. The left one of a pair stands for both. It is
	// empty for the survey as a whole.
	Landmark Landmark `json:"landmark,omitempty"`
	// Reading is the index in Survey.Readings of the reading that was set aside; -1
	// otherwise.
	Reading int `json:"reading" range:"-1 to 1e9"`
	// Amount is in mm, degrees or a ratio, as the kind says.
	Amount float64 `json:"amount,omitzero"`
	// Others are the left landmarks of other pairs that would explain as well what does not
	// fit, though less likely so. It is empty but for [OffCentre] and [Askew].
	Others []Landmark `json:"others,omitempty"`
}

// String returns the finding in a short sentence.
func (f Finding) String() string {
	switch f.Kind {
	case SetAside:
		return fmt.Sprintf("%s: reading %d lies %.1f mm from the others and was set aside", f.Landmark, f.Reading, f.Amount)
	case ReadOnce:
		return fmt.Sprintf("%s: read once, so a mistake would not show", f.Landmark)
	case Crooked:
		return fmt.Sprintf("%s: %.1f mm from the mirror image of the right one", f.Landmark, f.Amount)
	case WheelTurned:
		return fmt.Sprintf("front wheel turned by %.1f degrees (positive: left)", f.Amount)
	case Scattered:
		return fmt.Sprintf("readings scatter %.1f times as much as stated", f.Amount)
	case OffCentre:
		return fmt.Sprintf("%s: midway to the right one it is %.1f mm beside the mid-plane (positive: left), which did not count%s", f.Landmark, f.Amount, f.or())
	case Askew:
		return fmt.Sprintf("%s: the line to the right one is %.1f mm off square to the mid-plane and did not count%s", f.Landmark, f.Amount, f.or())
	case OutOfTrue:
		return fmt.Sprintf("the frame's left and right are out of true by %.1f mm", f.Amount)
	default:
		return f.Kind.String()
	}
}

// or says what else could explain a finding.
func (f *Finding) or() string {
	if len(f.Others) == 0 {
		return ""
	}
	names := make([]string, len(f.Others))
	for i, l := range f.Others {
		names[i] = string(l)
	}
	return " (less likely: " + strings.Join(names, ", ") + ")"
}
