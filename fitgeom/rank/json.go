package rank

import "example.com/fitgeom/internal/strict"

// MarshalJSON refuses: an [Index] has no document. The sizes have.
func (x Index) MarshalJSON() ([]byte, error) { return nil, strict.NoDocument("rank.Index") }

// UnmarshalJSON refuses, as MarshalJSON does.
func (x *Index) UnmarshalJSON([]byte) error { return strict.NoDocument("rank.Index") }

// MarshalJSON refuses: a [Choice] has no document, since its Fault is an error. Its Size and Best have.
func (c Choice) MarshalJSON() ([]byte, error) { return nil, strict.NoDocument("rank.Choice") }

// UnmarshalJSON refuses, as MarshalJSON does.
func (c *Choice) UnmarshalJSON([]byte) error { return strict.NoDocument("rank.Choice") }
