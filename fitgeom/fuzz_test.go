package fitgeom_test

import (
	"math"
	"reflect"
	"slices"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/invented"
	"example.com/fitgeom/internal/wild"
	"gonum.org/v1/gonum/spatial/r3"
)

// numbers lists every number in a value, which must be a pointer.
func numbers(v reflect.Value) (all []reflect.Value) {
	switch v.Kind() {
	case reflect.Pointer:
		return numbers(v.Elem())
	case reflect.Struct:
		for _, field := range v.Fields() {
			all = append(all, numbers(field)...)
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
func FuzzReproduce(f *testing.F) {
	f.Add(uint8(3), 0.0, uint8(30), 1e300)
	f.Add(uint8(60), math.NaN(), uint8(10), -5.0)
	f.Add(uint8(90), math.Inf(1), uint8(120), 31.6)
	f.Fuzz(func(t *testing.T, i uint8, a float64, j uint8, b float64) {
		in := struct {
			Build fitgeom.Build
			Shelf fitgeom.Shelf
			Opt   fitgeom.Options
			Chart fitgeom.Rounding
		}{Build: invented.Everything(), Shelf: invented.Shelf(), Chart: fitgeom.Rounding{LengthStep: 1}}
		target := invented.Position(in.Build)
		in.Shelf.Handlebars = []part.Handlebar{in.Build.Handlebar, {Name: "one", DrawnAt: 73, AeroDiameter: 31.8, Stem: part.Stem{Length: 90, Height: 40, SteererDiameter: 28.6}, Base: part.BaseBar{Width: 400}}}
		in.Shelf.AeroBars, in.Shelf.Pedals = []part.AeroBar{in.Build.Aero}, []part.Pedal{in.Build.Pedal}
		in.Opt = fitgeom.Options{Keep: fitgeom.DefaultKeep(target), Limit: 3}
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
		r, err := fitgeom.Reproduce(target, in.Build.Frame, in.Shelf, in.Opt)
		if err != nil {
			if len(contact.Faults(err)) == 0 {
				t.Fatal("an error of another type", err)
			}
			return
		}
		cov, _ := contact.NewCovariance([]contact.Coordinate{{Site: contact.SaddleReference}}, func(i, j int) float64 { return 1 })
		for _, c := range r.Candidates {
			sound(c.Position)
			if err := fitgeom.Verify(target, in.Build.Frame, in.Shelf, in.Opt, c); err != nil {
				t.Fatal(err)
			}
			if math.IsNaN(c.Score) {
				t.Fatal("score")
			}
			_, _ = fitgeom.SetUp(c, convert.Basis{SeatAngle: 73})
			_, _ = fitgeom.Chance(target, in.Opt, c, cov, in.Chart)
		}
	})
}

func proper(t *testing.T, err error, values ...any) {
	t.Helper()
	if err := wild.Check(err, values...); err != nil {
		t.Fatal(err)
	}
}

// Anything that is asked of a build of any numbers.
func FuzzBuild(f *testing.F) {
	f.Add([]byte{})
	f.Add([]byte("\x04\x00\x05\x00\x00\x00\x33\x40\x40\x40\x01\x02\x03\x04\x05\x06\x07\x08\x09"))
	f.Add([]byte("\x03\x00\x60\x12\x03\x00\x70\x12\x05\x00\x00\x10\x40\x00\x01\x02"))
	f.Fuzz(func(t *testing.T, data []byte) {
		s := wild.From(data)
		b := invented.Everything()
		if s.Byte()%2 == 0 {
			b.Wheels = chart.Wheels{FrontSag: 20, RearSag: 30, FrontRadius: 345, RearRadius: 341}
		}
		s.Spoil(&b)
		proper(t, b.Validate())
		proper(t, b.Frame.Validate())
		proper(t, b.Wheels.Validate())
		p, err := b.Position()
		proper(t, err, p)
		if err == nil {
			fitgeom.DefaultKeep(p)
		}
		all, err := b.Margins()
		proper(t, err, all)
		for _, m := range all {
			_ = m.String() + m.Limit.Unit()
		}
		pitch, err := b.Frame.Pitch(b.Wheels)
		proper(t, err, pitch)
		for f := range fitgeom.RearTyreRoom + 2 {
			v, _, err := b.Figure(f)
			proper(t, err, v)
		}
		for _, r := range fitgeom.Rules() {
			v, _, _, err := r.Check(b)
			proper(t, err, v)
		}
		odd := fitgeom.Rule{Figure: fitgeom.Figure(s.Byte()), Min: s.Float(0, 100), Max: s.Float(0, 100)}
		v, _, _, err := odd.Check(b)
		proper(t, err, v)
		_ = odd.String() + fitgeom.Figure(s.Byte()).Unit() + fitgeom.Limit(s.Byte()).Unit() + fitgeom.Limit(s.Byte()).String() + fitgeom.Reason(s.Byte()).Unit() + fitgeom.Caution(s.Byte()).String()
	})
}

// A small catalogue and shelf of any numbers, ranked for a position of any.
func FuzzIndex(f *testing.F) {
	f.Add([]byte{}, 0)
	f.Add([]byte("\x04\x00\x05\x00\x00\x00\x33\x40\x40\x40\x01\x02\x03\x04\x05\x06\x07\x08\x09"), 3)
	f.Add([]byte("\x03\x01\x60\x12\x03\x02\x70\x12\x05\x03\x00\x10\x40\x00\x01\x02\x02\x05\x00\x00\x01"), -1)
	f.Fuzz(func(t *testing.T, data []byte, place int) {
		s := wild.From(data)
		in := struct {
			Sizes []fitgeom.Size
			Shelf fitgeom.Shelf
			Opt   fitgeom.Options
			Chart fitgeom.Rounding
		}{Sizes: inventedSizes(3, 0.5, 1), Shelf: invented.Shelf(), Chart: fitgeom.Rounding{LengthStep: 1, AngleStep: 0.5}}
		target := s.Position(riderAt(uint64(s.Byte())))
		in.Opt = fitgeom.Options{Keep: fitgeom.DefaultKeep(target), Limit: 1}
		in.Shelf.Caps, in.Shelf.Stems, in.Shelf.Handlebars, in.Shelf.Levers = in.Shelf.Caps[:1], in.Shelf.Stems[:2], in.Shelf.Handlebars[:1], in.Shelf.Levers[:1]
		s.Spoil(&in)
		for _, c := range in.Sizes {
			proper(t, c.Validate())
		}
		proper(t, in.Shelf.Validate())
		proper(t, in.Chart.Validate())
		x, err := fitgeom.NewIndex(in.Sizes, in.Shelf)
		if proper(t, err); x == nil {
			return
		}
		if x.Len() > len(in.Sizes) {
			t.Fatal(x.Len())
		}
		r, err := x.Rank(target, in.Opt)
		proper(t, err, r)
		switch s.Byte() % 32 { // one of them: each takes long
		case 0:
			steady, err := x.Sensitivity(target, in.Opt, in.Chart)
			proper(t, err, steady)
		case 1, 2, 3:
			near, err := x.Neighbours(target, in.Opt, place)
			proper(t, err, near)
			for _, n := range near {
				_ = n.String() + n.Reason.Unit()
			}
		case 4, 5, 6:
			for again, err := range x.RankEach(slices.Values([]contact.Position{target}), in.Opt) {
				if proper(t, err); !reflect.DeepEqual(again.Choices, r.Choices) {
					t.Fatal("another ranking")
				}
			}
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
			Build fitgeom.Build
			Shelf fitgeom.Shelf
			Opt   fitgeom.Options
			Chart fitgeom.Rounding
		}{Build: invented.Build(), Shelf: invented.Shelf()}
		target := s.Position(invented.Position(in.Build))
		in.Opt = fitgeom.Options{Keep: fitgeom.DefaultKeep(target), Limit: 1}
		s.Spoil(&in)
		r, err := fitgeom.Reproduce(target, in.Build.Frame, in.Shelf, in.Opt)
		proper(t, err, r)
		cov, _ := contact.NewCovariance([]contact.Coordinate{{Site: contact.SaddleReference}, {Site: contact.SaddleReference, Axis: contact.AxisZ}}, func(i, j int) float64 { return 1 })
		for _, c := range r.Candidates {
			proper(t, fitgeom.Verify(target, in.Build.Frame, in.Shelf, in.Opt, c))
			if s.Byte()%2 == 0 { // one that no solver found
				s.Spoil(&c)
				_ = fitgeom.Verify(target, in.Build.Frame, in.Shelf, in.Opt, c)
			}
			switch s.Byte() % 8 { // one of them: the first takes long
			case 0:
				why, err := fitgeom.Explain(target, in.Build.Frame, in.Shelf, in.Opt, c)
				proper(t, err, why)
				for _, o := range why {
					_ = o.String()
				}
			case 1:
				p, err := fitgeom.Chance(target, in.Opt, c, cov, in.Chart)
				proper(t, err, p)
			default:
				steps, err := fitgeom.SetUp(c, convert.Basis{SeatAngle: s.Float(60, 80), BottomBracketHeight: s.Float(200, 350)}, convert.Measure(s.Byte()), convert.SaddleHeight)
				proper(t, err, steps)
				for _, step := range steps {
					_ = step.String()
				}
			}
		}
	})
}
