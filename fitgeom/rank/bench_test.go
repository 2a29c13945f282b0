package rank_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"sync"
	"testing"
	"time"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/rank"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/invented"
	"gonum.org/v1/gonum/spatial/r3"
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

// unlike is a million sizes of which no two have a number in common.
var unlike = sync.OnceValue(func() []fitgeom.Size {
	sizes := inventedSizes(1_000_000, 0.1, 3)
	rng := rand.New(rand.NewPCG(1, 20))
	for i := range sizes {
		f := &sizes[i].Frame
		for _, v := range []*float64{&f.Geometry.Stack, &f.Geometry.Reach, &f.SeatTubeTop} {
			*v += rng.Float64()
		}
		f.Geometry.HeadAngle += 0.1 * rng.Float64()
		f.Geometry.SeatAngle += 0.1 * rng.Float64()
	}
	return sizes
})

// read reads what tells a million sizes apart once through memory.
func read(numbers [][7]float64) (sum float64) {
	for i := range numbers {
		n := &numbers[i]
		sum += n[0] + n[1] + n[2] + n[3] + n[4] + n[5] + n[6]
	}
	return sum
}

func numbersOf(sizes []fitgeom.Size) [][7]float64 {
	numbers := make([][7]float64, 0, len(sizes))
	for i := range sizes {
		f := &sizes[i].Frame
		g := &f.Geometry
		numbers = append(numbers, [7]float64{g.Stack, g.Reach, g.HeadAngle, g.SeatAngle, f.MaxUnderStem, f.SeatTubeTop, f.SeatpostDiameter})
	}
	return numbers
}

// raised is the position of a rider with the hands higher by so much.
func raised(by float64) contact.Position {
	p := usual(1)
	for _, s := range []contact.Site{contact.HoodsLeft, contact.HoodsRight} {
		at, _ := p.At(s)
		p.Set(s, r3.Vec{X: at.X, Y: at.Y, Z: at.Z + by})
	}
	return p
}

// aeroShelf is wideShelf with an aero bar.
func aeroShelf() fitgeom.Shelf {
	s := wideShelf()
	for i := range s.Handlebars {
		s.Handlebars[i].AeroDiameter = 31.8
	}
	s.AeroBars = []part.AeroBar{{
		Name: "aero", BarDiameter: 31.8, Tilt: part.Steps{From: 0, To: 15, Step: 5}, PadRise: part.Steps{To: 50, Step: 10}, PadForward: part.Steps{From: -60, To: 40, Step: 5},
		PadWidth: part.Steps{From: 160, To: 260, Step: 10}, Extension: part.Steps{From: 200, To: 350, Step: 5}, ExtensionDrop: 30, ExtensionAngle: 8, ExtensionWidth: 110,
	}}
	return s
}

// onPads is a position with the pads of aeroShelf.
func onPads(by float64) contact.Position {
	b := invented.Build()
	b.Handlebar.AeroDiameter = 31.8
	b.Aero = aeroShelf().AeroBars[0]
	b.Settings.AeroTilt, b.Settings.PadRise, b.Settings.PadWidth, b.Settings.Extension = 10, 20, 200, 280
	b.Frame.Geometry.Stack += by
	p := invented.Position(b)
	for _, s := range []contact.Site{contact.TopsLeft, contact.TopsRight, contact.DropsLeft, contact.DropsRight, contact.BarClamp} {
		p.Forget(s)
	}
	return p
}

