package exchange

import (
	"cmp"
	"context"
	"io"
	"strconv"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/work"
	"gonum.org/v1/gonum/spatial/r3"
)

// Points is what a list of points can be: the points of a position, or the
// readings of a survey in mm.
type Points interface {
	contact.Position | []survey.Reading
}

var pointColumns = []column{{"name", true}, {"x_mm", true}, {"y_mm", true}, {"z_mm", true}}

// ReadPoints reads points, one a row, from comma-separated values in the dialect of the
// package documentation. The first row names the columns, in any order: name, x_mm, y_mm
// and z_mm. For a position a name is that of a contact site, each at most once; for
// readings it is that of a landmark, and the axes are the instrument's.
//
// All faults come back together, as those of [ReadCatalogue] do: of the table, what
// Position.Validate reports, and landmarks and numbers that Survey.Validate refuses one
// by one. With faults the value is zero.
func ReadPoints[T Points](ctx context.Context, r io.Reader) (T, error) {
	var v T
	t, ok := newTable(ctx, r, "points", pointColumns)
	if !ok {
		return v, t.errs()
	}
	switch to := any(&v).(type) {
	case *contact.Position:
		*to = readPosition(t)
	case *[]survey.Reading:
		*to = readReadings(t)
	}
	if err := t.errs(); err != nil {
		var none T
		return none, err
	}
	return v, nil
}

// point returns the numbers of a row.
func (t *table) point() r3.Vec { return r3.Vec{X: t.number(1), Y: t.number(2), Z: t.number(3)} }

func readPosition(t *table) (p contact.Position) {
	rows := map[string]int{}
	for !t.faults.Full() && t.next() {
		at := t.point()
		s, err := contact.ParseSite(t.cells[0])
		for _, e := range contact.Faults(err) {
			t.add("name", strconv.Quote(fault.Name(strings.ToValidUTF8(t.cells[0], "\ufffd"))), e.Want, e.Class)
		}
		if err != nil {
			continue
		}
		if first, twice := rows[s.String()]; twice {
			t.add("name", s.String(), "each site once; the first is "+row(first), contact.ErrConflict)
			continue
		}
		rows[s.String()] = t.line
		p.Set(s, at)
	}
	if t.faults.Len() > 0 || t.err != nil {
		return p
	}
	fault.Each(p.Validate(), func(e *fault.Fault) {
		// "sites.hoods_left.at_mm[1]"
		site, rest, _ := strings.Cut(strings.TrimPrefix(e.Path, "sites."), ".")
		t.line = rows[site]
		t.add(axisColumn(rest), e.Value, e.Want, e.Class)
	})
	return p
}

// axisColumn is the column of the number that a path ends at: "at_mm[1]" is y_mm.
func axisColumn(path string) string {
	for i := range 3 {
		if strings.HasSuffix(path, fault.At("", i)) {
			return pointColumns[1+i].name
		}
	}
	return ""
}

func readReadings(t *table) []survey.Reading {
	var readings pile[survey.Reading]
	var lines pile[int]
	for !t.faults.Full() && t.next() {
		readings.add(survey.Reading{Landmark: survey.Landmark(strings.Clone(t.name(0))), At: t.point()})
		lines.add(t.line)
	}
	if t.faults.Len() > 0 || t.err != nil {
		return nil
	}
	all, rows := readings.list(t.from.meter), lines.list(t.from.meter)
	fault.Each(judgeReadings(t.from.meter, all), func(e *fault.Fault) {
		item, what, _ := strings.Cut(e.Path, "].")
		i, _ := strconv.Atoi(strings.TrimPrefix(item, "readings["))
		t.line = rows[i]
		switch column := axisColumn(what); {
		case e.Last():
			e.Path, e.Line = row(t.line), t.line
			t.faults.Put(*e)
		case column != "":
			t.add(column, e.Value, e.Want, e.Class)
		default:
			t.add("name", strconv.Quote(fault.Name(string(all[i].Landmark))), e.Want, e.Class)
		}
	})
	t.err = t.from.err()
	return all
}

// judgeReadings returns what is wrong with readings in mm one by one.
func judgeReadings(m *work.Meter, all []survey.Reading) error {
	var one fault.List
	err := work.Validate(m, survey.Survey{Readings: all, Sigma: r3.Vec{X: 1, Y: 1, Z: 1}, Up: r3.Vec{Z: 1}})
	fault.Each(err, func(e *fault.Fault) {
		if strings.HasPrefix(e.Path, "readings[") { // and not what a survey has to have
			one.Put(*e)
		}
	})
	return one.Err()
}

// WritePoints writes points as [ReadPoints] reads them; the same points are read back.
// The attitudes of a position are not written: [Write] has them.
//
// It refuses what ReadPoints would refuse, with paths as Validate has them, and then
// writes nothing. An error of the writer is returned as it is, and that of the context
// wrapped.
func WritePoints[T Points](ctx context.Context, w io.Writer, v T) error {
	m := work.New(ctx, -1)
	var f fault.List
	var all []survey.Reading
	switch v := any(v).(type) {
	case contact.Position:
		for s, at := range v.All() {
			all = append(all, survey.Reading{Landmark: survey.At(s), At: at})
		}
		f.In("", v.Validate())
	case []survey.Reading:
		all = v
		f.In("", judgeReadings(m, v))
		for i := 0; i < len(v) && m.Do(1) && !f.Full(); i++ {
			r := &v[i]
			if want := badName(string(r.Landmark)); want != "" {
				f.Add(fault.At("readings", i)+".landmark", string(r.Landmark), want, contact.ErrConflict)
			}
		}
	}
	if f.Len() > 0 {
		return cmp.Or(m.Err("nothing written"), f.Err())
	}
	out := []byte("name,x_mm,y_mm,z_mm\n")
	for i := 0; i < len(all) && m.Do(10); i++ {
		r := &all[i]
		out = appendCell(out, string(r.Landmark))
		for _, c := range [...]float64{r.At.X, r.At.Y, r.At.Z} {
			out = appendNumber(append(out, ','), c)
		}
		out = append(out, '\n')
	}
	return writeTable(m, w, out)
}
