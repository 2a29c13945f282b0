package exchange

import (
	"cmp"
	"context"
	"io"
	"reflect"
	"strconv"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/field"
	"example.com/fitgeom/internal/work"
)

// frameColumns is the numbers that a catalogue has of a frame: all numbers in the table
// of its fields.
var frameColumns = field.Columns(reflect.TypeFor[fitgeom.Frame]())

// needed reports whether every row must have the number.
func needed(c *field.Column) bool {
	return !c.Omit && c.Zero == "" && !ofAxles(c)
}

// frameTexts is the texts that a catalogue has of a frame beside its name; a row without
// them has empty ones.
var frameTexts = [...]struct {
	name string
	of   func(*fitgeom.Frame) *string
}{
	{"steerer_interface", func(f *fitgeom.Frame) *string { return &f.SteererInterface }},
	{"seatpost_interface", func(f *fitgeom.Frame) *string { return &f.SeatpostInterface }},
}

// longestText is the most bytes of one of these, so that a row holds all.
const longestText = 256

// Places of a catalogue's columns; those of frameColumns follow, and then frameTexts.
const (
	familyColumn = iota
	sizeColumn
	firstNumber
)

var catalogueColumns = func() []column {
	all := []column{{"family", true}, {"size", true}}
	for i := range frameColumns {
		all = append(all, column{frameColumns[i].Name, needed(&frameColumns[i])})
	}
	for _, x := range frameTexts {
		all = append(all, column{x.name, false})
	}
	return all
}()

// catalogueColumn gives the column of one of a size's faults, or "".
func catalogueColumn(path string) string {
	last := path[strings.LastIndexByte(path, '.')+1:]
	if last == "label" {
		return "size"
	}
	for _, c := range catalogueColumns {
		if c.name == last {
			return c.name
		}
	}
	return ""
}

// ReadCatalogue reads sizes of frames, one a row, from comma-separated values in the
// dialect of the package documentation. The first row names the columns, in any order:
// family, size, stack_mm, reach_mm, head_angle_deg, seat_angle_deg, steerer_diameter_mm,
// max_under_stem_mm, seat_tube_top_mm and seatpost_diameter_mm, which are required, and
// seat_offset_mm, chainstay_mm, bb_drop_mm, fork_offset_mm, front_radius_mm,
// rear_radius_mm, steerer_cut_mm, seatpost_insertion_mm, seatpost_depth_mm,
// max_front_radius_mm, max_rear_radius_mm, steerer_interface and seatpost_interface (at most
// 256 bytes each), which are optional. They are the fields of
// [fitgeom.Frame] and its geometry; an empty cell, where it is allowed, is zero. The
// frame's name is family and size.
//
// It returns every sound size in the order of the rows, even if there are faults, so that
// the caller decides whether to go on without the broken rows. All faults are reported
// together, each under its row and column, as in "row 17.reach_mm", or under its row
// alone, and with its line: [contact.ErrMissing] for what is missing,
// [contact.ErrUnknown] for a column of another name, [contact.ErrRange] for what is not a
// number, [contact.ErrConflict] for a column or a size that is given twice (the first
// counts), for quotes that are not well formed, for a row with another number of cells
// and for a name of more than one line; and what [fitgeom.Size.Validate] reports. An
// error of the reader or of the context ends it and is returned with the others.
func ReadCatalogue(ctx context.Context, r io.Reader) ([]fitgeom.Size, error) {
	t, ok := newTable(ctx, r, "catalogue", catalogueColumns)
	if !ok {
		return nil, t.errs()
	}
	c := catalogue{table: t}
	for t.next() {
		c.row()
	}
	return c.end()
}

// A catalogue is the sizes of a table's rows.
type catalogue struct {
	*table
	sizes    pile[fitgeom.Size]
	families map[string]string // so that a family's name is kept once
	seen     seenSizes
	assume   *fitgeom.Frame // what to take for numbers that are not stated, or nil
}

// row reads the size of the row, and reports whether it is sound.
func (c *catalogue) row() bool {
	if c.seen == nil {
		c.families, c.seen = map[string]string{}, seenSizes{}
	}
	t, before := c.table, c.faults.Len()
	s := fitgeom.Size{Row: t.line, Label: strings.Clone(t.name(sizeColumn)), Family: t.name(familyColumn), Frame: fitgeom.Frame{}}
	if kept, ok := c.families[s.Family]; ok {
		s.Family = kept
	} else {
		s.Family = strings.Clone(s.Family)
		c.families[s.Family] = s.Family
	}
	for i := range frameColumns {
		*field.Number(&s.Frame, &frameColumns[i]) = t.number(firstNumber + i)
	}
	for i := range frameTexts {
		text := t.name(firstNumber + len(frameColumns) + i)
		if len(text) > longestText {
			t.add(frameTexts[i].name, "a name of "+strconv.Itoa(len(text))+" bytes", "at most "+strconv.Itoa(longestText), contact.ErrRange)
		}
		*frameTexts[i].of(&s.Frame) = strings.Clone(text)
	}
	c.axles()
	if t.faults.Len() > before {
		return false // what the numbers say together needs all of them
	}
	if c.assume != nil {
		c.fill(&s.Frame)
	}
	s.Frame.Name = s.Family + " " + s.Label
	fault.Each(s.Validate(), func(e *fault.Fault) { t.add(catalogueColumn(e.Path), e.Value, e.Want, e.Class) })
	if first, twice := c.seen.add(&s, t.line); twice {
		t.add("size", s.Family+" "+s.Label, "each size once; the first is "+row(first), contact.ErrConflict)
	}
	if t.faults.Len() > before {
		return false
	}
	c.sizes.add(s)
	return true
}

