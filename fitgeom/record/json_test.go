package record_test

import (
	"encoding/json"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/fitgeom/record"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// A record is in JSON what documents have; what is personal is not written by itself.
func TestRecordJSON(t *testing.T) {
	r := record.Record{Personal: record.Personal{Name: "rider 7"}, Fix: survey.Fix{}}
	r.Fix.Position.Set(contact.HoodsLeft, r3.Vec{X: 580, Y: 212, Z: 637})
	data, err := json.Marshal(r)
	require.NoError(t, err)
	var back record.Record
	require.NoError(t, json.Unmarshal(data, &back))
	assert.Equal(t, r, back)
	require.Error(t, json.Unmarshal([]byte(`{"fix":{},"colour":1}`), &back))
	_, err = json.Marshal(r.Personal)
	require.ErrorIs(t, err, contact.ErrUnknown)
	assert.NotContains(t, err.Error(), "rider 7")
	require.Error(t, json.Unmarshal([]byte(`{}`), &back.Personal))
}
