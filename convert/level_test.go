package convert_test

import (
	"math"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// farthest is how far beside the start of a distance its end may lie, of which also the part
// along the other axis is read, each to 1 mm: by hand, to 95 %. If d is the distance less that
// part, then d = far²/(2·direct) but for some hundredths of a mm, and it may be off by
// √(2·3.84) beyond what the two contradict one another.
func farthest(direct, along float64) float64 {
	d, most := direct-along, 2*3.8416
	if d < 0 {
		most += d * d
	}
	return math.Sqrt(2 * direct * (d + math.Sqrt(most)))
}

// A bar as high as the saddle, with both reaches: the horizontal one and the direct one of
// 660 mm say that its height is that of the saddle, to some 60 mm. To first order it is
// known to ± 6 km, or the numbers overflow.
func TestBarLevelWithTheSaddle(t *testing.T) {
	for _, c := range []struct {
		level      float64
		first      bool // whether first order is good
		consistent bool
	}{
		{640, true, true},
		{650, true, true}, // dz = √(660² - 650²): ± 8.2 mm, and ± 5.9
		{659.99, false, true},
		{660, false, true},
		{660.1, false, true},
		{660.5, false, true},
		{661, false, true},
		{662, false, true},
		{663, false, true}, // 3 mm too long: chi² is 9/2, by chance in 3 of 100
		{665, false, false},
		{700, false, false},
	} {
		s := []convert.Entry{
			{Measure: convert.SaddleHeightVertical, Value: 705, Sigma: 1},
			{Measure: convert.SaddleSetback, Value: 200, Sigma: 1},
			{Measure: convert.ReachClamp, Value: 660, Sigma: 1},
			{Measure: convert.ReachClampHorizontal, Value: c.level, Sigma: 1},
		}
		sol, err := solve(s, convert.Basis{}, false)
		require.NoError(t, err, c.level)
		assert.Equal(t, c.consistent, sol.Consistent, c.level)
		assert.Empty(t, sol.Free, c.level)
		at, ok := sol.Position.At(contact.BarClamp)
		require.True(t, ok, c.level)
		r, ok := sol.Ranges.At(contact.Coordinate{Site: contact.BarClamp, Axis: contact.AxisZ})
		if len(sol.Suspects) > 0 {
			assert.Equal(t, 700.0, c.level)
			assert.False(t, ok, "what stands on a contradiction has no range")
			continue
		}
		require.True(t, ok, c.level)
		assert.NotEqual(t, c.first, r.Likelihood, c.level)
		sigma, _ := sol.Covariance.Sigma(contact.BarClamp)
		far := farthest(660, c.level)
		if c.first {
			drop := math.Sqrt(660*660 - c.level*c.level)
			assert.InDelta(t, 705-drop, at.Z, 1e-6)
			// By hand: dz = (660·dL - level·dl) / drop, and the saddle's own 1 mm.
			assert.InDelta(t, math.Hypot(1, math.Hypot(660, c.level)/drop), sigma.Z, 1e-6)
			assert.InDelta(t, 705-far, r.Low, 2, c.level)
			continue
		}
		assert.InDelta(t, 705, at.Z, 5, c.level)
		assert.InDelta(t, 705-far, r.Low, 2, c.level)
		assert.InDelta(t, 705+far, r.High, 2, c.level)
		assert.InDelta(t, far/1.96, sigma.Z, 2, "as wide as the range, %v", c.level)
	}

	// Read with a longer tape, or a worse one, that is as much as nothing.
	s := []convert.Entry{
		{Measure: convert.SaddleHeightVertical, Value: 705, Sigma: 1},
		{Measure: convert.SaddleSetback, Value: 200, Sigma: 1},
		{Measure: convert.ReachClamp, Value: 660, Sigma: 5},
		{Measure: convert.ReachClampHorizontal, Value: 660, Sigma: 5},
	}
	sol, err := solve(s, convert.Basis{}, false)
	require.NoError(t, err)
	require.Len(t, sol.Free, 1)
	assert.Equal(t, []contact.Coordinate{{Site: contact.BarClamp, Axis: contact.AxisZ}}, sol.Free[0].Coordinates)
	assert.Contains(t, sol.Free[0].Settle, convert.SidedMeasure{Measure: convert.BarStack})
	assert.NotContains(t, sol.Free[0].Settle, convert.SidedMeasure{Measure: convert.ReachClamp}, "which says nothing of it")
	_, ok := sol.Position.At(contact.SaddleReference)
	assert.True(t, ok, "what is known is there")
	_, ok = sol.Ranges.At(contact.Coordinate{Site: contact.BarClamp, Axis: contact.AxisX})
	assert.True(t, ok, "and how far forward the bar is")
}

// A saddle whose direct distance from the bottom bracket is as much as its height.
func TestSaddleAboveTheBottomBracket(t *testing.T) {
	s := []convert.Entry{{Measure: convert.SaddleHeight, Value: 735, Sigma: 1}}
	for height := 735.0; height <= 745; height++ {
		sol, err := solve(append(s[:1:1], convert.Entry{Measure: convert.SaddleHeightVertical, Value: height, Sigma: 1}), convert.Basis{}, false)
		require.NoError(t, err, height)
		r, ok := sol.Ranges.At(contact.Coordinate{Site: contact.SaddleReference, Axis: contact.AxisX})
		if height > 740 { // by more than chance allows: 4.24 standard uncertainties
			assert.False(t, ok, height)
			assert.Len(t, sol.Suspects, 2)
			continue
		}
		require.True(t, ok, height)
		assert.InDelta(t, -farthest(735, height), r.Low, 2, height)
		assert.InDelta(t, farthest(735, height), r.High, 2, height)
	}
}

// The height along the seat tube of a saddle that is nearly parallel to it is anything.
func TestSaddleParallelToTheSeatTube(t *testing.T) {
	p := contact.New(map[contact.Site]r3.Vec{contact.SaddleReference: {X: -205, Z: 705}})
	b := convert.Basis{SeatAngle: 73}
	for _, tilt := range []float64{-73, -72, -60, -44, 88, 90, -90, 77.1} {
		p.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: tilt})
		_, err := convert.SaddleHeightSeatTube.Of(p, b)
		assert.True(t, trial.FaultAt(err, "saddle_height_seat_tube", contact.ErrConflict), "%v: %v", tilt, err)
		_, err = convert.SaddleHeightSeatTube.Gradient(p, b)
		assert.ErrorIs(t, err, contact.ErrConflict)
		_, err = convert.NewSheet(p, b, convert.SaddleTilt, convert.SaddleHeightSeatTube)
		assert.ErrorIs(t, err, contact.ErrConflict)
		_, err = convert.NewSheet(p, b, convert.SaddleTilt)
		assert.NoError(t, err, "nothing is asked along the tube")
	}
	for _, tilt := range []float64{-42.9, 0, 76.9} {
		p.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: tilt})
		h, err := convert.SaddleHeightSeatTube.Of(p, b)
		require.NoError(t, err)
		assert.Less(t, math.Abs(h), 1500.0)
	}
	_, err := solve([]convert.Entry{
		{Measure: convert.SaddleHeightSeatTube, Value: 750, Sigma: 1},
		{Measure: convert.SaddleTilt, Value: -44, Sigma: 1},
		{Measure: convert.SaddleHeightVertical, Value: 705, Sigma: 1},
	}, b, false)
	assert.True(t, trial.FaultAt(err, "entries[0]", contact.ErrConflict), err)
}

