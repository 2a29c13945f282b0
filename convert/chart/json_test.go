package chart_test

import (
	"encoding/json"
	"math"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestChartJSON(t *testing.T) {
	c := chart.Chart{
		Rounding: chart.Rounding{LengthStep: 1, AngleStep: 0.1}, SeatAngleHeight: 650, EqualWheels: true,
		Entries: []chart.Entry{
			{Dimension: chart.Stack, Value: 572},
			{Dimension: chart.SeatAngle, Value: 73.5, Step: 0.5},
			{Dimension: chart.SeatOffset},
		},
	}
	text, err := json.Marshal(c)
	require.NoError(t, err)
	assert.JSONEq(t, `{"length_step_mm": 1, "angle_step_deg": 0.1, "seat_angle_height_mm": 650, "equal_wheels": true, "seat_tube_centred": false, "entries": [
		{"dimension": "stack", "value_mm": 572}, {"dimension": "seat_angle", "value_deg": 73.5, "step_deg": 0.5}, {"dimension": "seat_offset", "value_mm": 0}]}`, string(text))
	var back chart.Chart
	require.NoError(t, json.Unmarshal(text, &back))
	assert.Equal(t, c, back)
}

func TestChartJSONFaults(t *testing.T) {
	for _, e := range []chart.Entry{{Value: 1}, {Dimension: chart.Stack, Value: math.NaN()}} {
		_, err := json.Marshal(e)
		assert.NotEmpty(t, contact.Faults(err), "%v", e)
	}
	for text, class := range map[string]error{
		`{"dimension": "head_angle", "value_mm": 1}`:               contact.ErrUnknown,
		`{"dimension": "stack", "value_mm": 560, "step_deg": 0.1}`: contact.ErrUnknown,
		`{"dimension": "rake", "value_mm": 1}`:                     contact.ErrUnknown,
		`{"value_mm": 1}`:                                          contact.ErrMissing,
	} {
		var e chart.Entry
		err := json.Unmarshal([]byte(text), &e)
		assert.ErrorIs(t, err, class, text)
		assert.NotEmpty(t, contact.Faults(err), text)
	}
}

// Every dimension has a range, in which what is usual lies.
func TestDimensionRange(t *testing.T) {
	for _, d := range chart.Dimensions() {
		lo, hi := d.Range()
		assert.Less(t, lo, hi, d)
	}
	lo, hi := chart.HeadAngle.Range()
	assert.Equal(t, [2]float64{50, 90}, [2]float64{lo, hi})
	for _, none := range []chart.Dimension{0, 99} {
		lo, hi := none.Range()
		assert.Zero(t, lo)
		assert.Zero(t, hi)
	}
}
