package rank_test

import (
	"fmt"
	"math"
	"runtime"
	"slices"
	"sync"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/rank"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/invented"
)

// wideShelf has 80 stems, 30 bars and spacers in steps of 2.5 mm.
func wideShelf() fitgeom.Shelf {
	s := invented.Shelf()
	s.Caps = s.Caps[:1]
	s.Spacers = []part.Spacer{{Height: 2.5, Count: 1}, {Height: 5, Count: 1}, {Height: 10, Count: 1}, {Height: 20, Count: 2}}
	s.Stems = nil
	for _, angle := range []float64{-6, -8, -10, -12, -17} {
		for length := 60.0; length <= 135; length += 5 {
			s.Stems = append(s.Stems, part.Stem{Length: length, Angle: angle, Height: 40, SteererDiameter: 28.6, BarDiameter: 31.8, Flippable: true})
		}
	}
	s.Handlebars = nil
	for _, reach := range []float64{68, 70, 73, 75, 77, 78, 80, 82, 83, 85} {
		for _, width := range []float64{400, 420, 440} {
			s.Handlebars = append(s.Handlebars, part.Handlebar{ClampDiameter: 31.8, RotationRange: 8, Drop: part.DropBar{Width: width, Reach: reach, Drop: 125}})
		}
	}
	s.Levers = s.Levers[:1]
	s.Cranks = s.Cranks[:1]
	return s
}

var million = sync.OnceValue(func() []fitgeom.Size { return inventedSizes(1_000_000, 0.5, 3) })

// BenchmarkStream1M reads the numbers of a million frames once through memory.
func BenchmarkStream1M(b *testing.B) {
	numbers := make([][7]float64, 0, 1_000_000)
	sizes := million()
	for i := range sizes {
		f := &sizes[i].Frame
		g := &f.Geometry
		numbers = append(numbers, [7]float64{g.Stack, g.Reach, g.HeadAngle, g.SeatAngle, f.MaxUnderStem, f.SeatTubeTop, f.SeatpostDiameter})
	}
	sum := 0.0
	for b.Loop() {
		for i := range numbers {
			n := &numbers[i]
			sum += n[0] + n[1] + n[2] + n[3] + n[4] + n[5] + n[6]
		}
	}
	if sum == 0 {
		b.Fatal(sum)
	}
}

func benchmarkRank(b *testing.B, sizes []fitgeom.Size, shelf fitgeom.Shelf, grain float64) {
	x, err := rank.NewIndex(b.Context(), sizes)
	if err != nil {
		b.Fatal(err)
	}
	scored := 0
	i := 0
	b.ReportAllocs()
	for b.Loop() {
		r, err := x.Rank(b.Context(), solve.Problem{Target: usual(uint64(i % 8)), Shelf: shelf, Limit: 20, Grain: grain})
		if err != nil {
			b.Fatal(err)
		}
		scored += r.Scored
		i++
	}
	b.ReportMetric(float64(scored)/float64(i), "searched/op")
	b.ReportMetric(b.Elapsed().Seconds()*1e9/float64(i)/float64(len(sizes)), "ns/frame")
}

// BenchmarkRank1M ranks a million frame sizes for one position, first 20. Beside
// BenchmarkStream1M and BenchmarkRankExhaustive it tells what the index saves.
func BenchmarkRank1M(b *testing.B) {
	for _, grain := range []float64{0, 0.1, 0.5} {
		b.Run(fmt.Sprintf("grain=%v", grain), func(b *testing.B) { benchmarkRank(b, million(), wideShelf(), grain) })
	}
}

// BenchmarkRankFineAngles is BenchmarkRank1M with angles to 0.1 degrees.
func BenchmarkRankFineAngles(b *testing.B) {
	benchmarkRank(b, inventedSizes(1_000_000, 0.1, 3), wideShelf(), 0)
}

// BenchmarkRankExhaustive solves the problem on every frame of a sample.
func BenchmarkRankExhaustive(b *testing.B) {
	shelf := wideShelf()
	sizes := inventedSizes(1000, 0.5, 3)
	i := 0
	for b.Loop() {
		p := solve.Problem{Target: usual(uint64(i % 8)), Frame: sizes[i%len(sizes)].Frame, Shelf: shelf, Limit: 1}
		if _, err := p.Solve(b.Context()); err != nil {
			b.Fatal(err)
		}
		i++
	}
	b.ReportMetric(b.Elapsed().Seconds()*1e9/float64(i), "ns/frame")
}

