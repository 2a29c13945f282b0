package search

import (
	"cmp"
	"math"
	"slices"
	"strconv"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/internal/fault"
)

// An Index is a catalogue prepared to rank its frames for any number of problems. It
// refers to the sizes it was made from.
//
// Since charts are rounded, many frames have the same front end or the same seat tube.
// The index stores each of these only once.
type Index struct {
	sizes    []fitgeom.Size
	families []string
	records  []record
	seats    []seatPart
	columns  []column
	points   []point
	fronts   []frontPart
	byFront  []uint32 // records
	byFamily []uint32 // records, in each family from small to large
	ends     []uint32 // where each family begins there, and the end
}

// A record is a size of the catalogue.
type record struct {
	family, front, seat uint32
	place               uint32 // in the sizes
}

// A frontPart is a front end that one or more frames share.
type frontPart struct {
	reach, stack, most float64
	column             uint32
	from, to           uint32 // in byFront
}

// A seatPart is a seat tube that one or more frames share.
type seatPart struct{ angle, offset, top, diameter, insertion, depth float64 }

// A column holds the front ends whose steerers have the same direction, diameter and cut.
type column struct {
	diameter, head, cut float64
	most                float64 // the greatest of MaxStack
	from, to            uint32  // in points
}

// A point is a place of the head tube's top: across and along the steerer.
type point struct {
	q, a, most float64
	from, to   uint32 // in fronts
}

type frontKey struct{ diameter, head, cut, reach, stack, most float64 }

// NewIndex returns an index of sizes. It refers to them and does not change them. If some
// sizes are faulty, it reports all faults and indexes the others. The index is nil if
// every size is faulty.
func NewIndex(sizes []fitgeom.Size) (*Index, error) {
	var f fault.List
	x := &Index{sizes: sizes, records: make([]record, 0, len(sizes))}
	families := table[string]{of: &x.families, at: map[string]uint32{}}
	seats := table[seatPart]{of: &x.seats, at: map[seatPart]uint32{}}
	var keys []frontKey
	fronts := table[frontKey]{of: &keys, at: map[frontKey]uint32{}}
	type name struct {
		family uint32
		label  string
	}
	seen := make(map[name]uint32, len(sizes))
	for i := range sizes {
		s := &sizes[i]
		if err := s.Validate(); err != nil {
			f.In(Path(s, i), err)
			continue
		}
		n := name{families.place(s.Family), s.Label}
		if first, twice := seen[n]; twice {
			f.Add(Path(s, i)+".label", s.Family+" "+s.Label, "each size once; the first is "+Path(&sizes[first], int(first)), contact.ErrConflict)
			continue
		}
		seen[n] = uint32(i)
		g := &s.Frame.Geometry
		x.records = append(x.records, record{
			family: n.family, place: uint32(i),
			front: fronts.place(frontKey{s.Frame.SteererDiameter, g.HeadAngle, s.Frame.SteererCut, g.Reach, g.Stack, s.Frame.MaxUnderStem}),
			seat:  seats.place(seatPart{g.SeatAngle, g.SeatOffset, s.Frame.SeatTubeTop, s.Frame.SeatpostDiameter, s.Frame.SeatpostInsertion, s.Frame.SeatpostDepth}),
		})
	}
	if len(x.records) == 0 {
		f.Add("sizes", "", "at least one that is sound", contact.ErrMissing)
		return nil, f.Err()
	}
	x.records = slices.Clip(x.records)
	x.arrange(keys)
	return x, f.Err()
}

// Path returns the name of a size in errors: its row, or else its place in a list.
func Path(s *fitgeom.Size, place int) string {
	if s.Row != 0 {
		return "row " + strconv.Itoa(s.Row)
	}
	return fault.At("sizes", place)
}

// A table holds distinct values and the place of each.
type table[T comparable] struct {
	of *[]T
	at map[T]uint32
}

func (t *table[T]) place(v T) uint32 {
	at, ok := t.at[v]
	if !ok {
		at = uint32(len(*t.of))
		t.at[v] = at
		*t.of = append(*t.of, v)
	}
	return at
}

