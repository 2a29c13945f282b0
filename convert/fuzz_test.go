package convert_test

import (
	"encoding/binary"
	"math"
	"math/rand/v2"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/internal/wild"
)

// numbers reads floats of all kinds out of bytes: most of them sensible, some not.
func numbers(data []byte) []float64 {
	var all []float64
	for len(data) >= 3 {
		kind, raw := data[0], binary.LittleEndian.Uint16(data[1:])
		switch data = data[3:]; {
		case kind == 0 && len(data) >= 8:
			all = append(all, math.Float64frombits(binary.LittleEndian.Uint64(data)))
			data = data[8:]
		case kind < 8:
			all = append(all, [...]float64{math.NaN(), math.Inf(1), math.Inf(-1), 0, math.MaxFloat64, -math.MaxFloat64, math.SmallestNonzeroFloat64, -1}[kind])
		default:
			all = append(all, float64(raw)/32)
		}
	}
	return all
}

func sound(t *testing.T, what any, vs ...float64) {
	t.Helper()
	for _, v := range vs {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			t.Fatalf("%v without an error: %v", v, what)
		}
	}
}

// Whatever a sheet says: no panic, and no number that is none without an error.
func FuzzSheet(f *testing.F) {
	f.Add([]byte("\x20\x00\x50\x20\x00\x10\x20\x00\x30\x20\x00\x60"), uint16(0x0102), true)
	f.Add([]byte{0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 1, 0, 0, 9, 9, 9}, uint16(7), false)
	f.Fuzz(func(t *testing.T, data []byte, which uint16, mirrored bool) {
		var s []convert.Entry
		for i, v := range numbers(data) {
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
		if err != nil {
			if len(contact.Faults(err)) == 0 {
				t.Fatalf("an error of another type: %v", err)
			}
			return
		}
		for _, v := range sol.Position.All() {
			sound(t, s, v.X, v.Y, v.Z)
		}
		for _, c := range sol.Covariance.Coordinates() {
			v, _ := sol.Covariance.At(c, c)
			sound(t, s, v)
		}
		for _, c := range sol.Checks {
			sound(t, s, c.Off, c.Against, c.Sigma)
		}
		for _, m := range convert.Measures() {
			if r, err := convert.NewSheetWithSigma(sol.Position, sol.Covariance, b, m); err == nil {
				sound(t, m, r.Entries[0].Value, r.Entries[0].Sigma)
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
		proper := func(err error, values ...any) {
			t.Helper()
			if err := wild.Check(err, values...); err != nil {
				t.Fatal(err)
			}
		}
		p := s.Position(everything(rand.New(rand.NewPCG(uint64(n), 1)), n%2 == 0))
		b := convert.Basis{SeatAngle: s.Float(50, 90), BottomBracketHeight: s.Float(150, 400), Side: contact.Side(s.Byte() % 4)}
		proper(b.Validate())
		ms := convert.Measures()
		for range 5 {
			m := convert.Measure(s.Byte()) % convert.Measure(len(ms)+2)
			v, err := m.Of(p, b)
			proper(err, v)
			slopes, err := m.Gradient(p, b)
			proper(err, slopes)
			sheet, err := convert.NewSheet(p, b, m, convert.SaddleHeight)
			proper(err, sheet)
			proper(sheet.Validate())
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
			proper(err, cov)
			with, err := convert.NewSheetWithSigma(p, cov, b, convert.SaddleHeight, m)
			proper(err, with)
			_ = m.Definition().Name + m.String()
		}

		var m convert.Measure
		proper(m.UnmarshalText([]byte(name)))
		if m2, err := convert.ParseMeasure(name); err == nil && m2 != m {
			t.Fatal(m, m2)
		}
		text, err := convert.Measure(n).MarshalText()
		if proper(err); err == nil {
			proper(m.UnmarshalText(text))
		}
		if err := wild.Names(convert.ParseMeasure, name, n); err != nil {
			t.Fatal(err)
		}
		_ = convert.SidedMeasure{Measure: convert.Measure(n), Side: contact.Side(n)}.String()
	})
}
