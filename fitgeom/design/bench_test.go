package design_test

import (
	"testing"

	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom/design"
)

var kept float64

func benchmark(b *testing.B, p design.Problem, all bool) {
	b.ReportAllocs()
	for b.Loop() {
		if all {
			r, err := p.Ranges(b.Context())
			if err != nil {
				b.Fatal(err)
			}
			kept += r[0].From
			continue
		}
		d, err := p.Solve(b.Context())
		if err != nil {
			b.Fatal(err)
		}
		kept += d.Geometry().Stack
	}
}

// One design, with a given fork and a clearance, no ranges.
func BenchmarkDesign(b *testing.B) { benchmark(b, invention(), false) }

// What cannot be had, with what each wish would have to give.
func BenchmarkContradiction(b *testing.B) {
	p := invention()
	p.Wishes = append(p.Wishes, dimension(chart.FrontCentreHorizontal, 620, 1100))
	benchmark(b, p, false)
}

// All that is free.
func BenchmarkRanges(b *testing.B) { benchmark(b, invention(), true) }
