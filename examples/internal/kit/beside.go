package kit

import (
	"fmt"
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/examples/internal/draw"
	"example.com/fitgeom/examples/internal/page"
)

// A Found is contact points that were found in some way.
type Found struct {
	Name string
	Fix  survey.Fix
}

// BesideTruth adds what was found beside the truth: a table of all numbers, and how many of them
// are off by no more than they say.
func BesideTruth(p *page.Page, truth contact.Position, all ...Found) {
	header := []string{"mm from the bottom bracket", "truth"}
	for _, f := range all {
		header = append(header, f.Name, "±")
	}
	rows := [][]string{header}
	told, within, worst := make([]int, len(all)), make([]int, len(all)), make([]float64, len(all))
	for s, at := range truth.All() {
		for axis, v := range [3]float64{at.X, at.Y, at.Z} {
			if s.Group() == contact.OnPedals && contact.Axis(axis) == contact.AxisZ {
				continue // 0 by definition
			}
			row := []string{draw.Words(s) + [3]string{", forward", ", left", ", up"}[axis], Fixed(v, 1)}
			for i := range all {
				found, u, ok := Coordinate(all[i].Fix, s, axis)
				if !ok {
					row = append(row, "–", "–")
					continue
				}
				told[i]++
				if math.Abs(found-v) <= 2*u {
					within[i]++
				}
				worst[i] = max(worst[i], math.Abs(found-v))
				row = append(row, Fixed(found, 1), Fixed(2*u, 1))
			}
			rows = append(rows, row)
		}
	}
	p.Table(rows...)
	p.P("± is twice the standard uncertainty, about 95 %.")
	var said []string
	for i, f := range all {
		said = append(said, fmt.Sprintf("%s: %d of %d numbers are off by no more than their ±; the furthest is off by %s mm", f.Name, within[i], told[i], Fixed(worst[i], 1)))
	}
	p.List(said...)
}

// Coordinate returns a number of a fix and its standard uncertainty.
func Coordinate(f survey.Fix, s contact.Site, axis int) (v, sigma float64, ok bool) {
	at, ok := f.Position.At(s)
	u, known := f.Covariance.Sigma(s)
	return [3]float64{at.X, at.Y, at.Z}[axis], [3]float64{u.X, u.Y, u.Z}[axis], ok && known
}

// RangeRows returns the contact points of a fix with the range of each number and what of it
// is assumed, for a table.
func RangeRows(f survey.Fix) [][]string {
	rows := [][]string{{"mm from the bottom bracket", "found", "at least", "at most", "assumed, %"}}
	for s, at := range f.Position.All() {
		for axis, v := range [3]float64{at.X, at.Y, at.Z} {
			r, ok := f.Ranges.At(contact.Coordinate{Site: s, Axis: contact.Axis(axis)})
			if !ok || r.High == r.Low {
				continue // it is so by definition
			}
			assumed := "–"
			if r.Assumed >= 0.005 {
				assumed = Fixed(100*r.Assumed, 0)
			}
			rows = append(rows, []string{draw.Words(s) + [3]string{", forward", ", left", ", up"}[axis], Fixed(v, 1), Fixed(r.Low, 1), Fixed(r.High, 1), assumed})
		}
	}
	return rows
}
