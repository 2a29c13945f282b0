package exchange

import (
	"bytes"
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"io"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/internal/fault"
)

// A Dialect is how a table is written. What is zero is found out.
type Dialect struct {
	// Comma separates cells: ',', ';' or a tab. Zero: what most of the first lines have, or
	// what a line like "sep=;" says.
	Comma rune
	// Decimal is the mark before decimals: '.' or ','. Zero: that of the first number with one.
	Decimal rune
	// HeaderRow is the line of the row that names the columns. Zero: the first of which at
	// least three names are known.
	HeaderRow int
	// Columns gives columns by the names that the table has for them, as in
	// {"Rahmenhöhe": "stack_mm"}, with the names of [ReadCatalogue]. Other names are known in
	// any case, with spaces, and with another unit.
	Columns map[string]string
	// Family is the family of all sizes, where the table has no column of it.
	Family string
	// Assume has the numbers to take where a table does not state what charts of
	// manufacturers hardly ever do: SteererDiameter, MaxUnderStem, SeatTubeTop and
	// SeatpostDiameter. Zero: 28.6 mm, 40 mm, nine tenths of the stack, and 27.2 mm (common
	// practice, no source).
	Assume fitgeom.Frame
}

// ReadSpreadsheet reads a catalogue as spreadsheets save it and people type it, where
// [ReadCatalogue] is for programs. It finds out how the table is written and returns that
// too, for the caller to show. A title above the table, a row of units below the
// names, units in names and cells (mm, cm, in, °), dashes for what is missing, and empty
// rows and columns are understood. The text must be UTF-8.
//
// Columns of names that it does not know are kept: of a size in the row's Item, "/sizes/3",
// as members of its Meta. So are those of the axles, unless all five are there; a column
// "id" is the item's. Numbers that charts hardly ever state may be absent: they are assumed,
// as Frame.Assumed says of each size, and builds on such frames come with a caution.
//
// A line that begins with # is a row like others, and a number that is stated as 0 is stated.
// Sound rows are returned in spite of faults, as by ReadCatalogue.
func ReadSpreadsheet(ctx context.Context, r io.Reader, d Dialect) (Document[[]fitgeom.Size], Dialect, error) {
	from := newSource(ctx, r, "table")
	columns := slices.Clone(catalogueColumns)
	for i := range columns {
		columns[i].need = columns[i].need && !slices.Contains(assumable, columns[i].name)
	}
	t := &table{rows: newRows(from, 10*len(columns)), from: from, columns: columns, cells: make([]string, len(columns))}
	s := &spreadsheet{catalogue: catalogue{table: t, assume: &d.Assume}, dialect: d}
	doc := Document[[]fitgeom.Size]{Items: map[string]Item{}}
	if s.encoded() && s.separated() && s.named() {
		for n := 0; s.nextRow(); {
			if !s.row() {
				continue
			}
			if it := s.item(); it.ID != "" || it.Meta != nil {
				doc.Items["/sizes/"+strconv.Itoa(n)] = it
			}
			n++
		}
	}
	var err error
	doc.Value, err = s.end()
	return doc, s.dialect, err
}

// assumable is the columns that may be absent though frames need them, in the order of fill.
var assumable = []string{"steerer_diameter_mm", "max_under_stem_mm", "seat_tube_top_mm", "seatpost_diameter_mm"}

// fill fills in what the row does not state of a frame. A 0 is stated.
func (c *catalogue) fill(f *fitgeom.Frame) {
	from := c.assume
	for i, n := range [...]struct {
		of, from *float64
		usual    float64
		assumed  *bool
	}{
		{&f.SteererDiameter, &from.SteererDiameter, 28.6, &f.Assumed.SteererDiameter},
		{&f.MaxUnderStem, &from.MaxUnderStem, 40, &f.Assumed.MaxUnderStem},
		{&f.SeatTubeTop, &from.SeatTubeTop, math.Round(0.9 * f.Geometry.Stack), &f.Assumed.SeatTubeTop},
		{&f.SeatpostDiameter, &from.SeatpostDiameter, 27.2, &f.Assumed.SeatpostDiameter},
	} {
		if c.cells[slices.IndexFunc(c.columns, func(x column) bool { return x.name == assumable[i] })] != "" {
			continue
		}
		if *n.of, *n.assumed = *n.from, true; *n.of == 0 {
			*n.of = n.usual
		}
	}
}

