// Package check collects the faults of an input, so that all are reported together.
package check

import (
	"errors"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/num"
)

// Faults is the faults found so far. Its zero value has none.
type Faults struct{ errs []error }

// Err returns all faults as one error, or nil.
func (f *Faults) Err() error { return errors.Join(f.errs...) }

// Add records one fault.
func (f *Faults) Add(path, value, want string, class error) {
	f.errs = append(f.errs, &contact.Error{Path: path, Value: value, Want: want, Class: class})
}

// In records the faults of a part of the input under the part's name.
func (f *Faults) In(prefix string, err error) {
	if err != nil { // a test that is inlined: most parts are sound
		f.in(prefix, err)
	}
}

func (f *Faults) in(prefix string, err error) {
	for _, e := range contact.Faults(err) {
		under := *e
		under.Path = prefix + "." + e.Path
		f.errs = append(f.errs, &under)
	}
}

// Range records v unless lo <= v <= hi.
func (f *Faults) Range(path string, v, lo, hi float64, unit string) {
	if !(v >= lo && v <= hi) {
		f.outside(path, v, lo, hi, unit)
	}
}

func (f *Faults) outside(path string, v, lo, hi float64, unit string) {
	f.Add(path, num.Text(v, unit), num.Span(lo, hi, unit), contact.ErrRange)
}

// Length is Range in mm for a length that is never small, so that other units show.
func (f *Faults) Length(path string, v, lo, hi float64) {
	if !(v >= lo && v <= hi) {
		f.noLength(path, v, lo, hi)
	}
}

func (f *Faults) noLength(path string, v, lo, hi float64) {
	if unit := num.Mistaken(v, lo, hi); unit != "" {
		f.Add(path, num.Text(v, "mm"), num.Span(lo, hi, "mm")+"; it looks like "+unit, contact.ErrUnit)
		return
	}
	f.outside(path, v, lo, hi, "mm")
}

// Optional is Range for a number whose zero value says "not stated".
func (f *Faults) Optional(path string, v, lo, hi float64, unit string) {
	if v != 0 {
		f.Range(path, v, lo, hi, unit)
	}
}

// Diameter is Range for what a part of a bicycle clamps or is clamped at.
func (f *Faults) Diameter(path string, v float64) { f.Range(path, v, 20, 45, "mm") }

// Steps records what is wrong with values from, from + step and so on up to to,
// of which each is tried (all) or which are solved for.
func (f *Faults) Steps(path string, from, to, step, lo, hi float64, unit string, all bool) {
	steps := step != 0 || all && to != from
	if from >= lo && to >= from && to <= hi && (!steps || step >= 0.5 && step <= 1000) {
		return
	}
	f.Range(path+".from", from, lo, hi, unit)
	f.Range(path+".to", to, from, hi, unit)
	if steps {
		f.Range(path+".step", step, 0.5, 1000, unit)
	}
}
