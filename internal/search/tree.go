package search

import (
	"cmp"
	"math"
	"slices"

	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/internal/rig"
	"example.com/fitgeom/internal/work"
)

// A tree has the front ends of a catalogue as they stand, those together that are near to one
// another: as a forest with one tree for each kind of steerer.
type tree struct {
	roots   []root
	nodes   []node
	records []uint32 // in the order of the leaves
	lame    []uint32 // those that cannot stand on their wheels
}

// A root is the tree of one kind of steerer.
type root struct {
	socket float64
	node   uint32
}

// A node is some records. It has either two children, the first of which follows it, or few
// records, or those of one front end.
type node struct {
	lo, hi   [3]float64 // of the head tube's top, forward and up, and of the head angle
	most     float64    // the greatest room under a stem
	cut      float64    // the greatest height at which a steerer is cut; infinite for one that is not
	alike    bool       // whether its records are those of one front end
	first    uint32     // the least place of a record
	from, to uint32     // in the records
	second   uint32     // the second child; 0: none
}

// A placed is the front end of a record, as it stands.
type placed struct {
	at     [5]float64 // as sorted: forward, up, head angle, room under a stem, cut
	socket float64
	record uint32
}

// treeWeights is what a tree weighs its numbers by: a degree turns a bar by some mm.
var treeWeights = [5]float64{1, 1, 4, 0.01, 0.3}

// newTree plants the records of an index on wheels; nil if the meter stopped it.
func (x *Index) newTree(m *work.Meter, w chart.Wheels) *tree {
	t := &tree{records: make([]uint32, 0, len(x.records))} //exhaustruct:ignore
	all := make([]placed, 0, len(x.records))
	for i := range x.records {
		if !m.Do(2) {
			return nil
		}
		f := &x.size(uint32(i)).Frame
		if w != (chart.Wheels{}) && w.ValidateOn(f.Geometry) != nil {
			t.lame = append(t.lame, uint32(i))
			continue
		}
		ch := ChassisOf(f, w)
		all = append(all, placed{[5]float64{ch.HeadTop.X, ch.HeadTop.Z, ch.HeadAngle, f.MaxUnderStem, f.SteererCut}, socketOf(f), uint32(i)})
	}
	sockets := map[float64]int{}
	for i := range all {
		if sockets[all[i].socket]++; !m.Do(1) {
			return nil
		}
	}
	if len(sockets) > 1 && !work.Sort(m, all, func(a, b placed) int { return cmp.Or(cmp.Compare(a.socket, b.socket), cmp.Compare(a.record, b.record)) }) {
		return nil
	}
	t.nodes = make([]node, 0, len(all)/4)
	for from := 0; from < len(all); {
		n := sockets[all[from].socket]
		t.roots = append(t.roots, root{all[from].socket, uint32(len(t.nodes))})
		if !t.grow(m, x, all[from:from+n], uint32(from)) {
			return nil
		}
		from += n
	}
	for i := range all {
		t.records = append(t.records, all[i].record)
	}
	t.nodes = slices.Clip(slices.Clone(t.nodes))
	return t
}

// socketOf is what caps and stems have to fit.
func socketOf(f *fitgeom.Frame) float64 { return rig.Socket(f.SteererInterface, f.SteererDiameter) }

// leaf is how many records may be together that are not alike.
const leaf = 8

// grow makes the node of some records, which it sorts, and all below it.
func (t *tree) grow(m *work.Meter, x *Index, all []placed, from uint32) bool {
	if !m.Do(1 + len(all)/8) {
		return false
	}
	lo, hi := all[0].at, all[0].at
	first := uint32(math.MaxUint32)
	for i := range all {
		for k, v := range all[i].at {
			lo[k], hi[k] = min(lo[k], v), max(hi[k], v)
		}
		first = min(first, x.records[all[i].record].place)
	}
	at := len(t.nodes)
	n := node{lo: [3]float64(lo[:]), hi: [3]float64(hi[:]), most: hi[3], cut: hi[4], alike: lo == hi, first: first, from: from, to: from + uint32(len(all))} //exhaustruct:ignore
	if lo[4] == 0 {
		n.cut = math.Inf(1)
	}
	t.nodes = append(t.nodes, n)
	if n.alike {
		return true
	}
	if len(all) <= leaf {
		slices.SortFunc(all, func(a, b placed) int {
			return cmp.Or(slices.Compare(a.at[:], b.at[:]), cmp.Compare(a.record, b.record))
		})
		return true
	}
	along, widest := 0, -1.0
	for k := range lo {
		if d := (hi[k] - lo[k]) * treeWeights[k]; hi[k] > lo[k] && d > widest {
			along, widest = k, d
		}
	}
	// Halfway, so that those that are alike stay together.
	half := lo[along] + (hi[along]-lo[along])/2
	if !(half > lo[along]) {
		half = hi[along]
	}
	i, j := 0, len(all)
	for i < j {
		if all[i].at[along] < half {
			i++
		} else {
			j--
			all[i], all[j] = all[j], all[i]
		}
	}
	if !t.grow(m, x, all[:i], from) {
		return false
	}
	t.nodes[at].second = uint32(len(t.nodes))
	return t.grow(m, x, all[i:], from+uint32(i))
}
