package chart_test

import (
	"math"
	"strings"
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

// Bead seats by the trade's names: an encyclopedia's list (Wikipedia, European Tyre and Rim
// Technical Organisation) has 203 to 400 mm, size tables have the others. Widths by hand.
func TestInchMarkings(t *testing.T) {
	for marking, want := range map[string]chart.Tyre{
		`12 1/2" x 2 1/4"`: {Width: 57.15, BeadSeat: 203},
		"12½x1.75":         {Width: 44.45, BeadSeat: 203},
		"14 x 1.75":        {Width: 44.45, BeadSeat: 254},
		"14x1 3/8":         {Width: 34.925, BeadSeat: 298},
		"16x1.75":          {Width: 44.45, BeadSeat: 305},
		"16 × 1⅜":          {Width: 34.925, BeadSeat: 349},
		"16x1-3/8":         {Width: 34.925, BeadSeat: 349},
		"16 x 1 3/4":       {Width: 44.45, BeadSeat: 317},
		"17x1 1/4":         {Width: 31.75, BeadSeat: 369},
		"18x2.125":         {Width: 53.975, BeadSeat: 355},
		"18 x 1":           {Width: 25.4, BeadSeat: 400},
		"18x1 3/8":         {Width: 34.925, BeadSeat: 400},
		"20x1.5":           {Width: 38.1, BeadSeat: 406},
		"20x1 1/8":         {Width: 28.575, BeadSeat: 451},
		"24x1 3/8":         {Width: 34.925, BeadSeat: 540},
		"26x1 3/8":         {Width: 34.925, BeadSeat: 590},
		"26x1.375":         {Width: 34.925, BeadSeat: 559},
		"28x1 1/2":         {Width: 38.1, BeadSeat: 635},
	} {
		got, err := chart.ParseTyre(marking)
		require.NoError(t, err, marking)
		assert.InDelta(t, want.Width, got.Width, 1e-9, marking)
		assert.Equal(t, want.BeadSeat, got.BeadSeat, marking)
		seat, err := chart.BeadSeat(marking)
		require.NoError(t, err, marking)
		assert.Equal(t, want.BeadSeat, seat, marking)
	}
	for _, bad := range []string{"16x1 5/8", "27x1 1/4", "29x2 1/4", "26x13/8", "16x1 3/0", "15x2", "16x1 3/8x2", strings.Repeat("1", 50) + "x2"} {
		_, err := chart.ParseTyre(bad)
		assert.ErrorIs(t, err, contact.ErrUnknown, bad)
	}
	_, err := chart.ParseTyre("16x20")
	assert.ErrorIs(t, err, contact.ErrRange)
}

func TestRolloutRadius(t *testing.T) {
	// J. K. Moore (2012), measured bicycles: 13 turns in 28.06 m give a radius of 0.34352982332 m.
	r, err := chart.RolloutRadius(28060, 13)
	require.NoError(t, err)
	assert.InDelta(t, 343.52982332, r, 1e-8)
	for _, bad := range []struct {
		d, n float64
	}{{28060, 0}, {28, 13}, {math.NaN(), 1}, {28060, -3}, {28060, math.NaN()}, {2, 1e-3}} {
		_, err := chart.RolloutRadius(bad.d, bad.n)
		assert.ErrorIs(t, err, contact.ErrRange)
	}
	for turns := range 3 { // a radius of 100 to 450 mm, however many turns
		for radius, ok := range map[float64]bool{99.9: false, 100.1: true, 449.9: true, 450.1: false} {
			_, err := chart.RolloutRadius(2*math.Pi*radius*float64(turns+1), float64(turns+1))
			assert.Equal(t, ok, err == nil, radius)
		}
	}
	// Two turns and a quarter: by hand, 2π·340·2.25.
	r, err = chart.RolloutRadius(2*math.Pi*340*2.25, 2.25)
	require.NoError(t, err)
	assert.InDelta(t, 340, r, 1e-9)
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
