package part_test

import (
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

		steps := part.Steps{From: s.Float(-100, 100), To: s.Float(0, 300), Step: s.Float(0, 20)}
		n, at, last := steps.Count(), steps.At(s.Int(20)), steps.Last()
		nearest, ok := steps.Nearest(s.Float(-100, 300), s.Float(-100, 0), s.Float(0, 300))
		has := steps.Has(s.Float(-100, 300))
		sound := wild.Sound(steps) == nil && steps.From >= -1000 && steps.To >= steps.From && steps.To <= 1000 && (steps.Step == 0 || steps.Step >= 0.5 && steps.Step <= 1000)
		if sound && (n < 0 || n > 4001 || wild.Sound(at, last) != nil || ok && wild.Sound(nearest) != nil) {
			t.Fatal(steps, n, at, last, nearest, has)
		}
		_ = part.Kinds(which).Words()
	})
}

// Where parts of any numbers have their sites; sets of kinds of any number and any text.
func FuzzPlaces(f *testing.F) {
	f.Add([]byte{}, "stems, aero_bars", uint16(3))
	f.Add([]byte("\x04\x00\x00\x00\x00\x00\x02\x00\x03\x40\x40"), "none", uint16(1<<12))
	f.Fuzz(func(t *testing.T, data []byte, text string, n uint16) {
		s := wild.From(data)
		parts := all()
		for _, p := range parts {
			switch p := p.(type) {
			case part.Handlebar:
				s.Spoil(&p)
				l := part.Lever{Reach: s.Float(1, 120), Rise: s.Float(-60, 100)}
				places := p.Places(l)
				if p.Validate() == nil && l.Validate() == nil {
					wild.Must(t, nil, places, p.AppendPlaces(places[:0], l))
				}
			case part.Saddle:
				s.Spoil(&p)
				if places := p.Places(); p.Validate() == nil {
					wild.Must(t, nil, places)
				}
			case part.AeroBar:
				s.Spoil(&p)
				if tip := p.Tip(s.Float(0, 250), s.Float(50, 600)); p.Validate() == nil && wild.Sound(tip) == nil {
					wild.Must(t, nil, tip)
				}
			}
		}
		k, err := part.ParseKinds(text)
		wild.Must(t, err)
		written, err2 := k.MarshalText()
		var back part.Kinds
		if err == nil && (err2 != nil || back.UnmarshalText(written) != nil || back != k) {
			t.Fatal(text, k, err2)
		}
		for _, one := range part.Kinds(n).Each() {
			if one&part.Kinds(n) == 0 {
				t.Fatal(n, one)
			}
		}
	})
}
