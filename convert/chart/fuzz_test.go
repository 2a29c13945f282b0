package chart_test

import (
	"math"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/internal/wild"
	"gonum.org/v1/gonum/spatial/r3"
)

func FuzzChart(f *testing.F) {
	f.Add([]byte("\x20\x00\x46\x20\x00\x30\x20\x00\x09\x20\x00\x09"), uint16(0), true, true)
	f.Fuzz(func(t *testing.T, data []byte, which uint16, equal, centred bool) {
		c := chart.Chart{Rounding: chart.Rounding{LengthStep: 1, AngleStep: 0.5}, EqualWheels: equal, SeatTubeCentred: centred}
		for i, v := range wild.Floats(data) {
			if i > 30 {
				break
			}
			c.Entries = append(c.Entries, chart.Entry{Dimension: chart.Dimension((int(which) + 5*i) % 28), Value: v})
			if equal && i%3 == 0 {
				e := &c.Entries[i]
				e.Sigma, e.Together, e.Common = 0.5, "gauge", 1
			}
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
		if wild.Must(t, err); err != nil {
			return
		}
		for _, k := range done.Values {
			slopes, ok := c.Slopes(k)
			if !ok {
				t.Fatal(k)
			}
			wild.Must(t, nil, slopes, k.Value, k.Sigma)
		}
		if covariance, ok := done.Covariance(chart.Stack, chart.Trail); ok {
			wild.Must(t, nil, covariance)
		}
		if g, ok := done.Geometry(); ok && g.Validate() == nil {
			w, _ := g.Wheelbase()
			wild.Must(t, nil, w, g.EffectiveTopTube())
			on := chart.Wheels{FrontRadius: 300, RearRadius: 330}
			if h, err := g.OnWheels(on); err == nil {
				pitch, _ := g.Pitch(on)
				wild.Must(t, nil, pitch, h.Stack, h.Axles.Drop)
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
			t.Helper()
			wild.Must(t, err, v)
		}
		s := chart.Steering{HeadAngle: a, ForkOffset: b, Radius: c}
		check(s.Trail())
		check(s.WheelFlopFactor())
		check(s.AxisCut())
		check(s.MechanicalTrail())
		sink, err := s.Sink(b)
		check(sink.Axle, err)
		check(sink.Frame, err)
		with, err := s.WithTrail(b)
		check(with.ForkOffset, err)
		check(chart.VirtualTopTube{Stack: a, Effective: b, SeatAngle: c}.Reach())
		at, err := chart.SeatPointAt(b, a)
		check(at.Setback, err)
		check(chart.SeatPoint{Setback: a, Height: b}.SeatAngle())
		check(chart.RolloutRadius(a, b))
		check(chart.Inches(inches))
		if p, err := chart.ParseTyre(tyre); err == nil {
			check(p.Radius())
		}
		p := contact.New(map[contact.Site]r3.Vec{contact.SaddleReference: {X: -a, Z: b}, contact.BarClamp: {X: c, Z: b}})
		check(convert.ReachClamp.Of(p, convert.Basis{}))
	})
}

// A frame that was surveyed, of any numbers.
func FuzzSurveyed(f *testing.F) {
	f.Add([]byte{})
	f.Add([]byte("\x01\x02\x03\x04\x05\x06\x07\x08\x09\x0a\x0b\x0c"))
	f.Fuzz(func(t *testing.T, data []byte) {
		s := wild.From(data)
		frame := chart.Surveyed{Coordinates: []contact.Coordinate{{Site: contact.HoodsLeft, Axis: contact.AxisZ}}}
		frame.View.Numbers = [10]float64{560, 390, 71, 74, 0, 405, 70, 45, 340, 340}
		frame.View.With = make([][10]float64, 1)
		s.Spoil(&frame.View)
		if _, ok := chart.FromSurvey(survey.Fix{}); ok {
			t.Fatal("a frame of no survey")
		}
		g, _ := frame.Geometry()
		wild.Must(t, g.Validate())
		for _, d := range append(chart.Dimensions(), chart.Dimension(s.Byte())) {
			v, sigma, ok := frame.Get(d)
			a, _ := frame.Covariance(d, chart.Trail)
			b, _ := frame.With(d, frame.Coordinates[0])
			if ok {
				wild.Must(t, nil, v, sigma, a, b)
			}
		}
	})
}

// A frame's side view of any numbers, on any wheels; and its own numbers as a chart.
func FuzzGeometry(f *testing.F) {
	f.Add([]byte{})
	f.Add([]byte("\x02\x00\x00\x00\x07\x00\x03\x40\x40\x40\x40\x01\x02"))
	f.Add([]byte("\x04\x00\x09\x11\x02\x00\x03\x11\x01\x00\x05\x12\x00\x00\x01\x11\x05"))
	f.Fuzz(func(t *testing.T, data []byte) {
		s := wild.From(data)
		g := worked()
		s.Spoil(&g)
		err := g.Validate()
		on := chart.Wheels{FrontRadius: s.Float(100, 450), RearRadius: s.Float(100, 450)}
		h, err2 := g.OnWheels(on)
		pitch := 0.0
		if err2 == nil {
			pitch, _ = g.Pitch(on)
		}
		wild.Must(t, err2, h, pitch)
		steers, err3 := g.Handling(on)
		wild.Must(t, err3, steers, steers.Sub(chart.Handling{Trail: 50}))
		if (err3 == nil) != (err2 == nil) {
			t.Fatal(err2, err3)
		}
		if err2 == nil {
			front, rear, _ := g.AxlesOn(on)
			ahead, direct := h.FromSteeringAxis(s.Vec(-1000, 1000))
			wild.Must(t, nil, front, rear)
			if wild.Sound(ahead, direct) == nil && direct < math.Abs(ahead) {
				t.Fatal(ahead, direct)
			}
		}
		front, ok := g.FrontAxle()
		rear, _ := g.RearAxle()
		base, _ := g.Wheelbase()
		for _, f := range g.Findings() {
			wild.Must(t, nil, f)
		}
		trail, _ := g.Trail()
		down, _ := g.SteererToAxle()
		height, ok2 := g.BottomBracketHeight()
		wild.Must(t, err, g, g.HeadTop(), g.SteererUp(), g.SeatUp(), g.SeatFoot(), g.EffectiveTopTube(), front, rear, base, trail, down, height)
		if ok != ok2 {
			t.Fatal(g)
		}
		c := chart.Chart{Rounding: chart.Rounding{LengthStep: s.Float(0, 5), AngleStep: s.Float(0, 1)}, SeatAngleHeight: s.Float(300, 900)}
		for i, v := range []float64{g.Stack, g.Reach, g.EffectiveTopTube(), g.HeadAngle, g.SeatAngle} {
			c.Entries = append(c.Entries, chart.Entry{Dimension: chart.Stack + chart.Dimension(i), Value: v, Step: s.Float(0, 2), Sigma: s.Float(0, 2)})
		}
		c.Entries = append(c.Entries, chart.Entry{Dimension: chart.Trail, Value: trail})
		wild.Must(t, c.Validate())
		done, err := c.Solve()
		wild.Must(t, err, done)
		v, sigma, _ := done.Get(chart.Dimension(s.Byte()))
		back, _ := done.Geometry()
		wild.Must(t, nil, v, sigma, back)
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
		var d chart.Dimension
		wild.Must(t, d.UnmarshalText([]byte(name)))
		if d2, err := chart.ParseDimension(name); err == nil && d2 != d {
			t.Fatal(d, d2)
		}
		text, err := chart.Dimension(n).MarshalText()
		if wild.Must(t, err); err == nil {
			wild.Must(t, d.UnmarshalText(text))
		}
		if err := wild.Names(chart.ParseDimension, name, n); err != nil {
			t.Fatal(err)
		}
		_ = chart.Dimension(n).Unit()
		if lo, hi := chart.Dimension(n).Range(); (lo < hi) != (chart.Dimension(n).Unit() != "") {
			t.Fatal(n, lo, hi)
		}
		if seat, err := chart.BeadSeat(name); err == nil {
			wild.Must(t, nil, seat)
		}
		tyre := chart.Tyre{Width: s.Float(10, 150), BeadSeat: s.Float(150, 700)}
		radius, err := tyre.Radius()
		wild.Must(t, err, radius)
		_ = tyre.String()
		w := chart.Wheels{FrontSag: s.Float(0, 120), RearSag: s.Float(0, 120), FrontRadius: s.Float(100, 450), RearRadius: s.Float(100, 450)}
		wild.Must(t, w.Validate())
		wild.Must(t, w.ValidateOn(worked()))
		wild.Must(t, w.ValidateOn(chart.Geometry{}))
		if on := w.On(worked()); on.FrontRadius == 0 || on.On(worked()) != on && w.Validate() == nil {
			t.Fatal(w, on)
		}
		if pitch, ok := worked().Pitch(w); ok && w.ValidateOn(worked()) == nil {
			wild.Must(t, nil, pitch)
		}
		h, err := worked().OnWheels(w)
		wild.Must(t, err, h)
	})
}
