package part

import (
	"strings"

	"example.com/fitgeom/internal/enum"
	"example.com/fitgeom/internal/fault"
)

// Kinds is a set of kinds of parts. The zero Kinds is the empty set.
type Kinds uint16

// The kinds of parts, one bit each; sets are made with |.
const (
	Caps Kinds = 1 << iota
	Stems
	Handlebars
	Levers
	AeroBars
	Seatposts
	Saddles
	Cranks
	Pedals
	Shims

	AllKinds Kinds = 1<<iota - 1 // every kind
)

// bit is the place of a kind in the set.
type bit uint8

var kindNames = enum.New[bit]("kind", []string{"caps", "stems", "handlebars", "levers", "aero_bars", "seatposts", "saddles", "cranks", "pedals", "shims"})

// Each returns the kinds of the set one by one, in the order of their constants.
func (k Kinds) Each() []Kinds {
	var all []Kinds
	for b := range 16 {
		if one := Kinds(1) << b; k&one != 0 {
			all = append(all, one)
		}
	}
	return all
}

// String lists the kinds by their names, as in "stems, handlebars"; "none" for the zero
// Kinds.
func (k Kinds) String() string {
	if k == 0 {
		return "none"
	}
	var all []string
	for b := range bit(16) {
		if k>>b&1 != 0 {
			all = append(all, kindNames.String(b))
		}
	}
	return strings.Join(all, ", ")
}

// Words lists the kinds for people, as in "stems, aero bars"; "nothing" for the zero Kinds.
func (k Kinds) Words() string {
	if k == 0 {
		return "nothing"
	}
	return strings.ReplaceAll(k.String(), "_", " ")
}

// MarshalText writes what String returns; it fails for an unknown bit.
func (k Kinds) MarshalText() ([]byte, error) {
	if k&^AllKinds != 0 {
		return nil, fault.New("kinds", k.String(), "kinds of this package", fault.ErrUnknown)
	}
	return []byte(k.String()), nil
}

// UnmarshalText reads a list as [ParseKinds] does.
func (k *Kinds) UnmarshalText(text []byte) error {
	got, err := ParseKinds(string(text))
	if err == nil {
		*k = got
	}
	return err
}

// ParseKinds returns the set of a list such as "stems, handlebars" or "none". Faults are
// [contact.ErrUnknown] for an unknown name, [contact.ErrConflict] for one that is listed
// twice.
func ParseKinds(list string) (Kinds, error) {
	var k Kinds
	if list == "none" {
		return 0, nil
	}
	for name := range strings.SplitSeq(list, ",") {
		b, err := kindNames.Parse(strings.TrimSpace(name))
		if err != nil {
			return 0, err
		}
		if k>>b&1 != 0 {
			return 0, fault.New("kinds", list, "each kind once", fault.ErrConflict)
		}
		k |= 1 << b
	}
	return k, nil
}
