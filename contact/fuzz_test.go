package contact_test

import (
	"math"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/wild"
	"gonum.org/v1/gonum/spatial/r3"
)

func fuzzedPosition() contact.Position {
	p := contact.New(map[contact.Site]r3.Vec{
		contact.SaddleReference: {X: -205, Z: 705}, contact.SaddleNose: {X: -65, Z: 706}, contact.SaddleRear: {X: -335, Z: 712}, contact.BarClamp: {X: 470, Z: 630},
		contact.HoodsLeft: {X: 540, Y: 205, Z: 660}, contact.HoodsRight: {X: 540, Y: -205, Z: 660}, contact.PedalLeft: {X: 172.5, Y: 74}, contact.FootRight: {X: 172.5, Y: -125, Z: 20},
	})
	p.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: -1, Yaw: 0.5, Roll: 1})
	return p
}

func ok(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// A position, a difference and a covariance of any numbers.
func FuzzPosition(f *testing.F) {
	f.Add([]byte{}, 0.95)
	f.Add([]byte("\x04\x00\x00\x01\x00\x02\x00\x03\x04\x01\x00\x00\x00\x00\x05\x06\x02\x03\xff\xfe\xfd\xfc\xfb\xfa"), 0.5)
	f.Add([]byte("\x01\x06\x00\x00\x01\x00\x05\x00\x06\x02\x00\x07\x00\x01\x10\x11\x12\x13"), math.NaN())
	f.Add([]byte(`{"sites": {"bar_clamp": {"at_mm": [480, 0, 640.25]}, "saddle_reference": {"attitude": {"tilt_deg": -1.5}}}}`), 0.9)
	f.Fuzz(func(t *testing.T, data []byte, coverage float64) {
		s := wild.From(data)
		p, q := s.Position(fuzzedPosition()), s.Position(fuzzedPosition())
		finite := p.Validate() == nil && q.Validate() == nil
		ok(t, wild.Proper(p.Validate()))
		shape := contact.SaddleProfile{Width: s.Float(0, 160), Widening: s.Float(0, 5)}
		if at, _, err := shape.Carry(p, contact.Covariance{}, s.Float(40, 140)); err != nil {
			ok(t, wild.Proper(err))
		} else if finite {
			ok(t, wild.Sound(at))
		}
		if p.Validate() == nil {
			ok(t, wild.Sound(p, p.Mirror()))
			ok(t, wild.Proper(p.Mirror().Validate()))
		}
		for _, f := range p.Findings() {
			ok(t, wild.Sound(f.Value, f.Least, f.Most))
			_ = f.In("target").String()
		}
		p.Equal(q)
		ok(t, wild.JSON(p, data))
		d := p.Sub(q)
		ok(t, wild.JSON(d, data))
		_ = p.String() + q.Moved(s.Vec(-9, 9), contact.BarClamp, contact.Site(s.Byte())).Add(d).String()
		at := contact.Coordinate{Site: contact.Site(s.Byte() % 40), Axis: contact.Axis(s.Byte() % 8)}
		was, known := p.Coordinate(at)
		if is, still := p.Shifted(at, 1).Coordinate(at); finite && (still != known || known && math.Abs(is-was-1) > 1e-6) {
			t.Fatal(at, was, is)
		}
		_, far, _ := d.Largest()
		if finite {
			ok(t, wild.Sound(far))
		}
		for _, site := range append(contact.Sites(), contact.Site(s.Byte())) {
			v, _ := d.At(site)
			a, _ := d.Attitude(site)
			if finite {
				ok(t, wild.Sound(v, a, a.Less(contact.Attitude{Yaw: 180})))
			}
		}

		var coords []contact.Coordinate
		var scale []float64
		for range s.Int(12) {
			coords = append(coords, contact.Coordinate{Site: contact.Site(s.Byte() % 24), Axis: contact.Axis(s.Byte() % 8)})
			scale = append(scale, s.Float(-2, 2))
		}
		noise := s.Float(0, 0.1)
		cov, err := contact.NewCovariance(coords, func(i, j int) float64 {
			if i == j {
				return scale[i]*scale[i] + noise
			}
			return scale[i] * scale[j]
		})
		ok(t, wild.Check(err, cov))
		ok(t, wild.JSON(cov, data))
		for _, r := range cov.Ranges(p) {
			if finite {
				ok(t, wild.Sound(r.Low, r.High))
			}
		}
		both := cov.Add(cov)
		ok(t, wild.Sound(both))
		var slopes []contact.Derivative
		for range s.Int(6) {
			slopes = append(slopes, contact.Derivative{Coordinate: contact.Coordinate{Site: contact.Site(s.Byte() % 24), Axis: contact.Axis(s.Byte() % 8)}, By: s.Float(-2, 2)})
		}
		v, err := cov.Between(slopes, slopes)
		ok(t, wild.Check(err, v))
		for _, site := range contact.Sites() {
			sigma, _ := cov.Sigma(site)
			turn, _ := cov.AttitudeSigma(site)
			ok(t, wild.Sound(sigma, turn))
		}
		moves, turns, err := d.Judge(cov, coverage)
		ok(t, wild.Check(err, moves, turns))
		for _, m := range moves {
			if m.Chance < 0 || m.Chance > 1 {
				t.Fatal(m)
			}
			distance, sigma, _ := m.Distance()
			mean, spread := m.DistanceSquared()
			mean2, spread2 := m.DistanceMean()
			low, high, err := m.DistanceInterval(coverage)
			ok(t, wild.Check(err, low, high))
			ok(t, wild.Sound(distance, sigma, mean, spread, mean2, spread2))
			if err == nil && !(low >= 0 && low <= high) {
				t.Fatal(m, low, high)
			}
		}
	})
}

func FuzzNames(f *testing.F) {
	f.Add("hoods_left", uint8(3))
	f.Add("", uint8(255))
	f.Fuzz(func(t *testing.T, name string, n uint8) {
		s, err := contact.ParseSite(name)
		ok(t, wild.Proper(err))
		if err == nil && s.String() != name {
			t.Fatal(s)
		}
		var again contact.Site
		ok(t, wild.Proper(again.UnmarshalText([]byte(name))))
		if again != s {
			t.Fatal(again)
		}
		text, err := contact.Site(n).MarshalText()
		ok(t, wild.Proper(err))
		if err == nil {
			ok(t, again.UnmarshalText(text))
		}
		ok(t, wild.Names(contact.ParseSite, name, n))
		ok(t, wild.Names(contact.ParseSide, name, n))
		ok(t, wild.Names(contact.ParseAxis, name, n))
		ok(t, wild.Names(contact.ParseGroup, name, n))
		ok(t, wild.Names(contact.ParseSlipKind, name, n))
		_ = contact.Slip{Kind: contact.SlipKind(n), Measured: name}.String()
		site, group := contact.Site(n), contact.Site(n).Group()
		_ = site.On(contact.Side(n)).String() + site.Side().String() + contact.Axis(n).String() + contact.Side(n).String()
		if site.Valid() != (group.FrontEnd() || group.Crank() || group == contact.OnSaddle) || site.Both()[0].Usual().Y < 0 {
			t.Fatal(site, group)
		}
		lo, hi := site.Range()
		ok(t, wild.Sound(lo, hi))
		_ = contact.Coordinate{Site: contact.Site(n), Axis: contact.Axis(n)}.String()
	})
}
