package part_test

import (
	"math"
	"reflect"
	"slices"
	"testing"

	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/wild"
)

// Every part of any numbers; and steps of any numbers, asked for any.
func FuzzParts(f *testing.F) {
	f.Add([]byte{}, uint8(0))
	f.Add([]byte("\x04\x00\x00\x00\x00\x00\x02\x00\x03\x40\x40\x40\x00\x04\x00\x05"), uint8(2))
	f.Add([]byte("\x00\x40\x80\x00\x40\x90\x00\x40\x01\x00\x40\x10\x00\x40\x20\x00"), uint8(7))
	parts := all()
	var names []string
	for name := range parts {
		names = append(names, name)
	}
	slices.Sort(names)
	f.Fuzz(func(t *testing.T, data []byte, which uint8) {
		s := wild.From(data)
		p := reflect.New(reflect.TypeOf(parts[names[int(which)%len(names)]]))
		p.Elem().Set(reflect.ValueOf(parts[names[int(which)%len(names)]]))
		s.Spoil(p.Interface())
		err := p.Elem().Interface().(validator).Validate()
		if err := wild.Check(err, p.Elem().Interface()); err != nil {
			t.Fatal(err)
		}
		if b, ok := p.Elem().Interface().(part.Handlebar); ok && err == nil && b.OnePiece() != (b.DrawnAt > 0) {
			t.Fatal(b)
		}
		if a, ok := p.Elem().Interface().(part.Saddle); ok && err == nil {
			post := part.Seatpost{ClampSpan: s.Float(5, 80), RailWidth: 7}
			if from, to := a.Rails(post); post.Holds(a) && !(from <= to) {
				t.Fatal("held by", from, to)
			}
		}
		if a, ok := p.Elem().Interface().(part.Saddle); ok && err == nil && (math.Abs(a.Reference()-a.Station) > 300 || a.Widening == 0 && a.Reference() != a.Station) {
			t.Fatal(a, a.Profile())
		}

		if k, ok := p.Elem().Interface().(part.Crank); ok && err == nil && wild.Sound(k.Lengths()) != nil {
			t.Fatal(k)
		}
		if k, ok := p.Elem().Interface().(part.Pedal); ok && err == nil && wild.Sound(k.Sides()) != nil {
			t.Fatal(k)
		}
		steps := part.Steps{From: s.Float(-100, 100), To: s.Float(0, 300), Step: s.Float(0, 20)}
		n, at, last := steps.Count(), steps.At(s.Int(20)), steps.Last()
		nearest, ok := steps.Nearest(s.Float(-100, 300), s.Float(-100, 0), s.Float(0, 300))
		has := steps.Has(s.Float(-100, 300))
		sound := wild.Sound(steps) == nil && steps.From >= -1000 && steps.To >= steps.From && steps.To <= 1000 && (steps.Step == 0 || steps.Step >= 0.5 && steps.Step <= 1000)
		if sound && (n < 0 || n > 4001 || wild.Sound(at, last) != nil || ok && wild.Sound(nearest) != nil) {
			t.Fatal(steps, n, at, last, nearest, has)
		}
		_ = part.Kinds(which).String()
	})
}
