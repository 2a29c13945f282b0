package survey_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/internal/wild"
	"gonum.org/v1/gonum/spatial/r3"
)

func sound(t *testing.T, fix survey.Fix) {
	t.Helper()
	if err := fix.Validate(); err != nil {
		t.Fatal(err)
	}
	for _, c := range fix.Covariance.Coordinates() {
		v, _ := fix.Covariance.At(c, c)
		if n := number(fix.Position, c); math.IsNaN(n) || math.IsInf(n, 0) || math.IsNaN(v) || math.IsInf(v, 0) || v < 0 {
			t.Fatalf("%v: %v with variance %v, without an error", c, n, v)
		}
		if v > 1e6 { // a metre: more is known of any bike
			t.Fatalf("%v: known to no better than %v", c, math.Sqrt(v))
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
		b := aBike()
		if seed%2 == 1 {
			b = b.withHeadTube().withSeatTube()
		}
		s := readAll(b.turned(20*rng.Float64()-10), anywhere(rng), 1+int(seed%4), 0.3, rng)
		i, j := int(which)%len(s.Readings), int(which/2)%len(s.Readings)
		s.Readings[i].At = r3.Add(s.Readings[i].At, r3.Vec{X: x, Y: y, Z: z})
		s.Readings[j].At = r3.Vec{X: z, Y: x, Z: y}
		s.Sigma, s.FrontRadius, s.RearRadius = r3.Vec{X: sigma, Y: sigma, Z: 0.5}, front, rear
		s.Unit = survey.Unit(which % 5)
		s.Trueness = s.Trueness[:int(which)%len(s.Trueness)]
		for i := range s.Trueness {
			s.Trueness[i].Sigma, s.Trueness[i].Counts = math.Mod(math.Abs(x), 20), survey.Counting((int(which)+i)%4)
		}
		fix, err := s.Solve()
		if err != nil {
			faulty(t, err)
			return
		}
		sound(t, fix)
		if view, ok := fix.SideView(); ok {
			wild.Must(t, nil, view)
		}
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
		for _, r := range s.Readings {
			if err := wild.JSON(r, nil); err != nil {
				t.Fatal(err)
			}
		}
		fix, err := s.Solve()
		if err != nil {
			faulty(t, err)
			return
		}
		sound(t, fix)
	})
}

