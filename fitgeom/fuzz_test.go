package fitgeom_test

import (
	"math"
	"reflect"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/invented"
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
		in.Shelf.Bars = []part.Bar{in.Build.Bar, {Name: "one", DrawnAt: 73, AeroDiameter: 31.8, Stem: part.Stem{Length: 90, Height: 40, SteererDiameter: 28.6}, Base: part.BaseBar{Width: 400}}}
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
