package fitgeom

import (
	"encoding/csv"
	"errors"
	"io"
	"slices"
	"strconv"
	"strings"

	"example.com/fitgeom/contact"
)

// A Size is one frame of a catalogue: a family of frames in one of its sizes.
type Size struct {
	// Family and Label together name the size, such as "road" and "54". Neither is empty.
	Family, Label string
	// Frame is the frame in this size.
	Frame Frame
	// Row is the line of the file that it was read from, counted from 1. Zero: it
	// was not read from a file.
	Row int
}

// Validate reports what the frame's Validate does, and a family or a label that
// is empty ([contact.ErrMissing]).
func (s Size) Validate() error { return s.validate() }

func (s *Size) validate() error {
	var c faults
	if s.Family == "" {
		c.Add("family", "", "a name", contact.ErrMissing)
	}
	if s.Label == "" {
		c.Add("label", "", "a name", contact.ErrMissing)
	}
	if err := s.Frame.validate(); err != nil {
		c.In("frame", err)
	}
	return c.Err()
}

// catalogueColumns is the numbers that a catalogue has of a frame.
var catalogueColumns = [...]struct {
	name string
	need bool
	of   func(f *Frame) *float64
}{
	{"stack_mm", true, func(f *Frame) *float64 { return &f.Geometry.Stack }},
	{"reach_mm", true, func(f *Frame) *float64 { return &f.Geometry.Reach }},
	{"head_angle_deg", true, func(f *Frame) *float64 { return &f.Geometry.HeadAngle }},
	{"seat_angle_deg", true, func(f *Frame) *float64 { return &f.Geometry.SeatAngle }},
	{"seat_offset_mm", false, func(f *Frame) *float64 { return &f.Geometry.SeatOffset }},
	{"chainstay_mm", false, func(f *Frame) *float64 { return &f.Geometry.Axles.Chainstay }},
	{"bb_drop_mm", false, func(f *Frame) *float64 { return &f.Geometry.Axles.Drop }},
	{"fork_offset_mm", false, func(f *Frame) *float64 { return &f.Geometry.Axles.ForkOffset }},
	{"front_radius_mm", false, func(f *Frame) *float64 { return &f.Geometry.Axles.FrontRadius }},
	{"rear_radius_mm", false, func(f *Frame) *float64 { return &f.Geometry.Axles.RearRadius }},
	{"steerer_diameter_mm", true, func(f *Frame) *float64 { return &f.SteererDiameter }},
	{"max_stack_mm", true, func(f *Frame) *float64 { return &f.MaxStack }},
	{"steerer_cut_mm", false, func(f *Frame) *float64 { return &f.SteererCut }},
	{"seat_tube_top_mm", true, func(f *Frame) *float64 { return &f.SeatTubeTop }},
	{"post_diameter_mm", true, func(f *Frame) *float64 { return &f.PostDiameter }},
	{"post_insertion_mm", false, func(f *Frame) *float64 { return &f.PostInsertion }},
	{"post_depth_mm", false, func(f *Frame) *float64 { return &f.PostDepth }},
}

