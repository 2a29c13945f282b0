package main

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/examples/internal/grid"
	"example.com/fitgeom/fitgeom/clearance"
	"example.com/fitgeom/fitgeom/design"
)

// readWishes reads wishes: a dimension of the chart, a setting of the parts or a clearance, and the
// ends of what will do. An empty end is none.
func readWishes(data []byte) (all []design.Wish, err error) {
	err = grid.Read(data, "wish,from,to", func(row grid.Row) error {
		w := design.Wish{From: math.Inf(-1), To: math.Inf(1)}
		var known bool
		if w.Subject, known = subject(row.Cells[0]); !known {
			return row.Fault(0, "a dimension of a chart such as head_angle, a setting such as stem_length, or a clearance such as toe_level")
		}
		if slices.ContainsFunc(all, func(v design.Wish) bool { return v.Subject == w.Subject }) {
			return row.Fault(0, "each wish once")
		}
		all = append(all, w)
		var from, to error
		low, high := -1e5, 1e5
		if d := w.Subject.Dimension; d != 0 {
			low, high = d.Range()
		}
		if row.Cells[1] != "" {
			w.From, from = row.Number(1, low, high, w.Subject.Unit())
		}
		if row.Cells[2] != "" {
			w.To, to = row.Number(2, low, high, w.Subject.Unit())
		}
		err := errors.Join(from, to)
		if err == nil {
			var faults []error
			for _, f := range contact.Faults(w.Validate()) {
				f.Path, _, _ = strings.Cut(f.Path, "_") // columns have no unit in their names
				faults = append(faults, fmt.Errorf("line %d: %s: %w", row.Line, row.Cells[0], f))
			}
			err = errors.Join(faults...)
		}
		all[len(all)-1] = w
		return err
	})
	return all, err
}

// subject is what a name stands for.
func subject(name string) (design.Subject, bool) {
	if d, err := chart.ParseDimension(name); err == nil {
		return design.Subject{Dimension: d}, true
	}
	if s, err := design.ParseSetting(name); err == nil {
		return design.Subject{Setting: s}, true
	}
	c, err := clearance.ParseQuantity(name)
	return design.Subject{Clearance: c}, err == nil
}

// instead returns wishes with others in place of those of the same subject.
func instead(wishes, others []design.Wish) []design.Wish {
	all := slices.Clone(wishes)
	for _, w := range others {
		if i := slices.IndexFunc(all, func(v design.Wish) bool { return v.Subject == w.Subject }); i >= 0 {
			all[i] = w
			continue
		}
		all = append(all, w)
	}
	return all
}
