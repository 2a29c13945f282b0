// Package wild makes values of all kinds out of bytes, most of them sensible and
// some not, and looks at what comes back. It is for fuzz targets.
package wild

import (
	"encoding/binary"
	"errors"
	"fmt"
	"math"
	"reflect"
	"slices"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Source reads values out of bytes. Where these end, all further ones are 0, or
// in the middle of their range.
type Source struct {
	data []byte
	past []float64 // numbers that may come again, since some things break only where two are equal
}

// From returns a source of some bytes.
func From(data []byte) *Source { return &Source{data: data} }

// Byte returns the next byte.
func (s *Source) Byte() byte {
	if len(s.data) == 0 {
		return 0
	}
	b := s.data[0]
	s.data = s.data[1:]
	return b
}

// Int returns a number from 0 to below n.
func (s *Source) Int(n int) int { return int(s.Byte()) % n }

// Text returns a text of up to n bytes, any bytes.
func (s *Source) Text(n int) string {
	n = min(s.Int(n+1), len(s.data))
	text := string(s.data[:n])
	s.data = s.data[n:]
	return text
}

var extremes = []float64{
	math.NaN(), math.Inf(1), math.Inf(-1), 0, math.Copysign(0, -1), math.MaxFloat64, -math.MaxFloat64, math.SmallestNonzeroFloat64, -math.SmallestNonzeroFloat64,
	1e-300, 1e300, 1e154, -1e155, 1e18, 1e9, -1e9, 1e-9, -1, 1, 90, 180, 360, math.Nextafter(90, 91), math.Nextafter(90, 89), 1 << 53,
}

// Float returns a number: mostly one from lo to hi, or an end of that or beside
// it, or one that there was before, or one that makes no sense, or any bits.
func (s *Source) Float(lo, hi float64) float64 {
	if len(s.data) == 0 {
		return (lo + hi) / 2
	}
	switch kind := s.Byte(); {
	case kind < 16:
		return extremes[s.Int(len(extremes))]
	case kind < 20:
		return []float64{lo, hi, math.Nextafter(lo, hi+1), math.Nextafter(lo, lo-1), math.Nextafter(hi, hi+1), math.Nextafter(hi, lo-1)}[s.Int(6)]
	case kind < 24:
		var raw [8]byte
		for i := range raw {
			raw[i] = s.Byte()
		}
		return math.Float64frombits(binary.LittleEndian.Uint64(raw[:]))
	case kind < 40 && len(s.past) > 0:
		return s.past[s.Int(len(s.past))]
	default:
		v := lo + (hi-lo)*(float64(s.Byte())+float64(s.Byte())/256)/256
		s.past = append(s.past, v)
		return v
	}
}

// Floats reads numbers of all kinds, three bytes or eleven for each, out of bytes: most of them from 0
// to 2048, some that were there before, some that make no sense.
func Floats(data []byte) []float64 {
	var all []float64
	for len(data) >= 3 {
		kind, raw := data[0], binary.LittleEndian.Uint16(data[1:])
		switch data = data[3:]; {
		case kind == 0 && len(data) >= 8:
			all = append(all, math.Float64frombits(binary.LittleEndian.Uint64(data)))
			data = data[8:]
		case kind < 8:
			all = append(all, [...]float64{math.NaN(), math.Inf(1), math.Inf(-1), 0, math.MaxFloat64, -math.MaxFloat64, math.SmallestNonzeroFloat64, -1}[kind])
		case kind < 32 && len(all) > 0:
			all = append(all, all[int(raw)%len(all)])
		default:
			all = append(all, float64(raw)/32)
		}
	}
	return all
}

// Vec returns three numbers as Float does.
func (s *Source) Vec(lo, hi float64) r3.Vec {
	return r3.Vec{X: s.Float(lo, hi), Y: s.Float(lo, hi), Z: s.Float(lo, hi)}
}

// Spoil changes up to four of the numbers and flags in what p points to, in its
// structs and slices: into anything, or into something near to what it was.
func (s *Source) Spoil(p any) {
	all := leaves(reflect.ValueOf(p), nil)
	if len(all) == 0 {
		return
	}
	for range s.Int(5) {
		switch v := all[(int(s.Byte())<<8|int(s.Byte()))%len(all)]; v.Kind() {
		case reflect.Float64:
			v.SetFloat(s.Float(v.Float()-20, v.Float()+20))
		case reflect.Bool:
			v.SetBool(!v.Bool())
		case reflect.Int:
			v.SetInt(int64(s.Int(40)) - 10)
		case reflect.Uint8, reflect.Uint16:
			v.SetUint(uint64(s.Byte()))
		case reflect.String:
			v.SetString(s.Text(8))
		case reflect.Slice: // fewer, none, or some of them twice
			at := s.Int(v.Len() + 1)
			if s.Byte()%2 == 0 {
				v.Set(v.Slice(0, at))
			} else {
				v.Set(reflect.AppendSlice(reflect.MakeSlice(v.Type(), 0, 0), v))
				v.Set(reflect.AppendSlice(v, v.Slice(0, at)))
			}
			all = leaves(reflect.ValueOf(p), nil)
			if len(all) == 0 {
				return
			}
		}
	}
}

func leaves(v reflect.Value, all []reflect.Value) []reflect.Value {
	switch v.Kind() {
	case reflect.Pointer:
		return leaves(v.Elem(), all)
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				all = leaves(v.Field(i), all)
			}
		}
	case reflect.Array, reflect.Slice:
		for i := range v.Len() {
			all = leaves(v.Index(i), all)
		}
		if v.Kind() == reflect.Slice {
			all = append(all, v)
		}
	case reflect.Float64, reflect.Int, reflect.Uint8, reflect.Uint16, reflect.Bool, reflect.String:
		all = append(all, v)
	}
	return all
}

