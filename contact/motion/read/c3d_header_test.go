package read_test

import (
	"encoding/binary"
	"math"
	"testing"

	"example.com/fitgeom/contact/motion/read"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A value is a parameter's type, dimensions and data.
type value struct {
	kind int8
	dims string
	data []byte
}

func words(v ...uint16) value {
	w := value{kind: 2, dims: string(rune(len(v)))}
	for _, v := range v {
		w.data = binary.LittleEndian.AppendUint16(w.data, v)
	}
	return w
}

func float(v float32) value {
	return value{kind: 4, data: binary.LittleEndian.AppendUint32(nil, math.Float32bits(v))}
}

// bare is a file of five frames of one point of whole numbers, 3 to 7, at 50 Hz and with a
// scale of 0.5, by its bytes as the format's description has them (from memory): its header
// says all this, beside parameters of one group.
func bare(group string, parameters map[string]value) []byte {
	b := make([]byte, 1024)
	put := func(word int, v uint16) { binary.LittleEndian.PutUint16(b[2*(word-1):], v) }
	single := func(word int, v float32) { binary.LittleEndian.PutUint32(b[2*(word-1):], math.Float32bits(v)) }
	b[0], b[1] = 2, 0x50
	put(2, 1) // points
	put(4, 3) // first frame
	put(5, 7) // last
	single(7, 0.5)
	put(9, 3) // block of the points
	single(11, 50)
	b[514], b[515] = 1, 84
	record := func(id int8, name string, rest []byte) []byte {
		r := append([]byte{byte(len(name)), byte(id)}, name...)
		return append(binary.LittleEndian.AppendUint16(r, uint16(2+len(rest))), rest...)
	}
	section := record(-1, group, []byte{0})
	for name, v := range parameters {
		section = append(section, record(1, name, append(append([]byte{byte(v.kind), byte(len(v.dims))}, v.dims...), append(v.data, 0)...))...)
	}
	copy(b[516:], section)
	// Residuals of four units, no residual, not seen, and twice no residual again.
	for frame, info := range []uint16{0x0104, 0, 0xffff, 0, 0} {
		for _, v := range []uint16{uint16(10 * frame), 0xfffe, 7, info} {
			b = binary.LittleEndian.AppendUint16(b, v)
		}
	}
	return b
}

// What no parameter says stands in the header; what one says goes before it. Of the three ways
// to count frames each by itself is enough.
func TestC3DHeader(t *testing.T) {
	f, err := read.C3D(t.Context(), bare("POINT", nil))
	require.NoError(t, err)
	assert.Equal(t, []string{"point 1"}, f.Labels)
	assert.Equal(t, [2]int{3, 5}, [2]int{f.First, f.Stated})
	assert.Equal(t, 50., f.Rate)
	assert.Empty(t, f.Unit)
	var seen [5]bool
	for i, s := range f.Points[0] {
		if s.Seen {
			assert.Equal(t, [3]float64{5 * float64(i), -1, 3.5}, [3]float64{s.At.X, s.At.Y, s.At.Z})
		}
		seen[i] = s.Seen
	}
	assert.Equal(t, [5]bool{true, true, false, true, true}, seen)
	assert.InDelta(t, 4*0.5/4, f.Residuals[0], 1e-12, "of the four that were seen")

	for name, c := range map[string]struct {
		group         string
		parameters    map[string]value
		first, stated int
		scale         float64
	}{
		"used 0":      {"POINT", map[string]value{"USED": words(0)}, 3, 5, 0.5},
		"scale":       {"POINT", map[string]value{"SCALE": float(0.25)}, 3, 5, 0.25},
		"frames":      {"POINT", map[string]value{"FRAMES": words(4)}, 3, 4, 0.5},
		"long frames": {"POINT", map[string]value{"FRAMES": words(4), "LONG_FRAMES": float(2)}, 3, 2, 0.5},
		"fields": {"TRIAL", map[string]value{
			"ACTUAL_START_FIELD": words(70_000&0xffff, 1), "ACTUAL_END_FIELD": words(70_003&0xffff, 1),
		}, 70_000, 4, 0.5},
		"one frame":               {"TRIAL", map[string]value{"ACTUAL_START_FIELD": words(9, 0), "ACTUAL_END_FIELD": words(9, 0)}, 9, 1, 0.5},
		"an end before the start": {"TRIAL", map[string]value{"ACTUAL_START_FIELD": words(9, 0), "ACTUAL_END_FIELD": words(8, 0)}, 3, 5, 0.5},
	} {
		f, err := read.C3D(t.Context(), bare(c.group, c.parameters))
		require.NoError(t, err, name)
		assert.Equal(t, [2]int{c.first, c.stated}, [2]int{f.First, f.Stated}, name)
		require.Len(t, f.Points[0], c.stated, name)
		assert.Equal(t, 7*c.scale, f.Points[0][0].At.Z, name)
	}
}

// Points may stand between the header and the parameters.
func TestC3DPointsFirst(t *testing.T) {
	b := bare("POINT", nil)
	section, points := b[512:1024], b[1024:]
	b = append(append(b[:512:512], points...), make([]byte, 512-len(points))...)
	b = append(b, section...)
	b[0], b[16] = 3, 2
	f, err := read.C3D(t.Context(), b)
	require.NoError(t, err)
	require.Len(t, f.Points[0], 5)
	assert.Equal(t, 20., f.Points[0][4].At.X)
}
