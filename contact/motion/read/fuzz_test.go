package read_test

import (
	"testing"

	"example.com/fitgeom/contact/motion"
	"example.com/fitgeom/contact/motion/read"
	"example.com/fitgeom/internal/wild"
	"example.com/fitgeom/testdata/oracle/rides"
)

func sane(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// Bytes that may be a file.
func FuzzC3D(f *testing.F) {
	for _, kind := range []rides.Processor{rides.Intel, rides.DEC, rides.MIPS} {
		w := rides.Writer{Kind: kind, Real: kind == rides.DEC, Scale: 0.1, Rate: 50, Unit: "mm"}
		f.Add(w.Write([]string{"knee_left", "LK"}, [][]rides.V{{{1, 2, 3}, {4, 5, 6}}, {{1, 2, 3}, {}}}, [][]bool{{true, true}, {true, false}}))
	}
	f.Add([]byte("\x02P"))
	f.Fuzz(func(t *testing.T, data []byte) {
		file, err := read.C3D(t.Context(), data)
		sane(t, wild.Check(err, file))
		for _, as := range []map[string]motion.Marker{nil, {"LK": motion.KneeLeft}, {"LK": 200}} {
			r, err := file.Recording(as)
			if err != nil {
				sane(t, wild.Proper(err))
			} else {
				sane(t, r.Validate())
			}
		}
	})
}

// Text that may be a table.
func FuzzTable(f *testing.F) {
	f.Add("time_s,knee_left_x_mm,knee_left_y_mm,knee_left_z_mm\n0,1,2,3\n0.1,,,\n", "", 0.0)
	f.Add("LK.x;LK.z\n1,5;2\n", "cm", 50.0)
	f.Add("\t\n", "m", -1.0)
	f.Fuzz(func(t *testing.T, text, unit string, rate float64) {
		for _, as := range []map[string]motion.Marker{nil, {"LK": motion.KneeLeft}, {"": 0}} {
			r, err := read.Table(t.Context(), []byte(text), read.Format{Labels: as, Unit: unit, Rate: rate})
			if err != nil {
				sane(t, wild.Proper(err))
			} else {
				sane(t, r.Validate())
			}
		}
	})
}
