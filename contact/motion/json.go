package motion

import "example.com/fitgeom/internal/strict"

// MarshalJSON fails: a [Motion] has no document. It follows from its [Recording].
func (m Motion) MarshalJSON() ([]byte, error) { return nil, strict.NoDocument("motion.Motion") }

// UnmarshalJSON fails, as MarshalJSON does.
func (m *Motion) UnmarshalJSON([]byte) error { return strict.NoDocument("motion.Motion") }

// MarshalJSON fails: a [Live] has no document. It is a memory of frames.
func (l Live) MarshalJSON() ([]byte, error) { return nil, strict.NoDocument("motion.Live") }

// UnmarshalJSON fails, as MarshalJSON does.
func (l *Live) UnmarshalJSON([]byte) error { return strict.NoDocument("motion.Live") }

// MarshalJSON fails: a [Curve] has no document. It follows from a [Recording].
func (c Curve) MarshalJSON() ([]byte, error) { return nil, strict.NoDocument("motion.Curve") }

// UnmarshalJSON fails, as MarshalJSON does.
func (c *Curve) UnmarshalJSON([]byte) error { return strict.NoDocument("motion.Curve") }
