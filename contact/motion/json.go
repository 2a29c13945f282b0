package motion

import "example.com/fitgeom/internal/strict"

// MarshalJSON refuses: a [Motion] has no document. Its [Recording] holds all of it.
func (m Motion) MarshalJSON() ([]byte, error) { return nil, strict.NoDocument("motion.Motion") }

// UnmarshalJSON refuses, as MarshalJSON does.
func (m *Motion) UnmarshalJSON([]byte) error { return strict.NoDocument("motion.Motion") }
