package motion

import "example.com/fitgeom/internal/strict"

// MarshalJSON fails: a [Motion] has no document. It follows from its [Recording].
func (m Motion) MarshalJSON() ([]byte, error) { return nil, strict.NoDocument("motion.Motion") }

// UnmarshalJSON fails, as MarshalJSON does.
func (m *Motion) UnmarshalJSON([]byte) error { return strict.NoDocument("motion.Motion") }
