// Package grid reads the small tables that examples have beside documents.
package grid

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
)

// most is how many rows a table may have, and after how many faults no more is read.
const most = 100

// A Row is a row of a table.
type Row struct {
	// Line is where it stands, and Cells what it has, one for each column.
	Line  int
	Cells []string
	head  []string
}

// Read reads a table of comma-separated values whose first row has these names, and gives each
// other row to take. All faults come together, with their lines.
func Read(data []byte, head string, take func(Row) error) error {
	r := csv.NewReader(bytes.NewReader(bytes.TrimPrefix(data, []byte("\ufeff"))))
	r.Comment, r.TrimLeadingSpace, r.FieldsPerRecord = '#', true, -1
	names, err := r.Read()
	switch got := strings.Join(names, ","); {
	case errors.Is(err, io.EOF):
		return fmt.Errorf("line 1: empty: want the columns %s", head)
	case err == nil && strings.ContainsAny(got, ";\t"):
		return fmt.Errorf("line 1: want columns separated by commas: %s", head)
	case err != nil || got != head:
		return fmt.Errorf("line 1: %.100q: want the columns %s", got, head)
	}
	var faults []error
	rows := 0
	for ; len(faults) < most; rows++ {
		cells, err := r.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			faults = append(faults, err) // it names the line
			break
		}
		line, _ := r.FieldPos(0)
		switch {
		case rows == most:
			return fmt.Errorf("line %d: want at most %d rows", line, most)
		case len(cells) != len(names):
			faults = append(faults, fmt.Errorf("line %d: %d cells: want %d, with a decimal point in numbers, since a comma begins the next cell", line, len(cells), len(names)))
		default:
			if err := take(Row{line, cells, names}); err != nil {
				faults = append(faults, err)
			}
		}
	}
	if rows == 0 && len(faults) == 0 {
		return fmt.Errorf("line 2: missing: want a row of %s", head)
	}
	return errors.Join(faults...)
}

// Fault says what is wanted instead of a cell.
func (r Row) Fault(column int, want string) error {
	return fmt.Errorf("line %d: %s %.100q: want %s", r.Line, r.head[column], r.Cells[column], want)
}

// Number returns the number of a cell, which lies within a range.
func (r Row) Number(column int, low, high float64, unit string) (float64, error) {
	v, err := strconv.ParseFloat(r.Cells[column], 64)
	if err != nil || math.IsNaN(v) || v < low || v > high {
		return 0, r.Fault(column, fmt.Sprintf("a number of %v to %v %s", low, high, unit))
	}
	return v, nil
}