// ReadCatalogue reads sizes of frames, one a row, from comma-separated values
// (RFC 4180, UTF-8). The first row names the columns, in any order: family,
// size, stack_mm, reach_mm, head_angle_deg, seat_angle_deg, steerer_diameter_mm,
// max_stack_mm, seat_tube_top_mm and post_diameter_mm, which are needed, and
// seat_offset_mm, chainstay_mm, bb_drop_mm, fork_offset_mm, front_radius_mm,
// rear_radius_mm, steerer_cut_mm, post_insertion_mm and post_depth_mm, which
// are not. They are the fields of [Frame] and its geometry; a cell that is
// empty, where it may be, is zero. Lines that begin with # are left out. The
// frame's name is family and size.
//
// It returns every sound size in the order of the rows, even if there are
// faults, so that the caller decides whether to go on without the broken rows.
// All faults are reported together, each under its row, as in "row 17.reach_mm" for
// a cell and "row 17.frame.geometry.reach" for what a frame cannot be: [contact.ErrMissing] for what is not there, [contact.ErrUnknown]
// for a column of another name, [contact.ErrRange] for what is no number,
// [contact.ErrConflict] for a column or a size that is there twice (the first
// counts) and for quotes and cells that do not add up; and what [Size.Validate]
// reports. An error of the reader ends it and is returned with the others.
func ReadCatalogue(r io.Reader) ([]Size, error) {
	in := csv.NewReader(r)
	in.FieldsPerRecord = -1
	in.ReuseRecord = true
	in.Comment = '#'
	var c faults
	head, err := in.Read()
	switch {
	case errors.Is(err, io.EOF):
		c.Add("catalogue", "", "a row that names the columns", contact.ErrMissing)
		return nil, c.Err()
	case err != nil:
		if broken := new(csv.ParseError); !errors.As(err, &broken) {
			return nil, err
		}
		c.Add("row 1", "", "a row that names the columns: "+err.Error(), contact.ErrConflict)
		return nil, c.Err()
	}
	columns, width := make([]int, len(head)), len(head)
	family, label := -1, -1
	seen := map[string]bool{}
	for i, name := range head {
		name = strings.TrimSpace(strings.TrimPrefix(name, "\ufeff"))
		if seen[name] {
			c.Add("row 1."+name, "", "each column once", contact.ErrConflict)
		}
		seen[name] = true
		columns[i] = slices.IndexFunc(catalogueColumns[:], func(col struct {
			name string
			need bool
			of   func(f *Frame) *float64
		},
		) bool {
			return col.name == name
		})
		switch {
		case name == "family":
			family = i
		case name == "size":
			label = i
		case columns[i] < 0:
			c.Add("row 1."+name, "", "a column of a catalogue", contact.ErrUnknown)
		}
	}
	for _, col := range catalogueColumns {
		if col.need && !seen[col.name] {
			c.Add("row 1."+col.name, "", "the column", contact.ErrMissing)
		}
	}
	if family < 0 {
		c.Add("row 1.family", "", "the column", contact.ErrMissing)
	}
	if label < 0 {
		c.Add("row 1.size", "", "the column", contact.ErrMissing)
	}
	if c.Err() != nil {
		return nil, c.Err()
	}

	var sizes []Size
	names := map[string]string{}
	twice := duplicates{}
	for {
		row, err := in.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if broken := new(csv.ParseError); errors.As(err, &broken) {
			c.Add("row "+strconv.Itoa(broken.StartLine), "", "quotes that add up: "+broken.Err.Error(), contact.ErrConflict)
			continue
		}
		if err != nil {
			return sizes, errors.Join(c.Err(), err)
		}
		line, _ := in.FieldPos(0)
		s := Size{Row: line}
		at := s.path(0)
		if len(row) != width {
			c.Add(at, strconv.Itoa(len(row))+" cells", strconv.Itoa(width)+" as in the first row", contact.ErrConflict)
			continue
		}
		var f faults
		for i, cell := range row {
			cell = strings.TrimSpace(cell)
			switch {
			case i == family:
				if _, ok := names[cell]; !ok {
					cell = strings.Clone(cell)
					names[cell] = cell
				}
				s.Family = names[cell]
			case i == label:
				s.Label = strings.Clone(cell)
			case cell == "":
				if col := &catalogueColumns[columns[i]]; col.need {
					f.Add(col.name, "", "a number", contact.ErrMissing)
				}
			default:
				col := &catalogueColumns[columns[i]]
				v, err := strconv.ParseFloat(cell, 64)
				if err != nil {
					f.Add(col.name, strconv.Quote(cell), "a number", contact.ErrRange)
				}
				*col.of(&s.Frame) = v
			}
		}
		if f.Err() == nil {
			s.Frame.Name = s.Family + " " + s.Label
			f.In("", s.validate())
			twice.check(&f, &s, at)
		}
		if f.Err() != nil {
			for _, e := range contact.Faults(f.Err()) {
				c.Add(at+"."+strings.TrimPrefix(e.Path, "."), e.Value, e.Want, e.Class)
			}
			continue
		}
		sizes = append(sizes, s)
	}
	return sizes, c.Err()
}

// path names a size in errors: by its row, or else by its place in a list.
func (s *Size) path(place int) string {
	if s.Row != 0 {
		return "row " + strconv.Itoa(s.Row)
	}
	return "sizes[" + strconv.Itoa(place) + "]"
}

// duplicates is where each size was seen first.
type duplicates map[[2]string]string

func (d duplicates) check(f *faults, s *Size, at string) {
	key := [2]string{s.Family, s.Label}
	first, twice := d[key]
	if twice {
		f.Add("size", s.Family+" "+s.Label, "each size once; the first is "+first, contact.ErrConflict)
		return
	}
	d[key] = at
}
