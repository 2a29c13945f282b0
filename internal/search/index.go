package search

import (
	"context"
	"fmt"
	"strconv"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/internal/fault"
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
	own      *tree    // of the front ends on their own wheels
	byFamily []uint32 // records, in each family from small to large
	ends     []uint32 // where each family begins there, and the end
}

// A record is a size of the catalogue.
type record struct {
	family, place uint32 // place: in the sizes
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
	families, family, last := map[string]uint32{}, uint32(0), ""
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
		if s.Family != last || len(families) == 0 {
			at, ok := families[s.Family]
			if !ok {
				at = uint32(len(families))
				families[s.Family] = at
			}
			family, last = at, s.Family
		}
		n := name{family, s.Label}
		if first, twice := seen[n]; twice {
			f.Add(Path(s, i)+".label", s.Family+" "+s.Label, "each size once; the first is "+Path(&sizes[first], int(first)), contact.ErrConflict)
			continue
		}
		seen[n] = uint32(i)
		x.records = append(x.records, record{family, uint32(i)})
	}
	if len(x.records) == 0 {
		f.Add("sizes", "", "at least one that is sound", contact.ErrMissing)
		return nil, f.Err()
	}
	x.families = len(families)
	if x.own = x.newTree(m, chart.Wheels{}); x.own == nil || !x.sortByFamily(m) {
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
