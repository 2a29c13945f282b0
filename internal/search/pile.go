package search

import (
	"cmp"
	"math"
	"slices"
	"sort"
	"strconv"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/work"
)

// tenth is what the height of spacers counts to, mm.
const tenth = 0.1

func tenths(v float64) int { return int(math.Round(v / tenth)) }

// A Pile is some spacers from the shelf under and above the stem.
type Pile struct {
	Below, Above float64 // mm
	tenths       int     // of Below
	of           *Piles
	node         uint32
}

// Pieces returns the spacers of a pile under the stem and above it, tallest first.
func (p *Pile) Pieces() (below, above []float64) {
	if p.of == nil {
		return nil, nil
	}
	for n := &p.of.nodes[p.node]; n.pieces > 0; n = &p.of.nodes[n.from] {
		if n.above {
			above = append(above, p.of.heights[n.height])
		} else {
			below = append(below, p.of.heights[n.height])
		}
	}
	for _, all := range [2][]float64{below, above} {
		slices.SortFunc(all, func(a, b float64) int { return cmp.Compare(b, a) })
	}
	return below, above
}

// alone returns the pile by itself, so that it does not keep all others.
func (p *Pile) alone() Pile {
	own := *p
	if p.of == nil {
		return own
	}
	own.of, own.node = &Piles{heights: p.of.heights}, 0
	chain := []pileNode{p.of.nodes[p.node]}
	for n := &chain[0]; n.pieces > 0; n = &chain[len(chain)-1] {
		from := p.of.nodes[n.from]
		n.from = uint32(len(chain))
		chain = append(chain, from)
	}
	own.of.nodes = chain
	return own
}

// Piles is every pair of heights under and above the stem that some spacers can make at
// one time, each with the fewest pieces.
type Piles struct {
	heights []float64
	nodes   []pileNode
	all     []pileAt // lowest under the stem first, and of these lowest above it
	from    []int    // where those with each height under the stem begin, and the end
}

// A pileNode is a pile with one piece more than another: so that piles share what they
// have in common.
type pileNode struct {
	from   uint32
	height uint16 // of the piece, among the heights
	pieces uint16
	above  bool
}

// A pileAt is where a pile ends, and its heights in tenths of a mm.
type pileAt struct {
	node         uint32
	below, above uint16
}

// manyPiles is how many piles are kept. On a steerer that is not cut there are at most
// 1,501; on a cut one, heights in steps of 0.5 mm make 90,000.
const manyPiles = 300_000

// piles finds what spacers can make up to heights under and above the stem; false if
// there are too many piles, or the meter stopped it.
func piles(m *work.Meter, spacers []part.Spacer, below, above float64) (*Piles, bool) {
	p := &Piles{nodes: []pileNode{{}}}
	unit, sum := 0, 0.0 // the greatest common measure of all heights, in tenths
	for _, sp := range spacers {
		unit = gcd(unit, tenths(sp.Height))
		sum += sp.Height * float64(sp.Count)
	}
	unit = max(1, unit)
	most := func(v float64) int { return int(math.Floor(min(v, sum)/tenth+1e-6)) / unit }
	g := pileGrid{Piles: p, columns: most(above) + 1}
	g.cells = make([]uint32, (most(below)+1)*g.columns)
	for i := range g.cells {
		g.cells[i] = unreached
	}
	g.cells[0] = 0
	used := map[int]int{}
	for _, sp := range spacers {
		t := tenths(sp.Height)
		// More pieces of one height than find room make no other pile.
		room := most(below)*unit/t + most(above)*unit/t
		count := min(sp.Count, room-used[t])
		if count <= 0 {
			continue
		}
		used[t] += count
		p.heights = append(p.heights, sp.Height)
		for range count {
			if !g.add(m, t/unit) {
				return nil, false
			}
		}
	}
	row := -1
	for at, node := range g.cells {
		if node == unreached {
			continue
		}
		if at/g.columns != row {
			row = at / g.columns
			p.from = append(p.from, len(p.all))
		}
		p.all = append(p.all, pileAt{node, uint16(row * unit), uint16(at % g.columns * unit)})
	}
	p.from = append(p.from, len(p.all))
	return p, true
}

