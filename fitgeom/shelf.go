package fitgeom

import (
	"cmp"
	"math"
	"slices"
	"strconv"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/check"
)

// A Shelf is the parts that may be used. A bike needs one of each kind but
// spacers, which it can do without. The order of parts on the shelf decides
// between builds that are equal in everything else.
type Shelf struct {
	Caps    []HeadsetCap `json:"caps"`
	Spacers []Spacer     `json:"spacers"`
	Stems   []Stem       `json:"stems"`
	Bars    []DropBar    `json:"bars"`
	Levers  []Lever      `json:"levers"`
	Posts   []Post       `json:"posts"`
	Saddles []Saddle     `json:"saddles"`
	Cranks  []Crank      `json:"cranks"`
}

// Validate reports kinds of which there is none ([contact.ErrMissing]) and
// everything that the parts' own Validate reports, as in "stems[2].angle".
func (s Shelf) Validate() error {
	var c check.Faults
	each(&c, "caps", s.Caps, true)
	each(&c, "spacers", s.Spacers, false)
	each(&c, "stems", s.Stems, true)
	each(&c, "bars", s.Bars, true)
	each(&c, "levers", s.Levers, true)
	each(&c, "posts", s.Posts, true)
	each(&c, "saddles", s.Saddles, true)
	each(&c, "cranks", s.Cranks, true)
	return c.Err()
}

func each[P interface{ Validate() error }](c *check.Faults, kind string, parts []P, need bool) {
	if need && len(parts) == 0 {
		c.Add(kind, "", "at least one", contact.ErrMissing)
	}
	for i, p := range parts {
		c.In(kind+"["+strconv.Itoa(i)+"]", p.Validate())
	}
}

// spacerUnit is what a spacer's height counts to, mm.
const spacerUnit = 0.01

// A stack is some spacers from the shelf, the tallest first.
type stack struct {
	height float64
	pieces []float64
}

// stacks returns every height up to most that the shelf's spacers can make,
// lowest first and beginning with none, each with the fewest pieces.
func (s Shelf) stacks(most float64) []stack {
	limit := int(math.Floor(most/spacerUnit + 1e-6))
	pieces := make([][]float64, limit+1)
	pieces[0] = []float64{}
	for _, sp := range s.Spacers {
		h := int(math.Round(sp.Height / spacerUnit))
		for range sp.Count {
			for u := limit - h; u >= 0; u-- {
				if pieces[u] != nil && (pieces[u+h] == nil || len(pieces[u+h]) > len(pieces[u])+1) {
					pieces[u+h] = append(slices.Clip(pieces[u]), sp.Height)
				}
			}
		}
	}
	var all []stack
	for u, p := range pieces {
		if p != nil {
			p = slices.Clone(p)
			slices.SortFunc(p, func(a, b float64) int { return cmp.Compare(b, a) })
			all = append(all, stack{height: float64(u) / 100, pieces: p})
		}
	}
	return all
}
