package search

import (
	"context"
	"fmt"
	"strconv"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/rig"
	"example.com/fitgeom/internal/work"
)

// An Index is a catalogue, prepared to rank frames for any number of problems. It
// refers to the sizes that it was made of.
//
// It keeps what frames have in common once.
type Index struct {
	sizes    []fitgeom.Size
	families int
	records  []record
	seats    int // seat parts
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

// A frontPart is what the front end of frames has in common. Most is their MaxUnderStem.
type frontPart struct {
	reach, stack, most float64
	column             uint32
	from, to           uint32 // in byFront
}

// A seatPart is what the seat tube of frames has in common.
type seatPart struct{ angle, offset, top, diameter, insertion, depth float64 }

// A column is the front ends whose steerers have one direction and one diameter
// and are cut at one height.
type column struct {
	diameter, head, cut float64
	most                float64 // the greatest of MaxUnderStem
	from, to            uint32  // in points
}

// A point is a place of the head tube's top: across and along the steerer.
type point struct {
	q, a, most float64
	from, to   uint32 // in fronts
}

// A frontKey is what front parts differ in.
type frontKey struct{ diameter, head, cut, reach, stack, most float64 }

// frame is a frame of which only the front end counts.
func (k *frontKey) frame() fitgeom.Frame {
	return fitgeom.Frame{ //exhaustruct:ignore
		Geometry:        chart.Geometry{Stack: k.stack, Reach: k.reach, HeadAngle: k.head, SeatAngle: 73},
		SteererDiameter: k.diameter, SteererCut: k.cut, MaxUnderStem: k.most,
	}
}

// NewIndex prepares sizes. It refers to them and does not change them. A faulty size
// does not stop it: the index has the sound ones, and all faults are reported; it
// is nil if no size is sound.
func NewIndex(ctx context.Context, sizes []fitgeom.Size) (*Index, error) {
	m := work.New(ctx, -1)
	if m.Stopped() {
		return nil, m.Err("before it began")
	}
	var f fault.List
	x := &Index{sizes: sizes, records: make([]record, 0, len(sizes))}
	families, seats, fronts := table[string]{}, table[seatPart]{}, table[frontKey]{}
	// All that there may be, since to grow would take long at a time.
	keys := make([]frontKey, 0, len(sizes))
	type name struct {
		family uint32
		label  string
	}
	seen := map[name]uint32{} // it grows in small steps
	for i := range sizes {
		s := &sizes[i]
		if !m.Do(10) {
			return nil, m.Err(fmt.Sprintf("%d of %d sizes read", i, len(sizes)))
		}
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
		key := frontKey{rig.Socket(s.Frame.SteererInterface, s.Frame.SteererDiameter), g.HeadAngle, s.Frame.SteererCut, g.Reach, g.Stack, s.Frame.MaxUnderStem}
		front := fronts.place(key)
		if int(front) == len(keys) {
			keys = append(keys, key)
		}
		x.records = append(x.records, record{
			family: n.family, place: uint32(i), front: front,
			seat: seats.place(seatPart{g.SeatAngle, g.SeatOffset, s.Frame.SeatTubeTop, rig.Socket(s.Frame.SeatpostInterface, s.Frame.SeatpostDiameter), s.Frame.SeatpostInsertion, s.Frame.SeatpostDepth}),
		})
	}
	if len(x.records) == 0 {
		f.Add("sizes", "", "at least one that is sound", contact.ErrMissing)
		return nil, f.Err()
	}
	x.families, x.seats = len(families), len(seats)
	if !x.arrange(m, keys) {
		return nil, m.Err("all sizes read and not yet sorted")
	}
	return x, f.Err()
}

// Path names a size in errors: by its row, or else by its place in a list.
func Path(s *fitgeom.Size, place int) string {
	if s.Row != 0 {
		return "row " + strconv.Itoa(s.Row)
	}
	return fault.At("sizes", place)
}

// A table has the numbers of values that are all different, from 0.
type table[T comparable] map[T]uint32

func (t table[T]) place(v T) uint32 {
	at, ok := t[v]
	if !ok {
		at = uint32(len(t))
		t[v] = at
	}
	return at
}