// BenchmarkRankClosedForm scores every bar on every stem of a frame, by the
// shortest closed form there is for two alike hoods: they lie as far from the
// clamp as the bar has them, whatever its roll, so that the best spacers are where the
// steerer meets a circle, rounded to what there is. No saddle is weighed, no roll
// limited and no frame ranked: it is what no exhaustive ranking can do with less.
func BenchmarkRankClosedForm(b *testing.B) {
	shelf := wideShelf()
	sizes := inventedSizes(1000, 0.5, 3)
	radii := make([]float64, 0, len(shelf.Handlebars))
	for _, bar := range shelf.Handlebars {
		radii = append(radii, math.Hypot(bar.Drop.Reach+shelf.Levers[0].Reach, shelf.Levers[0].Rise))
	}
	hoods, _ := usual(1).At(contact.HoodsLeft)
	i, sum := 0, 0.0
	for b.Loop() {
		g := &sizes[i%len(sizes)].Frame.Geometry
		up, least := g.SteererUp(), math.Inf(1)
		for s := range shelf.Stems {
			for _, flip := range [2]float64{1, -1} {
				sin, cos := math.Sincos((90 - g.HeadAngle + flip*shelf.Stems[s].Angle) * math.Pi / 180)
				x, z := g.Reach+shelf.Stems[s].Length*cos-hoods.X, g.Stack+shelf.Stems[s].Length*sin-hoods.Z
				across, along := x*up.Z-z*up.X, x*up.X+z*up.Z
				for _, r := range radii {
					height := math.Sqrt(max(0, r*r-across*across)) - along
					height = max(35, min(75, 35+2.5*math.Round((height-35)/2.5)))
					d := math.Sqrt(across*across+(along+height)*(along+height)) - r
					least = min(least, d*d)
				}
			}
		}
		sum += least
		i++
	}
	b.ReportMetric(b.Elapsed().Seconds()*1e9/float64(i), "ns/frame")
	_ = sum
}

// BenchmarkRankGrowth is how the cost grows with the catalogue and the shelf.
func BenchmarkRankGrowth(b *testing.B) {
	for _, n := range []int{1_000, 10_000, 100_000, 1_000_000} {
		b.Run(fmt.Sprintf("frames=%d", n), func(b *testing.B) { benchmarkRank(b, million()[:n], wideShelf(), 0) })
	}
	for _, n := range []int{10, 20, 40, 80} {
		shelf := wideShelf()
		shelf.Stems = shelf.Stems[:n]
		b.Run(fmt.Sprintf("stems=%d", n), func(b *testing.B) { benchmarkRank(b, million()[:100_000], shelf, 0) })
	}
	for _, n := range []int{3, 6, 15, 30} {
		shelf := wideShelf()
		shelf.Handlebars = shelf.Handlebars[:n]
		b.Run(fmt.Sprintf("bars=%d", n), func(b *testing.B) { benchmarkRank(b, million()[:100_000], shelf, 0) })
	}
}

// BenchmarkIndex makes an index, and reports what it keeps.
func BenchmarkIndex(b *testing.B) {
	sizes := million()
	var before, after runtime.MemStats
	var x *rank.Index
	for b.Loop() {
		x = nil
		runtime.GC()
		runtime.ReadMemStats(&before)
		x, _ = rank.NewIndex(b.Context(), sizes)
		runtime.GC()
		runtime.ReadMemStats(&after)
	}
	b.ReportMetric(float64(after.HeapAlloc-before.HeapAlloc)/float64(x.Len()), "B/frame")
}

// BenchmarkRiders ranks 100,000 frames for one rider after another, first 20.
func BenchmarkRiders(b *testing.B) {
	x, err := rank.NewIndex(b.Context(), million()[:100_000])
	if err != nil {
		b.Fatal(err)
	}
	riders := make([]contact.Position, 1000)
	for i := range riders {
		riders[i] = usual(uint64(i))
	}
	n := 0
	p := solve.Problem{Shelf: wideShelf(), Limit: 20}
	b.ReportAllocs()
	for b.Loop() {
		for range x.RankEach(b.Context(), slices.Values(riders[n%1000:n%1000+1]), p) {
			n++
		}
	}
	b.ReportMetric(float64(n)/b.Elapsed().Seconds(), "riders/s")
}
