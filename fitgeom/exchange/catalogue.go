package exchange

import (
	"io"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/internal/strict"
)

// frameColumns is the numbers that a catalogue has of a frame.
var frameColumns = [...]struct {
	column
	of func(f *fitgeom.Frame) *float64
}{
	{column{"stack_mm", true}, func(f *fitgeom.Frame) *float64 { return &f.Geometry.Stack }},
	{column{"reach_mm", true}, func(f *fitgeom.Frame) *float64 { return &f.Geometry.Reach }},
	{column{"head_angle_deg", true}, func(f *fitgeom.Frame) *float64 { return &f.Geometry.HeadAngle }},
	{column{"seat_angle_deg", true}, func(f *fitgeom.Frame) *float64 { return &f.Geometry.SeatAngle }},
	{column{"seat_offset_mm", false}, func(f *fitgeom.Frame) *float64 { return &f.Geometry.SeatOffset }},
	{column{"chainstay_mm", false}, func(f *fitgeom.Frame) *float64 { return &f.Geometry.Axles.Chainstay }},
	{column{"bb_drop_mm", false}, func(f *fitgeom.Frame) *float64 { return &f.Geometry.Axles.Drop }},
	{column{"fork_offset_mm", false}, func(f *fitgeom.Frame) *float64 { return &f.Geometry.Axles.ForkOffset }},
	{column{"front_radius_mm", false}, func(f *fitgeom.Frame) *float64 { return &f.Geometry.Axles.FrontRadius }},
	{column{"rear_radius_mm", false}, func(f *fitgeom.Frame) *float64 { return &f.Geometry.Axles.RearRadius }},
	{column{"steerer_diameter_mm", true}, func(f *fitgeom.Frame) *float64 { return &f.SteererDiameter }},
	{column{"max_under_stem_mm", true}, func(f *fitgeom.Frame) *float64 { return &f.MaxUnderStem }},
	{column{"steerer_cut_mm", false}, func(f *fitgeom.Frame) *float64 { return &f.SteererCut }},
	{column{"seat_tube_top_mm", true}, func(f *fitgeom.Frame) *float64 { return &f.SeatTubeTop }},
	{column{"seatpost_diameter_mm", true}, func(f *fitgeom.Frame) *float64 { return &f.SeatpostDiameter }},
	{column{"seatpost_insertion_mm", false}, func(f *fitgeom.Frame) *float64 { return &f.SeatpostInsertion }},
	{column{"seatpost_depth_mm", false}, func(f *fitgeom.Frame) *float64 { return &f.SeatpostDepth }},
	{column{"max_front_radius_mm", false}, func(f *fitgeom.Frame) *float64 { return &f.MaxFrontRadius }},
	{column{"max_rear_radius_mm", false}, func(f *fitgeom.Frame) *float64 { return &f.MaxRearRadius }},
}

// Places of a catalogue's columns: those of frameColumns come behind them.
const (
	familyColumn = iota
	sizeColumn
	firstNumber
)

var catalogueColumns = func() []column {
	all := []column{{"family", true}, {"size", true}}
	for _, c := range frameColumns {
		all = append(all, c.column)
	}
	return all
}()

// catalogueColumn gives the column of one of a size's faults, or "".
func catalogueColumn(path string) string {
	last := path[strings.LastIndexByte(path, '.')+1:]
	switch last {
	case "label":
		return "size"
	case "drop":
		return "bb_drop_mm"
	}
	for _, c := range catalogueColumns {
		if c.name == last || strings.TrimSuffix(strings.TrimSuffix(c.name, "_mm"), "_deg") == last {
			return c.name
		}
	}
	return ""
}

