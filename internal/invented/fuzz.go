package invented

import (
	"testing"

	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/internal/wild"
)

// FuzzBuild fuzzes whatever ask asks of a build: of a bike with everything, half of the
// time on other wheels, some of whose numbers are changed into anything.
func FuzzBuild(f *testing.F, ask func(t *testing.T, s *wild.Source, b fitgeom.Build)) {
	f.Helper()
	f.Add([]byte{})
	f.Add([]byte("\x04\x00\x05\x00\x00\x00\x33\x40\x40\x40\x01\x02\x03\x04\x05\x06\x07\x08\x09"))
	f.Add([]byte("\x03\x00\x60\x12\x03\x00\x70\x12\x05\x00\x00\x10\x40\x00\x01\x02"))
	f.Fuzz(func(t *testing.T, data []byte) {
		s := wild.From(data)
		b := Everything()
		if s.Byte()%2 == 0 {
			b.Wheels = chart.Wheels{FrontSag: 20, RearSag: 30, FrontRadius: 345, RearRadius: 341}
		}
		s.Spoil(&b)
		ask(t, s, b)
	})
}
