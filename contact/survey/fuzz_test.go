package survey_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"gonum.org/v1/gonum/spatial/r3"
)

func sound(t *testing.T, fix survey.Fix) {
	t.Helper()
	for _, c := range fix.Covariance.Coordinates() {
		v, _ := fix.Covariance.At(c, c)
		if n := number(fix.Position, c); math.IsNaN(n) || math.IsInf(n, 0) || math.IsNaN(v) || math.IsInf(v, 0) || v < 0 {
			t.Fatalf("%v: %v with variance %v, without an error", c, n, v)
		}
	}
}

func faulty(t *testing.T, err error) {
	t.Helper()
	if len(contact.Faults(err)) == 0 {
		t.Fatalf("an error of another type: %v", err)
	}
}

// A survey of which two readings, the uncertainty and the radii are anything.
func FuzzSurvey(f *testing.F) {
	f.Add(uint64(1), uint8(3), 0.0, 0.0, 0.0, 0.5, 340.0, 336.0)
	f.Add(uint64(2), uint8(9), math.NaN(), math.Inf(1), 1e300, 1e-300, 0.0, 0.0)
	f.Add(uint64(3), uint8(0), 900.0, -20.0, 5.0, 3.0, 300.0, 360.0)
	f.Fuzz(func(t *testing.T, seed uint64, which uint8, x, y, z, sigma, front, rear float64) {
		rng := rand.New(rand.NewPCG(seed, seed))
		s := read(aBike().turned(20*rng.Float64()-10), anywhere(rng), 1+int(seed%4), 0.3, rng)
		i, j := int(which)%len(s.Readings), int(which/2)%len(s.Readings)
		s.Readings[i].At = r3.Add(s.Readings[i].At, r3.Vec{X: x, Y: y, Z: z})
		s.Readings[j].At = r3.Vec{X: z, Y: x, Z: y}
		s.Sigma, s.FrontRadius, s.RearRadius = r3.Vec{X: sigma, Y: sigma, Z: 0.5}, front, rear
		s.Unit = survey.Unit(which % 5)
		fix, err := s.Solve()
		if err != nil {
			faulty(t, err)
			return
		}
		sound(t, fix)
		again, err := fix.Locate(s.Readings)
		if err != nil {
			faulty(t, err)
			return
		}
		sound(t, again)
		if _, _, err := survey.Compare(fix, again, 0.95); err != nil {
			faulty(t, err)
		}
		if _, err := survey.Register(s, s); err != nil {
			faulty(t, err)
		}
	})
}

// A tape survey of which three readings are anything.
func FuzzTape(f *testing.F) {
	f.Add(uint8(0), uint8(1), 700.0, 1.0, 0.0)
	f.Add(uint8(4), uint8(9), math.Inf(-1), math.NaN(), 1e9)
	f.Fuzz(func(t *testing.T, which, kind uint8, value, sigma, noseUp float64) {
		s := sheet(0)
		s.NoseUp = noseUp
		n := len(s.Readings)
		s.Readings[int(which)%n].Value = value
		s.Readings[int(which/3)%n].Sigma = sigma
		s.Readings[int(which/7)%n].Kind = survey.TapeKind(kind % 6)
		s.Readings = append(s.Readings[:int(kind)%n], s.Readings[min(n, int(kind)%n+int(which)%4):]...)
		fix, err := s.Solve()
		if err != nil {
			faulty(t, err)
			return
		}
		sound(t, fix)
	})
}