// Position returns p with a few points and directions changed into anything, and
// some sites unknown.
func (s *Source) Position(p contact.Position) contact.Position {
	all := contact.Sites()
	for range s.Int(5) {
		site := all[s.Int(len(all))]
		at, _ := p.At(site)
		switch s.Int(4) {
		case 0:
			p.Set(site, r3.Vec{X: s.Float(at.X-30, at.X+30), Y: s.Float(at.Y-30, at.Y+30), Z: s.Float(at.Z-30, at.Z+30)})
		case 1:
			p.SetAttitude(site, contact.Attitude{Tilt: s.Float(-30, 30), Yaw: s.Float(-30, 30), Roll: s.Float(-30, 30)})
		case 2:
			p.Forget(site)
		default:
			p.Set(contact.Site(s.Byte()), s.Vec(-900, 900))
		}
	}
	return p
}

// Sound returns an error for the first number among the exported fields of the
// values, positions and covariances included, that is NaN or infinite.
func Sound(values ...any) error {
	for i, v := range values {
		if err := sound(reflect.ValueOf(v), fmt.Sprintf("value %d", i)); err != nil {
			return err
		}
	}
	return nil
}

func sound(v reflect.Value, path string) error {
	if !v.IsValid() {
		return nil
	}
	if v.CanInterface() {
		switch x := v.Interface().(type) {
		case contact.Position:
			for s, at := range x.All() {
				if err := sound(reflect.ValueOf(at), path+"."+s.String()); err != nil {
					return err
				}
			}
			for _, s := range contact.Sites() {
				a, _ := x.Attitude(s)
				if err := sound(reflect.ValueOf(a), path+"."+s.String()); err != nil {
					return err
				}
			}
			return nil
		case contact.Covariance:
			all := x.Coordinates()
			for i, a := range all {
				for _, b := range all[:i+1] {
					c, _ := x.At(a, b)
					if err := sound(reflect.ValueOf(c), path+"."+a.String()+","+b.String()); err != nil {
						return err
					}
				}
			}
			return nil
		case error:
			return nil
		}
	}
	switch v.Kind() {
	case reflect.Pointer, reflect.Interface:
		return sound(v.Elem(), path)
	case reflect.Struct:
		for i := range v.NumField() {
			if f := v.Type().Field(i); f.IsExported() {
				if err := sound(v.Field(i), path+"."+f.Name); err != nil {
					return err
				}
			}
		}
	case reflect.Array, reflect.Slice:
		for i := range v.Len() {
			if err := sound(v.Index(i), fmt.Sprintf("%s[%d]", path, i)); err != nil {
				return err
			}
		}
	case reflect.Float64:
		if f := v.Float(); math.IsNaN(f) || math.IsInf(f, 0) {
			return fmt.Errorf("%s is %v, without an error", path, f)
		}
	}
	return nil
}

var classes = []error{contact.ErrMissing, contact.ErrRange, contact.ErrUnit, contact.ErrConflict, contact.ErrUnknown, contact.ErrBudget}

// Proper returns what is wrong with an error of the public packages: all that it
// holds must be faults with a path, and a class of package contact, no more than there may
// be and with no more text. A nil err is proper.
func Proper(err error) error {
	if n := len(contact.Faults(err)); n > fault.MaxFaults+1 {
		return fmt.Errorf("%d faults", n)
	}
	if err != nil && len(err.Error()) > fault.MaxText+4096 {
		return fmt.Errorf("%d bytes of text", len(err.Error()))
	}
	return proper(err)
}

func proper(err error) error {
	switch e := err.(type) {
	case nil:
		return nil
	case *contact.Error:
		if e.Path == "" {
			return fmt.Errorf("no path: %v", e)
		}
		if !slices.Contains(classes, e.Class) {
			return fmt.Errorf("no class: %v", e)
		}
		return nil
	case interface{ Unwrap() []error }:
		for _, one := range e.Unwrap() {
			if err := proper(one); err != nil {
				return err
			}
		}
		return nil
	default:
		if inner := errors.Unwrap(err); inner != nil {
			return proper(inner)
		}
		return fmt.Errorf("an error of another type: %T: %v", err, err)
	}
}

// Check returns what is wrong with a result: an improper error or, without an
// error, a number that is none.
func Check(err error, values ...any) error {
	if err != nil {
		return Proper(err)
	}
	return Sound(values...)
}

// Must ends a test where Check finds something wrong.
func Must(t testing.TB, err error, values ...any) {
	t.Helper()
	if err := Check(err, values...); err != nil {
		t.Fatal(err)
	}
}
