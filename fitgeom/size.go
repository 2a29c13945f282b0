package fitgeom

import (
	"example.com/fitgeom/contact"
)

// A Size is one frame of a catalogue: a family of frames in one of its sizes.
type Size struct {
	// Family and Label together name the size, such as "road" and "54". Neither is empty.
	Family string `json:"family"`
	Label  string `json:"label"`
	// Frame is the frame in this size.
	Frame Frame `json:"frame" validate:"own"`
	// Row is the line of the file from which the size was read, counted from 1. Zero: it
	// was not read from a file.
	Row int `json:"-"`
}

// Validate reports the faults of the frame, and a family or a label that is empty
// ([contact.ErrMissing]).
func (s Size) Validate() error { return s.validate() }

func (s *Size) validate() error {
	var c faults
	if s.Family == "" {
		c.Add("family", "", "a name", contact.ErrMissing)
	}
	if s.Label == "" {
		c.Add("label", "", "a name", contact.ErrMissing)
	}
	if err := s.Frame.validate(); err != nil {
		c.In("frame", err)
	}
	return c.Err()
}
