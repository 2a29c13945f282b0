package survey_test

import (
	"maps"
	"math/rand/v2"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"gonum.org/v1/gonum/spatial/r3"
)

// large is a survey of 40 landmarks, five readings each.
func large() survey.Survey {
	rng := rand.New(rand.NewPCG(61, 62))
	b := marked()
	maps.Copy(b.points, map[survey.Landmark]r3.Vec{
		at(contact.GripLeft): {X: 470, Y: 350, Z: 640}, at(contact.GripRight): {X: 470, Y: -350, Z: 640},
		at(contact.PadLeft): {X: 380, Y: 90, Z: 690}, at(contact.PadRight): {X: 380, Y: -90, Z: 690},
		at(contact.ExtensionLeft): {X: 700, Y: 60, Z: 700},
	})
	for i, v := range []r3.Vec{{X: 10, Y: 5, Z: 200}, {X: 60, Y: -25, Z: 220}, {X: 210, Y: 10, Z: 350}, {X: -300, Y: 60, Z: 60}} {
		b.points[survey.Mark(string(rune('4'+i)))] = v
	}
	b.points[survey.Mark("8")] = r3.Vec{X: -90, Z: 400}
	s := read(b.turned(1), anywhere(rng), 5, 0.3, rng)
	s.RadiusSigma = 1
	return s
}

func BenchmarkSolve(b *testing.B) {
	s := large()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := s.Solve(); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkFiniteDifferences is the baseline of BenchmarkSolve: the same
// covariance, by moving every landmark along every axis.
func BenchmarkFiniteDifferences(b *testing.B) {
	s := large()
	landmarks := map[survey.Landmark]bool{}
	for _, r := range s.Readings {
		landmarks[r.Landmark] = true
	}
	if len(landmarks) != 42 {
		b.Fatal(len(landmarks))
	}
	for b.Loop() {
		base, err := s.Solve()
		if err != nil {
			b.Fatal(err)
		}
		coords := base.Covariance.Coordinates()
		cov := make([]float64, len(coords)*len(coords))
		slope := make([]float64, len(coords))
		for l := range landmarks {
			for _, step := range []r3.Vec{{X: 1e-3}, {Y: 1e-3}, {Z: 1e-3}} {
				moved := s
				moved.Readings = append([]survey.Reading(nil), s.Readings...)
				for i := range moved.Readings {
					if moved.Readings[i].Landmark == l {
						moved.Readings[i].At = r3.Add(moved.Readings[i].At, step)
					}
				}
				fix, err := moved.Solve()
				if err != nil {
					b.Fatal(err)
				}
				for i, c := range coords {
					slope[i] = (number(fix.Position, c) - number(base.Position, c)) / 1e-3 * 0.5
				}
				for i, x := range slope {
					for j, y := range slope {
						cov[i*len(coords)+j] += x * y
					}
				}
			}
		}
	}
}

// BenchmarkTape is a survey of twenty readings by tape, of which none is near a turning
// point; and BenchmarkTapeRanges one in which the height of the bar and of the hands hangs
// on distances that are nearly level, so that ranges come from the likelihood.
func BenchmarkTape(b *testing.B) {
	s := twenty(false)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := s.Solve(); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkTapeRanges(b *testing.B) {
	s := twenty(true)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := s.Solve(); err != nil {
			b.Fatal(err)
		}
	}
}

// twenty is a survey of twenty readings by tape.
func twenty(level bool) survey.TapeSurvey {
	s := sheet(0)
	p := onTape()
	bb := survey.BottomBracket
	s.Readings = append(s.Readings,
		tape(p, survey.Vertical, bb, at(contact.SaddleReference), 0),
		tape(p, survey.Lateral, bb, at(contact.HoodsLeft), 0))
	if level {
		for i := range s.Readings {
			r := &s.Readings[i]
			if r.Kind == survey.Vertical && r.From == survey.Ground && r.To != bb {
				r.Kind, r.From = survey.Horizontal, bb
				*r = tape(p, r.Kind, r.From, r.To, 0)
			}
		}
	}
	return s
}
