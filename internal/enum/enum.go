// Package enum gives enumerations their texts: String, MarshalText, UnmarshalText and
// Parse from one table of names.
package enum

import (
	"slices"
	"strconv"
	"strings"

	"example.com/fitgeom/internal/fault"
)

// Names is the names of an enumeration, by its numbers. A number without a name,
// such as 0 where one must be chosen, is no member of it.
type Names[E ~uint8] struct {
	kind  string // what a member is, for errors: "site"
	names []string
	want  string // what errors say is wanted
}

// New makes a table. Kind is what a member is called in errors. Names differ from one
// another; an empty name stands for no member.
func New[E ~uint8](kind string, names []string) *Names[E] {
	n := &Names[E]{kind: kind, names: names}
	all := slices.DeleteFunc(slices.Clone(names), func(s string) bool { return s == "" })
	n.want = "one of " + strings.Join(all, ", ")
	if len(all) > 12 {
		n.want = "a name such as " + all[0] + " or " + all[len(all)/3]
	}
	return n
}

// Valid reports whether e is a member.
func (n *Names[E]) Valid(e E) bool { return int(e) < len(n.names) && n.names[e] != "" }

// All returns the members in the order of their numbers.
func (n *Names[E]) All() []E {
	var all []E
	for i, s := range n.names {
		if s != "" {
			all = append(all, E(i))
		}
	}
	return all
}

// String returns the name, or the kind with the number if there is none: "site(0)".
func (n *Names[E]) String(e E) string {
	if !n.Valid(e) {
		return n.kind + "(" + strconv.Itoa(int(e)) + ")"
	}
	return n.names[e]
}

// Check returns a fault of class ErrUnknown for a number that is not a member.
func (n *Names[E]) Check(path string, e E) error {
	if n.Valid(e) {
		return nil
	}
	value := "number " + strconv.Itoa(int(e))
	if e == 0 {
		value = "none" // it was not chosen
	}
	return fault.New(path, value, n.want, fault.ErrUnknown)
}

// Text is MarshalText.
func (n *Names[E]) Text(e E) ([]byte, error) {
	if err := n.Check(n.kind, e); err != nil {
		return nil, err
	}
	return []byte(n.names[e]), nil
}

// Parse returns the member of that name, or a fault of class ErrUnknown.
func (n *Names[E]) Parse(name string) (E, error) {
	if i := slices.Index(n.names, name); i >= 0 && name != "" {
		return E(i), nil
	}
	return 0, fault.New(n.kind, strconv.Quote(fault.Name(name)), n.want, fault.ErrUnknown)
}

// Read is UnmarshalText.
func (n *Names[E]) Read(to *E, text []byte) error {
	e, err := n.Parse(string(text))
	if err == nil {
		*to = e
	}
	return err
}
