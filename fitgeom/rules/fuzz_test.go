package rules_test

import (
	"testing"

	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom/rules"
	"example.com/fitgeom/internal/invented"
	"example.com/fitgeom/internal/wild"
)

// Figures and rules, those of the package and others, of a build of any numbers.
func FuzzFigures(f *testing.F) {
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
		for f := range rules.RearTyreRoom + 2 {
			v, _, err := f.Of(b)
			wild.Must(t, err, v)
		}
		for _, r := range rules.Rules() {
			v, _, _, err := r.Check(b)
			wild.Must(t, err, v)
		}
		odd := rules.Rule{Figure: rules.Figure(s.Byte()), Min: s.Float(0, 100), Max: s.Float(0, 100)}
		v, _, _, err := odd.Check(b)
		wild.Must(t, err, v)
		_ = odd.String() + rules.Figure(s.Byte()).Unit() + rules.Figure(s.Byte()).String() + rules.Figure(s.Byte()).Words()
	})
}
