package rules

import (
	"fmt"

	"example.com/fitgeom/contact"
)

// A Date is a day of the calendar, as at the place of the race. The zero Date is none: not
// known, or not stated.
type Date struct {
	Year  int // 1 to 9999
	Month int // 1 to 12
	Day   int // of the month, from 1
}

// ParseDate reads a date as in "2026-01-01", or an empty text as the zero Date. Of anything
// else, and of a day that no calendar has, it returns a [*contact.Error] of class
// [contact.ErrRange].
func ParseDate(text string) (d Date, err error) {
	err = d.UnmarshalText([]byte(text))
	return d, err
}

// String returns the date as in "2026-01-01"; "" for the zero Date.
func (d Date) String() string {
	if d == (Date{}) {
		return ""
	}
	return fmt.Sprintf("%04d-%02d-%02d", d.Year, d.Month, d.Day)
}

// Validate reports a day that no calendar has, and years beyond 1 to 9999.
func (d Date) Validate() error {
	if d == (Date{}) {
		return nil
	}
	days := [...]int{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}
	if d.Year%4 == 0 && d.Year%100 != 0 || d.Year%400 == 0 {
		days[1] = 29
	}
	if d.Year < 1 || d.Year > 9999 || d.Month < 1 || d.Month > 12 || d.Day < 1 || d.Day > days[d.Month-1] {
		return badDate(d.String())
	}
	return nil
}

func badDate(value string) error {
	return &contact.Error{Path: "date", Value: value, Want: "a day of the calendar as in 2026-01-01", Class: contact.ErrRange}
}

// Before reports whether the day comes before another.
func (d Date) Before(e Date) bool {
	switch {
	case d.Year != e.Year:
		return d.Year < e.Year
	case d.Month != e.Month:
		return d.Month < e.Month
	}
	return d.Day < e.Day
}

// MarshalText writes the date as String does; it fails for what Validate reports.
func (d Date) MarshalText() ([]byte, error) {
	if err := d.Validate(); err != nil {
		return nil, err
	}
	return []byte(d.String()), nil
}

// UnmarshalText reads a date as [ParseDate] does.
func (d *Date) UnmarshalText(text []byte) error {
	var to Date
	if len(text) != 0 {
		if n, err := fmt.Sscanf(string(text), "%4d-%2d-%2d", &to.Year, &to.Month, &to.Day); n != 3 || err != nil || to.String() != string(text) {
			return badDate(string(text))
		}
		if err := to.Validate(); err != nil {
			return err
		}
	}
	*d = to
	return nil
}
