package survey_test

import (
	"encoding/json"
	"math/rand/v2"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

func TestSurveyJSON(t *testing.T) {
	rng := rand.New(rand.NewPCG(51, 52))
	s := read(aBike().turned(3), anywhere(rng), 2, 0.3, rng)
	s.Unit, s.RadiusSigma = survey.Centimetre, 0.5
	other := s
	other.Sigma, other.Covariance = r3.Vec{}, [3][3]float64{{1, 0.1, 0}, {0.1, 1, 0}, {0, 0, 2}}
	other.FrontRadius, other.RearRadius, other.Up = 0, 0, r3.Vec{X: 0.1, Z: 1}
	for _, s := range []survey.Survey{s, other} {
		text, err := json.Marshal(s)
		require.NoError(t, err)
		var back survey.Survey
		require.NoError(t, json.Unmarshal(text, &back))
		assert.Equal(t, s, back)
	}
	s.Unit = 9
	_, err := json.Marshal(s)
	assert.ErrorIs(t, err, contact.ErrUnknown)
}

// Readings by tape have their numbers in the unit of their kind, and in no other.
func TestTapeJSON(t *testing.T) {
	s := sheet(0)
	s.NoseUp = 0.5
	text, err := json.Marshal(s)
	require.NoError(t, err)
	var back survey.TapeSurvey
	require.NoError(t, json.Unmarshal(text, &back))
	assert.Equal(t, s, back)

	text, err = json.Marshal(survey.TapeReading{Kind: survey.Tilt, Value: -1.5, Sigma: 0.2})
	require.NoError(t, err)
	assert.JSONEq(t, `{"kind": "tilt", "value_deg": -1.5, "sigma_deg": 0.2}`, string(text))
	_, err = json.Marshal(survey.TapeReading{Value: 1, Sigma: 1})
	assert.ErrorIs(t, err, contact.ErrUnknown, "no kind was chosen")
	for _, bad := range []string{
		`{"kind": "tilt", "value_mm": 1, "sigma_deg": 0.2}`, `{"kind": "direct", "from": "a", "to": "b", "value_mm": 1, "sigma_deg": 1}`,
		`{"kind": "tilt", "value_deg": 1}`, `{"value_mm": 1, "sigma_mm": 1}`, `{"kind": "straight", "value_mm": 1, "sigma_mm": 1}`,
	} {
		var r survey.TapeReading
		assert.NotEmpty(t, contact.Faults(json.Unmarshal([]byte(bad), &r)), bad)
	}
}
