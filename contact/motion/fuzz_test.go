package motion_test

import (
	"math"
	"math/rand/v2"
	"reflect"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/motion"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/internal/wild"
)

func sane(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// A recording of which some samples and times are anything.
func FuzzRecording(f *testing.F) {
	f.Add([]byte{}, 0.0)
	f.Add([]byte("\x04\x00\x30\x02\x01\x50\x00\x00\x02\x20\x01\x01\x07\x07\x00\x02\x03\x03\x00\x09"), 90.0)
	f.Add([]byte("\x04\xff\xf0\x14\x01\xff\xf1\x00\x00\x01\x00\x00\x01\x00"), math.NaN())
	good := ride{side: contact.Left, seconds: 1.6, rate: 50, cadence: 90, noise: 1, drop: 0.02}.record(f, rand.New(rand.NewPCG(5, 5)))
	f.Fuzz(func(t *testing.T, data []byte, crank float64) {
		s := wild.From(data)
		r := good
		for _, field := range reflect.ValueOf(&r).Elem().Fields() { // of its own, to be changed
			if field.Kind() == reflect.Slice {
				field.Set(reflect.AppendSlice(reflect.MakeSlice(field.Type(), 0, 0), field))
			}
		}
		s.Spoil(&r)
		view := motion.View(s.Byte() % 3)
		sane(t, wild.Proper(r.Validate()))
		m, err := r.Analyse(t.Context(), view)
		if err != nil {
			sane(t, wild.Proper(err))
			return
		}
		for _, rev := range m.Revolutions() {
			sane(t, wild.Sound(rev, rev.Cadence()))
		}
		for of := range rider.KneeOffset + 2 {
			span, err := m.Span(t.Context(), of)
			sane(t, wild.Check(err, span))
			for _, e := range span.Each {
				sane(t, wild.Sound(e.Range()))
			}
			at, err := m.At(t.Context(), of, crank)
			sane(t, wild.Check(err, at))
			by, sigma, ok := at.Sub(span.Mean)
			if ok {
				sane(t, wild.Sound(by, sigma))
			}
		}
		drift, err := m.PelvisDrift(t.Context())
		sane(t, wild.Check(err, drift))
	})
}

// Three points anywhere.
func FuzzAngles(f *testing.F) {
	f.Add([]byte("\x40\x10\x00\x40\x20\x00\x40\x30\x00\x40\x50\x00\x40\x60\x00\x40\x90\x00\x40\xa0\x00\x40\xf0\x00\x40\x00\x00\x40\x20\x00"))
	f.Add([]byte{0, 0, 0, 1, 0, 5, 0, 7, 0, 9, 0, 11, 0, 13})
	f.Fuzz(func(t *testing.T, data []byte) {
		s := wild.From(data)
		a, b, c, view := s.Vec(-1000, 1000), s.Vec(-1000, 1000), s.Vec(-1000, 1000), motion.View(s.Byte()%3)
		in, err := motion.IncludedAngle(a, b, c, view)
		sane(t, wild.Check(err, in))
		out, err2 := motion.FlexionAngle(a, b, c, view)
		sane(t, wild.Check(err2, out))
		if (err == nil) != (err2 == nil) || err == nil && !(in >= 0 && in <= 180 && math.Abs(in+out-180) < 1e-9) {
			t.Fatal(in, out, err, err2)
		}
		u, err := motion.AngleSigma(a, b, c, s.Float(0, 100), view)
		sane(t, wild.Check(err, u))
		_ = view.String()
	})
}

func FuzzNames(f *testing.F) {
	f.Add("in_space", uint8(3))
	f.Add("", uint8(0))
	f.Fuzz(func(t *testing.T, name string, n uint8) { sane(t, wild.Names(motion.ParseView, name, n)) })
}
