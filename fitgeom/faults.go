package fitgeom

import (
	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/rig"
)

// faults is fault.List with a check for parts of bicycles.
type faults struct{ fault.List }

// match records two diameters that are not the same.
func (f *faults) match(path string, a, b float64, other string) {
	if !rig.Fits(a, b) {
		f.differ(path, a, b, other)
	}
}

func (f *faults) differ(path string, a, b float64, other string) {
	f.Add(path, text(a), text(b)+" as "+other, contact.ErrConflict)
}
