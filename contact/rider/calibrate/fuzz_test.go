package calibrate_test

import (
	"fmt"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/contact/rider/calibrate"
	"example.com/fitgeom/internal/invented"
	"example.com/fitgeom/internal/wild"
	"example.com/fitgeom/testdata/oracle/riders"
)

func sane(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// Any readings, a position of which some numbers are anything, with and without a recording.
func FuzzEvidence(f *testing.F) {
	f.Add([]byte{})
	f.Add([]byte("\x01\x03\x01\x01\x00\x80\x00\x02\x00\x90\x00\x06\x02\x70\x00\x10"))
	f.Add([]byte("\x00\x02\x08\x00\x80\x80\x01\x07\x01\x40\x00\x20\x01\x01\x02\x03"))
	recorded := analysed(f, recordingOf(f, riders.New(riders.Plan{Seed: 3, Seconds: 2, Rate: 30, Cadence: 80, Noise: 1})))
	f.Fuzz(func(t *testing.T, data []byte) {
		s := wild.From(data)
		_, p := invented.Rider()
		e := calibrate.Evidence{Ankle: rider.Ankle{Given: rider.SolePitch, Profile: []float64{-20}}}
		if s.Byte()%2 == 1 {
			e.Motion, e.Ankle = recorded, rider.Ankle{}
		}
		for range s.Int(8) {
			q := calibrate.Quantity(s.Byte() % 10)
			_ = q.String() + fmt.Sprint(q.Sigma())
			e.Readings = append(e.Readings, calibrate.Reading{Of: q, Side: contact.Side(s.Byte() % 4), Value: s.Float(-300, 1300), Sigma: s.Float(-1, 20)})
		}
		e.Position = s.Position(p)
		e.Loose = []float64{0, 0, s.Float(0.2, 5)}[s.Int(3)]
		e.Grip = []contact.Site{0, 0, contact.HoodsRight, contact.Site(s.Byte())}[s.Byte()%4]
		if s.Byte()%2 == 1 {
			e.Stature, e.Table = s.Float(900, 2600), rider.Table(s.Byte()%5)
		}
		got, err := e.Body(t.Context())
		sane(t, wild.Check(err, got))
		if err == nil {
			sane(t, got.Body.Validate())
		}
	})
}

func FuzzNames(f *testing.F) {
	f.Add("knee_height", uint8(3))
	f.Add("", uint8(0))
	f.Fuzz(func(t *testing.T, name string, n uint8) { sane(t, wild.Names(calibrate.ParseQuantity, name, n)) })
}
