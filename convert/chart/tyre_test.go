package chart_test

import (
	"math"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestParseTyre(t *testing.T) {
	for marking, want := range map[string]chart.Tyre{
		"32-622":    {Width: 32, BeadSeat: 622},
		"37-288":    {Width: 37, BeadSeat: 288},
		"700x32C":   {Width: 32, BeadSeat: 622},
		"700 × 25C": {Width: 25, BeadSeat: 622},
		"700Cx28":   {Width: 28, BeadSeat: 622},
		"650Bx48":   {Width: 48, BeadSeat: 584},
		"650x23C":   {Width: 23, BeadSeat: 571},
		"29x2.25":   {Width: 57.15, BeadSeat: 622},
		"26X2":      {Width: 50.8, BeadSeat: 559},
		"27.5x2.5":  {Width: 63.5, BeadSeat: 584},
	} {
		got, err := chart.ParseTyre(marking)
		require.NoError(t, err, marking)
		assert.InDelta(t, want.Width, got.Width, 1e-9, marking)
		assert.Equal(t, want.BeadSeat, got.BeadSeat, marking)
	}
	assert.Equal(t, "57-622", chart.Tyre{Width: 57.15, BeadSeat: 622}.String())
	for _, bad := range []string{"", "x", "32", "a-622", "32-b", "700x", "x32", "800x32C", "32x622", "700xwide", "-", "29x2,25", "0x2p4-622", "3.2e1-622", "+32-622", "32-inf", "700xNaN", "32-62_2"} {
		_, err := chart.ParseTyre(bad)
		assert.ErrorIs(t, err, contact.ErrUnknown, bad)
	}
	_, err := chart.ParseTyre("622-32")
	assert.ErrorIs(t, err, contact.ErrRange)
	_, err = chart.Tyre{}.Radius()
	assert.Len(t, contact.Faults(err), 2)
	_, err = chart.BeadSeat("27½")
	assert.ErrorIs(t, err, contact.ErrUnknown)
	d, err := chart.BeadSeat("29″")
	require.NoError(t, err)
	assert.Equal(t, 622.0, d)
}

// A rollout table that cycle computers use (622 mm rims), seen on a private page:
// the nominal radius agrees within 6.3 mm of rollout, 0.3 %. The rule that adds
// 2.5 mm below 28 mm of width does not.
func TestTyreRadiusAgainstTable(t *testing.T) {
	for width, rollout := range map[float64]float64{20: 2086, 23: 2096, 25: 2105, 28: 2136, 32: 2155, 35: 2168} {
		r, err := chart.Tyre{Width: width, BeadSeat: 622}.Radius()
		require.NoError(t, err)
		assert.InDelta(t, rollout, 2*math.Pi*r, 6.4, width)
		measured, err := chart.RolloutRadius(rollout, 1)
		require.NoError(t, err)
		assert.InDelta(t, r, measured, 1.1)
		if width < 28 {
			assert.Greater(t, 2*math.Pi*(r+2.5)-rollout, 9.0)
		}
	}
	// J. K. Moore (2012), measured bicycles: 13 turns in 28.06 m give a radius of 0.34352982332 m.
	r, err := chart.RolloutRadius(28060, 13)
	require.NoError(t, err)
	assert.InDelta(t, 343.52982332, r, 1e-8)
	for _, bad := range []struct {
		d float64
		n int
	}{{28060, 0}, {28, 13}, {math.NaN(), 1}, {28060, -3}} {
		_, err := chart.RolloutRadius(bad.d, bad.n)
		assert.ErrorIs(t, err, contact.ErrRange)
	}
	for turns := range 3 { // a radius of 100 to 450 mm, however many turns
		for radius, ok := range map[float64]bool{99.9: false, 100.1: true, 449.9: true, 450.1: false} {
			_, err := chart.RolloutRadius(2*math.Pi*radius*float64(turns+1), turns+1)
			assert.Equal(t, ok, err == nil, radius)
		}
	}
}

func TestInches(t *testing.T) {
	for text, want := range map[string]float64{
		"1 1/8": 28.575, "1-1/8": 28.575, "1.125": 28.575, "9/16": 14.2875, "0": 0, "31": 787.4, " 5/16\"": 7.9375, "1 3/8″": 34.925,
	} {
		got, err := chart.Inches(text)
		require.NoError(t, err, text)
		assert.InDelta(t, want, got, 1e-12, text)
	}
	for _, bad := range []string{"", "-1", "1/0", "1/-2", "a", "1 2", "1 1/8 2", "1e3", "0x10", "/8", "1/", "NaN/2", "Inf", "nan", "+1", "1 +1/8", "0x1p4", "..", "1..2"} {
		_, err := chart.Inches(bad)
		assert.ErrorIs(t, err, contact.ErrUnknown, bad)
	}
	_, err := chart.Inches("101")
	assert.ErrorIs(t, err, contact.ErrRange)
}