// ReadCatalogue reads sizes of frames, one a row, from comma-separated values in
// the dialect of the package documentation. The first row names the columns, in any order: family,
// size, stack_mm, reach_mm, head_angle_deg, seat_angle_deg, steerer_diameter_mm,
// max_under_stem_mm, seat_tube_top_mm and seatpost_diameter_mm, which are needed, and
// seat_offset_mm, chainstay_mm, bb_drop_mm, fork_offset_mm, front_radius_mm,
// rear_radius_mm, steerer_cut_mm, seatpost_insertion_mm, seatpost_depth_mm,
// max_front_radius_mm and max_rear_radius_mm, which are not. They are the fields
// of [fitgeom.Frame] and its geometry; a cell that is
// empty, where it may be, is zero. The frame's name is family and size.
//
// It returns every sound size in the order of the rows, even if there are
// faults, so that the caller decides whether to go on without the broken rows.
// All faults are reported together, each under its row and column, as in "row
// 17.reach_mm", or under its row alone, and with its line: [contact.ErrMissing] for what is not there, [contact.ErrUnknown]
// for a column of another name, [contact.ErrRange] for what is no number,
// [contact.ErrConflict] for a column or a size that is there twice (the first
// counts), for quotes and cells that do not add up and for a name of more than one line; and what [fitgeom.Size.Validate]
// reports. An error of the reader ends it and is returned with the others.
func ReadCatalogue(r io.Reader) ([]fitgeom.Size, error) {
	t, ok := newTable(r, "catalogue", catalogueColumns)
	if !ok {
		return nil, t.errs()
	}
	var sizes []fitgeom.Size
	families := map[string]string{} // so that a family's name is kept once
	seen := seenSizes{}
	for t.next() {
		before := len(t.faults)
		s := fitgeom.Size{Row: t.line, Label: strings.Clone(t.name(sizeColumn))}
		family := t.name(familyColumn)
		if s.Family, ok = families[family]; !ok {
			s.Family = strings.Clone(family)
			families[s.Family] = s.Family
		}
		for i := range frameColumns {
			*frameColumns[i].of(&s.Frame) = t.number(firstNumber + i)
		}
		if len(t.faults) > before {
			continue // what the numbers say together needs all of them
		}
		s.Frame.Name = s.Family + " " + s.Label
		for _, e := range contact.Faults(s.Validate()) {
			t.add(catalogueColumn(e.Path), e.Value, e.Want, e.Class)
		}
		if first, twice := seen.add(&s, t.line); twice {
			t.add("size", s.Family+" "+s.Label, "each size once; the first is "+row(first), contact.ErrConflict)
		}
		if len(t.faults) == before {
			sizes = append(sizes, s)
		}
	}
	return sizes, t.errs()
}

// seenSizes is where each size was first.
type seenSizes map[[2]string]int

func (d seenSizes) add(s *fitgeom.Size, at int) (first int, twice bool) {
	key := [2]string{s.Family, s.Label}
	if first, twice = d[key]; !twice {
		d[key] = at
	}
	return first, twice
}

// WriteCatalogue writes sizes as [ReadCatalogue] reads them: back come the same
// sizes but for Row, and the frame's name if it is not family and size. Columns that are
// not needed and in which no frame has a number are left out. The text is always the same for
// the same sizes.
//
// It refuses what ReadCatalogue would refuse, with paths like
// "sizes[3].frame.geometry.stack", and then writes nothing. An error of the writer is returned as it is.
func WriteCatalogue(w io.Writer, sizes []fitgeom.Size) error {
	var f faults
	seen := seenSizes{}
	use := make([]bool, len(frameColumns))
	for i := range sizes {
		s, path := &sizes[i], element("sizes", i)
		f.in(path, s.Validate(), nil)
		for _, n := range [...]struct{ what, name string }{{"family", s.Family}, {"label", s.Label}} {
			if want := badName(n.name); want != "" {
				f.add(path+"."+n.what, n.name, want, contact.ErrConflict)
			}
		}
		if first, twice := seen.add(s, i); twice {
			f.add(path, s.Family+" "+s.Label, "each size once; the first is "+element("sizes", first), contact.ErrConflict)
		}
		for k := range frameColumns {
			use[k] = use[k] || *frameColumns[k].of(&s.Frame) != 0
		}
	}
	if len(f) > 0 {
		return strict.Join(f)
	}
	out := []byte("family,size")
	for k, c := range frameColumns {
		if use[k] = use[k] || c.need; use[k] {
			out = append(append(out, ','), c.name...)
		}
	}
	out = append(out, '\n')
	for i := range sizes {
		s := &sizes[i]
		out = appendCell(append(appendCell(out, s.Family), ','), s.Label)
		for k, c := range frameColumns {
			if !use[k] {
				continue
			}
			out = append(out, ',')
			if v := *c.of(&s.Frame); v != 0 || c.need {
				out = appendNumber(out, v)
			}
		}
		out = append(out, '\n')
	}
	return writeTable(w, out)
}
