package read

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/motion"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/work"
)

// A Format says what a table does not say itself. The zero Format is a table that says all.
type Format struct {
	// Labels are the names of markers as the columns have them; nil stands for the names of
	// package motion, in any case. Other columns are left out.
	Labels map[string]motion.Marker
	// Unit is that of the columns that say none, such as "cm"; "" if each says it.
	Unit string
	// Rate is how many frames there are a second, for a table without a time; 0 if it has one.
	Rate float64
}

// A column is what a column of a table holds.
type column struct {
	name   string
	marker motion.Marker
	axis   int     // 0, 1 or 2; of the time timeAxis
	scale  float64 // to mm, or to s
}

const timeAxis = 3

// mostColumns is how many a table may have.
const mostColumns = 1000

// Table reads a table of comma-, semicolon- or tab-separated values, of which the first row
// tells which. It names the columns: time_s or time_ms, and three for each marker, such as
// knee_left_x_mm, knee_left_y_mm and knee_left_z_mm, in any order. In place of _ there may be
// a point, a colon, a space or brackets: "Knee L.X (mm)". A recording of a single camera
// has no y, and is Flat. An empty cell, or NaN, is a sample that was not seen; then all of the
// marker's must be. With semicolons and tabs a number may have a decimal comma.
//
// Faults have the line and the column: [contact.ErrMissing] for a table without rows, a
// column or cell that is missing, and a time or unit that nobody states;
// [contact.ErrUnknown] for what is no number and for a unit that does not exist;
// [contact.ErrConflict] for a column that is there twice, a row with another number of cells,
// and labels that the table does not have; and those of [motion.Recording.Validate]. If the
// context ends, the error wraps the context's.
func Table(ctx context.Context, data []byte, as Format) (motion.Recording, error) {
	var f fault.List
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	head, rest, _ := bytes.Cut(data, []byte("\n"))
	comma := separator(head)
	columns := as.columns(&f, head, comma)
	if err := f.Err(); err != nil {
		return motion.Recording{}, err
	}
	w := work.New(ctx, -1)
	t := table{as: as, comma: comma, columns: columns}
	r := t.rows(w, &f, rest)
	if w.Stopped() {
		return motion.Recording{}, w.Err(fmt.Sprintf("%d frames", len(r.Times)))
	}
	if len(r.Times) == 0 && f.Len() == 0 {
		f.Put(fault.Fault{Path: "rows", Line: 2, Want: "at least one", Class: contact.ErrMissing})
	}
	if err := f.Err(); err != nil {
		return motion.Recording{}, err
	}
	if err := r.Validate(); err != nil {
		return motion.Recording{}, err
	}
	return r, nil
}

// separator tells what separates the cells of the first row.
func separator(head []byte) byte {
	for _, c := range []byte{'\t', ';'} {
		if bytes.IndexByte(head, c) >= 0 {
			return c
		}
	}
	return ','
}

// columns reads the first row.
func (as *Format) columns(f *fault.List, head []byte, comma byte) []column {
	add := func(name, want string, class error) {
		f.Put(fault.Fault{Path: name, Line: 1, Want: want, Class: class})
	}
	if bytes.Count(head, []byte{comma}) >= mostColumns {
		add("columns", fmt.Sprintf("at most %d", mostColumns), contact.ErrRange)
		return nil
	}
	names := strings.Split(strings.TrimRight(string(head), "\r"), string(comma))
	all := make([]column, len(names))
	seen, labels := map[column]bool{}, map[string]bool{}
	timed, flat := false, true
	has := map[motion.Marker][3]bool{}
	for i, name := range names {
		name = strings.Trim(strings.TrimSpace(name), `"`)
		c, label := as.column(f, name)
		all[i] = c
		if c.scale == 0 {
			continue
		}
		labels[label] = true
		if key := (column{marker: c.marker, axis: c.axis}); seen[key] {
			add(name, "a column that is there once", contact.ErrConflict)
		} else {
			seen[key] = true
		}
		if c.axis == timeAxis {
			timed = true
			continue
		}
		axes := has[c.marker]
		axes[c.axis] = true
		has[c.marker] = axes
		flat = flat && c.axis != 1
	}
	switch {
	case !timed && as.Rate == 0:
		add("time_s", "a column of times, or a rate", contact.ErrMissing)
	case timed && as.Rate != 0:
		add("time_s", "a column of times or a rate, not both", contact.ErrConflict)
	}
	if as.Rate != 0 {
		f.Range("rate_hz", as.Rate, math.SmallestNonzeroFloat64, 1e6, "Hz")
	}
	for _, m := range motion.Markers() {
		if axes, ok := has[m]; ok && (!axes[0] || !axes[2] || !axes[1] && !flat) {
			add(m.String(), "a column for each of x, y and z", contact.ErrMissing)
		}
	}
	for label := range as.Labels {
		if !labels[label] {
			f.Put(fault.Fault{Path: "labels", Line: 1, Value: strconv.Quote(fault.Name(label)), Want: "a label of the table", Class: contact.ErrConflict})
		}
	}
	if len(has) == 0 {
		add("columns", "those of a marker, such as knee_left_x_mm", contact.ErrMissing)
	}
	return all
}

