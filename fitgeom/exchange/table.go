package exchange

import (
	"context"
	"errors"
	"io"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/work"
)

// A column is what a table has in each row.
type column struct {
	name string
	need bool
}

// A table reads rows of comma-separated values in the dialect that the package
// documentation states.
type table struct {
	rows
	from    *source
	columns []column
	place   []int          // in columns, of each cell of a row
	cells   []string       // of the row, by columns; empty where the table has no such column
	flaws   map[int]string // what is wanted instead of cells that only look like numbers
	faults  fault.List
	err     error // of the reader
}

// newTable reads the row that names the columns; false if there are faults.
func newTable(ctx context.Context, r io.Reader, what string, columns []column) (*table, bool) {
	from := newSource(ctx, r, "table")
	// More cells than ten times the columns are hardly meant as a row.
	t := &table{rows: newRows(from, 10*len(columns)), from: from, columns: columns, cells: make([]string, len(columns))}
	t.notes = true
	flaw, err := t.read()
	switch {
	case errors.Is(err, io.EOF) && !t.cr:
		t.faults.Put(fault.Fault{Path: what, Want: "a row that names the columns", Class: contact.ErrMissing, Line: 1})
		return t, false
	case errors.Is(err, io.EOF) || err == nil && t.cr:
		t.line = max(1, t.line)
		t.add("", "a line end of CR", wantLF, contact.ErrConflict)
		return t, false
	case err != nil:
		t.err = err
		return t, false
	case flaw != nil:
		t.add("", flaw.Value, "a row that names the columns: "+flaw.Want, flaw.Class)
		return t, false
	case len(t.rows.cells) > t.most:
		t.add("", "more than "+strconv.Itoa(t.most)+" cells", t.wanted(t.rows.cells), contact.ErrConflict)
		return t, false
	}
	t.head(t.rows.cells)
	return t, t.faults.Len() == 0
}

// head takes the names of the columns.
func (t *table) head(names []string) {
	seen, wanted := make([]bool, len(t.columns)), t.wanted(names)
	for _, cell := range names {
		name := strings.TrimSpace(cell)
		i := slices.IndexFunc(t.columns, func(c column) bool { return c.name == name })
		switch {
		case i < 0:
			t.add(strings.ToValidUTF8(name, "\ufffd"), "", wanted, contact.ErrUnknown)
		case seen[i]:
			t.add(name, "", "each column once", contact.ErrConflict)
		default:
			seen[i] = true
		}
		t.place = append(t.place, i)
	}
	for i, c := range t.columns {
		if c.need && !seen[i] {
			t.add(c.name, "", "the column", contact.ErrMissing)
		}
	}
}

func (t *table) wanted(head []string) string {
	if len(head) == 1 && strings.ContainsAny(head[0], ";\t") {
		return "columns separated by commas"
	}
	var names []string
	for _, c := range t.columns {
		names = append(names, c.name)
	}
	return "one of " + strings.Join(names, ", ")
}

// add reports a fault of a cell of the row, or of the row if no column is named.
func (t *table) add(column, value, want string, class error) {
	if t.faults.Full() {
		t.faults.Put(fault.Fault{}) // which counts it
		return
	}
	path := row(t.line)
	if column != "" {
		path += "." + column
	}
	t.faults.Put(fault.Fault{Path: path, Line: t.line, Value: value, Want: want, Class: class})
}

func row(line int) string { return "row " + strconv.Itoa(line) }

// next goes to the next row with as many cells as there are columns; false at
// the end. The cells are good until the next call.
func (t *table) next() bool {
	for {
		flaw, err := t.read()
		if !t.from.meter.Do(10) {
			err = t.from.err()
		}
		switch {
		case errors.Is(err, io.EOF):
			return false
		case err != nil:
			t.err = err
			return false
		case flaw != nil:
			t.add("", flaw.Value, flaw.Want, flaw.Class)
		case len(t.rows.cells) != len(t.place):
			t.miscounted(len(t.rows.cells))
		default:
			for i, cell := range t.rows.cells {
				t.cells[t.place[i]] = strings.TrimSpace(cell)
			}
			return true
		}
	}
}

// miscounted reports a row with so many cells.
func (t *table) miscounted(n int) {
	if t.faults.Full() {
		t.add("", "", "", nil)
		return
	}
	value, want := strconv.Itoa(n)+" cells", strconv.Itoa(len(t.place))+" as in the first row"
	if n > t.most {
		value = "more than " + strconv.Itoa(t.most) + " cells"
	}
	if n > len(t.place) {
		want += "; decimals have a point, not a comma"
	}
	t.add("", value, t.unlessCR(want), contact.ErrConflict)
}

// number returns the number of a cell. An empty cell is 0 where the column is not needed.
func (t *table) number(i int) float64 {
	cell := t.cells[i]
	if cell == "" {
		if t.columns[i].need {
			t.add(t.columns[i].name, "", "a number", contact.ErrMissing)
		}
		return 0
	}
	want, flawed := t.flaws[i]
	if !flawed {
		want = "a number with a decimal point"
	}
	if !flawed && plain(cell) {
		if v, err := strconv.ParseFloat(cell, 64); err == nil {
			return v + 0 // -0 becomes 0
		}
	}
	t.add(t.columns[i].name, strconv.Quote(fault.Name(cell)), want, contact.ErrRange)
	return 0
}

// plain reports whether s has only what decimal numbers have; ParseFloat takes more.
func plain(s string) bool {
	for i := range len(s) {
		switch c := s[i]; {
		case c >= '0' && c <= '9', c == '.', c == '-', c == '+', c == 'e', c == 'E':
		default:
			return false
		}
	}
	return true
}

// name returns the name in a cell.
func (t *table) name(i int) string {
	if want := badName(t.cells[i]); want != "" {
		t.add(t.columns[i].name, strconv.Quote(fault.Name(t.cells[i])), want, contact.ErrConflict)
	}
	return t.cells[i]
}

// maxName is the most bytes of a name in a table. With all that a row has it fits in one,
// even if the name is quotes.
const maxName = 2 << 10

// badName says what is wrong with a name that no row can hold, or "".
func badName(name string) string {
	switch {
	case len(name) > maxName:
		return "a name of at most " + strconv.Itoa(maxName>>10) + " KiB"
	case !utf8.ValidString(name):
		return "text in UTF-8"
	case strings.ContainsAny(name, "\r\n"):
		return "a name in one line"
	case strings.TrimSpace(name) != name:
		return "a name without space around it"
	default:
		return ""
	}
}

// errs returns the faults, and the reader's error if there was one.
func (t *table) errs() error { return errors.Join(t.faults.Err(), t.err) }

// appendCell adds a cell of text to a row.
func appendCell(to []byte, s string) []byte {
	if !strings.ContainsAny(s, "\",#") {
		return append(to, s...)
	}
	to = append(to, '"')
	to = append(to, strings.ReplaceAll(s, `"`, `""`)...)
	return append(to, '"')
}

// writeTable writes a table that can be read back.
func writeTable(m *work.Meter, w io.Writer, table []byte) error {
	if err := m.Err("nothing written"); err != nil {
		return err
	}
	if len(table) > MaxSize {
		return tooLarge("table")
	}
	_, err := w.Write(table)
	return err
}

func appendNumber(to []byte, v float64) []byte { return strconv.AppendFloat(to, v+0, 'g', -1, 64) }
