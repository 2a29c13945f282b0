package convert_test

import (
	"encoding/binary"
	"math"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert"
	"gonum.org/v1/gonum/spatial/r3"
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
		var s convert.Sheet
		for i, v := range numbers(data) {
			if i > 40 {
				break
			}
			s = append(s, convert.Reading{
				Measure: convert.Measure((int(which) + 7*i) % 64), Side: contact.Side(i % 3), Value: v, Sigma: 0.1 + float64(i%5),
			})
		}
		b := convert.Basis{SeatAngle: 60 + float64(which%30), BottomBracketHeight: 268}
		sol, err := s.Solve(b, convert.Options{Mirrored: mirrored})
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
				sound(t, m, r[0].Value, r[0].Sigma)
			}
		}
	})
}

func FuzzChart(f *testing.F) {
	f.Add([]byte("\x20\x00\x46\x20\x00\x30\x20\x00\x09\x20\x00\x09"), uint16(0), true, true)
	f.Fuzz(func(t *testing.T, data []byte, which uint16, equal, centred bool) {
		c := convert.Chart{LengthStep: 1, AngleStep: 0.5, EqualWheels: equal, SeatTubeCentred: centred}
		for i, v := range numbers(data) {
			if i > 30 {
				break
			}
			c.Stated = append(c.Stated, convert.Stated{Dimension: convert.Dimension((int(which) + 5*i) % 28), Value: v})
		}
		done, err := c.Complete()
		if err != nil {
			if len(contact.Faults(err)) == 0 {
				t.Fatalf("an error of another type: %v", err)
			}
			return
		}
		for _, k := range done.Completed {
			sound(t, c, k.Value, k.Sigma)
		}
		if g, ok := done.Geometry(); ok && g.Validate() == nil {
			w, _ := g.Wheelbase()
			sound(t, g, w, g.EffectiveTopTube())
			if h, pitch, err := g.OnWheels(300, 330); err == nil {
				sound(t, h, pitch, h.Stack, h.Axles.Drop)
			}
		}
	})
}

// Single numbers: each function gives a number or an error.
func FuzzScalars(f *testing.F) {
	f.Add(73.0, 45.0, 340.0, "32-622", "1 1/8")
	f.Add(math.NaN(), math.Inf(1), math.Copysign(0, -1), "700x32C", "9/16\"")
	f.Fuzz(func(t *testing.T, a, b, c float64, tyre, inches string) {
		check := func(v float64, err error) {
			if err == nil {
				sound(t, []any{a, b, c, tyre, inches}, v)
			}
		}
		check(convert.Trail(a, b, c))
		check(convert.ForkOffset(a, b, c))
		check(convert.StemPitch(a, b))
		check(convert.StemAngle(a, b))
		check(convert.EffectiveTopTube(a, b, c))
		check(convert.ReachFromEffectiveTopTube(a, b, c))
		check(convert.SetbackAt(a, b))
		check(convert.SeatAngleAt(a, b))
		check(convert.WheelFlopFactor(a, b))
		check(convert.SteeringAxisCut(a, b, c))
		check(convert.StanceWidth(a, b, c))
		check(convert.BarWidth(a, b))
		check(convert.BarWidthOutside(a, b))
		check(convert.RolloutRadius(a, int(min(max(b, -1e6), 1e6))))
		check(convert.Inches(inches))
		rise, run, err := convert.StemRiseRun(a, b, c)
		check(rise, err)
		check(run, err)
		length, angle, err := convert.StemFromRiseRun(a, b, c)
		check(length, err)
		check(angle, err)
		if p, err := convert.ParseTyre(tyre); err == nil {
			check(p.Radius())
		}
		p := contact.New(map[contact.Site]r3.Vec{contact.SaddleReference: {X: -a, Z: b}, contact.BarClamp: {X: c, Z: b}})
		check(convert.ReachClamp.Of(p, convert.Basis{}))
	})
}
