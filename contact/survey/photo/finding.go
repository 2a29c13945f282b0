package photo

import (
	"fmt"
	"strings"

	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/internal/enum"
)

// A FindingKind is the kind of a [Finding]. The zero FindingKind is not valid.
type FindingKind uint8

// The kinds of findings.
const (
	// SetAside: a mark lies so far from where all others have it that it was left out.
	// Amount is how far, pixels. Of marks that would explain what does not fit equally well
	// all are left out.
	SetAside FindingKind = iota + 1
	// MarkedOnce: only one of several photographs has the landmark. A mistake would not show,
	// and how far away it was is known from what is usual, or from its other side. Amount is
	// 0.
	MarkedOnce
	// Assumed: of one photograph, how far the landmark is from the mid-plane was assumed, or
	// stated, and most of its uncertainty is from there. Amount is what that makes of it in
	// the side view, as a standard uncertainty, mm.
	Assumed
	// CameraNear: the camera stood so near that places across the bike would have to be known
	// better: what is assumed of one makes 10 mm or more in the side view. Amount is how far
	// it stood from the bottom bracket, mm.
	CameraNear
	// LensDistorts: the camera's distortion was not stated and moves marks by more than they
	// are uncertain. It was found from the photographs. Amount is by how much, at most, pixels.
	LensDistorts
	// WheelNotRound: marks along a wheel lie on no circle about its axle, and did not count.
	// Amount is how far off, pixels. Landmark is one of the circles.
	WheelNotRound
	// Scattered: marks scatter more than is stated, by so much that the chance of it is less
	// than 1 in 10,000. Amount is the ratio. The uncertainties of the result are too small
	// by the same factor.
	Scattered
	// Leaned: hanging lines show that the bike leaned by more than 2°. The result is as if it had
	// stood straight. Amount is by how much, degrees, positive to the right.
	Leaned
	// Unmarked: no photograph has the landmark, or its other side, though all is measured from
	// it; what else is marked tells where it is. Amount is the standard uncertainty of that, mm.
	Unmarked
)

var findingKindNames = enum.New[FindingKind]("finding", []string{
	SetAside: "set_aside", MarkedOnce: "marked_once", Assumed: "assumed", CameraNear: "camera_near",
	LensDistorts: "lens_distorts", WheelNotRound: "wheel_not_round", Scattered: "scattered",
	Leaned: "leaned", Unmarked: "unmarked",
})

// String returns the kind's name, such as "set_aside".
func (k FindingKind) String() string { return findingKindNames.String(k) }

// MarshalText writes the kind's name; it fails for an unknown number.
func (k FindingKind) MarshalText() ([]byte, error) { return findingKindNames.Text(k) }

// UnmarshalText reads a name as [ParseFindingKind] does.
func (k *FindingKind) UnmarshalText(text []byte) error { return findingKindNames.Read(k, text) }

// ParseFindingKind returns the kind of that name, or a [*contact.Error] of class
// [contact.ErrUnknown].
func ParseFindingKind(name string) (FindingKind, error) { return findingKindNames.Parse(name) }

// A Finding is something that a person should know about photographs.
type Finding struct {
	Kind FindingKind
	// Photograph and Mark are the indexes of the photograph and of its mark; -1 where the
	// finding is about none.
	Photograph, Mark int
	// Landmark is the landmark concerned, or empty.
	Landmark survey.Landmark
	// Amount is in pixels, mm or a ratio, as the kind says.
	Amount float64
	// Others says what else would explain what does not fit, about as well, as documents name
	// it. It is empty but for [SetAside] and [WheelNotRound].
	Others []string
}

// String returns the finding in a short sentence.
func (f Finding) String() string {
	or := ""
	if len(f.Others) > 0 {
		or = " (it could be as well: " + strings.Join(f.Others, ", ") + ")"
	}
	switch f.Kind {
	case SetAside:
		return fmt.Sprintf("photograph %d: the mark of %s lies %.0f pixels from where the others have it and was set aside%s", f.Photograph, f.Landmark, f.Amount, or)
	case MarkedOnce:
		return fmt.Sprintf("%s: marked in one photograph, so a mistake would not show", f.Landmark)
	case Assumed:
		return fmt.Sprintf("%s: what is assumed of its place across the bike makes ± %.1f mm", f.Landmark, f.Amount)
	case CameraNear:
		return fmt.Sprintf("photograph %d: the camera stood %.0f mm from the bike, too near for what is known across it", f.Photograph, f.Amount)
	case LensDistorts:
		return fmt.Sprintf("photograph %d: the lens moves marks by up to %.0f pixels; a calibration would tell better", f.Photograph, f.Amount)
	case WheelNotRound:
		return fmt.Sprintf("%s: marks lie up to %.0f pixels off a circle about the axle and did not count%s", f.Landmark, f.Amount, or)
	case Scattered:
		return fmt.Sprintf("marks scatter %.1f times as much as stated", f.Amount)
	case Leaned:
		return fmt.Sprintf("the bike leaned by %.1f degrees (positive: to the right)", f.Amount)
	case Unmarked:
		return fmt.Sprintf("%s: marked in no photograph on either side; what else is marked tells it to ± %.0f mm", f.Landmark, f.Amount)
	default:
		return f.Kind.String()
	}
}
