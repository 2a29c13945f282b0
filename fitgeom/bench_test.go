package fitgeom_test

import (
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
)

// largeShelf has 61,440 front ends, 4 seats and 2 cranks for a frame that takes all its spacers.
func largeShelf() fitgeom.Shelf {
	s := smallShelf()
	s.Spacers = []fitgeom.Spacer{{Height: 2.5, Count: 2}, {Height: 5, Count: 2}, {Height: 10, Count: 2}}
	s.Stems = nil
	for _, angle := range []float64{-6, -12, -17, -25} {
		for length := 60.0; length <= 130; length += 10 {
			s.Stems = append(s.Stems, fitgeom.Stem{Length: length, Angle: angle, Height: 40, SteererDiameter: 28.6, BarDiameter: 31.8, Flippable: true})
		}
	}
	s.Bars = nil
	for _, reach := range []float64{70, 75, 80, 85} {
		for _, width := range []float64{380, 400, 420, 440} {
			s.Bars = append(s.Bars, fitgeom.DropBar{ClampDiameter: 31.8, Width: width, Reach: reach, Drop: 125, RollRange: 8})
		}
	}
	return s
}

// BenchmarkReproduce against BenchmarkForwardMap: the time for one front end
// with its best roll beside the time for seeing one build through the forward map.
func BenchmarkReproduce(b *testing.B) {
	target, frame, shelf := position(aBuild()), road54(), largeShelf()
	n := 0
	for b.Loop() {
		r, err := fitgeom.Reproduce(target, frame, shelf, fitgeom.Options{})
		if err != nil {
			b.Fatal(err)
		}
		n = r.Combinations
	}
	b.ReportMetric(float64(n), "combinations")
}

func BenchmarkForwardMap(b *testing.B) {
	build := aBuild()
	var p contact.Position
	for b.Loop() {
		p, _ = build.Position()
	}
	_ = p
}
