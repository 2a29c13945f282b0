package search

import (
	"cmp"
	"math"
	"slices"

	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/rig"
)

// shimFor returns the shim with which a part of one diameter fits a hole of another, and
// whether it fits. The shim is zero if none is needed. A shim that is on the bike is
// preferred; otherwise it is the first that fits.
func shimFor(s *fitgeom.Shelf, inner, hole float64, now part.Shim) (part.Shim, bool) {
	if rig.Fits(inner, hole) {
		return part.Shim{}, true
	}
	suits := func(h part.Shim) bool { return rig.Fits(h.Inner, inner) && rig.Fits(h.Outer, hole) }
	if suits(now) && slices.Contains(s.Shims, now) {
		return now, true
	}
	if i := slices.IndexFunc(s.Shims, suits); i >= 0 {
		return s.Shims[i], true
	}
	return part.Shim{}, false
}

// tenth is the resolution of spacer heights, mm.
const tenth = 0.1

func tenths(v float64) int { return int(math.Round(v / tenth)) }

// A Pile is a choice of spacers from the shelf, under and above the stem.
type Pile struct {
	Below, Above             float64   // mm
	PiecesBelow, PiecesAbove []float64 // tallest first
	tenths                   int       // of Below
}

// Piles returns every pair of heights under and above the stem, up to the given ones, that
// the spacers can make at the same time, each with the fewest pieces. The lowest comes
// first.
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
	var all []Pile
	for at, c := range grid {
		if c.reached {
			b, a := at/columns*unit, at%columns*unit
			all = append(all, Pile{float64(b) / 10, float64(a) / 10, sorted(c.below), sorted(c.above), b})
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

// Suiting returns the piles that suit a steerer, lowest first. For each height under the
// stem it takes the pile with the least height above that still covers the steerer.
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

// PilesOn returns the piles that spacers can make on a frame.
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
