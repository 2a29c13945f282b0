package solve

import (
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/strict"
)

// What documents have for a change: by how much, in the unit of its limit.
type changeDocument struct {
	Limit fitgeom.Limit `json:"limit"`
	ByMM  *float64      `json:"by_mm,omitzero" range:"0 to 1e9"`
	ByDeg *float64      `json:"by_deg,omitzero" range:"0 to 1e9"`
}

func init() {
	strict.Register(
		func(c Change) changeDocument {
			d := changeDocument{Limit: c.Limit}
			d.ByMM, d.ByDeg = strict.In(c.By, c.Limit.Unit())
			return d
		},
		func(d changeDocument) (Change, error) {
			var f fault.List
			c := Change{Limit: d.Limit, By: strict.Amount(&f, "by", d.Limit.Unit(), d.ByMM, d.ByDeg, true)}
			return c, f.Err()
		},
	)
}

// MarshalJSON writes the change as documents of package fitgeom/exchange have it.
func (c Change) MarshalJSON() ([]byte, error) { return strict.JSON(c) }

// UnmarshalJSON reads what MarshalJSON writes.
func (c *Change) UnmarshalJSON(text []byte) error { return strict.Unmarshal(text, c) }

// MarshalJSON writes the obstacle as documents of package fitgeom/exchange have it.
func (o Obstacle) MarshalJSON() ([]byte, error) { return strict.JSON(o) }

// UnmarshalJSON reads what MarshalJSON writes.
func (o *Obstacle) UnmarshalJSON(text []byte) error { return strict.Unmarshal(text, o) }

// MarshalJSON fails: [Errors] have no document, since a frame of any kind may be in them.
func (e Errors) MarshalJSON() ([]byte, error) { return nil, strict.NoDocument("solve.Errors") }

// UnmarshalJSON fails, as MarshalJSON does.
func (e *Errors) UnmarshalJSON([]byte) error { return strict.NoDocument("solve.Errors") }
