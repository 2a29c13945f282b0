package part_test

import (
	"fmt"
	"log"
	"math"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom/part"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// A -17° stem is level at a head angle of 73° (common practice, no source).
func TestLevelStem(t *testing.T) {
	o, err := part.Stem{Length: 110, Angle: -17}.Offset(73)
	require.NoError(t, err)
	assert.InDelta(t, 0, o.Rise, 1e-6)
	assert.InDelta(t, 110, o.Run, 1e-6)
	assert.Equal(t, 73., o.HeadAngle)
	s, err := part.StemOffset{HeadAngle: 73, Run: 110}.Stem()
	require.NoError(t, err)
	assert.InDelta(t, -17, s.Angle, 1e-6)
}

func TestStemOffsetBothWays(t *testing.T) {
	for _, length := range []float64{35, 90, 140} {
		for _, angle := range []float64{-40, -6, 0, 17, 60} {
			o, err := part.Stem{Length: length, Angle: angle}.Offset(71.5)
			require.NoError(t, err)
			s, err := o.Stem()
			require.NoError(t, err)
			assert.InDelta(t, length, s.Length, 1e-6)
			assert.InDelta(t, angle, s.Angle, 1e-6)
		}
	}
}

func TestStemOffsetFaults(t *testing.T) {
	nan := math.NaN()
	offset := func(length, angle, head float64) error {
		_, err := part.Stem{Length: length, Angle: angle}.Offset(head)
		return err
	}
	stem := func(rise, run, head float64) error {
		_, err := part.StemOffset{HeadAngle: head, Rise: rise, Run: run}.Stem()
		return err
	}
	for name, c := range map[string]struct {
		err  error
		path string
	}{
		"stem angle":          {offset(100, 61, 73), "angle_deg"},
		"stem angle NaN":      {offset(100, nan, 73), "angle_deg"},
		"head angle":          {offset(100, -6, 7.3), "head_angle_deg"},
		"length":              {offset(251, -6, 73), "length_mm"},
		"stem of no length":   {stem(0, 0, 73), "length_mm"},
		"stem too long":       {stem(200, 200, 73), "length_mm"},
		"stem rise not known": {stem(nan, 10, 73), "rise_mm"},
		"run":                 {stem(10, -251, 73), "run_mm"},
		"no head angle":       {stem(10, 100, 0), "head_angle_deg"},
		"straight down":       {stem(-100, 10, 73), "pitch_deg"},
		"backwards":           {stem(100, -30, 73), "pitch_deg"},
	} {
		require.ErrorIs(t, c.err, contact.ErrRange, name)
		assert.Equal(t, c.path, contact.Faults(c.err)[0].Path, name)
	}
	assert.Len(t, contact.Faults(offset(nan, nan, nan)), 3, "all faults together")
}

// Offset and stem undo one another; a longer stem reaches further.
func TestPropertyStemOffset(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := func(lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, "number") }
		head, s := f(60, 85), part.Stem{Length: f(20, 180), Angle: f(-40, 40)}
		o, err := s.Offset(head)
		require.NoError(t, err)
		back, err := o.Stem()
		require.NoError(t, err)
		require.InDelta(t, s.Length, back.Length, 1e-9)
		require.InDelta(t, s.Angle, back.Angle, 1e-9)
		pitch := 90 - head + s.Angle // against level
		require.InDelta(t, math.Sin(pitch*math.Pi/180), o.Rise/s.Length, 1e-12)
		s.Length += 10
		further, err := s.Offset(head)
		require.NoError(t, err)
		if math.Abs(pitch) < 89 {
			require.Greater(t, further.Run, o.Run)
		}
	})
}

func FuzzStemOffset(f *testing.F) {
	f.Add(100.0, -6.0, 73.0)
	f.Add(math.NaN(), math.Inf(1), math.Copysign(0, -1))
	f.Fuzz(func(t *testing.T, a, b, c float64) {
		sound := func(err error, vs ...float64) {
			t.Helper()
			for _, v := range vs {
				if err == nil && (math.IsNaN(v) || math.IsInf(v, 0)) {
					t.Fatal(a, b, c, vs)
				}
			}
			if err != nil && len(contact.Faults(err)) == 0 {
				t.Fatal(err)
			}
		}
		o, err := part.Stem{Length: a, Angle: b}.Offset(c)
		sound(err, o.Rise, o.Run)
		s, err := part.StemOffset{HeadAngle: c, Rise: a, Run: b}.Stem()
		sound(err, s.Length, s.Angle)
	})
}

// What a stem of 100 mm, marked −6°, does on a head angle of 73 degrees.
func ExampleStem_Offset() {
	offset, err := part.Stem{Length: 100, Angle: -6}.Offset(73)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f mm up, %.1f mm forward: %.1f degrees against level\n", offset.Rise, offset.Run, 90-73-6.)

	stem, err := offset.Stem()
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%.1f mm, %.1f degrees\n", stem.Length, stem.Angle)
	// Output:
	// 19.1 mm up, 98.2 mm forward: 11.0 degrees against level
	// 100.0 mm, -6.0 degrees
}
