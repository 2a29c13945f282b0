package search

import (
	"cmp"
	"math"
	"slices"

	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/internal/work"
)

// Len returns how many frames there are.
func (x *Index) Len() int { return len(x.records) }

// Size returns the size at a place; false if the index has none there.
func (x *Index) Size(place int) (*fitgeom.Size, bool) {
	record, ok := x.record(place)
	if !ok {
		return nil, false
	}
	return x.size(record), true
}

// Family returns the places of a frame's family from small to large, and where the frame is among them.
func (x *Index) Family(place int) (places []int, at int) {
	record, _ := x.record(place)
	family := x.records[record].family
	sizes := x.byFamily[x.ends[family]:x.ends[family+1]]
	for _, r := range sizes {
		places = append(places, int(x.records[r].place))
	}
	return places, slices.Index(sizes, record)
}

// size is the size of a record.
func (x *Index) size(i uint32) *fitgeom.Size { return &x.sizes[x.records[i].place] }

// bySize orders the sizes of a family: by stack, reach and place.
func (x *Index) bySize(a, b uint32) int {
	p, q := &x.records[a], &x.records[b]
	f, g := &x.size(a).Frame.Geometry, &x.size(b).Frame.Geometry
	return cmp.Or(cmp.Compare(f.Stack, g.Stack), cmp.Compare(f.Reach, g.Reach), cmp.Compare(p.place, q.place))
}

// record finds a size by its place in what the index was made of.
func (x *Index) record(place int) (uint32, bool) {
	if place < 0 || uint64(place) > math.MaxUint32 {
		return 0, false
	}
	at, ok := slices.BinarySearchFunc(x.records, uint32(place), func(r record, p uint32) int { return cmp.Compare(r.place, p) })
	return uint32(at), ok
}

// sortByFamily lists the records family by family, each from small to large; false if the
// meter stopped it.
func (x *Index) sortByFamily(m *work.Meter) bool {
	x.ends = make([]uint32, x.families+1)
	for i := range m.Range(len(x.records)) {
		x.ends[x.records[i].family+1]++
	}
	for i := range m.Range(x.families) {
		x.ends[i+1] += x.ends[i]
	}
	if m.Stopped() {
		return false
	}
	x.byFamily = make([]uint32, len(x.records))
	next := slices.Clone(x.ends)
	for i := range m.Range(len(x.records)) {
		at := &next[x.records[i].family]
		x.byFamily[*at] = uint32(i)
		*at++
	}
	for i := 0; i < x.families && !m.Stopped(); i++ {
		work.Sort(m, x.byFamily[x.ends[i]:x.ends[i+1]], x.bySize)
	}
	return !m.Stopped()
}
