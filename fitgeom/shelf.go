package fitgeom

import (
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/work"
)

// A Shelf is the parts that may be used, including those on the bike now. A bike needs a
// cap, a handlebar, a seatpost, a saddle and cranks; a stem unless bar and stem are one
// piece; levers on a drop bar; and an aero bar if pads or extensions are asked for. If
// there are pedals, it gets one pair of them. The order of parts on the shelf decides
// between builds that are equal in everything else.
type Shelf struct {
	Caps       []part.HeadsetCap `json:"caps"`
	Spacers    []part.Spacer     `json:"spacers"`
	Stems      []part.Stem       `json:"stems"`
	Handlebars []part.Handlebar  `json:"handlebars"`
	Levers     []part.Lever      `json:"levers,omitempty"`
	AeroBars   []part.AeroBar    `json:"aero_bars,omitempty"`
	Seatposts  []part.Seatpost   `json:"seatposts"`
	Saddles    []part.Saddle     `json:"saddles"`
	Cranks     []part.Crank      `json:"cranks"`
	Pedals     []part.Pedal      `json:"pedals,omitempty"`
	Shims      []part.Shim       `json:"shims,omitempty"`
	CleatShims []part.Spacer     `json:"cleat_shims,omitempty"`
}

// Validate reports each kind of part that every bike needs and the shelf lacks
// ([contact.ErrMissing]), and the faults of the parts, as in "stems[2].angle_deg".
func (s Shelf) Validate() error { return s.validate(nil) }

func (s *Shelf) validate(m *work.Meter) error {
	c := shelfFaults{meter: m}
	check(&c, "caps", s.Caps, true)
	check(&c, "spacers", s.Spacers, false)
	check(&c, "stems", s.Stems, !slices.ContainsFunc(s.Handlebars, func(b part.Handlebar) bool { return b.OnePiece() }))
	check(&c, "handlebars", s.Handlebars, true)
	check(&c, "levers", s.Levers, slices.ContainsFunc(s.Handlebars, func(b part.Handlebar) bool { return b.Drop != part.DropBar{} }))
	check(&c, "aero_bars", s.AeroBars, false)
	check(&c, "seatposts", s.Seatposts, true)
	check(&c, "saddles", s.Saddles, true)
	check(&c, "cranks", s.Cranks, true)
	check(&c, "pedals", s.Pedals, false)
	check(&c, "shims", s.Shims, false)
	check(&c, "cleat_shims", s.CleatShims, false)
	return c.Err()
}

// shelfFaults is the faults of a shelf, and what counts the parts that were looked at.
type shelfFaults struct {
	fault.List
	meter *work.Meter
}

func check[P interface{ Validate() error }](c *shelfFaults, kind string, parts []P, need bool) {
	if need && len(parts) == 0 {
		c.Add(kind, "", "at least one", contact.ErrMissing)
	}
	for i := 0; i < len(parts) && c.meter.Do(1) && !c.Full(); i++ {
		if err := parts[i].Validate(); err != nil {
			c.In(fault.At(kind, i), err)
		}
	}
}

func text(v float64) string { return num.Text(v, "mm") }
