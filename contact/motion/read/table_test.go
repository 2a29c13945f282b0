package read_test

import (
	"context"
	"math"
	"strings"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/motion"
	"example.com/fitgeom/contact/motion/read"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

func table(t *testing.T, text string, as read.Format) motion.Recording {
	t.Helper()
	r, err := read.Table(t.Context(), []byte(text), as)
	require.NoError(t, err, text)
	return r
}

// One recording in the forms that people write it in.
func TestTableForms(t *testing.T) {
	want := motion.Recording{
		Times:   []float64{0, 0.02},
		Markers: map[motion.Marker][]motion.Sample{motion.KneeLeft: {{At: r3.Vec{X: 10.5, Y: 20, Z: -30}, Seen: true}, {}}},
	}
	for name, c := range map[string]struct {
		text string
		as   read.Format
	}{
		"comma":     {"time_s,knee_left_x_mm,knee_left_y_mm,knee_left_z_mm\n0,10.5,20,-30\n0.02,,,\n", read.Format{}},
		"tab, ms":   {"time [ms]\tknee left.x [cm]\tknee left.y [cm]\tknee left.z [cm]\r\n0\t1.05\t2\t-3\r\n20\tnan\tNaN\t\r\n\r\n", read.Format{}},
		"semicolon": {"\xef\xbb\xbf\"Time_s\";Knee_Left:X_m;Knee_Left:Y_m;Knee_Left:Z_m\n0;0,0105;0,02;-0,03\n0,02;;;", read.Format{}},
		"labels":    {"frame,LK_z,LK_y,LK_x,other_x\n1,-30,20,10.5,7\n2,,,,oops\n", read.Format{Labels: map[string]motion.Marker{"LK": motion.KneeLeft}, Unit: "mm", Rate: 50}},
	} {
		r := table(t, c.text, c.as)
		assert.InDeltaSlice(t, want.Times, r.Times, 1e-12, name)
		require.Len(t, r.Markers, 1, name)
		for i, s := range r.Markers[motion.KneeLeft] {
			assert.Equal(t, want.Markers[motion.KneeLeft][i].Seen, s.Seen, name)
			assert.InDelta(t, 0, r3.Norm(r3.Sub(want.Markers[motion.KneeLeft][i].At, s.At)), 1e-9, name)
		}
		assert.False(t, r.Flat)
	}
	r := table(t, "time_s,knee_left_x_in,knee_left_z_in\n0,1,2\n", read.Format{})
	assert.True(t, r.Flat)
	assert.InDelta(t, 50.8, r.Markers[motion.KneeLeft][0].At.Z, 1e-9)
	r = table(t, "time_s;knee_left_x_mm;knee_left_z_mm\n,5;-,5;2\n", read.Format{})
	assert.Equal(t, 0.5, r.Times[0])
	assert.Equal(t, -0.5, r.Markers[motion.KneeLeft][0].At.X)
}

// What is wrong with a table, by line and column.
func TestTableFaults(t *testing.T) {
	const head = "time_s,knee_left_x_mm,knee_left_y_mm,knee_left_z_mm\n"
	for name, c := range map[string]struct {
		text  string
		as    read.Format
		class error
		want  string
	}{
		"empty":        {"", read.Format{}, contact.ErrMissing, "line 1: time_s"},
		"no rows":      {head, read.Format{}, contact.ErrMissing, "line 2: rows"},
		"no unit":      {"time_s,knee_left_x,knee_left_y,knee_left_z\n", read.Format{}, contact.ErrMissing, "line 1: knee_left_x"},
		"no axis":      {"time_s,knee_left_x_mm,knee_left_y_mm\n", read.Format{}, contact.ErrMissing, "line 1: knee_left"},
		"twice":        {"time_s,knee_left_x_mm,knee_left_z_mm,knee_left_x_mm\n", read.Format{}, contact.ErrConflict, "line 1: knee_left_x_mm"},
		"no marker":    {"time_s,a_x_mm\n0,1\n", read.Format{}, contact.ErrMissing, "line 1: columns"},
		"no label":     {head, read.Format{Labels: map[string]motion.Marker{"LK": motion.KneeLeft}}, contact.ErrConflict, "line 1: labels \"LK\""},
		"time, rate":   {head, read.Format{Rate: 50}, contact.ErrConflict, "line 1: time_s"},
		"no time":      {"knee_left_x_mm,knee_left_z_mm\n1,2\n", read.Format{}, contact.ErrMissing, "line 1: time_s"},
		"bad rate":     {"knee_left_x_mm,knee_left_z_mm\n1,2\n", read.Format{Rate: math.NaN()}, contact.ErrRange, "rate_hz"},
		"a word":       {head + "0,1,2,3\n0.1,1,left,3\n", read.Format{}, contact.ErrUnknown, "line 3: knee_left_y_mm \"left\""},
		"infinite":     {head + "0,1,inf,3\n", read.Format{}, contact.ErrUnknown, "line 2: knee_left_y_mm"},
		"a cell less":  {head + "0,1,2\n", read.Format{}, contact.ErrConflict, "line 2: cells 3"},
		"half seen":    {head + "0,1,,3\n", read.Format{}, contact.ErrMissing, "line 2: knee_left"},
		"no such time": {head + ",1,2,3\n", read.Format{}, contact.ErrMissing, "line 2: time_s"},
		"order":        {head + "1,1,2,3\n0,1,2,3\n", read.Format{}, contact.ErrConflict, "times[1]"},
		"far":          {head + "1,1e9,2,3\n", read.Format{}, contact.ErrRange, "markers.knee_left[0][0]"},
		"long":         {head + "1," + strings.Repeat("1", 70) + ",2,3\n", read.Format{}, contact.ErrUnknown, "line 2"},
		"wide":         {strings.Repeat("a,", 1001) + "b\n", read.Format{}, contact.ErrRange, "line 1: columns"},
	} {
		_, err := read.Table(t.Context(), []byte(c.text), c.as)
		require.ErrorIs(t, err, c.class, name)
		assert.Contains(t, err.Error(), c.want, name)
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err := read.Table(ctx, []byte(head+"0,1,2,3\n"), read.Format{})
	assert.ErrorIs(t, err, context.Canceled)
}

// A simulated ride that is written as a table and as a C3D file is one recording.
func TestTableAgainstC3D(t *testing.T) {
	d := ride()
	r := table(t, d.Table(), read.Format{})
	f, err := read.C3D(t.Context(), encodings("mm")[1].Write(d.Names, d.At, d.Seen))
	require.NoError(t, err)
	other, err := f.Recording(nil)
	require.NoError(t, err)
	assert.InDeltaSlice(t, other.Times, r.Times, 1e-9)
	require.Len(t, r.Markers, len(other.Markers))
	for m, samples := range other.Markers {
		for i, s := range samples {
			require.Equal(t, s.Seen, r.Markers[m][i].Seen)
			require.InDelta(t, 0, r3.Norm(r3.Sub(s.At, r.Markers[m][i].At)), 5e-4)
		}
	}
}