// column tells what a column is by its name; one that is left out has a scale of 0.
func (as *Format) column(f *fault.List, name string) (c column, label string) {
	between := func(r rune) bool { return strings.ContainsRune("_.:[]() ", r) || unicode.IsSpace(r) }
	last := func(s string) (rest, word string) {
		s = strings.TrimRightFunc(s, between)
		i := strings.LastIndexFunc(s, between)
		return s[:i+1], strings.ToLower(s[i+1:])
	}
	c.name = name
	rest, word := last(name)
	if before, of := last(rest); before == "" && of == "time" && (word == "s" || word == "ms") {
		c.axis, c.scale = timeAxis, 1
		if word == "ms" {
			c.scale = 0.001
		}
		return c, name
	}
	unit, err := survey.ParseUnit(word)
	stated := err == nil
	if stated {
		rest, word = last(rest)
	}
	c.axis = slices.Index([]string{"x", "y", "z"}, word)
	label = strings.TrimRightFunc(rest, between)
	m, ok := as.Labels[label]
	if as.Labels == nil {
		known, err := motion.ParseMarker(strings.ToLower(strings.ReplaceAll(label, " ", "_")))
		m, ok = known, err == nil
	}
	if !ok || c.axis < 0 {
		return column{name: name}, ""
	}
	if !stated {
		if unit, err = survey.ParseUnit(as.Unit); err != nil {
			f.Put(fault.Fault{Path: name, Line: 1, Value: as.Unit, Want: "a unit: mm, cm, m or in", Class: contact.ErrMissing})
		}
	}
	c.marker, c.scale = m, unit.Millimetres()
	return c, label
}

// A table is a table whose rows are read.
type table struct {
	as      Format
	comma   byte
	columns []column
}

// rows reads all rows but the first.
func (t *table) rows(w *work.Meter, f *fault.List, rest []byte) (r motion.Recording) {
	r.Markers = map[motion.Marker][]motion.Sample{}
	r.Flat = true
	most := t.count(w, rest)
	r.Times = work.Make[float64](w, most)[:0]
	for _, c := range t.columns {
		if c.scale > 0 && c.axis < timeAxis && r.Markers[c.marker] == nil {
			r.Markers[c.marker] = work.Make[motion.Sample](w, most)[:0]
		}
		r.Flat = r.Flat && (c.scale == 0 || c.axis != 1)
	}
	var row [256]motion.Sample
	for line := 2; len(rest) > 0 && !f.Full(); line++ {
		if !w.Do(len(t.columns)) {
			return r
		}
		var text []byte
		text, rest, _ = bytes.Cut(rest, []byte("\n"))
		if text = bytes.TrimRight(text, "\r"); len(bytes.TrimSpace(text)) == 0 {
			continue
		}
		clear(row[:])
		at := float64(len(r.Times)) / max(t.as.Rate, 1e-9)
		if !t.row(f, text, line, &at, &row) {
			continue
		}
		r.Times = append(r.Times, at)
		for m := range r.Markers {
			r.Markers[m] = append(r.Markers[m], row[m])
		}
	}
	return r
}

// count returns how many rows there are at most: lines with enough bytes.
func (t *table) count(w *work.Meter, rest []byte) (n int) {
	for len(rest) > 0 && w.Do(1) {
		var text []byte
		if text, rest, _ = bytes.Cut(rest, []byte("\n")); len(text) >= max(1, len(t.columns)-1) {
			n++
		}
	}
	return n
}

// row reads one row; false for one with faults.
func (t *table) row(f *fault.List, text []byte, line int, at *float64, row *[256]motion.Sample) bool {
	if n := bytes.Count(text, []byte{t.comma}) + 1; n != len(t.columns) {
		f.Put(fault.Fault{Path: "cells", Line: line, Value: strconv.Itoa(n), Want: fmt.Sprintf("%d, one a column", len(t.columns)), Class: contact.ErrConflict})
		return false
	}
	before := f.Len()
	var missing [256]bool
	for i := range t.columns {
		var cell []byte
		cell, text, _ = bytes.Cut(text, []byte{t.comma})
		c := &t.columns[i]
		if c.scale == 0 {
			continue
		}
		cell = bytes.Trim(bytes.TrimSpace(cell), `"`)
		if len(cell) == 0 || bytes.EqualFold(cell, []byte("nan")) {
			if c.axis == timeAxis {
				f.Put(fault.Fault{Path: c.name, Line: line, Want: "a time", Class: contact.ErrMissing})
			}
			missing[c.marker] = true
			continue
		}
		v, err := t.number(cell)
		if err != nil || math.IsInf(v, 0) || math.IsNaN(v) {
			f.Put(fault.Fault{Path: c.name, Line: line, Value: strconv.Quote(fault.Name(string(cell))), Want: "a number", Class: contact.ErrUnknown})
			continue
		}
		v *= c.scale
		if c.axis == timeAxis {
			*at = v
			continue
		}
		s := &row[c.marker]
		s.Seen = true
		*[3]*float64{&s.At.X, &s.At.Y, &s.At.Z}[c.axis] = v
	}
	for i := range t.columns {
		c := &t.columns[i]
		if c.scale > 0 && c.axis == 0 && missing[c.marker] && row[c.marker].Seen {
			f.Put(fault.Fault{Path: c.marker.String(), Line: line, Want: "all of its coordinates or none", Class: contact.ErrMissing})
		}
	}
	return f.Len() == before
}

// number reads a number, with a decimal comma where commas separate nothing.
func (t *table) number(cell []byte) (float64, error) {
	if t.comma != ',' {
		if i := bytes.IndexByte(cell, ','); i >= 0 {
			cell = bytes.Clone(cell)
			cell[i] = '.'
		}
	}
	if len(cell) > 64 {
		return 0, strconv.ErrSyntax
	}
	return strconv.ParseFloat(string(cell), 64)
}
