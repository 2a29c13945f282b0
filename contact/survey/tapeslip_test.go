package survey_test

import (
	"math"
	"slices"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// checkedTape is a survey in which several others check each reading of saddle and bar,
// rounded to mm.
func checkedTape() survey.TapeSurvey {
	bb, ground := survey.BottomBracket, survey.Ground
	ref, nose, clamp := survey.At(contact.SaddleReference), survey.At(contact.SaddleNose), survey.At(contact.BarClamp)
	left, right := survey.At(contact.HoodsLeft), survey.At(contact.HoodsRight)
	var t survey.TapeSurvey
	p := onTape()
	for _, r := range []struct {
		kind     survey.TapeKind
		from, to survey.Landmark
	}{
		{survey.Vertical, ground, bb},
		{survey.Vertical, ground, ref},
		{survey.Vertical, bb, ref},
		{survey.Direct, bb, ref},
		{survey.Horizontal, bb, ref},
		{survey.Horizontal, bb, nose},
		{survey.Vertical, ground, nose},
		{survey.Horizontal, ref, nose},
		{survey.Direct, bb, nose},
		{survey.Horizontal, bb, clamp},
		{survey.Vertical, ground, clamp},
		{survey.Vertical, bb, clamp},
		{survey.Horizontal, ref, clamp},
		{survey.Direct, nose, clamp},
		{survey.Horizontal, bb, left},
		{survey.Vertical, bb, left},
		{survey.Horizontal, bb, right},
		{survey.Vertical, ground, right},
		{survey.Vertical, clamp, left},
		{survey.Vertical, clamp, right},
		{survey.Lateral, right, left},
		{survey.Lateral, bb, left},
		{survey.Lateral, bb, right},
		{survey.Horizontal, clamp, left},
	} {
		one := tape(p, r.kind, r.from, r.to, 0)
		one.Value = math.Round(one.Value)
		t.Readings = append(t.Readings, one)
	}
	return t
}

// Each usual slip of one reading is named, and with it every reading that could be the
// wrong one as well.
func TestTapeSlips(t *testing.T) {
	clean, err := checkedTape().Solve()
	require.NoError(t, err)
	require.Empty(t, clean.Suspects)
	for name, c := range map[string]struct {
		reading int
		change  func(*survey.TapeReading)
		kind    contact.SlipKind
		value   float64
	}{
		"sign":       {9, func(r *survey.TapeReading) { r.Value *= -1 }, contact.SignReversed, 471},
		"cm":         {18, func(r *survey.TapeReading) { r.Value = 2.2 }, contact.Centimetres, 22},
		"in":         {11, func(r *survey.TapeReading) { r.Value = 24.9 }, contact.Inches, 632.46},
		"ten":        {12, func(r *survey.TapeReading) { r.Value -= 10 }, contact.TenOff, 681},
		"hundred":    {2, func(r *survey.TapeReading) { r.Value += 100 }, contact.HundredOff, 718},
		"exchanged":  {9, func(r *survey.TapeReading) { r.Value = 741 }, contact.DigitsExchanged, 471},
		"doubled":    {18, func(r *survey.TapeReading) { r.Value = 222 }, contact.DigitDoubled, 22},
		"no slip":    {14, func(r *survey.TapeReading) { r.Value += 42 }, 0, 0},
		"dropped":    {9, func(r *survey.TapeReading) { r.Value = 71 }, contact.DigitDropped, 471},
		"nose":       {2, func(r *survey.TapeReading) { r.Value = 714 }, 0, 718},
		"nose ahead": {12, func(r *survey.TapeReading) { r.Value = 537 }, contact.NoseForReference, 537},
		"ground":     {11, func(r *survey.TapeReading) { r.Value = 901 }, contact.GroundForBracket, 901},
		"straight":   {4, func(r *survey.TapeReading) { r.Value = -748 }, contact.StraightForLevel, 748},
		"left":       {21, func(r *survey.TapeReading) { r.Value = -207 }, contact.LeftForRight, -207},
	} {
		s := checkedTape()
		c.change(&s.Readings[c.reading])
		fix, err := s.Solve()
		if name == "nose" { // which is level with the reference
			require.NoError(t, err, name)
			assert.Empty(t, fix.Suspects)
			continue
		}
		require.ErrorIs(t, err, contact.ErrConflict, name)
		assert.Empty(t, fix.Covariance, name)
		var suspects []int
		for _, s := range fix.Suspects {
			suspects = append(suspects, s.Reading)
		}
		// Of readings that make one loop any may be wrong.
		want, ok := map[int][]int{14: {14, 23}, 18: {15, 18}, 21: {20, 21, 22}}[c.reading]
		if !ok {
			want = []int{c.reading}
		}
		require.Equal(t, want, suspects, name)
		slips := fix.Suspects[slices.Index(suspects, c.reading)].Slips
		if c.kind == 0 {
			assert.Empty(t, slips, name)
			continue
		}
		i := slices.IndexFunc(slips, func(s contact.Slip) bool { return s.Kind == c.kind })
		require.GreaterOrEqual(t, i, 0, "%s: %v", name, slips)
		assert.InDelta(t, c.value, slips[i].Value, 1e-9, name)
	}
}

// Readings that contradict one another by more than chance allows, though not so much that
// the survey is refused: what stands on them has no range.
func TestTapeDoubts(t *testing.T) {
	s := checkedTape()
	s.Readings[12].Value += 8 // reference to clamp
	s.Readings[10].Sigma, s.Readings[11].Sigma = 3, 3
	fix, err := s.Solve()
	require.NoError(t, err)
	require.NotEmpty(t, fix.Suspects)
	assert.True(t, slices.ContainsFunc(fix.Suspects, func(s contact.Suspect) bool { return s.Reading == 12 }))
	x, y := contact.Coordinate{Site: contact.BarClamp, Axis: contact.AxisX}, contact.Coordinate{Site: contact.HoodsLeft, Axis: contact.AxisY}
	_, ok := fix.Ranges.At(x)
	assert.False(t, ok)
	_, ok = fix.Covariance.At(x, x)
	assert.False(t, ok)
	_, ok = fix.Position.At(contact.BarClamp)
	assert.True(t, ok)
	_, ok = fix.Ranges.At(y)
	assert.True(t, ok, "it would not move")
}