// Each number in a wrong unit, of a sheet in mm: found at the number, but for those that
// may be near 0.
func TestOneNumberInAnotherUnit(t *testing.T) {
	sound := []convert.Entry{
		{Measure: convert.SaddleHeight, Value: 735, Sigma: 1},
		{Measure: convert.SaddleSetback, Value: 203, Sigma: 1},
		{Measure: convert.SaddleLength, Value: 270, Sigma: 1},
		{Measure: convert.ReachHoods, Value: 790, Sigma: 1},
		{Measure: convert.ReachNoseHoods, Value: 655, Sigma: 1},
		{Measure: convert.HoodsStack, Value: 640, Sigma: 1},
		{Measure: convert.HoodsReach, Value: 580, Sigma: 1},
		{Measure: convert.HoodsWidth, Value: 410, Sigma: 1},
		{Measure: convert.CrankLength, Value: 172.5, Sigma: 1},
		{Measure: convert.QFactor, Value: 146, Sigma: 1},
	}
	_, err := solve(sound, convert.Basis{}, true)
	require.NoError(t, err)
	for i, e := range sound {
		for _, mm := range []float64{10, 25.4, 1000} {
			s := append([]convert.Entry(nil), sound...)
			s[i].Value /= mm
			_, err := solve(s, convert.Basis{}, true)
			if e.Measure == convert.SaddleSetback {
				continue // a saddle 8 mm behind the bottom bracket is one of a time-trial bike
			}
			f := contact.Faults(err)
			require.Len(t, f, 1, "%v in %v mm: %v", e.Measure, mm, err)
			assert.Equal(t, "entries["+string(rune('0'+i))+"].value_mm", f[0].Path)
			assert.ErrorIs(t, f[0], contact.ErrUnit)
		}
	}
}

// A setback with the wrong sign is no saddle's.
func TestSetbackWithTheWrongSign(t *testing.T) {
	_, err := solve([]convert.Entry{{Measure: convert.SaddleHeight, Value: 735, Sigma: 1}, {Measure: convert.SaddleSetback, Value: -203, Sigma: 1}}, convert.Basis{}, false)
	assert.True(t, trial.FaultAt(err, "entries[1].value_mm", contact.ErrRange), err)
	_, err = solve([]convert.Entry{{Measure: convert.SaddleHeight, Value: 735, Sigma: 1}, {Measure: convert.SaddleSetback, Value: -40, Sigma: 1}}, convert.Basis{}, false)
	assert.NoError(t, err)
}

// The usual places of all sites are within the range of every measure of them.
func TestRangesOfMeasures(t *testing.T) {
	var p contact.Position
	for _, s := range contact.Sites() {
		p.Set(s, s.Usual())
	}
	for _, s := range contact.Sites() {
		p.SetAttitude(s, contact.Attitude{})
	}
	for _, m := range convert.Measures() {
		lo, hi := m.Range()
		require.Less(t, lo, hi, "%v", m)
		v, err := m.Of(p, withSizes(convert.Basis{SeatAngle: 73, BottomBracketHeight: 268}))
		require.NoError(t, err)
		assert.True(t, v > lo && v < hi, "%v: %v", m, v)
	}
	lo, hi := convert.Measure(200).Range()
	assert.Zero(t, lo)
	assert.Zero(t, hi)
}
