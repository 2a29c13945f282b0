package design

import "example.com/fitgeom/internal/strict"

// MarshalJSON refuses: a [Design] has no document. Its geometry has, and what its methods
// return are plain values.
func (d Design) MarshalJSON() ([]byte, error) { return nil, strict.NoDocument("design.Design") }

// UnmarshalJSON refuses, as MarshalJSON does.
func (d *Design) UnmarshalJSON([]byte) error { return strict.NoDocument("design.Design") }
