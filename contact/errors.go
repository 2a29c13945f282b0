package contact

import (
	"strconv"

	"example.com/fitgeom/internal/fault"
)

// The classes of faults. Every [*Error] unwraps to one of them, so that
// errors.Is tells what kind of fault an error holds.
var (
	// ErrMissing: something that is needed was not given, or is not known.
	ErrMissing = fault.ErrMissing
	// ErrRange: a number is not finite, or is outside its range.
	ErrRange = fault.ErrRange
	// ErrUnit: a number is out of range, and another unit (metres, centimetres, inches)
	// would explain it.
	ErrUnit = fault.ErrUnit
	// ErrConflict: values are sound one by one but cannot all be true, such as left and
	// right swapped.
	ErrConflict = fault.ErrConflict
	// ErrUnknown: a name, or the number of an enumeration, that does not exist.
	ErrUnknown = fault.ErrUnknown
	// ErrBudget: the answer needs more work than the budget of the call allows.
	ErrBudget = fault.ErrBudget
)

func init() {
	fault.Export(
		func(f *fault.Fault) error { return (*Error)(f) },
		func(err error) (*fault.Fault, bool) {
			e, ok := err.(*Error)
			return (*fault.Fault)(e), ok
		},
	)
}

// Error is one fault of an input. The text of an Error is for people and may
// change; match errors by class with errors.Is and by field with errors.As.
type Error struct {
	// Path names what is wrong, outermost first: "frame.geometry.head_angle_deg"; in a
	// document that was read, as a JSON pointer (RFC 6901): "/stems/2/length_mm".
	Path string
	// Line is the line of the document, from 1; 0 where there is none.
	Line int
	// Value is what was given, with its unit. It is empty where nothing was given.
	Value string
	// Want is the limit that Value breaks, or what is needed instead, with its unit.
	Want string
	// Class is one of the class variables of this package.
	Class error
}

// Error returns one line of text: the document's line if there is one, the path, the
// value and the limit.
func (e *Error) Error() string {
	s := e.Path
	if e.Line != 0 {
		s = "line " + strconv.Itoa(e.Line) + ": " + s
	}
	if e.Value != "" {
		s += " " + e.Value
	}
	if e.Class != nil && e.Value == "" {
		s += " " + e.Class.Error()
	}
	if e.Want != "" {
		s += ": want " + e.Want
	}
	return s
}

// Unwrap returns the class of the fault.
func (e *Error) Unwrap() error { return e.Class }

// Faults lists every [*Error] that err holds, in the order in which they were
// found. Errors of other types are left out; a nil err has no faults.
func Faults(err error) []*Error {
	var all []*Error
	fault.Each(err, func(f *fault.Fault) { all = append(all, (*Error)(f)) })
	return all
}
