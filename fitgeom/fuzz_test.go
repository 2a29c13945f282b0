package fitgeom_test

import (
	"testing"

	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/internal/invented"
	"example.com/fitgeom/internal/wild"
)

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
		wild.Must(t, b.Validate())
		wild.Must(t, b.Frame.Validate())
		wild.Must(t, b.Wheels.Validate())
		p, err := b.Position()
		wild.Must(t, err, p)
		if err == nil {
			fitgeom.DefaultKeep(p)
		}
		all, err := b.Margins()
		wild.Must(t, err, all)
		for _, m := range all {
			_ = m.String() + m.Limit.Unit()
		}
		cautions, err := b.Cautions()
		wild.Must(t, err, cautions)
		if b.Validate() == nil {
			wild.Must(t, b.Frame.ValidateOn(b.Wheels))
			pitch, ok := b.Frame.Geometry.Pitch(b.Wheels)
			front, _ := b.FrontTyreRoom()
			rear, _ := b.RearTyreRoom()
			toe, _ := b.ToeClearance()
			lo, hi := b.Frame.SeatpostRange(b.Seatpost)
			wild.Must(t, nil, pitch, front, rear, toe, lo, hi, b.Frame.SpacerRoom(b.Cap, b.Carrier()))
			if !ok {
				t.Fatal("a sound build whose pitch is not known")
			}
		}
		_ = fitgeom.Limit(s.Byte()).Unit() + fitgeom.Limit(s.Byte()).String() + fitgeom.Limit(s.Byte()).Words() + fitgeom.Caution(s.Byte()).String() + fitgeom.Caution(s.Byte()).Words() + fitgeom.CrankPolicy(s.Byte()).String()
	})
}
