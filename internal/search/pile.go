package search

import (
	"cmp"
	"math"
	"slices"

	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
)

// tenth is what the height of spacers counts to, mm.
const tenth = 0.1

func tenths(v float64) int { return int(math.Round(v / tenth)) }

// A Pile is some spacers from the shelf under and above the stem.
type Pile struct {
	Below, Above             float64   // mm
	PiecesBelow, PiecesAbove []float64 // tallest first
	tenths                   int       // of Below
}

// Piles returns every pair of heights under and above the stem, up to the
// given ones, that the spacers can make at one time, each with the fewest
// pieces; lowest first.
func Piles(spacers []part.Spacer, below, above float64) []Pile {
	unit, sum := 0, 0.0 // the greatest common measure of all heights, in tenths
	for _, sp := range spacers {
		unit = gcd(unit, tenths(sp.Height))
		sum += sp.Height * float64(sp.Count)
	}
	if unit == 0 {
		return []Pile{{}}
	}
	most := func(v float64) int { return int(math.Floor(min(v, sum)/tenth+1e-6)) / unit }
	g := pileGrid{columns: most(above) + 1}
	g.cells = make([]pileCell, (most(below)+1)*g.columns)
	g.cells[0].reached = true
	for _, sp := range spacers {
		for range sp.Count {
			g.add(sp.Height, tenths(sp.Height)/unit)
		}
	}
	var all []Pile
	for at, c := range g.cells {
		if c.reached {
			b, a := at/g.columns*unit, at%g.columns*unit
			all = append(all, Pile{float64(b) / 10, float64(a) / 10, tallestFirst(c.below), tallestFirst(c.above), b})
		}
	}
	return all
}

// A pileGrid has a row for each height under the stem and a column for each above.
type pileGrid struct {
	columns int
	cells   []pileCell
}

// A pileCell is the fewest pieces that make up its heights.
type pileCell struct {
	reached      bool
	below, above []float64
}

// add tells what one more piece reaches, which is so many rows or columns high.
func (g *pileGrid) add(height float64, h int) {
	// From the end, so that the piece is not used twice.
	for at := len(g.cells) - 1; at > 0; at-- {
		to := &g.cells[at]
		better := func(from *pileCell) bool {
			return from.reached && (!to.reached || len(to.below)+len(to.above) > len(from.below)+len(from.above)+1)
		}
		if at/g.columns >= h {
			if from := &g.cells[at-h*g.columns]; better(from) {
				*to = pileCell{true, append(slices.Clip(from.below), height), from.above}
			}
		}
		if at%g.columns >= h {
			if from := &g.cells[at-h]; better(from) {
				*to = pileCell{true, from.below, append(slices.Clip(from.above), height)}
			}
		}
	}
}

func tallestFirst(pieces []float64) []float64 {
	pieces = slices.Clone(pieces)
	slices.SortFunc(pieces, func(a, b float64) int { return cmp.Compare(b, a) })
	return pieces
}

func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// Suiting returns the piles that suit a steerer, lowest first: of those with
// one height under the stem, the one with the least above that covers the
// steerer.
func Suiting(all []Pile, f *fitgeom.Frame, c *part.HeadsetCap, stem *part.Stem) []Pile {
	most := f.SpacerRoom(*c, *stem)
	var out []Pile
	for i := range all {
		s := &all[i]
		if s.Below > most+1e-6 {
			break
		}
		if f.SteererCut != 0 && c.Height+s.Below+stem.Height+s.Above < f.SteererCut+fitgeom.PreloadRoom-1e-6 {
			continue
		}
		if n := len(out); n == 0 || out[n-1].tenths != s.tenths {
			out = append(out, *s)
		}
	}
	return out
}

// PilesOn returns what spacers can make on a frame.
func PilesOn(f *fitgeom.Frame, spacers []part.Spacer) []Pile {
	above := 0.0
	if f.SteererCut != 0 {
		above = min(150, f.SteererCut+fitgeom.PreloadRoom)
	}
	return Piles(spacers, f.MaxUnderStem, above)
}

// MostLift is the greatest height of shims under a cleat, mm.
const MostLift = 60

// Lifts returns the heights that shims under one cleat can make, lowest first.
func Lifts(shims []part.Spacer) []Pile {
	return slices.DeleteFunc(Piles(shims, MostLift, 0), func(p Pile) bool { return p.Below > MostLift })
}
