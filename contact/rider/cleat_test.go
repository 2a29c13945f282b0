package rider_test

import (
	"math/rand/v2"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/internal/invented"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Oracle: the verdicts of [rider.Limits.Check] on bodies with their cleats elsewhere. Knees, hips and
// feet are odd ones too, whose limits are where joints hardly go.
func TestRangeOfCleats(t *testing.T) {
	r := rand.New(rand.NewPCG(21, 1))
	riders := 400
	if trial.Long() {
		riders = 10000
	}
	inside, places, some := 0, 0, 0
	for range riders {
		b, p := invented.Rider()
		leg := rider.Leg{
			Thigh: 300 + 200*r.Float64(), Shank: 280 + 200*r.Float64(), AnkleHeight: 20 + 180*r.Float64(), AnkleBehind: 20 + 180*r.Float64(),
			Ankle: rider.Ankle{Given: rider.Dorsiflexion - rider.AnkleAngle(r.IntN(4)/3), Profile: []float64{-40 + 60*r.Float64()}},
		}
		for range r.IntN(2) * 4 {
			leg.Ankle.Profile = append(leg.Ankle.Profile, leg.Ankle.Profile[0]+6*r.Float64())
		}
		b.Left, b.Right = leg, rider.Leg{}
		if r.IntN(2) == 0 {
			b.Upper.Keep, b.Upper.Angle = rider.KeepTrunk, 90*r.Float64()
		}
		w := rider.Way{Adjustment: rider.SaddleHeight}
		p, err := w.Moved(p, 300*r.Float64()-250)
		require.NoError(t, err)
		c, err := rider.NewChain(b, p)
		if err != nil {
			continue
		}
		l := rider.Limits{Body: b}
		for range 1 + r.IntN(2) {
			one := rider.Limit{Variable: rider.Variable(1 + r.IntN(3)), Bound: rider.Bound(1 + r.IntN(2)), Side: contact.Left}
			s, err := c.Span(one.Variable, contact.Left)
			require.NoError(t, err)
			least, most := one.Variable.Range()
			one.Angle = min(most, max(least, []float64{s.Least, s.Most}[one.Bound-1]+4*r.Float64()-2))
			if r.IntN(4) == 0 {
				one.Angle = least + (most-least)*r.Float64()
			}
			l.Joints = append(l.Joints, one)
		}
		if l.Validate() != nil {
			continue
		}
		w = rider.Way{Adjustment: rider.CleatChange}
		got, err := l.Range(p, w)
		require.NoError(t, err)
		if len(got) > 0 {
			some++
		}
		for range 30 {
			by := 200*r.Float64() - 100
			then := l
			then.Body, err = w.MovedBody(b, by)
			require.NoError(t, err)
			if then.Validate() != nil {
				continue
			}
			ok, far := in(got, by)
			places++
			if ok {
				inside++
			}
			if far > edge {
				assert.Equal(t, !then.Breaks(p), ok, "%v mm: %v, %v, %+v", by, got, l.Joints, leg)
			}
		}
	}
	t.Logf("cleats: %d of %d places within limits, none on the wrong side; %d riders have some", inside, places, some)
	assert.Greater(t, inside, 2*riders)
	assert.Greater(t, places-inside, 2*riders)
}
