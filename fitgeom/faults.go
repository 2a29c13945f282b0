package fitgeom

import (
	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/check"
)

// faults is check.Faults with the tests of what is sound inlined, since every
// Position of a Build begins with some eighty of them.
type faults struct{ check.Faults }

func (f *faults) Range(path string, v, lo, hi float64, unit string) {
	if !(v >= lo && v <= hi) {
		f.Faults.Range(path, v, lo, hi, unit)
	}
}

func (f *faults) Length(path string, v, lo, hi float64) {
	if !(v >= lo && v <= hi) {
		f.Faults.Length(path, v, lo, hi)
	}
}

func (f *faults) In(prefix string, err error) {
	if err != nil {
		f.Faults.In(prefix, err)
	}
}

// match records two diameters that are not the same.
func (f *faults) match(path string, a, b float64, other string) {
	if !fits(a, b) {
		f.differ(path, a, b, other)
	}
}

func (f *faults) differ(path string, a, b float64, other string) {
	f.Add(path, text(a), text(b)+" as "+other, contact.ErrConflict)
}

func (f *faults) diameter(path string, v float64) { f.Range(path, v, 20, 45, "mm") }
