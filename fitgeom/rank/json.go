package rank

import (
	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/strict"
)

// What documents have for a choice: its faults one by one, and no build where there are any.
type choiceDocument struct {
	Place  int                `json:"place" range:"0 to 1e9"`
	Shard  int                `json:"shard,omitzero" range:"0 to 1e9"`
	Size   fitgeom.Size       `json:"size"`
	Best   *fitgeom.Candidate `json:"best,omitzero"`
	Reason fitgeom.Reason     `json:"reason,omitzero"`
	By     float64            `json:"by,omitzero"`
	Faults []contact.Error    `json:"faults,omitempty"`
}

func (c Choice) document() choiceDocument {
	d := choiceDocument{Place: c.Place, Shard: c.Shard, Size: c.Size, Reason: c.Reason, By: c.By}
	for _, f := range contact.Faults(c.Fault) {
		d.Faults = append(d.Faults, *f)
	}
	if c.Fault == nil {
		d.Best = &c.Best
	}
	return d
}

func newChoice(d choiceDocument) (Choice, error) {
	c := Choice{Place: d.Place, Shard: d.Shard, Size: d.Size, Reason: d.Reason, By: d.By}
	var wrong, f fault.List
	for i := range d.Faults {
		wrong.In("", &d.Faults[i])
	}
	c.Fault = wrong.Err()
	switch {
	case d.Best != nil && c.Fault != nil:
		f.Add("best", "beside faults", "one of the two", contact.ErrConflict)
	case d.Best != nil:
		c.Best = *d.Best
	case c.Fault == nil:
		f.Add("best", "", "a build, or faults", contact.ErrMissing)
	}
	return c, f.Err()
}

func init() { strict.Register(Choice.document, newChoice) }

// MarshalJSON refuses: an [Index] has no document. The sizes have.
func (x Index) MarshalJSON() ([]byte, error) { return nil, strict.NoDocument("rank.Index") }

// UnmarshalJSON refuses, as MarshalJSON does.
func (x *Index) UnmarshalJSON([]byte) error { return strict.NoDocument("rank.Index") }

// MarshalJSON writes the choice as documents of package fitgeom/exchange have it: an error
// of Fault by its faults.
func (c Choice) MarshalJSON() ([]byte, error) { return strict.JSON(c) }

// UnmarshalJSON reads what MarshalJSON writes.
func (c *Choice) UnmarshalJSON(text []byte) error { return strict.Unmarshal(text, c) }
