package rider_test

import (
	"encoding/json"
	"math"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/internal/invented"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A body comes back as it was; what is not known is left out.
func TestBodyJSON(t *testing.T) {
	whole, _ := invented.Rider()
	leg := whole
	leg.Left, leg.Upper = rider.Leg{}, rider.Upper{}
	for _, b := range []rider.Body{whole, leg} {
		text, err := json.Marshal(b)
		require.NoError(t, err)
		var back rider.Body
		require.NoError(t, json.Unmarshal(text, &back))
		assert.Equal(t, b, back)
	}
	text, err := json.Marshal(leg)
	require.NoError(t, err)
	assert.JSONEq(t, `{"right": {"thigh_mm": 408, "shank_mm": 416, "ankle_height_mm": 73, "ankle_behind_mm": 125,
		"ankle": {"given": "sole_pitch", "profile_deg": [-20]}}, "hip_forward_mm": 60, "hip_up_mm": 50}`, string(text))
}

func TestBodyJSONFaults(t *testing.T) {
	b, _ := invented.Rider()
	b.HipUp = math.Inf(1)
	_, err := json.Marshal(b)
	assert.ErrorIs(t, err, contact.ErrRange)
	b, _ = invented.Rider()
	b.Left.Ankle.Given = 0
	_, err = json.Marshal(b)
	assert.ErrorIs(t, err, contact.ErrUnknown, "an angle that was not chosen has no name")
	for text, class := range map[string]error{
		`{"hip_forward_mm": 60, "hip_up_mm": 50, "upper": {"trunk_mm": 0, "upper_arm_mm": 0, "forearm_mm": 0, "grip": "hoods_left", "keep": "keep_nothing", "angle_deg": 0}}`: contact.ErrUnknown,
		`{"hip_forward_mm": 60, "hip_up_mm": 50, "tail_mm": 1}`: contact.ErrUnknown,
		`{"hip_forward_mm": 60}`:                                contact.ErrMissing,
	} {
		var back rider.Body
		assert.ErrorIs(t, json.Unmarshal([]byte(text), &back), class, text)
	}
}
