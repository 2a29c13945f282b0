package fitgeom

import (
	"slices"
	"strconv"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/num"
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
func (s Shelf) Validate() error {
	var c faults
	each(&c, "caps", s.Caps, true)
	each(&c, "spacers", s.Spacers, false)
	each(&c, "stems", s.Stems, !slices.ContainsFunc(s.Handlebars, func(b part.Handlebar) bool { return b.OnePiece() }))
	each(&c, "handlebars", s.Handlebars, true)
	each(&c, "levers", s.Levers, slices.ContainsFunc(s.Handlebars, func(b part.Handlebar) bool { return b.Drop != part.DropBar{} }))
	each(&c, "aero_bars", s.AeroBars, false)
	each(&c, "seatposts", s.Seatposts, true)
	each(&c, "saddles", s.Saddles, true)
	each(&c, "cranks", s.Cranks, true)
	each(&c, "pedals", s.Pedals, false)
	each(&c, "shims", s.Shims, false)
	each(&c, "cleat_shims", s.CleatShims, false)
	return c.Err()
}

func each[P interface{ Validate() error }](c *faults, kind string, parts []P, need bool) {
	if need && len(parts) == 0 {
		c.Add(kind, "", "at least one", contact.ErrMissing)
	}
	for i := range parts {
		if err := parts[i].Validate(); err != nil {
			c.In(kind+"["+strconv.Itoa(i)+"]", err)
		}
	}
}

func text(v float64) string { return num.Text(v, "mm") }
