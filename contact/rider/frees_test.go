package rider_test

import (
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/internal/invented"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A knee that may not be bent so far is freed most by shorter cranks, and a hip by a higher bar or
// shorter cranks; each is as if the change were made and the limits asked by themselves.
func TestFrees(t *testing.T) {
	b, p := invented.Rider()
	l := rider.Limits{Body: b, Joints: []rider.Limit{
		{Variable: rider.KneeFlexion, Bound: rider.AtMost, Angle: 112.5},
		{Variable: rider.KneeFlexion, Bound: rider.AtLeast, Angle: 25},
		{Variable: rider.HipFlexion, Bound: rider.AtMost, Angle: 115},
	}}
	all, err := l.Frees(p)
	require.NoError(t, err)
	require.Len(t, all, 11)
	assert.Equal(t, rider.CrankChange, all[0].Adjustment)
	assert.Negative(t, all[0].By)
	assert.Zero(t, all[0].Beyond)
	for i, f := range all {
		if i > 0 {
			assert.GreaterOrEqual(t, f.Beyond, all[i-1].Beyond)
		}
		if f.Adjustment == 0 {
			continue
		}
		w := rider.Way{Adjustment: f.Adjustment}
		q, err := w.Moved(p, f.By)
		require.NoError(t, err)
		then := l
		then.Body, err = w.MovedBody(b, f.By)
		require.NoError(t, err)
		assert.Equal(t, f.Beyond == 0, !then.Breaks(q))
	}
	_, err = rider.Limits{Joints: l.Joints}.Frees(p)
	require.ErrorIs(t, err, contact.ErrMissing)
}