// Single numbers of instruments, lists of points, and names.
func FuzzInstruments(f *testing.F) {
	f.Add([]byte{}, "scratch")
	f.Add([]byte("\x05\x40\x10\x00\x40\x20\x00\x40\x30\x00\x40\x50\x00\x40\x60\x00\x40\x90\x00\x40\xa0\x00\x40\xf0\x00\x40\x00\x00\x40\x20\x00\x40\x01\x02\x40\x60\x80"), "_left")
	f.Add([]byte{4, 0, 5, 0, 5, 0, 6, 0, 1, 0, 2, 0, 0, 0, 11}, "")
	f.Fuzz(func(t *testing.T, data []byte, name string) {
		s := wild.From(data)
		sane := func(err error) {
			t.Helper()
			if err != nil {
				t.Fatal(err)
			}
		}
		var values []float64
		var from, to []r3.Vec
		for range s.Int(7) {
			v := s.Vec(-500, 500)
			values, from = append(values, v.X), append(from, v)
			to = append(to, s.Vec(-500, 500))
		}
		mean, u, err := survey.Repeated(values...)
		sane(wild.Check(err, mean, u))
		if err == nil {
			e, err := u.Expanded(s.Float(0, 1))
			sane(wild.Check(err, e))
		}
		tape, err := survey.Tape(survey.TapeClass(s.Byte()%5), s.Float(0, 10000), s.Byte()%2 == 0)
		sane(wild.Check(err, tape))
		level, err := survey.Level(s.Float(0, 100))
		sane(wild.Check(err, level))
		all, err := survey.Combine(u, tape, level)
		sane(wild.Check(err, all))
		loose := survey.Uncertainty{Standard: s.Float(0, 5), Freedom: s.Float(0, 50)}
		between, err := survey.Limits(s.Float(0, 5))
		sane(wild.Check(err, between))
		sum, err := survey.Combine(loose, between)
		sane(wild.Check(err, sum))
		e, err := sum.Expanded(s.Float(0, 1))
		sane(wild.Check(err, e))

		m, residuals, err := survey.FitMotion(from, to)
		if err != nil {
			sane(wild.Proper(err))
		} else {
			sane(wild.Sound(m.Apply(from[0]), m.Turn(from[0]), m.Inverse().Apply(to[0]), residuals))
		}
		bike := read(aBike().turned(0), anywhere(rand.New(rand.NewPCG(1, 1))), 1, 0, rand.New(rand.NewPCG(1, 1)))
		for i := range from {
			bike.Readings = append(bike.Readings, survey.Reading{Landmark: survey.Mark(name + string(rune('a'+i))), At: from[i]})
		}
		reg, err := survey.Register(bike, bike)
		if err != nil {
			sane(wild.Proper(err))
		} else {
			sane(wild.Sound(reg))
			if at := s.Vec(-900, 900); r3.Norm(at) < 1e6 {
				sane(wild.Sound(reg.Covariance(at)))
			}
		}
		bike.Readings = append(bike.Readings, survey.Reading{Landmark: survey.Landmark(name), At: r3.Vec{}}, survey.Reading{Landmark: survey.At(contact.Site(s.Byte())), At: s.Vec(-900, 900)})
		site := contact.Site(s.Byte())
		bike.Readings = append(bike.Readings, survey.Reading{Landmark: survey.Ahead(site), At: s.Vec(-900, 900)}, survey.Reading{Landmark: survey.Outer(site), At: s.Vec(-900, 900)})
		sane(wild.Proper(bike.Validate()))
		sane(wild.JSON(bike, data))
		fix, err := bike.Solve()
		sane(wild.Check(err, fix))
		sane(wild.JSON(fix, data))
		at, sigma, _ := fix.Mark(survey.Mark(name + "a"))
		stands, _ := fix.Standing()
		sane(wild.Sound(at, sigma, stands))
		for _, found := range fix.Findings {
			_ = found.String()
		}
	})
}

func FuzzNames(f *testing.F) {
	f.Add("wheel_turned", uint8(3))
	f.Add("", uint8(0))
	f.Fuzz(func(t *testing.T, name string, n uint8) {
		for _, err := range []error{
			wild.Names(survey.ParseFindingKind, name, n), wild.Names(survey.ParseTapeKind, name, n),
			wild.Names(survey.ParseTapeClass, name, n), wild.Names(survey.ParseUnit, name, n), wild.Names(survey.ParseCounting, name, n),
		} {
			if err != nil {
				t.Fatal(err)
			}
		}
		if mm := survey.Unit(n).Millimetres(); (mm > 0) != (n < 4) {
			t.Fatal(mm)
		}
	})
}

// A placing of anything.
func FuzzPlacing(f *testing.F) {
	f.Add(uint64(1), []byte{})
	f.Add(uint64(2), []byte("\x03\x10\x20\x30\x40\x50"))
	f.Fuzz(func(t *testing.T, seed uint64, data []byte) {
		p := placing(rand.New(rand.NewPCG(seed, 1)))
		wild.From(data).Spoil(&p)
		for _, l := range p.Landmarks {
			if mate, ok := l.Mate(); ok {
				if back, _ := mate.Mate(); back != l || l.Steers() != mate.Steers() || !l.Known() {
					t.Fatalf("%q: %q", l, mate)
				}
			}
			survey.UsualTrueness(l)
		}
		fix, err := p.Fix()
		if err != nil {
			faulty(t, err)
			return
		}
		wild.Must(t, nil, fix.Position)
		if view, ok := fix.SideView(); ok {
			wild.Must(t, nil, view.Numbers)
		}
	})
}