// A spreadsheet is a catalogue in a dialect that is found out.
type spreadsheet struct {
	catalogue
	dialect Dialect
	names   []string  // of the cells
	scale   []float64 // of their units; 0 where neither the name nor a row of units gives one
	started bool      // whether a row of numbers was read
	first   bool      // whether a row below the names was read
}

// flaw reports what ends the reading of the table.
func (s *spreadsheet) flaw(value, want string, class error) bool {
	s.add("", value, want, class)
	return false
}

// encoded reports whether the text is not in an encoding that can be recognized.
func (s *spreadsheet) encoded() bool {
	head, err := s.in.Peek(4096)
	if err != nil && !errors.Is(err, io.EOF) {
		s.err = err
		return false
	}
	if bytes.HasPrefix(head, []byte("\xff\xfe")) || bytes.HasPrefix(head, []byte("\xfe\xff")) || bytes.IndexByte(head, 0) >= 0 {
		s.faults.Put(fault.Fault{Path: "table", Line: 1, Value: "UTF-16", Want: "text in UTF-8; " + saveAs, Class: contact.ErrConflict})
		return false
	}
	return true
}

const saveAs = `save it as "CSV UTF-8"`

// separated finds what separates the cells.
func (s *spreadsheet) separated() bool {
	switch s.dialect.Comma {
	case 0:
	case ',', ';', '\t':
		s.comma = byte(s.dialect.Comma)
		return true
	default:
		return s.flaw(strconv.QuoteRune(s.dialect.Comma), "cells that ',', ';' or a tab separates", contact.ErrRange)
	}
	head, _ := s.in.Peek(maxRow)
	if sep, ok := bytes.CutPrefix(head, []byte("sep=")); ok && len(sep) > 0 {
		if _, err := s.readLine(); err != nil {
			s.err = err
			return false
		}
		s.comma = sep[0]
	} else {
		var lines [256]int // that have at least two of each
		for line := range bytes.Lines(head) {
			quoted, seen := false, [256]int{}
			for _, c := range line {
				quoted = quoted != (c == '"')
				if seen[c]++; !quoted && seen[c] == 2 {
					lines[c]++
				}
			}
		}
		for _, c := range []byte{';', '\t'} {
			if lines[c] > 0 && lines[c] >= lines[s.comma] {
				s.comma = c
			}
		}
	}
	s.dialect.Comma = rune(s.comma)
	return true
}

// sound reads a row, and reports what is wrong with all of it. More is false at the end.
func (s *spreadsheet) sound() (ok, more bool) {
	flaw, err := s.read()
	if !s.from.meter.Do(10) {
		err = s.from.err()
	}
	switch {
	case errors.Is(err, io.EOF):
		return false, false
	case err != nil:
		s.err = err
		return false, false
	case flaw != nil:
		return s.flaw(flaw.Value, flaw.Want, flaw.Class), true
	}
	for _, cell := range s.rows.cells {
		if !utf8.ValidString(cell) {
			i := strings.IndexFunc(cell, func(r rune) bool { return r == utf8.RuneError })
			return s.flaw("byte 0x"+strings.ToUpper(strconv.FormatUint(uint64(cell[i]), 16)), "text in UTF-8 (Latin-1?); "+saveAs, contact.ErrConflict), true
		}
	}
	for i, cell := range s.rows.cells {
		s.rows.cells[i] = strings.TrimSpace(cell)
	}
	return true, true
}

// titles is how many rows may stand above the one that names the columns.
const titles = 20

// named finds the row that names the columns.
func (s *spreadsheet) named() bool {
	down := 0 // names in the first cells
	for range titles {
		if ok, _ := s.sound(); !ok {
			break
		}
		known := 0
		for i, cell := range s.rows.cells {
			if c, _ := s.known(cell); c >= 0 {
				known++
				if i == 0 {
					down++
				}
			}
		}
		if s.dialect.HeaderRow == s.line || s.dialect.HeaderRow == 0 && known >= 3 {
			s.dialect.HeaderRow = s.line
			return s.header()
		}
	}
	switch {
	case s.faults.Len() > 0 || s.err != nil:
	case down >= 3:
		s.line = 1
		s.flaw("one size a column", "one size a row; transpose the table, which spreadsheets do on pasting", contact.ErrConflict)
	default:
		s.faults.Put(fault.Fault{Path: "catalogue", Line: 1, Want: "a row that names the columns, such as family, size, stack_mm and reach_mm; Dialect.Columns maps other names", Class: contact.ErrMissing})
	}
	return false
}

