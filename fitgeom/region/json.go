package region

import "example.com/fitgeom/internal/strict"

// MarshalJSON refuses: a [Region] has no document. Its outline and its placements are values.
func (r Region) MarshalJSON() ([]byte, error) { return nil, strict.NoDocument("region.Region") }

// UnmarshalJSON refuses, as MarshalJSON does.
func (r *Region) UnmarshalJSON([]byte) error { return strict.NoDocument("region.Region") }

// MarshalJSON refuses: a [Seat] has no document. Its outline is a value.
func (s Seat) MarshalJSON() ([]byte, error) { return nil, strict.NoDocument("region.Seat") }

// UnmarshalJSON refuses, as MarshalJSON does.
func (s *Seat) UnmarshalJSON([]byte) error { return strict.NoDocument("region.Seat") }
