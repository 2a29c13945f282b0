package convert_test

import (
	"encoding/json"
	"math"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestSheetJSON(t *testing.T) {
	s := convert.Sheet{
		Basis: convert.Basis{SeatAngle: 73.5, Side: contact.Left, Mirrored: true},
		Entries: []convert.Entry{
			{Measure: convert.SaddleHeight, Value: 738, Sigma: 1},
			{Measure: convert.SaddleTilt, Value: -1.5, Sigma: 0.2},
			{Measure: convert.BarDropHoods, Side: contact.Right},
		},
	}
	text, err := json.Marshal(s)
	require.NoError(t, err)
	assert.JSONEq(t, `{"seat_angle_deg": 73.5, "side": "left", "mirrored": true, "entries": [
		{"measure": "saddle_height", "value_mm": 738, "sigma_mm": 1}, {"measure": "saddle_tilt", "value_deg": -1.5, "sigma_deg": 0.2},
		{"measure": "bar_drop_hoods", "side": "right", "value_mm": 0}]}`, string(text))
	var back convert.Sheet
	require.NoError(t, json.Unmarshal(text, &back))
	assert.Equal(t, s, back)
}

func TestSheetJSONFaults(t *testing.T) {
	for _, e := range []convert.Entry{{Value: 1}, {Measure: convert.SaddleHeight, Value: math.NaN()}, {Measure: convert.SaddleHeight, Side: 9}} {
		_, err := json.Marshal(e)
		assert.NotEmpty(t, contact.Faults(err), "%v", e)
	}
	for text, class := range map[string]error{
		`{"measure": "saddle_tilt", "value_mm": 1}`:                   contact.ErrUnknown,
		`{"measure": "saddle_height", "value_mm": 1, "sigma_deg": 1}`: contact.ErrUnknown,
		`{"measure": "inseam", "value_mm": 1}`:                        contact.ErrUnknown,
		`{"value_mm": 1}`:                                             contact.ErrMissing,
	} {
		var e convert.Entry
		err := json.Unmarshal([]byte(text), &e)
		assert.ErrorIs(t, err, class, text)
		assert.NotEmpty(t, contact.Faults(err), text)
	}
}
