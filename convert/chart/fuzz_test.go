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
		c := chart.Chart{Rounding: chart.Rounding{LengthStep: 1, AngleStep: 0.5}, EqualWheels: equal, SeatTubeCentred: centred}
		for i, v := range numbers(data) {
			if i > 30 {
				break
			}
			c.Entries = append(c.Entries, chart.Entry{Dimension: chart.Dimension((int(which) + 5*i) % 28), Value: v})
		}
		for _, e := range c.Entries {
			if err := wild.JSON(e, data); err != nil {
				t.Fatal(err)
			}
		}
		if err := wild.JSON(c, data); err != nil {
			t.Fatal(err)
		}
		done, err := c.Solve()
		if err != nil {
			if len(contact.Faults(err)) == 0 {
				t.Fatalf("an error of another type: %v", err)
			}
			return
		}
		for _, k := range done.Values {
			sound(t, c, k.Value, k.Sigma)
		}
		if g, ok := done.Geometry(); ok && g.Validate() == nil {
			w, _ := g.Wheelbase()
			sound(t, g, w, g.EffectiveTopTube())
			on := chart.Wheels{FrontRadius: 300, RearRadius: 330}
			if h, err := g.OnWheels(on); err == nil {
				pitch, _ := g.Pitch(on)
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
		s := chart.Steering{HeadAngle: a, ForkOffset: b, Radius: c}
		check(s.Trail())
		check(s.WheelFlopFactor())
		check(s.AxisCut())
		with, err := s.WithTrail(b)
		check(with.ForkOffset, err)
		check(chart.VirtualTopTube{Stack: a, Effective: b, SeatAngle: c}.Reach())
		at, err := chart.SeatPointAt(b, a)
		check(at.Setback, err)
		check(chart.SeatPoint{Setback: a, Height: b}.SeatAngle())
		check(chart.RolloutRadius(a, int(min(max(b, -1e6), 1e6))))
		check(chart.Inches(inches))
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
		on := chart.Wheels{FrontRadius: s.Float(100, 450), RearRadius: s.Float(100, 450)}
		h, err2 := g.OnWheels(on)
		pitch := 0.0
		if err2 == nil {
			pitch, _ = g.Pitch(on)
		}
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
		c := chart.Chart{Rounding: chart.Rounding{LengthStep: s.Float(0, 5), AngleStep: s.Float(0, 1)}, SeatAngleHeight: s.Float(300, 900)}
		for i, v := range []float64{g.Stack, g.Reach, g.EffectiveTopTube(), g.HeadAngle, g.SeatAngle} {
			c.Entries = append(c.Entries, chart.Entry{Dimension: chart.Stack + chart.Dimension(i), Value: v, Step: s.Float(0, 2)})
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

// Names, tyres and wheels of any kind.
func FuzzNames(f *testing.F) {
	f.Add([]byte{}, "head_tube", uint8(3))
	f.Add([]byte("\x40\x00\x05\x00\x06\x00\x07\x08\x09"), "700C", uint8(70))
	f.Fuzz(func(t *testing.T, data []byte, name string, n uint8) {
		s := wild.From(data)
		proper := func(err error, values ...any) {
			t.Helper()
			if err := wild.Check(err, values...); err != nil {
				t.Fatal(err)
			}
		}
		var d chart.Dimension
		proper(d.UnmarshalText([]byte(name)))
		if d2, err := chart.ParseDimension(name); err == nil && d2 != d {
			t.Fatal(d, d2)
		}
		text, err := chart.Dimension(n).MarshalText()
		if proper(err); err == nil {
			proper(d.UnmarshalText(text))
		}
		if err := wild.Names(chart.ParseDimension, name, n); err != nil {
			t.Fatal(err)
		}
		_ = chart.Dimension(n).Unit()
		if lo, hi := chart.Dimension(n).Range(); (lo < hi) != (chart.Dimension(n).Unit() != "") {
			t.Fatal(n, lo, hi)
		}
		if seat, err := chart.BeadSeat(name); err == nil {
			proper(nil, seat)
		}
		tyre := chart.Tyre{Width: s.Float(10, 150), BeadSeat: s.Float(150, 700)}
		radius, err := tyre.Radius()
		proper(err, radius)
		_ = tyre.String()
		w := chart.Wheels{FrontSag: s.Float(0, 120), RearSag: s.Float(0, 120), FrontRadius: s.Float(100, 450), RearRadius: s.Float(100, 450)}
		proper(w.Validate())
		proper(w.ValidateOn(worked()))
		proper(w.ValidateOn(chart.Geometry{}))
		if on := w.On(worked()); on.FrontRadius == 0 || on.On(worked()) != on && w.Validate() == nil {
			t.Fatal(w, on)
		}
		if pitch, ok := worked().Pitch(w); ok && w.ValidateOn(worked()) == nil {
			proper(nil, pitch)
		}
		h, err := worked().OnWheels(w)
		proper(err, h)
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
