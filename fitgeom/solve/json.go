package solve

import "example.com/fitgeom/internal/strict"

// MarshalJSON fails: [Errors] have no document, since a frame of any kind may be in them.
func (e Errors) MarshalJSON() ([]byte, error) { return nil, strict.NoDocument("solve.Errors") }

// UnmarshalJSON fails, as MarshalJSON does.
func (e *Errors) UnmarshalJSON([]byte) error { return strict.NoDocument("solve.Errors") }
