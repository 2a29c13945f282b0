package fitgeom_test

import (
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/internal/invented"
	"example.com/fitgeom/internal/wild"
)

func FuzzNames(f *testing.F) {
	f.Add("seatpost_up", uint8(3))
	f.Add("", uint8(0))
	f.Fuzz(func(t *testing.T, name string, n uint8) {
		right(t, wild.Names(fitgeom.ParseLimit, name, n))
		right(t, wild.Names(fitgeom.ParseCaution, name, n))
		right(t, wild.Names(fitgeom.ParseCrankPolicy, name, n))
		right(t, wild.Names(fitgeom.ParseReason, name, n))
		if r := fitgeom.Reason(n); r.Words(true) == "" || r.Words(false) == "" {
			t.Fatal(r)
		}
	})
}

// What is kept of any numbers, a candidate with it, and both as documents have them.
func FuzzCandidate(f *testing.F) {
	f.Add([]byte{})
	f.Add([]byte(`{"site": "hoods_left", "tolerance_mm": [2, 0, 2], "weight": [1, 1, 4]}`))
	f.Add([]byte("\x04\x00\x05\x00\x00\x00\x33\x40\x40\x40\x01\x02\x03\x04\x05\x06\x07\x08\x09"))
	f.Fuzz(func(t *testing.T, data []byte) {
		s := wild.From(data)
		c := fitgeom.Candidate{Build: invented.Everything(), Spacers: []float64{20, 10}}
		p := invented.Position(c.Build)
		for _, k := range fitgeom.DefaultKeep(p) {
			c.Deviations = append(c.Deviations, fitgeom.Deviation{Keep: k, Off: s.Vec(-3, 3)})
		}
		s.Spoil(&c)
		wild.Must(t, c.Validate())
		all, sum := len(c.Deviations) > 0, 0.0
		for _, d := range c.Deviations {
			right(t, wild.JSON(d, data))
			right(t, wild.JSON(d.Keep, data))
			wild.Must(t, d.Keep.Validate())
			all, sum = all && d.Within(), sum+d.Cost()
			if at, ok := d.Wanted(p); d.Keep.Validate() == nil && wild.Sound(d.Off) == nil {
				_, known := p.At(d.Site)
				wild.Must(t, nil, at, d.Weights(), d.Price())
				if ok != known {
					t.Fatal(d)
				}
			}
		}
		if c.Holds() != all || c.Distance()*c.Distance() > 1.0001*sum {
			t.Fatal(c.Deviations)
		}
		right(t, wild.JSON(fitgeom.Margin{Limit: fitgeom.Limit(s.Byte()), Room: s.Float(-100, 100)}, data))
		right(t, wild.JSON(c, data))
	})
}

// What is not asked for costs nothing; and where nothing is asked for, nothing holds.
func TestNothingKept(t *testing.T) {
	d := fitgeom.Deviation{Keep: fitgeom.Keep{Site: contact.BarClamp}}
	d.Off.X = 100
	if !d.Within() || d.Cost() != 0 || (fitgeom.Candidate{}).Holds() || (fitgeom.Candidate{}).Score() != 0 {
		t.Error(d)
	}
}

func right(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}