// pile is one of the piles.
func (p *Piles) pile(i int) Pile {
	at := &p.all[i]
	return Pile{float64(at.below) / 10, float64(at.above) / 10, int(at.below), p, at.node}
}

// A pileGrid has a row for each height under the stem and a column for each above. Its
// cells are nodes: the fewest pieces that make up the heights.
type pileGrid struct {
	*Piles
	columns int
	cells   []uint32
}

const unreached = math.MaxUint32

// add tells what one more piece of the last height reaches, which is so many rows or
// columns high; false if there are too many piles, or the meter stopped it.
func (g *pileGrid) add(m *work.Meter, h int) bool {
	last := uint16(len(g.heights) - 1)
	for at := len(g.cells) - 1; at > 0; at-- { // from the end, so that it is not used twice
		if at%64 == 0 && !m.Do(8) {
			return false
		}
		if at/g.columns >= h {
			g.reach(at, at-h*g.columns, pileNode{height: last})
		}
		if at%g.columns >= h {
			g.reach(at, at-h, pileNode{height: last, above: true})
		}
	}
	return len(g.nodes) <= manyPiles
}

// reach puts a piece on the pile of a cell, if that makes another one of fewer pieces.
func (g *pileGrid) reach(to, from int, n pileNode) {
	n.from = g.cells[from]
	if n.from == unreached {
		return
	}
	n.pieces = g.nodes[n.from].pieces + 1
	if at := g.cells[to]; at != unreached && g.nodes[at].pieces <= n.pieces {
		return
	}
	g.cells[to] = uint32(len(g.nodes))
	g.nodes = append(g.nodes, n)
}

func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// Suiting appends the piles that suit a steerer, lowest first: of those with one height
// under the stem, the one with the least above that covers the steerer.
func (p *Piles) Suiting(to []Pile, f *fitgeom.Frame, c *part.HeadsetCap, stem *part.Stem) []Pile {
	most := f.SpacerRoom(*c, *stem)
	for k, from := range p.from[:len(p.from)-1] {
		if float64(p.all[from].below)/10 > most+1e-6 {
			break
		}
		end := p.from[k+1]
		if f.SteererCut != 0 {
			from += sort.Search(end-from, func(i int) bool {
				s := p.pile(from + i)
				return !(c.Height+s.Below+stem.Height+s.Above < f.SteererCut+fitgeom.PreloadRoom-1e-6)
			})
		}
		if from < end {
			to = append(to, p.pile(from))
		}
	}
	return to
}

// PilesOn returns what spacers can make on a frame. The error is that of the meter, or
// that there are too many piles.
func PilesOn(m *work.Meter, f *fitgeom.Frame, spacers []part.Spacer) (*Piles, error) {
	above := 0.0
	if f.SteererCut != 0 {
		above = min(150, f.SteererCut+fitgeom.PreloadRoom)
	}
	p, ok := piles(m, spacers, f.MaxUnderStem, above)
	switch {
	case ok:
		return p, nil
	case m.Stopped():
		return nil, m.Err("not all spacers tried")
	}
	return nil, fault.New("shelf.spacers", "more", "heights that make fewer pairs of piles, under the stem and above it on a cut steerer, than "+strconv.Itoa(manyPiles), contact.ErrRange)
}

// MostLift is the greatest height of shims under a cleat, mm.
const MostLift = 60

// Lifts returns the heights that shims under one cleat can make, lowest first.
func Lifts(shims []part.Spacer) []float64 {
	p, _ := piles(nil, shims, MostLift, 0) // there are at most 601
	var all []float64
	for i := range p.all {
		if h := p.pile(i).Below; h <= MostLift {
			all = append(all, h)
		}
	}
	return all
}
