package exchange

import (
	"bufio"
	"bytes"
	"context"
	"encoding/csv"
	"errors"
	"io"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/strict"
)

// mostRowFaults is how many faults of a table are looked for.
const mostRowFaults = 100_000

// A column is what a table has in each row.
type column struct {
	name string
	need bool
}

// A table reads rows of comma-separated values in the dialect that the package
// documentation states.
type table struct {
	in      *csv.Reader
	columns []column
	place   []int    // in columns, of each cell of a row
	cells   []string // of the row, by columns; empty where the table has no such column
	line    int      // of the row
	faults  []*fault.Fault
	err     error // of the reader
}

// newTable reads the row that names the columns; false if there are faults.
func newTable(ctx context.Context, r io.Reader, what string, columns []column) (*table, bool) {
	b := bufio.NewReader(&source{ctx: ctx, r: r, what: "table"})
	if mark, _ := b.Peek(3); bytes.Equal(mark, []byte("\ufeff")) {
		_, _ = b.Discard(3)
	}
	t := &table{in: csv.NewReader(b), columns: columns, cells: make([]string, len(columns)), line: 1}
	t.in.FieldsPerRecord = -1
	t.in.ReuseRecord = true
	t.in.Comment = '#'
	head, err := t.in.Read()
	broken := new(csv.ParseError)
	switch {
	case errors.Is(err, io.EOF):
		t.faults = append(t.faults, &fault.Fault{Path: what, Want: "a row that names the columns", Class: contact.ErrMissing, Line: 1})
		return t, false
	case errors.As(err, &broken):
		t.line = broken.StartLine
		t.add("", "", "a row that names the columns: "+broken.Err.Error(), contact.ErrConflict)
		return t, false
	case err != nil:
		t.err = err
		return t, false
	}
	t.line, _ = t.in.FieldPos(0)
	seen := make([]bool, len(columns))
	for _, cell := range head {
		name := strings.TrimSpace(cell)
		i := slices.IndexFunc(columns, func(c column) bool { return c.name == name })
		switch {
		case i < 0:
			t.add(strings.ToValidUTF8(name, "\ufffd"), "", t.wanted(head), contact.ErrUnknown)
		case seen[i]:
			t.add(name, "", "each column once", contact.ErrConflict)
		default:
			seen[i] = true
		}
		t.place = append(t.place, i)
	}
	for i, c := range columns {
		if c.need && !seen[i] {
			t.add(c.name, "", "the column", contact.ErrMissing)
		}
	}
	return t, len(t.faults) == 0
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
	path := row(t.line)
	if column != "" {
		path += "." + column
	}
	t.faults = append(t.faults, &fault.Fault{Path: path, Line: t.line, Value: value, Want: want, Class: class})
}

func row(line int) string { return "row " + strconv.Itoa(line) }

// next goes to the next row with as many cells as there are columns; false at
// the end. The cells are good until the next call.
func (t *table) next() bool {
	for {
		if len(t.faults) >= mostRowFaults {
			t.add("", "more faults", "at most "+strconv.Itoa(mostRowFaults)+"; the rest was not read", contact.ErrRange)
			return false
		}
		cells, err := t.in.Read()
		if err != nil {
			broken := new(csv.ParseError)
			switch {
			case errors.Is(err, io.EOF):
				return false
			case errors.As(err, &broken):
				t.line = broken.StartLine
				t.add("", "", "well-formed quotes: "+broken.Err.Error(), contact.ErrConflict)
				continue
			default:
				t.err = err
				return false
			}
		}
		t.line, _ = t.in.FieldPos(0)
		if len(cells) != len(t.place) {
			want := strconv.Itoa(len(t.place)) + " as in the first row"
			if len(cells) > len(t.place) {
				want += "; decimals have a point, not a comma"
			}
			t.add("", strconv.Itoa(len(cells))+" cells", want, contact.ErrConflict)
			continue
		}
		for i, cell := range cells {
			t.cells[t.place[i]] = strings.TrimSpace(cell)
		}
		return true
	}
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
	if plain(cell) {
		if v, err := strconv.ParseFloat(cell, 64); err == nil {
			return v + 0 // -0 becomes 0
		}
	}
	t.add(t.columns[i].name, strconv.Quote(short(cell)), "a number with a decimal point", contact.ErrRange)
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
		t.add(t.columns[i].name, strconv.Quote(short(t.cells[i])), want, contact.ErrConflict)
	}
	return t.cells[i]
}

// badName says what is wrong with a name that no row can hold, or "".
func badName(name string) string {
	switch {
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

func short(s string) string {
	if len(s) > 40 {
		return strings.ToValidUTF8(s[:40], "") + "…"
	}
	return s
}

// errs returns the faults, and the reader's error if there was one.
func (t *table) errs() error {
	if t.err == nil {
		return strict.Join(t.faults)
	}
	return errors.Join(strict.Join(t.faults), t.err)
}

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
func writeTable(ctx context.Context, w io.Writer, table []byte) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	if len(table) > MaxSize {
		return tooLarge("table")
	}
	_, err := w.Write(table)
	return err
}

func appendNumber(to []byte, v float64) []byte { return strconv.AppendFloat(to, v+0, 'g', -1, 64) }
