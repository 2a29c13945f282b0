package fault_test

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"example.com/fitgeom/contact" // which says what a fault is
	"example.com/fitgeom/internal/fault"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestJoin(t *testing.T) {
	for _, c := range [][3]string{
		{"frame", "geometry.head_angle_deg", "frame.geometry.head_angle_deg"},
		{"stems", "[2].length_mm", "stems[2].length_mm"},
		{"", "keep", "keep"},
		{"keep", "", "keep"},
		{"", "", ""},
	} {
		assert.Equal(t, c[2], fault.Join(c[0], c[1]))
	}
	assert.Equal(t, "stems[12]", fault.At("stems", 12))
	assert.Equal(t, "frame.stems[0].length_mm", fault.Join("frame", fault.Join(fault.At("stems", 0), "length_mm")))
}

// All faults come back together, in the order in which they were found, under the
// names of the parts that they are of.
func TestAllTogether(t *testing.T) {
	var none fault.List
	assert.NoError(t, none.Err())
	none.In("part", nil)
	assert.Zero(t, none.Len())
	assert.NoError(t, none.Err())

	var inner fault.List
	inner.Add("length_mm", "7 mm", "20 to 200 mm", fault.ErrRange)
	inner.Add("", "", "a stem", fault.ErrMissing)
	before := inner.Err()

	var l fault.List
	l.Add("name", "", "a name", fault.ErrMissing)
	l.In(fault.At("stems", 2), fmt.Errorf("reading: %w", inner.Err()))
	l.In("", inner.Err())
	l.In("other", errors.New("an error of another type"))
	assert.Equal(t, 5, l.Len())
	assert.Equal(t, []*contact.Error{
		{Path: "name", Want: "a name", Class: contact.ErrMissing},
		{Path: "stems[2].length_mm", Value: "7 mm", Want: "20 to 200 mm", Class: contact.ErrRange},
		{Path: "stems[2]", Want: "a stem", Class: contact.ErrMissing},
		{Path: "length_mm", Value: "7 mm", Want: "20 to 200 mm", Class: contact.ErrRange},
		{Want: "a stem", Class: contact.ErrMissing},
	}, contact.Faults(l.Err()))
	assert.Equal(t, before, inner.Err(), "the part's own faults stay as they are")
	var one *contact.Error
	require.ErrorAs(t, l.Err(), &one)
	assert.ErrorIs(t, l.Err(), contact.ErrRange)
	assert.ErrorIs(t, l.Err(), contact.ErrMissing)
	assert.NotErrorIs(t, l.Err(), contact.ErrUnit)
}

// A fault keeps its line under another name.
func TestLine(t *testing.T) {
	var l fault.List
	l.In("row", &contact.Error{Path: "x_mm", Line: 12, Class: contact.ErrMissing})
	assert.Equal(t, "line 12: row.x_mm missing", l.Err().Error())
}

func TestEach(t *testing.T) {
	a, b := fault.New("a", "", "", fault.ErrUnknown), fault.New("b", "1", "2", fault.ErrConflict)
	var paths []string
	fault.Each(fmt.Errorf("both: %w", errors.Join(errors.New("other"), a, fmt.Errorf("more: %w", b))), func(f *fault.Fault) { paths = append(paths, f.Path) })
	assert.Equal(t, []string{"a", "b"}, paths)
	fault.Each(nil, func(*fault.Fault) { t.Error("a fault of nothing") })
	fault.Each(errors.New("other"), func(*fault.Fault) { t.Error("a fault of another type") })
}

// The ends of a range belong to it; what is no number does not.
func TestRanges(t *testing.T) {
	var l fault.List
	for _, v := range []float64{20, 100, 200} {
		l.Range("v", v, 20, 200, "mm")
		l.Length("v", v, 20, 200)
		l.LengthOf("v", v, 20, 200, " in all")
		l.Optional("v", v, 20, 200, "mm")
	}
	l.Optional("v", 0, 20, 200, "mm")
	l.Diameter("v", 20)
	l.Diameter("v", 45)
	assert.NoError(t, l.Err())
	for _, v := range []float64{math.Nextafter(20, 0), math.Nextafter(200, 300), math.NaN(), math.Inf(1), math.Inf(-1)} {
		var l fault.List
		l.Range("v", v, 20, 200, "mm")
		l.Length("v", v, 20, 200)
		l.LengthOf("v", v, 20, 200, " in all")
		l.Optional("v", v, 20, 200, "mm")
		l.Diameter("v", v)
		assert.Equal(t, 5, l.Len(), "%v", v)
	}
	for _, c := range []struct {
		v     float64
		want  string
		class error
	}{
		{0.7, "v 0.7 mm: want 300 to 1300 mm in all; it looks like metres", fault.ErrUnit},
		{70, "v 70 mm: want 300 to 1300 mm in all; it looks like centimetres", fault.ErrUnit},
		{28, "v 28 mm: want 300 to 1300 mm in all; it looks like inches", fault.ErrUnit},
		{250, "v 250 mm: want 300 to 1300 mm in all", fault.ErrRange},
	} {
		var l fault.List
		l.LengthOf("v", c.v, 300, 1300, " in all")
		require.EqualError(t, l.Err(), c.want)
		assert.ErrorIs(t, l.Err(), c.class)
	}
}

func TestSteps(t *testing.T) {
	for _, c := range []struct {
		from, to, step float64
		all            bool
		paths          []string
	}{
		{10, 50, 5, true, nil},
		{10, 50, 0, false, nil}, // solved for
		{10, 50, 0, true, []string{"s.step"}},
		{10, 10, 0, true, nil}, // one value
		{10, 50, 0.4, true, []string{"s.step"}},
		{10, 50, 1001, false, []string{"s.step"}},
		{-1, 50, 5, true, []string{"s.from"}},
		{50, 10, 5, true, []string{"s.to"}},
		{10, 101, 5, true, []string{"s.to"}},
		{math.NaN(), math.NaN(), math.NaN(), true, []string{"s.from", "s.to", "s.step"}},
	} {
		var l fault.List
		l.Steps("s", fault.Steps{From: c.from, To: c.to, Step: c.step}, fault.Range{Lo: 0, Hi: 100, Unit: "mm"}, c.all)
		var paths []string
		for _, f := range contact.Faults(l.Err()) {
			paths = append(paths, f.Path)
		}
		assert.Equal(t, c.paths, paths, "%v", c)
	}
}
