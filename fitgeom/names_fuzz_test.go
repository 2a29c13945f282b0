package fitgeom_test

import (
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/internal/invented"
	"example.com/fitgeom/internal/wild"
)

// Names of enumerations of any text and any number; candidates of any numbers as JSON,
// and of any text.
func FuzzCandidate(f *testing.F) {
	f.Add([]byte{}, "seatpost_up", uint8(3))
	f.Add([]byte("\x04\x00\x05\x00\x00\x00\x33\x40\x40\x40\x01\x02"), `{"limit":"rails","room_mm":1}`, uint8(200))
	f.Add([]byte("\x02\x09\x60\x12"), `{"site":"hoods_left","tolerance_mm":[1,0,2],"off_mm":[0,0,1]}`, uint8(0))
	f.Fuzz(func(t *testing.T, data []byte, text string, n uint8) {
		for _, err := range []error{
			wild.Names(fitgeom.ParseLimit, text, n), wild.Names(fitgeom.ParseCaution, text, n), wild.Names(fitgeom.ParseCrankPolicy, text, n),
		} {
			if err != nil {
				t.Fatal(err)
			}
		}
		s := wild.From(data)
		k := fitgeom.Keep{Site: contact.Site(s.Byte()), Tolerance: s.Vec(-5, 5), Weight: s.Vec(-5, 5)}
		d := fitgeom.Deviation{Keep: k, Off: s.Vec(-5, 5)}
		c := fitgeom.Candidate{Build: invented.Everything(), Spacers: []float64{s.Float(0, 20)}, Deviations: []fitgeom.Deviation{d}}
		if s.Byte()%2 == 0 {
			s.Spoil(&c.Build)
		}
		wild.Must(t, c.Validate())
		if k.Validate() == nil {
			wild.Must(t, nil, k.Weights(), k.Price())
		}
		if c.Validate() == nil && wild.Sound(d.Off) == nil {
			at, _ := d.Wanted(invented.Position(c.Build))
			wild.Must(t, nil, d.Cost(), c.Score(), at)
			_ = d.Within() && c.Holds()
		}
		m := fitgeom.Margin{Limit: fitgeom.Limit(s.Byte()), Room: s.Float(-10, 10)}
		for _, err := range []error{wild.JSON(k, []byte(text)), wild.JSON(d, []byte(text)), wild.JSON(m, []byte(text)), wild.JSON(c, []byte(text))} {
			if err != nil {
				t.Fatal(err)
			}
		}
	})
}