// header takes the names of the columns.
func (s *spreadsheet) header() bool {
	before := s.faults.Len()
	seen := make([]bool, len(s.columns))
	axles := 0
	for _, cell := range s.rows.cells {
		c, scale := s.known(cell)
		if c >= 0 && seen[c] {
			s.add(s.columns[c].name, "", "each column once", contact.ErrConflict)
		}
		if c >= 0 {
			seen[c] = true
		}
		if c >= 0 && math.IsNaN(scale) {
			s.add(s.columns[c].name, strconv.Quote(fault.Name(cell)), "a unit of what the column holds", contact.ErrUnit)
		}
		if isAxle(c) {
			axles++
		}
		s.place, s.scale, s.names = append(s.place, c), append(s.scale, scale), append(s.names, s.name(cell))
	}
	for i, c := range s.place {
		if isAxle(c) && axles < 5 {
			s.place[i] = -1 // which say nothing without the others
		}
	}
	for i, c := range s.columns {
		if c.need && !seen[i] && !(i == familyColumn && s.dialect.Family != "") {
			s.add(c.name, "", "the column; Dialect.Columns maps other names", contact.ErrMissing)
		}
	}
	for named := range maps.Values(s.dialect.Columns) {
		if !slices.ContainsFunc(s.columns, func(c column) bool { return c.name == named }) {
			s.add(named, "", "a column that catalogues have", contact.ErrUnknown)
		}
	}
	return s.faults.Len() == before
}

// name is a column's name, with a number where columns before have the same.
func (s *spreadsheet) name(cell string) string {
	name := strings.Clone(cell)
	for n := 2; cell != "" && slices.Contains(s.names, name); n++ {
		name = cell + " " + strconv.Itoa(n)
	}
	return name
}

func isAxle(c int) bool {
	return c >= firstNumber && c < firstNumber+len(frameColumns) && ofAxles(&frameColumns[c-firstNumber])
}

// other is words that charts have for columns (common practice, no source).
var other = map[string]string{
	"model": "family", "frame_size": "size", "head_tube_angle": "head_angle", "seat_tube_angle": "seat_angle",
	"chainstay_length": "chainstay", "bottom_bracket_drop": "bb_drop", "fork_rake": "fork_offset", "rake": "fork_offset",
}

// known returns the column of a name, or -1, and what its numbers are to be multiplied
// with; 0 if the name gives no unit, and NaN if it is that of something else.
func (s *spreadsheet) known(cell string) (c int, scale float64) {
	if to, ok := s.dialect.Columns[cell]; ok {
		return slices.IndexFunc(s.columns, func(c column) bool { return c.name == to }), 0
	}
	words := strings.FieldsFunc(strings.ToLower(cell), func(r rune) bool {
		return r != '°' && r != '"' && !unicode.IsLetter(r) && !unicode.IsDigit(r)
	})
	unit := 0.0
	angle, given := false, false
	if n := len(words); n > 1 {
		if unit, angle, given = unitOf(words[n-1]); given {
			words = words[:n-1]
		}
	}
	name := strings.Join(words, "_")
	if to, ok := other[name]; ok {
		name = to
	}
	for i, c := range s.columns {
		bare, isAngle := strings.CutSuffix(c.name, "_deg")
		bare, isLength := strings.CutSuffix(bare, "_mm")
		if bare != name {
			continue
		}
		if given && (angle != isAngle || !isAngle && !isLength) {
			return i, math.NaN()
		}
		return i, unit
	}
	return -1, 0
}

// unitOf reads a unit: how many mm or degrees it is.
func unitOf(s string) (scale float64, angle, ok bool) {
	switch strings.ToLower(s) {
	case "mm":
		return 1, false, true
	case "cm":
		return 10, false, true
	case "in", "inch", "inches", `"`:
		return 25.4, false, true
	case "°", "deg", "degree", "degrees":
		return 1, true, true
	}
	return 0, false, false
}

