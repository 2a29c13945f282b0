package solve_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/invented"
)

// largeShelf has 200 stems, 60 bars, 12 posts, 20 saddles and 3 caps, and spacers
// that make every height in steps of 2.5 mm.
func largeShelf() fitgeom.Shelf {
	s := invented.Shelf()
	s.Caps = []part.HeadsetCap{{Height: 5, SteererDiameter: 28.6}, {Height: 8, SteererDiameter: 28.6}, {Height: 15, SteererDiameter: 28.6}}
	s.Spacers = []part.Spacer{{Height: 2.5, Count: 2}, {Height: 5, Count: 2}, {Height: 10, Count: 2}, {Height: 20, Count: 1}}
	s.Stems = nil
	for _, angle := range []float64{-6, -8, -10, -12, -17, -20, -25, 0, -4, -30} {
		for length := 45.0; length <= 140; length += 5 {
			s.Stems = append(s.Stems, part.Stem{Length: length, Angle: angle, Height: 40, SteererDiameter: 28.6, BarDiameter: 31.8, Flippable: true})
		}
	}
	s.Handlebars = nil
	for _, reach := range []float64{68, 70, 73, 75, 77, 78, 80, 82, 83, 85} {
		for _, width := range []float64{360, 380, 400, 420, 440, 460} {
			s.Handlebars = append(s.Handlebars, part.Handlebar{ClampDiameter: 31.8, RotationRange: 8, Drop: part.DropBar{Width: width, Reach: reach, Drop: 125}})
		}
	}
	s.Levers = s.Levers[:1]
	s.Seatposts, s.Saddles = nil, nil
	for _, setback := range []float64{0, 5, 10, 15, 20, 25} {
		for _, length := range []float64{350, 400} {
			s.Seatposts = append(s.Seatposts, part.Seatpost{Diameter: 27.2, Length: length, Setback: setback, MinInsertion: 100, MinExtension: 45})
		}
	}
	for i := range 20 {
		v := float64(i)
		s.Saddles = append(s.Saddles, part.Saddle{Length: 240 + 2*v, Station: 95 + 2*v, Height: 44 + v/2, Dip: v / 4, RailsFrom: 80 + 2*v, RailsTo: 150 + 2*v})
	}
	s.Cranks = s.Cranks[:1]
	return s
}

// BenchmarkSolve against BenchmarkSolveEnumerate: the time for each
// combination covered, with its best settings, beside that for seeing one through
// the forward map.
func BenchmarkSolve(b *testing.B) {
	target, frame, shelf := invented.Position(invented.Build()), invented.Road54(), largeShelf()
	n := 0
	b.ReportAllocs()
	for b.Loop() {
		r, err := solve.Problem{Target: target, Frame: frame, Shelf: shelf}.Solve(b.Context())
		if err != nil {
			b.Fatal(err)
		}
		n = r.Combinations
	}
	b.ReportMetric(float64(n), "combinations")
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n), "ns/combination")
}

// BenchmarkSolveEnumerate puts together everything on a shelf that it can
// finish and looks at each build once, as it happens to be set: an enumeration
// that also searched for the best settings would take many times as long.
func BenchmarkSolveEnumerate(b *testing.B) {
	target, shelf := invented.Position(invented.Build()), largeShelf()
	shelf.Stems, shelf.Handlebars, shelf.Seatposts, shelf.Saddles = shelf.Stems[:5], shelf.Handlebars[:5], shelf.Seatposts[:3], shelf.Saddles[:4]
	keep := fitgeom.DefaultKeep(target)
	n := 0
	for b.Loop() {
		n = 0
		least := math.Inf(1)
		build := invented.Build()
		for _, build.Cap = range shelf.Caps {
			for _, build.Stem = range shelf.Stems {
				for _, build.Settings.Flipped = range []bool{false, true} {
					for _, build.Handlebar = range shelf.Handlebars {
						for up := 0.0; up+build.Cap.Height <= build.Frame.MaxUnderStem; up += 2.5 {
							build.Settings.Spacers = up
							for _, build.Seatpost = range shelf.Seatposts {
								for _, build.Saddle = range shelf.Saddles {
									p, err := build.Position()
									if err != nil {
										b.Fatal(err)
									}
									least = min(least, squares(&p, &target, keep))
									n++
								}
							}
						}
					}
				}
			}
		}
	}
	b.ReportMetric(float64(n), "combinations")
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(n), "ns/combination")
}

// squares is the sum of squares of what is asked for, over tolerances.
func squares(p, target *contact.Position, keep []fitgeom.Keep) float64 {
	sum := 0.0
	for _, k := range keep {
		at, _ := p.At(k.Site)
		want, _ := target.At(k.Site)
		for _, c := range [...][2]float64{{at.X - want.X, k.Tolerance.X}, {at.Y - want.Y, k.Tolerance.Y}, {at.Z - want.Z, k.Tolerance.Z}} {
			if c[1] > 0 {
				sum += c[0] / c[1] * (c[0] / c[1])
			}
		}
	}
	return sum
}

// BenchmarkExplain is for a build that does not hold, with an aero bar.
func BenchmarkExplain(b *testing.B) {
	build := invented.Everything()
	shelf := invented.Shelf()
	shelf.Handlebars, shelf.AeroBars, shelf.Pedals = []part.Handlebar{build.Handlebar}, []part.AeroBar{build.Aero}, []part.Pedal{build.Pedal}
	build.Settings.PadRise += 60
	p := solve.Problem{Target: invented.Position(build), Frame: build.Frame, Shelf: shelf, Limit: 1}
	r, err := p.Solve(b.Context())
	if err != nil || r.Holds() {
		b.Fatal(err, "it should not hold")
	}
	for b.Loop() {
		if _, err := p.Explain(b.Context(), r.Candidates[0]); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkExplainAero is for another aero bar each time, with steps of ordinary size, and
// a position that is out of its reach. Times are in milliseconds, of three if it took
// long the shortest, and beside them how long a math.Sincos took meanwhile, in nanoseconds.
func BenchmarkExplainAero(b *testing.B) {
	var times, sincos []float64
	for i := 0; b.Loop(); i++ {
		b.StopTimer()
		p := stuck(rand.New(rand.NewPCG(41, uint64(i))), "aero")
		r, err := p.Solve(b.Context())
		if err != nil {
			b.Fatal(err)
		}
		b.StartTimer()
		least := math.Inf(1)
		for range 3 {
			start := time.Now()
			if _, err := p.Explain(b.Context(), r.Candidates[0]); err != nil {
				b.Fatal(err)
			}
			if least = min(least, 1e3*time.Since(start).Seconds()); least < 10 {
				break
			}
		}
		b.StopTimer()
		const n = 1000
		start, at := time.Now(), 0.3
		for range n {
			sin, cos := math.Sincos(at)
			at = sin + cos/2
		}
		times, sincos = append(times, least), append(sincos, 1e9*time.Since(start).Seconds()/n)
		b.StartTimer()
	}
	share := func(all []float64, part float64) float64 {
		slices.Sort(all)
		return all[int(part*float64(len(all)-1))]
	}
	b.ReportMetric(share(times, 0.5), "median-ms")
	b.ReportMetric(share(times, 0.99), "99%-ms")
	b.ReportMetric(share(times, 1), "most-ms")
	b.ReportMetric(share(sincos, 0.5), "sincos-ns")
}
