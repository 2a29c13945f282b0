package search

import (
	"cmp"
	"math"
	"slices"

	"example.com/fitgeom/fitgeom"
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
	f, g := &x.fronts[p.front], &x.fronts[q.front]
	return cmp.Or(cmp.Compare(f.stack, g.stack), cmp.Compare(f.reach, g.reach), cmp.Compare(p.place, q.place))
}

// record finds a size by its place in what the index was made of.
func (x *Index) record(place int) (uint32, bool) {
	if place < 0 || uint64(place) > math.MaxUint32 {
		return 0, false
	}
	at, ok := slices.BinarySearchFunc(x.records, uint32(place), func(r record, p uint32) int { return cmp.Compare(r.place, p) })
	return uint32(at), ok
}