// nextRow goes to the next row that is not empty, with its cells as strict tables have them.
func (s *spreadsheet) nextRow() bool {
	for {
		ok, more := s.sound()
		if !more {
			return false
		}
		if !ok {
			continue
		}
		cells, before := s.rows.cells, s.faults.Len()
		for len(cells) > len(s.place) && cells[len(cells)-1] == "" {
			cells = cells[:len(cells)-1]
		}
		first := !s.first
		s.first = true
		switch {
		case !slices.ContainsFunc(cells, func(c string) bool { return c != "" }):
			s.first = !first
			continue
		case first && s.units(cells):
			if s.faults.Len() > before {
				return false // of all rows
			}
			continue
		case s.shifted(cells):
			s.add("", strconv.Itoa(len(cells))+" cells", strconv.Itoa(len(s.place))+" as in row "+strconv.Itoa(s.dialect.HeaderRow)+", since decimals with a comma would move the others; separate cells with semicolons, or set Dialect.Decimal to '.'", contact.ErrConflict)
			continue
		case len(cells) > len(s.place):
			s.add("", strconv.Itoa(len(cells))+" cells", strconv.Itoa(len(s.place))+" as in row "+strconv.Itoa(s.dialect.HeaderRow)+"; decimals have a point, or separate cells with semicolons", contact.ErrConflict)
			if !s.started {
				return false // all rows are as this one
			}
			continue
		}
		s.started = true
		clear(s.cells)
		clear(s.flaws)
		s.cells[familyColumn] = s.dialect.Family
		for i, cell := range cells {
			if c := s.place[i]; c == familyColumn || c == sizeColumn || c >= firstNumber+len(frameColumns) {
				s.cells[c] = cell
			} else if c >= 0 {
				s.cells[c] = s.plainNumber(cell, c, cmp.Or(s.scale[i], 1))
			}
		}
		return true
	}
}

// shifted reports whether a row lacks cells, and decimals with a comma may have moved those
// that it has.
func (s *spreadsheet) shifted(cells []string) bool {
	return s.comma == ',' && len(cells) < len(s.place) && s.dialect.Decimal != '.' &&
		!slices.ContainsFunc(cells, func(c string) bool { return strings.Contains(c, ".") && plain(c) })
}

// units takes a row of units, and reports those that the columns cannot have.
func (s *spreadsheet) units(cells []string) bool {
	scale, n := slices.Clone(s.scale), 0
	var wrong []int
	for i, cell := range cells {
		if cell == "" {
			continue
		}
		unit, angle, ok := unitOf(strings.Trim(cell, "[]()"))
		if !ok || i >= len(scale) {
			return false
		}
		if c := s.place[i]; c >= 0 && (angle != s.isAngle(c) || scale[i] != 0 && scale[i] != unit) {
			wrong = append(wrong, i)
		}
		scale[i] = unit
		n++
	}
	if n < 2 {
		return false
	}
	for _, i := range wrong {
		s.add(s.columns[s.place[i]].name, strconv.Quote(fault.Name(cells[i])), "a unit of what the column holds, and the one in its name if it has one", contact.ErrUnit)
	}
	s.scale = scale
	return true
}

func (s *spreadsheet) isAngle(c int) bool { return strings.HasSuffix(s.columns[c].name, "_deg") }

// missing is what people write where there is no number.
var missing = []string{"-", "–", "—", "n/a", "na", "n.a.", "?"}

// plainNumber is a number of a column as strict tables have it, "" where there is none, and
// what is none as it is.
func (s *spreadsheet) plainNumber(cell string, c int, scale float64) string {
	if slices.Contains(missing, strings.ToLower(cell)) {
		return ""
	}
	text := cell
	end := strings.TrimRightFunc(text, func(r rune) bool { return unicode.IsLetter(r) || r == '°' || r == '"' })
	if unit, angle, ok := unitOf(text[len(end):]); ok && angle == s.isAngle(c) {
		text, scale = strings.TrimSpace(end), unit
	}
	mark := rune(0)
	if i := strings.IndexAny(text, ".,"); i >= 0 {
		mark = rune(text[i])
		text = strings.Replace(text, ",", ".", 1)
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || !plain(text) {
		return cell
	}
	if s.dialect.Decimal == 0 {
		s.dialect.Decimal = mark
	}
	if mark != 0 && mark != s.dialect.Decimal {
		if s.flaws == nil {
			s.flaws = map[int]string{}
		}
		s.flaws[c] = "decimals behind " + strconv.QuoteRune(s.dialect.Decimal) + ", which is the table's decimal mark (Dialect.Decimal)"
		return cell
	}
	return strconv.FormatFloat(math.Round(v*scale*1e6)/1e6, 'f', -1, 64)
}

// item is what the row has beside the size.
func (s *spreadsheet) item() (it Item) {
	more := map[string]string{}
	for i, cell := range s.rows.cells[:min(len(s.rows.cells), len(s.place))] {
		switch {
		case s.place[i] >= 0 || cell == "" || s.names[i] == "":
		case it.ID == "" && strings.EqualFold(s.names[i], "id") && utf8.RuneCountInString(cell) <= 200:
			it.ID = strings.Clone(cell)
		default:
			more[s.names[i]] = cell
		}
	}
	if len(more) > 0 {
		it.Meta, _ = json.Marshal(more)
	}
	return it
}