// axles reports those of the numbers of the axles that are empty where others are stated.
func (c *catalogue) axles() {
	stated := false
	for i := range frameColumns {
		stated = stated || ofAxles(&frameColumns[i]) && c.cells[firstNumber+i] != ""
	}
	for i := range frameColumns {
		if stated && ofAxles(&frameColumns[i]) && c.cells[firstNumber+i] == "" {
			c.add(frameColumns[i].Name, "", "a number, as the others of the axles are stated; all of them or none", contact.ErrMissing)
		}
	}
}

// ofAxles reports whether a number is of those that are stated together or not at all.
func ofAxles(c *field.Column) bool { return strings.HasPrefix(c.Path, "geometry.axles.") }

// end returns the sound sizes, and all faults.
func (c *catalogue) end() ([]fitgeom.Size, error) {
	all := c.sizes.list(c.from.meter)
	if c.err == nil {
		c.err = c.from.err()
	}
	return all, c.errs()
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

// WriteCatalogue writes sizes as [ReadCatalogue] reads them. The same sizes are read
// back, except Row, and the frame's name if it is not family and size. Columns that are
// not needed and in which no frame has a number are left out. The text is always the same
// for the same sizes.
//
// It refuses what ReadCatalogue would refuse, with paths like
// "sizes[3].frame.geometry.stack_mm", and then writes nothing. An error of the writer is
// returned as it is, and that of the context wrapped.
func WriteCatalogue(ctx context.Context, w io.Writer, sizes []fitgeom.Size) error {
	m := work.New(ctx, -1)
	var f fault.List
	seen := seenSizes{}
	use := make([]bool, len(frameColumns)+len(frameTexts))
	for i := 0; i < len(sizes) && m.Do(10) && !f.Full(); i++ {
		s, path := &sizes[i], fault.At("sizes", i)
		f.In(path, s.Validate())
		if s.Frame.Assumed != (fitgeom.Assumed{}) {
			f.Add(path+".frame.assumed", "", "numbers that are stated, since a table cannot say of any that it is assumed; a document can", contact.ErrConflict)
		}
		for _, n := range [...]struct{ what, name string }{{"family", s.Family}, {"label", s.Label}} {
			if want := badName(n.name); want != "" {
				f.Add(path+"."+n.what, n.name, want, contact.ErrConflict)
			}
		}
		if first, twice := seen.add(s, i); twice {
			f.Add(path, s.Family+" "+s.Label, "each size once; the first is "+fault.At("sizes", first), contact.ErrConflict)
		}
		for k := range frameColumns {
			use[k] = use[k] || stated(s, &frameColumns[k])
		}
		for k := range frameTexts {
			text := *frameTexts[k].of(&s.Frame)
			want := badName(text)
			if len(text) > longestText {
				want = "at most " + strconv.Itoa(longestText) + " bytes"
			}
			if want != "" {
				f.Add(path+".frame."+frameTexts[k].name, text, want, contact.ErrConflict)
			}
			use[len(frameColumns)+k] = use[len(frameColumns)+k] || text != ""
		}
	}
	if f.Len() > 0 {
		return cmp.Or(m.Err("nothing written"), f.Err())
	}
	return writeTable(m, w, catalogueText(m, sizes, use))
}

// stated reports whether a size has a number that says something.
func stated(s *fitgeom.Size, c *field.Column) bool {
	return *field.Number(&s.Frame, c) != 0 || ofAxles(c) && s.Frame.Geometry.Axles != (chart.Axles{})
}

// catalogueText writes the rows, with the columns that are used.
func catalogueText(m *work.Meter, sizes []fitgeom.Size, use []bool) []byte {
	out := []byte("family,size")
	for k := range frameColumns {
		if use[k] = use[k] || needed(&frameColumns[k]); use[k] {
			out = append(append(out, ','), frameColumns[k].Name...)
		}
	}
	for k := range frameTexts {
		if use[len(frameColumns)+k] {
			out = append(append(out, ','), frameTexts[k].name...)
		}
	}
	out = append(out, '\n')
	for i := 0; i < len(sizes) && m.Do(10); i++ {
		s := &sizes[i]
		out = appendCell(append(appendCell(out, s.Family), ','), s.Label)
		for k := range frameColumns {
			if !use[k] {
				continue
			}
			out = append(out, ',')
			if stated(s, &frameColumns[k]) || needed(&frameColumns[k]) {
				out = appendNumber(out, *field.Number(&s.Frame, &frameColumns[k]))
			}
		}
		for k := range frameTexts {
			if use[len(frameColumns)+k] {
				out = appendCell(append(out, ','), *frameTexts[k].of(&s.Frame))
			}
		}
		out = append(out, '\n')
	}
	return out
}
