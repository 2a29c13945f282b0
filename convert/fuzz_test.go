package convert_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/internal/wild"
)

// Whatever a sheet says: no panic, and no number that is none without an error.
func FuzzSheet(f *testing.F) {
	f.Add([]byte("\x20\x00\x50\x20\x00\x10\x20\x00\x30\x20\x00\x60"), uint16(0x0102), true)
	f.Add([]byte{0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 1, 0, 0, 9, 9, 9}, uint16(7), false)
	f.Fuzz(func(t *testing.T, data []byte, which uint16, mirrored bool) {
		var s []convert.Entry
		for i, v := range wild.Floats(data) {
			if i > 40 {
				break
			}
			s = append(s, convert.Entry{
				Measure: convert.Measure((int(which) + 7*i) % 64), Side: contact.Side(i % 3), Value: v, Sigma: 0.1 + float64(i%5),
			})
		}
		b := convert.Basis{SeatAngle: 60 + float64(which%30), BottomBracketHeight: 268}
		for _, e := range s {
			if err := wild.JSON(e, data); err != nil {
				t.Fatal(err)
			}
		}
		if err := wild.JSON(convert.Sheet{Entries: s, Basis: b}, data); err != nil {
			t.Fatal(err)
		}
		sol, err := solve(s, b, mirrored)
		if wild.Must(t, err); err != nil {
			return
		}
		for _, v := range sol.Position.All() {
			wild.Must(t, nil, v.X, v.Y, v.Z)
		}
		for _, c := range sol.Covariance.Coordinates() {
			v, _ := sol.Covariance.At(c, c)
			wild.Must(t, nil, v)
			if !(v <= 1e4*(1+1e-9)) {
				t.Fatal(c, "known to no better than", math.Sqrt(v))
			}
		}
		for _, c := range sol.Checks {
			wild.Must(t, nil, c.Off, c.Against, c.Sigma)
		}
		for _, m := range convert.Measures() {
			lo, hi := m.Range()
			wild.Must(t, nil, lo, hi)
			if r, err := convert.NewSheetWithSigma(sol.Position, sol.Covariance, b, m); err == nil {
				wild.Must(t, nil, r.Entries[0].Value, r.Entries[0].Sigma)
			}
		}
	})
}

// Measures of a position of any numbers, with any basis and uncertainty.
func FuzzMeasures(f *testing.F) {
	f.Add([]byte{}, "saddle_height", uint8(0))
	f.Add([]byte("\x04\x00\x00\x00\x00\x00\x02\x00\x03\x40\x40\x40\x01\x02\x03\x04\x05"), "bar_stack", uint8(3))
	f.Add([]byte("\x02\x01\x01\x30\x40\x30\x50\x30\x60\x00\x05\x00\x06\x00\x07\x08\x09"), "", uint8(70))
	f.Fuzz(func(t *testing.T, data []byte, name string, n uint8) {
		s := wild.From(data)
		p := s.Position(everything(rand.New(rand.NewPCG(uint64(n), 1)), n%2 == 0))
		b := convert.Basis{SeatAngle: s.Float(50, 90), BottomBracketHeight: s.Float(150, 400), Side: contact.Side(s.Byte() % 4)}
		wild.Must(t, b.Validate())
		ms := convert.Measures()
		for range 5 {
			m := convert.Measure(s.Byte()) % convert.Measure(len(ms)+2)
			v, err := m.Of(p, b)
			wild.Must(t, err, v)
			slopes, err := m.Gradient(p, b)
			wild.Must(t, err, slopes)
			sheet, err := convert.NewSheet(p, b, m, convert.SaddleHeight)
			wild.Must(t, err, sheet)
			wild.Must(t, sheet.Validate())
			if got, ok := sheet.Value(m); ok && got != v {
				t.Fatal(m, got, v)
			}
			sigma := s.Float(0, 3)
			cov, err := contact.NewCovariance([]contact.Coordinate{{Site: contact.SaddleReference}, {Site: contact.SaddleReference, Axis: contact.AxisZ}}, func(i, j int) float64 {
				if i == j {
					return sigma * sigma
				}
				return 0
			})
			wild.Must(t, err, cov)
			with, err := convert.NewSheetWithSigma(p, cov, b, convert.SaddleHeight, m)
			wild.Must(t, err, with)
			_ = m.Definition().Name + m.String()
		}

		var m convert.Measure
		wild.Must(t, m.UnmarshalText([]byte(name)))
		if m2, err := convert.ParseMeasure(name); err == nil && m2 != m {
			t.Fatal(m, m2)
		}
		text, err := convert.Measure(n).MarshalText()
		if wild.Must(t, err); err == nil {
			wild.Must(t, m.UnmarshalText(text))
		}
		if err := wild.Names(convert.ParseMeasure, name, n); err != nil {
			t.Fatal(err)
		}
		_ = convert.SidedMeasure{Measure: convert.Measure(n), Side: contact.Side(n)}.String()
	})
}