// arrange sorts the front ends into columns, and there across the steerer.
func (x *Index) arrange(keys []frontKey) {
	type placed struct {
		frontKey
		q, a float64
		old  uint32
	}
	all := make([]placed, len(keys))
	for i, k := range keys {
		frame := k.frame()
		ch := chassisOf(&frame, chart.Wheels{})
		q, a := ch.Steerer(ch.HeadTop)
		all[i] = placed{k, q, a, uint32(i)}
	}
	slices.SortFunc(all, func(a, b placed) int {
		return cmp.Or(
			cmp.Compare(a.diameter, b.diameter), cmp.Compare(a.head, b.head), cmp.Compare(a.cut, b.cut),
			cmp.Compare(a.q, b.q), cmp.Compare(a.reach, b.reach), cmp.Compare(a.stack, b.stack), cmp.Compare(a.most, b.most),
		)
	})
	moved := make([]uint32, len(all))
	x.fronts = make([]frontPart, len(all))
	for i := range all {
		p := &all[i]
		moved[p.old] = uint32(i)
		if i == 0 || p.diameter != all[i-1].diameter || p.head != all[i-1].head || p.cut != all[i-1].cut {
			x.columns = append(x.columns, column{diameter: p.diameter, head: p.head, cut: p.cut, from: uint32(len(x.points))})
		}
		col := &x.columns[len(x.columns)-1]
		if uint32(len(x.points)) == col.from || p.reach != all[i-1].reach || p.stack != all[i-1].stack {
			x.points = append(x.points, point{q: p.q, a: p.a, from: uint32(i)})
		}
		at := &x.points[len(x.points)-1]
		at.most, at.to = max(at.most, p.most), uint32(i+1)
		col.most, col.to = max(col.most, p.most), uint32(len(x.points))
		x.fronts[i] = frontPart{reach: p.reach, stack: p.stack, most: p.most, column: uint32(len(x.columns) - 1)}
	}
	count := make([]uint32, len(all)+1)
	for i := range x.records {
		r := &x.records[i]
		r.front = moved[r.front]
		count[r.front+1]++
	}
	for i := range x.fronts {
		count[i+1] += count[i]
		x.fronts[i].from, x.fronts[i].to = count[i], count[i+1]
	}
	x.byFront = make([]uint32, len(x.records))
	for i := range x.records {
		at := &count[x.records[i].front]
		x.byFront[*at] = uint32(i)
		*at++
	}
	x.points, x.columns = slices.Clip(x.points), slices.Clip(x.columns)

	x.byFamily = slices.Clone(x.byFront)
	slices.SortFunc(x.byFamily, func(a, b uint32) int {
		return cmp.Or(cmp.Compare(x.records[a].family, x.records[b].family), x.bySize(a, b))
	})
	x.ends = make([]uint32, len(x.families)+1)
	for _, r := range x.byFamily {
		x.ends[x.records[r].family+1]++
	}
	for i := range x.families {
		x.ends[i+1] += x.ends[i]
	}
}

// frame returns a frame of which only the front end is meaningful.
func (k *frontKey) frame() fitgeom.Frame {
	return fitgeom.Frame{ //exhaustruct:ignore
		Geometry:        chart.Geometry{Stack: k.stack, Reach: k.reach, HeadAngle: k.head, SeatAngle: 73},
		SteererDiameter: k.diameter, SteererCut: k.cut, MaxUnderStem: k.most,
	}
}

// size returns the size of a record.
func (x *Index) size(i uint32) *fitgeom.Size { return &x.sizes[x.records[i].place] }

// bySize orders the sizes of a family: by stack, reach and place.
func (x *Index) bySize(a, b uint32) int {
	p, q := &x.records[a], &x.records[b]
	f, g := &x.fronts[p.front], &x.fronts[q.front]
	return cmp.Or(cmp.Compare(f.stack, g.stack), cmp.Compare(f.reach, g.reach), cmp.Compare(p.place, q.place))
}

// record finds a size by its place among the sizes the index was made from.
func (x *Index) record(place int) (uint32, bool) {
	if place < 0 || uint64(place) > math.MaxUint32 {
		return 0, false
	}
	at, ok := slices.BinarySearchFunc(x.records, uint32(place), func(r record, p uint32) int { return cmp.Compare(r.place, p) })
	return uint32(at), ok
}
