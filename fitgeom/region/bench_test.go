package region_test

import (
	"testing"

	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/region"
	"example.com/fitgeom/internal/invented"
	"github.com/stretchr/testify/require"
)

// wideBounds are the bounds of ever more parts on which the costs of a region are measured.
var wideBounds = []struct {
	name   string
	bounds region.Bounds
	roll   float64
}{
	{"narrow", region.Bounds{HeadFrom: 73, HeadTo: 73, StemLength: part.Steps{From: 90, To: 110}, StemAngle: part.Steps{From: -6, To: -6}, Up: part.Steps{From: 15, To: 35}}, 8},
	{"any", anyStems, 8},
	{"any/rolled", anyStems, 30},
	{"steps", inSteps(10, 73, 73), 8},
	{"steps/heads", inSteps(10, 71, 75), 8},
	{"fine/heads", inSteps(5, 71, 75), 8},
	{"fine/heads/rolled", inSteps(5, 71, 75), 30},
}

var anyStems = region.Bounds{HeadFrom: 71, HeadTo: 75, StemLength: part.Steps{From: 60, To: 140}, StemAngle: part.Steps{From: -17, To: 17}, Up: part.Steps{From: 5, To: 60}}

func inSteps(length, headFrom, headTo float64) region.Bounds {
	return region.Bounds{
		HeadFrom: headFrom, HeadTo: headTo, StemLength: part.Steps{From: 60, To: 140, Step: length},
		StemAngle: part.Steps{From: -17, To: -6, Step: 11}, Flip: true, Up: part.Steps{From: 5, To: 60, Step: 2.5},
	}
}

// wide returns bounds with a bar, for the position of the invented build.
func wide(b region.Bounds, roll float64) region.Bounds {
	build := invented.Build()
	b.StemHeight, b.Handlebar, b.Lever = 40, build.Handlebar, build.Lever
	b.Handlebar.RotationRange = roll
	return b
}

// The cost of a region, of a place in it, and of all about a place.
func BenchmarkRegion(b *testing.B) {
	target := invented.Position(invented.Build())
	for _, c := range wideBounds {
		bounds := wide(c.bounds, c.roll)
		b.Run("New/"+c.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := region.New(b.Context(), target, bounds, fitgeom.DefaultKeep(target)); err != nil {
					b.Fatal(err)
				}
			}
		})
		r, err := region.New(b.Context(), target, bounds, nil)
		require.NoError(b, err)
		best, _ := r.Best()
		// Places all over the region and beside it.
		var at []region.HeadPlace
		for i := range 1024 {
			at = append(at, region.HeadPlace{Reach: best.Reach + 6*float64(i%32-16), Stack: best.Stack + 6*float64(i/32-16)})
		}
		b.Run("Holds/"+c.name, func(b *testing.B) {
			i := 0
			for b.Loop() {
				r.Holds(at[i%1024])
				i++
			}
		})
		b.Run("AtLeast/"+c.name, func(b *testing.B) {
			for b.Loop() {
				if _, err := r.AtLeast(b.Context(), region.Room{Up: 10, Down: 10, Forward: 5, Back: 5}); err != nil {
					b.Fatal(err)
				}
			}
		})
		b.Run("Place/"+c.name, func(b *testing.B) {
			i := 0
			for b.Loop() {
				r.Place(at[i%1024])
				i++
			}
		})
	}
}
