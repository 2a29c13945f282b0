package record

import (
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom/rules"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/work"
)

// A History is the records of one rider in the order of time, each with its date.
type History []Record

// Add returns the history with a record more, behind those of the same day and earlier. A
// record without a date comes first, and Validate reports it.
func (h History) Add(r Record) History {
	i := len(h)
	for i > 0 && r.Date.Before(h[i-1].Date) {
		i--
	}
	return slices.Insert(slices.Clone(h), i, r)
}

// On returns the record that was the last on a day, so the position that the rider had then;
// false if there is none as early.
func (h History) On(day rules.Date) (Record, bool) {
	for _, r := range slices.Backward(h) {
		if !day.Before(r.Date) {
			return r, true
		}
	}
	return Record{}, false
}

// Changes returns the difference of each record from the one before, at a coverage as for
// [Compare]: one fewer than there are records. Faults are those of Validate and of Compare.
func (h History) Changes(coverage float64) ([]Difference, error) {
	if err := h.Validate(); err != nil {
		return nil, err
	}
	var all []Difference
	for i := 1; i < len(h); i++ {
		d, err := Compare(h[i-1], h[i], coverage)
		if err != nil {
			return nil, err
		}
		all = append(all, d)
	}
	return all, nil
}

// Validate reports what is wrong with each record, [contact.ErrMissing] for one without a
// date and [contact.ErrConflict] for one that is earlier than the one before.
func (h History) Validate() error { return h.validate(nil) }

func (h History) validate(m *work.Meter) error {
	var all fault.List
	for i := 0; i < len(h) && m.Do(10) && !all.Full(); i++ {
		at := fault.At("records", i)
		all.In(at, h[i].validate(m))
		switch {
		case h[i].Date == (rules.Date{}):
			all.Add(at+".date", "", "a date, as in 2026-01-01", contact.ErrMissing)
		case i > 0 && h[i].Date.Before(h[i-1].Date):
			all.Add(at+".date", h[i].Date.String(), "no earlier than the record before, "+h[i-1].Date.String(), contact.ErrConflict)
		}
	}
	return all.Err()
}

func init() { work.Validator(func(m *work.Meter, h History) error { return h.validate(m) }) }
