package fitgeom

import (
	"strconv"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/rig"
)

// faults is fault.List with a check for parts of bicycles.
type faults struct{ fault.List }

// A joint is how parts meet: by a diameter, or by the name of an interface.
type joint struct {
	diameter float64
	name     string
}

func (j joint) text() string {
	if j.name != "" {
		return strconv.Quote(j.name)
	}
	return text(j.diameter)
}

// meets reports whether two parts meet.
func (j joint) meets(other joint) bool {
	if j.name != "" || other.name != "" {
		return j.name == other.name
	}
	return rig.Fits(j.diameter, other.diameter)
}

// match records two parts that do not meet.
func (f *faults) match(path string, a, b joint, other string) {
	if !a.meets(b) { // a test that is inlined: most parts meet
		f.apart(path, a, b, other)
	}
}

func (f *faults) apart(path string, a, b joint, other string) {
	f.Add(path, a.text(), b.text()+" as "+other, contact.ErrConflict)
}

// settable records a setting of a part that cannot be set.
func (f *faults) settable(path string, v float64, to *part.Steps, what string) {
	if v != 0 && *to == (part.Steps{}) {
		f.Add(path, "set", what, contact.ErrConflict)
	}
}
