package strict

import "example.com/fitgeom/internal/fault"

// NoDocument is the error of MarshalJSON and UnmarshalJSON of a type that no document
// holds, such as "survey.Fix": encoding/json would leave out in silence what only the
// type's own package sees.
func NoDocument(name string) error {
	return fault.New(name, "", "a type that documents have", fault.ErrUnknown)
}
