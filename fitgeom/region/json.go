package region

import "example.com/fitgeom/internal/strict"

// MarshalJSON returns an error: a [Region] has no document form. Its outlines and
// placements are plain values.
func (r Region) MarshalJSON() ([]byte, error) { return nil, strict.NoDocument("region.Region") }

// UnmarshalJSON returns an error, as MarshalJSON does.
func (r *Region) UnmarshalJSON([]byte) error { return strict.NoDocument("region.Region") }

// MarshalJSON returns an error: a [Seat] has no document form. The ranges that its methods
// return are plain values.
func (s Seat) MarshalJSON() ([]byte, error) { return nil, strict.NoDocument("region.Seat") }

// UnmarshalJSON returns an error, as MarshalJSON does.
func (s *Seat) UnmarshalJSON([]byte) error { return strict.NoDocument("region.Seat") }
