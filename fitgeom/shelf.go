package fitgeom

import (
	"cmp"
	"math"
	"slices"
	"strconv"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/num"
)

// A Shelf is the parts that may be used, those on the bike now included. A bike
// needs a cap, a bar, a post, a saddle and cranks; a stem unless the bar is in
// one piece with its own; levers on a drop bar; and an aero bar if pads or
// extensions are asked for. If there are pedals, it gets one pair of them. The order of
// parts on the shelf decides between builds that are equal in everything else.
type Shelf struct {
	Caps       []part.HeadsetCap `json:"caps"`
	Spacers    []part.Spacer     `json:"spacers"`
	Stems      []part.Stem       `json:"stems"`
	Bars       []part.Bar        `json:"bars"`
	Levers     []part.Lever      `json:"levers,omitempty"`
	AeroBars   []part.AeroBar    `json:"aero_bars,omitempty"`
	Posts      []part.Post       `json:"posts"`
	Saddles    []part.Saddle     `json:"saddles"`
	Cranks     []part.Crank      `json:"cranks"`
	Pedals     []part.Pedal      `json:"pedals,omitempty"`
	Shims      []part.Shim       `json:"shims,omitempty"`
	CleatShims []part.Spacer     `json:"cleat_shims,omitempty"`
}

// Validate reports kinds that every bike needs and of which there is none
// ([contact.ErrMissing]) and everything that the parts' own Validate reports, as
// in "stems[2].angle".
func (s Shelf) Validate() error {
	var c faults
	each(&c, "caps", s.Caps, true)
	each(&c, "spacers", s.Spacers, false)
	each(&c, "stems", s.Stems, !slices.ContainsFunc(s.Bars, func(b part.Bar) bool { return b.OnePiece() }))
	each(&c, "bars", s.Bars, true)
	each(&c, "levers", s.Levers, slices.ContainsFunc(s.Bars, func(b part.Bar) bool { return b.Drop != part.DropBar{} }))
	each(&c, "aero_bars", s.AeroBars, false)
	each(&c, "posts", s.Posts, true)
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

// shim returns the shim that makes a part of one diameter fit another, and
// whether the part fits: without one if it does, or else with the first that
// fits, one that is on the bike before others.
func (s *Shelf) shim(inner, hole float64, now part.Shim) (part.Shim, bool) {
	if fits(inner, hole) {
		return part.Shim{}, true
	}
	suits := func(h part.Shim) bool { return fits(h.Inner, inner) && fits(h.Outer, hole) }
	if suits(now) && slices.Contains(s.Shims, now) {
		return now, true
	}
	if i := slices.IndexFunc(s.Shims, suits); i >= 0 {
		return s.Shims[i], true
	}
	return part.Shim{}, false
}

// tenth is what the height of spacers counts to, mm.
const tenth = 0.1

func tenths(v float64) int { return int(math.Round(v / tenth)) }

// A stack is some spacers from the shelf under and above the stem.
type stack struct {
	below, above   float64
	piecesBelow    []float64 // tallest first
	piecesAbove    []float64
	belowT, aboveT int // in tenths
}

// stacks returns every pair of heights under and above the stem, up to the
// given ones, that the spacers can make at one time, each with the fewest
// pieces; lowest first.
func stacks(spacers []part.Spacer, below, above float64) []stack {
	unit, sum := 0, 0.0 // the greatest common measure of all heights, in tenths
	for _, sp := range spacers {
		unit = gcd(unit, tenths(sp.Height))
		sum += sp.Height * float64(sp.Count)
	}
	if unit == 0 {
		return []stack{{}}
	}
	most := func(v float64) int { return int(math.Floor(min(v, sum)/tenth+1e-6)) / unit }
	rows, columns := most(below)+1, most(above)+1
	type cell struct {
		reached      bool
		below, above []float64
	}
	grid := make([]cell, rows*columns)
	grid[0].reached = true
	for _, sp := range spacers {
		h := tenths(sp.Height) / unit
		for range sp.Count {
			// From the end, so that the piece is not used twice.
			for at := len(grid) - 1; at > 0; at-- {
				to := &grid[at]
				better := func(from *cell) bool {
					return from.reached && (!to.reached || len(to.below)+len(to.above) > len(from.below)+len(from.above)+1)
				}
				if at/columns >= h {
					if from := &grid[at-h*columns]; better(from) {
						*to = cell{true, append(slices.Clip(from.below), sp.Height), from.above}
					}
				}
				if at%columns >= h {
					if from := &grid[at-h]; better(from) {
						*to = cell{true, from.below, append(slices.Clip(from.above), sp.Height)}
					}
				}
			}
		}
	}
	sorted := func(p []float64) []float64 {
		p = slices.Clone(p)
		slices.SortFunc(p, func(a, b float64) int { return cmp.Compare(b, a) })
		return p
	}
	var all []stack
	for at, c := range grid {
		if c.reached {
			b, a := at/columns*unit, at%columns*unit
			all = append(all, stack{float64(b) / 10, float64(a) / 10, sorted(c.below), sorted(c.above), b, a})
		}
	}
	return all
}

func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// What a steerer that was cut demands, mm.
const (
	steererGap  = 5 // the stem's upper edge above the steerer's, at most: ISO 4210-2:2015, 4.7.4
	preloadRoom = 2 // the topmost edge above the steerer's, at least: common practice, no source
)

// spacerRoom is the most spacers that a frame takes under a stem.
func spacerRoom(f *Frame, capHeight, stemHeight float64) float64 {
	most := f.MaxStack
	if f.SteererCut != 0 {
		most = min(most, f.SteererCut+steererGap-stemHeight)
	}
	return most - capHeight
}

// suiting returns the stacks that suit a steerer, lowest first: of those with
// one height under the stem, the one with the least above that covers the
// steerer.
func suiting(all []stack, f *Frame, capHeight, stemHeight float64) []stack {
	most := spacerRoom(f, capHeight, stemHeight)
	var out []stack
	for i := range all {
		s := &all[i]
		if s.below > most+1e-6 {
			break
		}
		if f.SteererCut != 0 && capHeight+s.below+stemHeight+s.above < f.SteererCut+preloadRoom-1e-6 {
			continue
		}
		if n := len(out); n == 0 || out[n-1].belowT != s.belowT {
			out = append(out, *s)
		}
	}
	return out
}

// stacksFor returns what the shelf's spacers can make on a frame.
func (s *Shelf) stacksFor(f *Frame) []stack {
	above := 0.0
	if f.SteererCut != 0 {
		above = min(150, f.SteererCut+preloadRoom)
	}
	return stacks(s.Spacers, f.MaxStack, above)
}

func text(v float64) string { return num.Text(v, "mm") }
