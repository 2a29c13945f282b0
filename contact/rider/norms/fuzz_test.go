package norms_test

import (
	"testing"

	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/contact/rider/norms"
	"example.com/fitgeom/internal/wild"
)

// Any norm, reading and correction, known ones with some numbers spoilt.
func FuzzCompare(f *testing.F) {
	f.Add([]byte{})
	f.Add([]byte("\x03\x00\x00\x80\x40\x01\x02\x03"))
	f.Add([]byte("\x0c\x01\x01\x90\x20\x05\x06\x07\x08\x09"))
	f.Fuzz(func(t *testing.T, data []byte) {
		s := wild.From(data)
		all := norms.Norms()
		n, c := all[s.Int(len(all))], norms.Corrections()[s.Int(2)]
		r := norms.Reading{Variable: n.Variable, Where: n.Where, Value: s.Float(0, 120), Sigma: s.Float(0, 5), Method: n.Method}
		if s.Int(2) == 1 {
			r.Variable, r.Where, r.Method = c.Variable, c.Where, c.From
		}
		s.Spoil(&n)
		s.Spoil(&c)
		if s.Int(4) == 3 {
			r.Method = norms.Method{Pose: norms.Pose(s.Byte()), Instrument: norms.Instrument(s.Byte())}
			r.Variable, n.Kind = rider.Variable(s.Byte()), norms.Kind(s.Byte())
		}
		_ = n.String() + r.Method.String()
		for _, err := range []error{n.Validate(), r.Validate(), c.Validate(), r.Method.Validate()} {
			wild.Must(t, err)
		}
		got, err := n.Compare(r)
		wild.Must(t, err, got)
		if err == nil && (n.Method != r.Method || n.Variable != r.Variable || n.Where != r.Where || n.Validate() != nil) {
			t.Fatal(got)
		}
		carried, err := c.Apply(r)
		wild.Must(t, err, carried)
		if err == nil && (carried.Method != c.To || carried.Sigma < r.Sigma) {
			t.Fatal(carried)
		}
	})
}

func FuzzNames(f *testing.F) {
	f.Add("pedal_lowest", uint8(3))
	f.Add("camera_2d", uint8(2))
	f.Add("", uint8(0))
	f.Fuzz(func(t *testing.T, name string, n uint8) {
		for _, err := range []error{
			wild.Names(norms.ParseWhere, name, n), wild.Names(norms.ParseKind, name, n),
			wild.Names(norms.ParsePose, name, n), wild.Names(norms.ParseInstrument, name, n),
		} {
			if err != nil {
				t.Fatal(err)
			}
		}
	})
}