// BenchmarkRank ranks a million sizes, first 20, in the full order, by a shelf of 80 stems, 30 bars
// and spacers of 2.5 mm, each for three targets: one that very many sizes hold, one of which
// the best lacks room, and one that at most 50 hold (for none: that none holds). Its metric
// x-read is how many times longer it takes than to read seven numbers of each size, which is done
// before each: the median, of the worst target. Aero is 100,000 sizes.
func BenchmarkRank(b *testing.B) {
	saddle := fitgeom.Keep{Site: contact.SaddleReference, Tolerance: r3.Vec{X: 2, Z: 2}}
	targets := []contact.Position{raised(0), raised(205), raised(210)}
	for _, c := range []struct {
		name    string
		sizes   func() []fitgeom.Size
		targets []contact.Position
		p       solve.Problem
	}{
		{"whole", million, targets, solve.Problem{Shelf: wideShelf()}},
		{"unlike", unlike, targets, solve.Problem{Shelf: wideShelf()}},
		{"stance", million, targets, solve.Problem{Shelf: wideShelf(), Wheels: chart.Wheels{FrontRadius: 345, RearRadius: 338}}},
		{"none", million, []contact.Position{raised(215), raised(230), raised(-400)}, solve.Problem{Shelf: wideShelf()}},
		{"one", million, targets, solve.Problem{Shelf: wideShelf(), Keep: []fitgeom.Keep{saddle, {Site: contact.HoodsLeft, Tolerance: r3.Vec{Z: 2}}}}},
		{"free", million, targets, solve.Problem{Shelf: wideShelf(), Keep: []fitgeom.Keep{saddle}}},
		{"coarse", million, targets, solve.Problem{Shelf: wideShelf(), Grain: 0.5}},
		{"coarsest", million, targets, solve.Problem{Shelf: wideShelf(), Grain: 10}},
		{"aero", func() []fitgeom.Size { return million()[:100_000] }, []contact.Position{onPads(0), onPads(40), onPads(120)}, solve.Problem{Shelf: aeroShelf()}},
	} {
		b.Run(c.name, func(b *testing.B) {
			numbers := numbersOf(million())
			x, err := rank.NewIndex(b.Context(), c.sizes())
			if err != nil {
				b.Fatal(err)
			}
			c.p.Limit = 20
			times, ratios := make([][]float64, len(c.targets)), make([][]float64, len(c.targets))
			scored := 0
			for b.Loop() {
				for i, t := range c.targets {
					c.p.Target = t
					start := time.Now()
					if read(numbers) == 0 {
						b.Fatal("nothing read")
					}
					reading := time.Since(start)
					start = time.Now()
					r, err := x.Rank(b.Context(), c.p)
					if err != nil {
						b.Fatal(err)
					}
					took := time.Since(start)
					scored = max(scored, r.Scored)
					times[i], ratios[i] = append(times[i], took.Seconds()), append(ratios[i], took.Seconds()/reading.Seconds())
				}
			}
			worst := func(of [][]float64) (most float64) {
				for _, v := range of {
					slices.Sort(v)
					most = max(most, v[len(v)/2])
				}
				return most
			}
			b.ReportMetric(worst(ratios), "x-read")
			b.ReportMetric(1e3*worst(times), "ms")
			b.ReportMetric(float64(scored), "searched")
		})
	}
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

func benchmarkRank(b *testing.B, sizes []fitgeom.Size, shelf fitgeom.Shelf) {
	x, err := rank.NewIndex(b.Context(), sizes)
	if err != nil {
		b.Fatal(err)
	}
	i := 0
	b.ReportAllocs()
	for b.Loop() {
		if _, err := x.Rank(b.Context(), solve.Problem{Target: usual(uint64(i % 8)), Shelf: shelf, Limit: 20}); err != nil {
			b.Fatal(err)
		}
		i++
	}
	b.ReportMetric(b.Elapsed().Seconds()*1e9/float64(i)/float64(len(sizes)), "ns/frame")
}

// BenchmarkRankGrowth is how the cost grows with the catalogue and the shelf.
func BenchmarkRankGrowth(b *testing.B) {
	for _, n := range []int{1_000, 10_000, 100_000, 1_000_000} {
		b.Run(fmt.Sprintf("frames=%d", n), func(b *testing.B) { benchmarkRank(b, million()[:n], wideShelf()) })
	}
	for _, n := range []int{10, 20, 40, 80} {
		shelf := wideShelf()
		shelf.Stems = shelf.Stems[:n]
		b.Run(fmt.Sprintf("stems=%d", n), func(b *testing.B) { benchmarkRank(b, million()[:100_000], shelf) })
	}
	for _, n := range []int{3, 6, 15, 30} {
		shelf := wideShelf()
		shelf.Handlebars = shelf.Handlebars[:n]
		b.Run(fmt.Sprintf("bars=%d", n), func(b *testing.B) { benchmarkRank(b, million()[:100_000], shelf) })
	}
}

// BenchmarkIndex makes an index, and reports what it keeps.
func BenchmarkIndex(b *testing.B) {
	sizes := unlike()
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
