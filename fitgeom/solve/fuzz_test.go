package solve_test

import (
	"math"
	"reflect"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/rules"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/fitgeom/words"
	"example.com/fitgeom/internal/invented"
	"example.com/fitgeom/internal/wild"
	"gonum.org/v1/gonum/spatial/r3"
)

// numbers lists every number in the exported fields of a value, which must be a pointer.
func numbers(v reflect.Value) (all []reflect.Value) {
	switch v.Kind() {
	case reflect.Pointer:
		return numbers(v.Elem())
	case reflect.Struct:
		for name, field := range v.Fields() {
			if name.IsExported() {
				all = append(all, numbers(field)...)
			}
		}
	case reflect.Slice:
		for i := range v.Len() {
			all = append(all, numbers(v.Index(i))...)
		}
	case reflect.Float64, reflect.Int, reflect.Uint8, reflect.Uint16, reflect.Bool:
		all = append(all, v)
	}
	return all
}

// Whatever the numbers are, nothing panics, and what comes without an error is
// made of finite numbers.
func FuzzSolve(f *testing.F) {
	f.Add(uint8(3), 0.0, uint8(30), 1e300)
	f.Add(uint8(60), math.NaN(), uint8(10), -5.0)
	f.Add(uint8(90), math.Inf(1), uint8(120), 31.6)
	f.Fuzz(func(t *testing.T, i uint8, a float64, j uint8, b float64) {
		in := struct {
			Build   fitgeom.Build
			Problem solve.Problem
			Chart   chart.Rounding
		}{Build: invented.Everything(), Chart: chart.Rounding{LengthStep: 1}}
		target := invented.Position(in.Build)
		in.Problem = solve.Problem{Target: target, Frame: in.Build.Frame, Shelf: invented.Shelf(), Keep: fitgeom.DefaultKeep(target), Limit: 3}
		in.Problem.Shelf.Handlebars = []part.Handlebar{in.Build.Handlebar, {Name: "one", DrawnAt: 73, AeroDiameter: 31.8, Stem: part.Stem{Length: 90, Height: 40, SteererDiameter: 28.6}, Base: part.BaseBar{Width: 400}}}
		in.Problem.Shelf.AeroBars, in.Problem.Shelf.Pedals = []part.AeroBar{in.Build.Aero}, []part.Pedal{in.Build.Pedal}
		all := numbers(reflect.ValueOf(&in))
		for _, c := range []struct {
			at uint8
			v  float64
		}{{i, a}, {j, b}} {
			switch v := all[int(c.at)*len(all)/256]; v.Kind() {
			case reflect.Float64:
				v.SetFloat(c.v)
			case reflect.Bool:
				v.SetBool(!v.Bool())
			case reflect.Int:
				v.SetInt(int64(math.Max(-1e6, math.Min(1e6, c.v))))
			default:
				v.SetUint(uint64(math.Max(0, math.Min(200, c.v))))
			}
		}
		sound := func(p contact.Position) {
			for s, v := range p.All() {
				if n := r3.Norm(v); math.IsNaN(n) || math.IsInf(n, 0) {
					t.Fatal(s, v)
				}
			}
		}
		if p, err := in.Build.Position(); err == nil {
			sound(p)
		}
		r, err := in.Problem.Solve(t.Context())
		if err != nil {
			if len(contact.Faults(err)) == 0 {
				t.Fatal("an error of another type", err)
			}
			return
		}
		if r.Holds() != r.Candidates[0].Holds() {
			t.Fatal("the best holds if any does")
		}
		cov, _ := contact.NewCovariance([]contact.Coordinate{{Site: contact.SaddleReference}}, func(i, j int) float64 { return 1 })
		for _, c := range r.Candidates {
			sound(invented.Position(c.Build))
			if err := in.Problem.Verify(c); err != nil {
				t.Fatal(err)
			}
			if math.IsNaN(c.Score()) || c.Holds() && !r.Holds() {
				t.Fatal("score")
			}
			_, _ = solve.SetUp(c, convert.Basis{SeatAngle: 73})
			cautions, err := c.Cautions()
			wild.Must(t, err, cautions, c)
			if reason, by := in.Problem.Closest().Decide(c, r.Candidates[0]); reason == 0 || math.IsNaN(by) {
				t.Fatal(reason, by)
			}
			_ = c.SaddleMoved.String()
			_, _ = in.Problem.Chance(t.Context(), c, solve.Errors{Target: cov, Rounding: in.Chart})
		}
		best, m := r.Candidates[0], solve.Movement{Group: contact.Group(i % 5), Most: 1 + int(j%2)}
		reach, err := in.Problem.Reach(t.Context(), m)
		if wild.Must(t, err, reach); err != nil {
			return
		}
		room, err := in.Problem.Room(t.Context(), best, m)
		wild.Must(t, err, room, room.Least())
		if best.Holds() && room.Least() > reach.Least() {
			t.Fatal("more room than all parts have", room, reach)
		}
	})
}

// Why the builds of a problem of any numbers do not hold, and their set-up sheets.
func FuzzExplain(f *testing.F) {
	f.Add([]byte{})
	f.Add([]byte("\x04\x00\x05\x00\x00\x00\x33\x40\x40\x40\x01\x02\x03\x04\x05\x06\x07\x08\x09"))
	f.Add([]byte("\x00\x02\x03\x00\x14\x40\x40\x00\x06\x40\x80\x00\x40\x80\x00\x40\x80\x00"))
	f.Fuzz(func(t *testing.T, data []byte) {
		s := wild.From(data)
		in := struct {
			Problem solve.Problem
			Chart   chart.Rounding
		}{}
		target := s.Position(invented.Position(invented.Build()))
		in.Problem = solve.Problem{Target: target, Frame: invented.Road54(), Shelf: invented.Shelf(), Keep: fitgeom.DefaultKeep(target), Limit: 1}
		s.Spoil(&in)
		if s.Byte()%4 == 1 {
			in.Problem.Rules, _ = rules.InForce(rules.Discipline(s.Int(5)), rules.Date{Year: 2026, Month: 6, Day: 7})
			in.Problem.Rider.Height = s.Float(1600, 2000)
		}
		wild.Must(t, in.Problem.Validate())
		wild.Must(t, nil, in.Problem.Findings())
		r, err := in.Problem.Solve(t.Context())
		wild.Must(t, err, r)
		cov, _ := contact.NewCovariance([]contact.Coordinate{{Site: contact.SaddleReference}, {Site: contact.SaddleReference, Axis: contact.AxisZ}}, func(i, j int) float64 { return 1 })
		for _, c := range r.Candidates {
			wild.Must(t, in.Problem.Verify(c))
			if s.Byte()%2 == 0 { // one that no solver found
				s.Spoil(&c)
				_ = in.Problem.Verify(c)
			}
			switch s.Byte() % 8 { // one of them: the first takes long
			case 0:
				why, err := in.Problem.Explain(t.Context(), c)
				wild.Must(t, err, why)
				for _, o := range why {
					_ = o.String() + words.Text(o.Sentences())
					for _, r := range o.Rules {
						_ = r.Sentence().String()
					}
				}
			case 1:
				p, err := in.Problem.Chance(t.Context(), c, solve.Errors{Target: cov, Rounding: in.Chart})
				wild.Must(t, err, p)
			default:
				steps, err := solve.SetUp(c, convert.Basis{SeatAngle: s.Float(60, 80), BottomBracketHeight: s.Float(200, 350)}, convert.Measure(s.Byte()), convert.SaddleHeight)
				wild.Must(t, err, steps)
				for _, step := range steps {
					_ = step.String() + step.Text()
				}
			}
		}
	})
}
