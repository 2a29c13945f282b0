package motion

import "example.com/fitgeom/internal/strict"

// MarshalJSON fails: a [Motion] has no document. It follows from its [Recording].
func (m Motion) MarshalJSON() ([]byte, error) { return nil, strict.NoDocument("motion.Motion") }

// UnmarshalJSON fails, as MarshalJSON does.
func (m *Motion) UnmarshalJSON([]byte) error { return strict.NoDocument("motion.Motion") }

// MarshalJSON fails: a [Curve] has no document. It follows from a [Recording].
func (c Curve) MarshalJSON() ([]byte, error) { return nil, strict.NoDocument("motion.Curve") }

// UnmarshalJSON fails, as MarshalJSON does.
func (c *Curve) UnmarshalJSON([]byte) error { return strict.NoDocument("motion.Curve") }
