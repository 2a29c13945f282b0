package part

import "strings"

// Kinds is a set of kinds of parts. The zero Kinds is none.
type Kinds uint16

// The kinds of parts, one bit each; sets are made with |.
const (
	Caps Kinds = 1 << iota
	Stems
	Bars
	Levers
	AeroBars
	Posts
	Saddles
	Cranks
	Pedals
	Shims

	AllKinds Kinds = 1<<iota - 1 // every kind
)

var kindNames = [...]string{"cap", "stem", "bar", "levers", "aero bar", "post", "saddle", "cranks", "pedals", "shim"}

// String lists the kinds, as in "stem, bar".
func (k Kinds) String() string {
	var all []string
	for i, name := range kindNames {
		if k>>i&1 != 0 {
			all = append(all, name)
		}
	}
	if len(all) == 0 {
		return "nothing"
	}
	return strings.Join(all, ", ")
}
