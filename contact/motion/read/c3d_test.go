package read_test

import (
	"context"
	"fmt"
	"math"
	"runtime"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/motion"
	"example.com/fitgeom/contact/motion/read"
	"example.com/fitgeom/testdata/oracle/rides"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// ride is one second of a simulated rider.
func ride() *rides.Ride {
	return rides.New(rides.Plan{Seed: 1, Seconds: 1, Rate: 50, Cadence: 90, Noise: 1, Gaps: true})
}

func encodings(unit string) (all []*rides.Writer) {
	for _, kind := range []rides.Processor{rides.Intel, rides.DEC, rides.MIPS} {
		for _, whole := range []bool{false, true} {
			all = append(all, &rides.Writer{Kind: kind, Real: whole, Scale: 0.1, Rate: 50, Unit: unit, Extra: 3, First: 705, Residual: 5})
		}
	}
	return all
}

// Six encodings by a writer that shares no code with the reader read equal: labels, times,
// what was not seen, residuals (which are a whole number in a floating-point word), and
// coordinates to the last bit of what 32 bits hold.
func TestSixEncodings(t *testing.T) {
	d := ride()
	for _, w := range encodings("mm") {
		name := fmt.Sprintf("processor %d, real %v", w.Kind, w.Real)
		f, err := read.C3D(t.Context(), w.Write(d.Names, d.At, d.Seen))
		require.NoError(t, err, name)
		assert.Equal(t, d.Names, f.Labels, name)
		assert.Equal(t, [2]int{705, 51}, [2]int{f.First, f.Stated}, name)
		assert.Equal(t, 50., f.Rate, name)
		assert.Equal(t, "mm", f.Unit, name)
		r, err := f.Recording(nil)
		require.NoError(t, err, name)
		require.Len(t, r.Times, 51)
		assert.InDelta(t, 0.02, r.Times[1], 1e-12)
		hidden := 0
		for k, label := range d.Names {
			m, err := motion.ParseMarker(label)
			require.NoError(t, err)
			assert.InDelta(t, 0.5, f.Residuals[k], 1e-7, name)
			for i, s := range r.Markers[m] {
				require.Equal(t, d.Seen[k][i], s.Seen, "%s: %s[%d]", name, label, i)
				if !s.Seen {
					hidden++
					continue
				}
				for axis, v := range [3]float64{s.At.X, s.At.Y, s.At.Z} {
					require.InDelta(t, d.At[k][i][axis], v, 2e-4, "%s: %s[%d]", name, label, i)
				}
			}
		}
		assert.Positive(t, hidden)
	}
}

// Numbers of a DEC by their bytes, which two independent readers and the VAX's F_floating
// have so: a sign bit, not the complement of two.
func TestDECNumbers(t *testing.T) {
	for v, want := range map[float64]string{1: "\x80\x40\x00\x00", -1: "\x80\xc0\x00\x00", 100: "\xc8\x43\x00\x00", -200: "\x48\xc4\x00\x00", 1234.5625: "\x9a\x45\x00\x52"} {
		w := rides.Writer{Kind: rides.DEC, Real: true, Scale: 1, Rate: 50, Unit: "mm"}
		data := w.Write([]string{"a"}, [][]rides.V{{{v, 0, 0}}}, [][]bool{{true}})
		assert.Contains(t, string(data), want)
		f, err := read.C3D(t.Context(), data)
		require.NoError(t, err)
		assert.Equal(t, v, f.Points[0][0].At.X)
	}
}

// Units, padded; more than 255 points, whose labels go on in another parameter; frames whose
// numbers need two words; a file that says more frames than it has; and a mapping.
func TestC3DParameters(t *testing.T) {
	d := ride()
	for unit, scale := range map[string]float64{"mm": 1, "cm": 10, "m": 1000, "M": 1000, "in": 25.4} {
		w := rides.Writer{Kind: rides.Intel, Real: true, Scale: 1, Rate: 50, Unit: unit}
		f, err := read.C3D(t.Context(), w.Write([]string{"knee_left"}, [][]rides.V{{{1, 2, 3}}}, [][]bool{{true}}))
		require.NoError(t, err)
		r, err := f.Recording(nil)
		require.NoError(t, err)
		assert.InDelta(t, 3*scale, r.Markers[motion.KneeLeft][0].At.Z, 1e-9)
	}
	names, at, seen := make([]string, 300), make([][]rides.V, 300), make([][]bool, 300)
	for k := range names {
		names[k], at[k], seen[k] = fmt.Sprintf("L%03d", k), []rides.V{{float64(k), 0, 0}}, []bool{true}
	}
	w := rides.Writer{Kind: rides.MIPS, Real: true, Scale: 1, Rate: 50, Unit: "mm", First: 70_000, Stated: 9}
	data := w.Write(names, at, seen)
	f, err := read.C3D(t.Context(), data)
	require.NoError(t, err)
	assert.Equal(t, names, f.Labels)
	assert.Equal(t, 70_000, f.First)
	assert.Equal(t, 9, f.Stated)
	assert.Len(t, f.Points[7], 1, "as many as there are")
	r, err := f.Recording(map[string]motion.Marker{"L250": motion.KneeRight})
	require.NoError(t, err)
	require.Len(t, r.Markers, 1)
	assert.InDelta(t, 250, r.Markers[motion.KneeRight][0].At.X, 0)

	_, err = f.Recording(map[string]motion.Marker{"L250": motion.KneeRight, "M": motion.KneeLeft, "L2": motion.KneeLeft})
	require.ErrorIs(t, err, contact.ErrMissing)
	assert.Len(t, contact.Faults(err), 2)
	_, err = f.Recording(map[string]motion.Marker{"L250": motion.KneeRight, "L251": motion.KneeRight})
	assert.ErrorIs(t, err, contact.ErrConflict)
	_, err = f.Recording(nil)
	assert.ErrorIs(t, err, contact.ErrMissing)
	f.Unit = "furlong"
	_, err = f.Recording(nil)
	assert.ErrorIs(t, err, contact.ErrUnit)
	_, err = read.File{}.Recording(nil)
	assert.Error(t, err)
	_ = d
}

// What is wrong with a file, by the byte.
func TestC3DFaults(t *testing.T) {
	good := func() []byte {
		w := rides.Writer{Kind: rides.Intel, Real: true, Scale: 1, Rate: 50, Unit: "mm"}
		return w.Write([]string{"knee_left"}, [][]rides.V{{{1, 2, 3}, {4, 5, 6}}}, [][]bool{{true, true}})
	}
	points := len(good()) - 512
	for name, c := range map[string]struct {
		change func(b []byte) []byte
		class  error
		text   string
	}{
		"empty":             {func([]byte) []byte { return nil }, contact.ErrMissing, "byte 0"},
		"no C3D":            {func(b []byte) []byte { b[1] = 'K'; return b }, contact.ErrUnknown, "byte 1 0x4b"},
		"no block":          {func(b []byte) []byte { b[0] = 0; return b }, contact.ErrConflict, "byte 0"},
		"a block too far":   {func(b []byte) []byte { b[0] = 200; return b }, contact.ErrConflict, fmt.Sprintf("byte 0 block 200: want a block of the file, which has %d", len(good())/512)},
		"no such processor": {func(b []byte) []byte { b[515] = 83; return b }, contact.ErrUnknown, "byte 515 83"},
		"cut":               {func(b []byte) []byte { return b[:points+10] }, contact.ErrConflict, fmt.Sprintf("byte %d", points+10)},
		"infinite":          {func(b []byte) []byte { copy(b[points+16:], "\x00\x00\x80\x7f"); return b }, contact.ErrRange, fmt.Sprintf("knee_left[1].x +Inf at byte %d", points+16)},
		"far":               {func(b []byte) []byte { copy(b[points+4:], "\x00\x00\x80\x50"); return b }, contact.ErrRange, fmt.Sprintf("at byte %d", points+4)},
	} {
		_, err := read.C3D(t.Context(), c.change(good()))
		require.ErrorIs(t, err, c.class, name)
		assert.Contains(t, err.Error(), c.text, name)
	}
	nan := good()
	copy(nan[points+16:], "\x00\x00\xc0\x7f")
	f, err := read.C3D(t.Context(), nan)
	require.NoError(t, err)
	assert.Equal(t, [2]bool{true, false}, [2]bool{f.Points[0][0].Seen, f.Points[0][1].Seen})
	for name, change := range map[string]func(w *rides.Writer){
		"rate": func(w *rides.Writer) { w.Rate = -5 }, "scale": func(w *rides.Writer) { w.Scale = 0 }, "NaN": func(w *rides.Writer) { w.Rate = math.NaN() },
	} {
		w := rides.Writer{Kind: rides.MIPS, Real: true, Scale: 1, Rate: 50, Unit: "mm"}
		change(&w)
		_, err := read.C3D(t.Context(), w.Write([]string{"a"}, [][]rides.V{{{}}}, [][]bool{{true}}))
		assert.ErrorIs(t, err, contact.ErrRange, name)
	}
}

// Files that are cut at every 64th byte neither panic nor take more memory than 8 times
// their size and 1 MiB.
func TestC3DCut(t *testing.T) {
	d := ride()
	for _, w := range encodings("mm") {
		data := w.Write(d.Names, d.At, d.Seen)
		whole := 0
		for cut := 0; cut <= len(data); cut += 64 {
			f, err := read.C3D(t.Context(), data[:cut:cut])
			if err != nil {
				require.NotEmpty(t, contact.Faults(err))
				continue
			}
			require.LessOrEqual(t, len(f.Points)*len(f.Points[0])*8, cut)
			whole++
		}
		assert.Positive(t, whole)
	}
	d = rides.New(rides.Plan{Seed: 2, Seconds: 40, Rate: 250, Cadence: 90, Noise: 1})
	w := rides.Writer{Kind: rides.Intel, Scale: 0.1, Rate: 250, Unit: "mm", Stated: 65_000}
	data := w.Write(d.Names, d.At, d.Seen)
	var before, after runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&before)
	f, err := read.C3D(t.Context(), data)
	require.NoError(t, err)
	runtime.ReadMemStats(&after)
	assert.LessOrEqual(t, float64(after.TotalAlloc-before.TotalAlloc), 8*float64(len(data)), "of a file of %d bytes", len(data))
	t.Logf("heap: %.1f times the file", float64(after.TotalAlloc-before.TotalAlloc)/float64(len(data)))
	assert.Len(t, f.Points[0], len(d.Times))

	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err = read.C3D(ctx, data)
	assert.ErrorIs(t, err, context.Canceled)
}
