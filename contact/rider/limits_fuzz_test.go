package rider_test

import (
	"slices"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/internal/invented"
	"example.com/fitgeom/internal/wild"
	"gonum.org/v1/gonum/spatial/r3"
)

// Limits of which some numbers are anything, and any change.
func FuzzLimits(f *testing.F) {
	f.Add([]byte{})
	f.Add([]byte("\x03\x00\x01\x00\x00\x00\x02\x80\x10\x00\x05\x0a\x05\x02\x02\x00\x00\x30\x40\x50\x60"))
	f.Fuzz(func(t *testing.T, data []byte) {
		s := wild.From(data)
		b, p := invented.Rider()
		s.Spoil(&b)
		l := rider.Limits{Body: b, Joints: make([]rider.Limit, s.Int(5))}
		for i := range l.Joints {
			one := rider.Limit{Variable: rider.Variable(s.Byte() % 8), Side: contact.Side(s.Byte() % 4), Bound: rider.Bound(s.Byte() % 4), Angle: s.Float(-90, 180)}
			l.Joints[i] = one
			_ = one.String() + one.Bound.String()
			_, most := one.Variable.Range()
			sane(t, wild.Sound(most))
		}
		p = s.Position(p)
		sane(t, wild.Proper(l.Validate()))
		verdicts, err := l.Check(p)
		sane(t, wild.Check(err, verdicts))
		for _, v := range verdicts {
			if v.Kept() && v.Broken() {
				t.Error(v.String())
			}
		}
		if err == nil && l.Breaks(p) != slices.ContainsFunc(verdicts, rider.Verdict.Broken) {
			t.Error("Check and Breaks differ")
		}
		w := rider.Way{Adjustment: rider.Adjustment(s.Byte() % 8), LineAngle: s.Float(45, 135), From: s.Float(-200, 0), To: s.Float(-50, 200)}
		all, err := l.Range(p, w)
		sane(t, wild.Check(err, all))
		for _, one := range all {
			sane(t, wild.Sound(one.Length()))
		}
		after, err := w.Moved(p, s.Float(-100, 100))
		sane(t, wild.Check(err, after))
		body, err := w.MovedBody(b, s.Float(-100, 100))
		sane(t, wild.Check(err, body))
		r, err := l.Region(t.Context(), p, rider.Window{Moving: rider.Moving(s.Byte() % 4), Step: s.Float(30, 50)})
		sane(t, wild.Check(err, r.Area(), r.Columns()))
		at, within := r.At(s.Float(-120, 120))
		sane(t, wild.Sound(at))
		_ = r.Empty() && within && r.Holds(s.Float(-120, 120), s.Float(-120, 120))
		hands, err := l.Hands(p, r3.Vec{X: s.Float(-6000, 6000), Z: s.Float(-6000, 6000)}, r3.Vec{X: s.Float(-6000, 6000), Z: s.Float(-6000, 6000)}, s.Float(0.0005, 12))
		sane(t, wild.Check(err, hands))
		freed, err := l.Frees(p)
		sane(t, wild.Check(err, freed))
		turned, err := b.OtherBike(p, rider.OtherBike{Turn: s.Float(-50, 50), Arms: b.Upper, ShoulderFlexion: s.Float(-10, 160), Width: s.Float(0, 500)})
		sane(t, wild.Check(err, turned))
		shared, err := b.ShareOut(p, []rider.Share{{Remedy: rider.Remedy(s.Byte() % 6), Of: s.Float(0, 1), Most: s.Float(0, 20)}, {Remedy: rider.LowerSaddle, Of: s.Float(0, 0.5), Step: s.Float(0, 5)}})
		sane(t, wild.Check(err, shared))
		_ = w.Adjustment.String() + rider.Moving(s.Byte()).String() + rider.Remedy(s.Byte()).String()
	})
}
