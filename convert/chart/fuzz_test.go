package chart_test

import (
	"encoding/binary"
	"math"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/internal/wild"
	"gonum.org/v1/gonum/spatial/r3"
)

func FuzzChart(f *testing.F) {
	f.Add([]byte("\x20\x00\x46\x20\x00\x30\x20\x00\x09\x20\x00\x09"), uint16(0), true, true)
	f.Fuzz(func(t *testing.T, data []byte, which uint16, equal, centred bool) {
		c := chart.Chart{LengthStep: 1, AngleStep: 0.5, EqualWheels: equal, SeatTubeCentred: centred}
		for i, v := range convert_test.numbers(data) {
			if i > 30 {
				break
			}
			c.Entries = append(c.Entries, chart.Entry{Dimension: chart.Dimension((int(which) + 5*i) % 28), Value: v})
		}
		done, err := c.Solve()
		if err != nil {
			if len(contact.Faults(err)) == 0 {
				t.Fatalf("an error of another type: %v", err)
			}
			return
		}
		for _, k := range done.Values {
			convert_test.sound(t, c, k.Value, k.Sigma)
		}
		if g, ok := done.Geometry(); ok && g.Validate() == nil {
			w, _ := g.Wheelbase()
			convert_test.sound(t, g, w, g.EffectiveTopTube())
			if h, pitch, err := g.OnWheels(300, 330); err == nil {
				convert_test.sound(t, h, pitch, h.Stack, h.Axles.Drop)
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
				convert_test.sound(t, []any{a, b, c, tyre, inches}, v)
			}
		}
		check(chart.TrailOf(a, b, c))
		check(chart.ForkOffsetOf(a, b, c))
		check(chart.StemPitch(a, b))
		check(chart.StemAngle(a, b))
		check(chart.EffectiveTopTubeOf(a, b, c))
		check(chart.ReachFromEffectiveTopTube(a, b, c))
		check(chart.SetbackAt(a, b))
		check(chart.SeatAngleAt(a, b))
		check(chart.WheelFlopFactor(a, b))
		check(chart.SteeringAxisCut(a, b, c))
		check(chart.FeetApart(a, b, c))
		check(chart.BarWidth(a, b))
		check(chart.BarWidthOutside(a, b))
		check(chart.RolloutRadius(a, int(min(max(b, -1e6), 1e6))))
		check(chart.Inches(inches))
		rise, run, err := chart.StemRiseRun(a, b, c)
		check(rise, err)
		check(run, err)
		length, angle, err := chart.StemFromRiseRun(a, b, c)
		check(length, err)
		check(angle, err)
		if p, err := chart.ParseTyre(tyre); err == nil {
			check(p.Radius())
		}
		p := contact.New(map[contact.Site]r3.Vec{contact.SaddleReference: {X: -a, Z: b}, contact.BarClamp: {X: c, Z: b}})
		check(convert.ReachClamp.Of(p, convert.Basis{}))
	})
}

// A frame's side view of any numbers, on any wheels; and its own numbers as a chart.
func FuzzGeometry(f *testing.F) {
	f.Add([]byte{})
	f.Add([]byte("\x02\x00\x00\x00\x07\x00\x03\x40\x40\x40\x40\x01\x02"))
	f.Add([]byte("\x04\x00\x09\x11\x02\x00\x03\x11\x01\x00\x05\x12\x00\x00\x01\x11\x05"))
	f.Fuzz(func(t *testing.T, data []byte) {
		s := wild.From(data)
		proper := func(err error, values ...any) {
			t.Helper()
			if err := wild.Check(err, values...); err != nil {
				t.Fatal(err)
			}
		}
		g := worked()
		s.Spoil(&g)
		err := g.Validate()
		h, pitch, err2 := g.OnWheels(s.Float(100, 450), s.Float(100, 450))
		proper(err2, h, pitch)
		front, ok := g.FrontAxle()
		rear, _ := g.RearAxle()
		base, _ := g.Wheelbase()
		trail, _ := g.Trail()
		down, _ := g.SteererToAxle()
		height, ok2 := g.BottomBracketHeight()
		proper(err, g, g.HeadTop(), g.SteererUp(), g.SeatUp(), g.SeatFoot(), g.EffectiveTopTube(), front, rear, base, trail, down, height)
		if ok != ok2 {
			t.Fatal(g)
		}
		c := chart.Chart{LengthStep: s.Float(0, 5), AngleStep: s.Float(0, 1), SeatAngleHeight: s.Float(300, 900)}
		for i, v := range []float64{g.Stack, g.Reach, g.EffectiveTopTube(), g.HeadAngle, g.SeatAngle} {
			c.Entries = append(c.Entries, chart.Entry{Dimension: chart.Dimension(i), Value: v, Step: s.Float(0, 2)})
		}
		c.Entries = append(c.Entries, chart.Entry{Dimension: chart.Trail, Value: trail})
		proper(c.Validate())
		done, err := c.Solve()
		proper(err, done)
		v, sigma, _ := done.Get(chart.Dimension(s.Byte()))
		back, _ := done.Geometry()
		proper(nil, v, sigma, back)
		for _, gap := range done.Free {
			_ = gap.String()
		}
	})
}

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
