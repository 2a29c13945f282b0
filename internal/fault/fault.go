// Package fault collects the faults of an input, so that all are reported together.
//
// Package contact has the error that callers see. It has the fields of [Fault]. This
// package cannot import it, so package contact tells it how to convert the two.
package fault

import (
	"errors"
	"strconv"

	"example.com/fitgeom/internal/num"
)

// The classes of faults, as package contact exports them.
var (
	ErrMissing  = errors.New("missing")
	ErrRange    = errors.New("out of range")
	ErrUnit     = errors.New("wrong unit")
	ErrConflict = errors.New("contradiction")
	ErrUnknown  = errors.New("unknown name")
	ErrBudget   = errors.New("more work than the budget allows")
)

// A Fault has the fields of contact.Error.
type Fault struct {
	Path  string
	Line  int
	Value string
	Want  string
	Class error
}

var (
	export func(*Fault) error
	fault  func(error) (*Fault, bool)
)

// Export tells how a fault becomes an error, and which errors are faults. Package
// contact calls it once, before anything else can.
func Export(as func(*Fault) error, is func(error) (*Fault, bool)) { export, fault = as, is }

// New returns one fault as an error.
func New(path, value, want string, class error) error {
	return export(short(Fault{Path: path, Value: value, Want: want, Class: class}))
}

// Each calls do for every fault that err holds, in the order in which they were
// found. Errors of other types are left out.
func Each(err error, do func(*Fault)) {
	if err == nil {
		return
	}
	if f, ok := fault(err); ok {
		do(f)
		return
	}
	if e, ok := err.(interface{ Unwrap() []error }); ok {
		for _, err := range e.Unwrap() {
			Each(err, do)
		}
		return
	}
	Each(errors.Unwrap(err), do)
}

// Join puts a path under a prefix, either of which may be empty.
func Join(prefix, path string) string {
	switch {
	case prefix == "":
		return path
	case path == "":
		return prefix
	case path[0] == '[':
		return prefix + path
	}
	return prefix + "." + path
}

// At returns the path of an element of a list.
func At(list string, i int) string { return list + "[" + strconv.Itoa(i) + "]" }

// Range records v unless lo <= v <= hi.
func (l *List) Range(path string, v, lo, hi float64, unit string) {
	if !(v >= lo && v <= hi) {
		l.outside(path, v, lo, hi, unit)
	}
}

func (l *List) outside(path string, v, lo, hi float64, unit string) {
	l.Add(path, num.Text(v, unit), num.Span(lo, hi, unit), ErrRange)
}

// Length is Range in mm for a length that is never small, so that other units show.
func (l *List) Length(path string, v, lo, hi float64) {
	if !(v >= lo && v <= hi) {
		l.noLength(path, v, lo, hi, "")
	}
}

// LengthOf is Length with words that say what the length is, as in " from the bottom
// bracket".
func (l *List) LengthOf(path string, v, lo, hi float64, what string) {
	if !(v >= lo && v <= hi) {
		l.noLength(path, v, lo, hi, what)
	}
}

func (l *List) noLength(path string, v, lo, hi float64, what string) {
	want, class := num.Span(lo, hi, "mm")+what, ErrRange
	if unit := num.Mistaken(v, lo, hi); unit != "" {
		want, class = want+"; it looks like "+unit, ErrUnit
	}
	l.Add(path, num.Text(v, "mm"), want, class)
}

// Optional is Range for a number whose zero value says "not stated".
func (l *List) Optional(path string, v, lo, hi float64, unit string) {
	if v != 0 {
		l.Range(path, v, lo, hi, unit)
	}
}

// Diameter is Range for a diameter that a part of a bicycle clamps or is clamped at.
func (l *List) Diameter(path string, v float64) { l.Range(path, v, 20, 45, "mm") }

// Steps holds the values From, From + Step and so on up to To.
type Steps struct{ From, To, Step float64 }

// A Range is what numbers may be, in a unit.
type Range struct {
	Lo, Hi float64
	Unit   string
}

// Fit reports whether List.Steps would find nothing wrong.
func (s *Steps) Fit(lo, hi float64, each bool) bool {
	return s.From >= lo && s.To >= s.From && s.To <= hi && (!s.stepped(each) || s.Step >= 0.5 && s.Step <= 1000)
}

func (s *Steps) stepped(each bool) bool { return s.Step != 0 || each && s.To != s.From }

// Steps records what is wrong with values that lie within a range. Each says that they
// are tried one by one.
func (l *List) Steps(path string, s Steps, in Range, each bool) {
	if s.Fit(in.Lo, in.Hi, each) {
		return
	}
	l.Range(path+".from", s.From, in.Lo, in.Hi, in.Unit)
	l.Range(path+".to", s.To, s.From, in.Hi, in.Unit)
	if s.stepped(each) {
		l.Range(path+".step", s.Step, 0.5, 1000, in.Unit)
	}
}

// Together checks what a reading shares with others: a name, and the standard uncertainty
// of the error that they have in common. Both are stated or none.
func (l *List) Together(name string, common, least, most float64, unit string) {
	path := "common_mm"
	if unit != "mm" {
		path = "common_deg"
	}
	switch {
	case name == "" && common == 0:
	case name == "":
		l.Add("together", "", "a name for what the readings share", ErrMissing)
	case len(name) > 100:
		l.Add("together", strconv.Quote(Name(name)), "a name of at most 100 bytes", ErrRange)
	case common == 0:
		l.Add(path, "", "the uncertainty that the readings share", ErrMissing)
	}
	l.Optional(path, common, least, most, unit)
}
