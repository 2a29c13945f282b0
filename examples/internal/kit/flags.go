package kit

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
)

// once is a flag that states a text, not empty and once.
type once struct{ text string }

func (o *once) String() string { return o.text }

// Set takes what was stated.
func (o *once) Set(s string) error {
	switch {
	case s == "":
		return errors.New("want a name, and this is empty")
	case o.text != "":
		return fmt.Errorf("want it once, and %q was stated before", o.text)
	}
	o.text = s
	return nil
}

// number is a flag that states a number within a range, once.
type number struct {
	to        *float64
	low, high float64
	unit      string
	stated    bool
}

func (n *number) String() string {
	if n.to == nil {
		return ""
	}
	return strconv.FormatFloat(*n.to, 'g', -1, 64)
}

// Set takes what was stated.
func (n *number) Set(s string) error {
	v, err := strconv.ParseFloat(s, 64)
	unit := n.unit
	if unit != "" {
		unit = " " + unit
	}
	want := fmt.Sprintf("want %v to %v%s", n.low, n.high, unit)
	within := func(v float64) bool { return v >= n.low && v <= n.high }
	switch {
	case n.stated:
		return fmt.Errorf("want it once, and %v was stated before", *n.to)
	case err != nil && strings.Count(s, ",") == 1:
		return errors.New(want + ", with a decimal point and no comma")
	case err != nil:
		return errors.New(want + ", as a number without its unit")
	case within(v):
		*n.to, n.stated = v, true
		return nil
	case n.unit == "mm" && within(10*v):
		return errors.New(want + "; it looks like centimetres")
	case n.unit == "mm" && within(25.4*v):
		return errors.New(want + "; it looks like inches")
	case n.unit == "" && within(v/100):
		return errors.New(want + "; it looks like per cent")
	}
	return errors.New(want)
}

// Number has a number within a range read: the one that the flag states, or else one that the
// page says nobody stated.
func (e *Example) Number(to *float64, flag string, usual, low, high float64, unit, usage string) {
	*to = usual
	if unit != "" {
		usage += ", " + unit
	}
	e.Flags.Var(&number{to: to, low: low, high: high, unit: unit}, flag, usage)
}
