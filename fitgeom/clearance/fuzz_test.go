package clearance_test

import (
	"math"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom/clearance"
	"example.com/fitgeom/internal/invented"
	"example.com/fitgeom/internal/wild"
)

// everything is a bike of which all is known.
func everything() clearance.Bike {
	build := invented.Everything()
	leg := rider.Leg{Thigh: 430, Shank: 430, AnkleHeight: 80, AnkleBehind: 120, Ankle: rider.Ankle{Given: rider.SolePitch, Profile: []float64{-15}}}
	return clearance.Bike{
		Position: invented.Position(build), Geometry: build.Frame.Geometry,
		Wheels: chart.Wheels{FrontSag: 10, RearSag: 15, FrontRadius: 345, RearRadius: 341},
		Bulk: clearance.Bulk{
			FrontTyre: 32, RearTyre: 35, Mudguard: clearance.Mudguard{Gap: 12, Width: 50},
			Pedal:   clearance.Pedal{Middle: 52, Outer: 98, Below: 12, Length: 80, Sole: 14},
			Shoe:    clearance.Shoe{Toe: 95, Ball: 5, Heel: 200, ToeRadius: 30, BallRadius: 48, HeelRadius: 34, Axis: 30},
			Stay:    clearance.Stay{AtBracket: 42, AtAxle: 70, Radius: 9},
			TopTube: clearance.TopTube{Head: 40, Seat: 480, At: 60}, Bar: 16, Pad: 40, Knee: 60, Elbow: 45,
		},
		Body: rider.Body{Left: leg, Right: leg, HipUp: 80, Upper: rider.Upper{
			Trunk: 480, UpperArm: 300, Forearm: 260, Grip: contact.HoodsLeft, Keep: rider.KeepElbow, Angle: 15,
		}},
		Inseam: 850,
	}
}

// Anything that is asked of a bike of any numbers.
func FuzzBike(f *testing.F) {
	f.Add([]byte{})
	f.Add([]byte("\x04\x00\x05\x00\x00\x00\x33\x40\x40\x40\x01\x02\x03\x04\x05\x06\x07\x08\x09"))
	f.Add([]byte("\x03\x00\x60\x12\x03\x00\x70\x12\x05\x00\x00\x10\x40\x00\x01\x02"))
	f.Fuzz(func(t *testing.T, data []byte) {
		s := wild.From(data)
		b := everything()
		if kind := s.Byte(); kind%2 == 0 {
			b.Bulk = clearance.Bulk{}
		}
		s.Spoil(&b)
		b.Position = s.Position(b.Position)
		if s.Byte()%4 == 0 {
			b.Uncertainty.Geometry.Reach, b.Uncertainty.Bulk.Shoe.Toe = s.Float(0, 2), s.Float(0, 5)
			s.Spoil(&b.Uncertainty)
		}
		filled := b.Bulk.Filled()
		if err := b.Bulk.Validate(); err == nil {
			wild.Must(t, filled.Validate(), filled)
		}
		err := b.Validate()
		wild.Must(t, err)
		values, err2 := b.Values()
		wild.Must(t, err2, values)
		if (err == nil) != (err2 == nil) {
			t.Fatal(err, err2)
		}
		q, side := clearance.Quantity(s.Byte()%16), contact.Side(s.Byte()%5)
		one, ok, err3 := q.Of(b, side)
		wild.Must(t, err3, one)
		least, ok2, err4 := b.Least(q)
		wild.Must(t, err4, least)
		if err == nil && ok && !ok2 {
			t.Fatal(one, least)
		}
		for _, v := range values {
			if v.Sigma < 0 || v.Crank < 0 || v.Crank >= 360 || math.Abs(v.Steering) > 180 {
				t.Fatal(v)
			}
			if v.Quantity == one.Quantity && v.Side == one.Side && v != one {
				t.Fatal(v, one)
			}
		}
	})
}

func FuzzNames(f *testing.F) {
	f.Add("shoe_to_wheel", uint8(3))
	f.Add("", uint8(0))
	f.Fuzz(func(t *testing.T, name string, n uint8) {
		if err := wild.Names(clearance.ParseQuantity, name, n); err != nil {
			t.Fatal(err)
		}
		q := clearance.Quantity(n)
		if known := int(n) <= len(clearance.Quantities()) && n != 0; known != (q.Unit() != "") || !known && q.Words() != q.String() {
			t.Fatal(q)
		}
	})
}
