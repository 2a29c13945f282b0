package rider_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/internal/invented"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// from is how far a place is from a convex polygon, 0 in it.
func from(all []r3.Vec, v r3.Vec) float64 {
	inside, far := true, math.Inf(1)
	for i, a := range all {
		b := all[(i+1)%len(all)]
		e, w := r3.Sub(b, a), r3.Sub(v, a)
		inside = inside && e.X*w.Z-e.Z*w.X >= 0
		share := max(0, min(1, r3.Dot(e, w)/r3.Dot(e, e)))
		far = min(far, r3.Norm(r3.Sub(w, r3.Scale(share, e))))
	}
	if inside {
		return 0
	}
	return far
}

// Oracle: the verdicts of [rider.Limits.Check] with the hands at each place.
func TestHandsAgainstCheck(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	places, held, most := 0, 0, 0
	for range 40 {
		l, p := limited(r)
		for i := range l.Joints { // of trunk and arms some that cut
			if v := l.Joints[i].Variable; (v >= rider.TrunkLean) && r.IntN(2) == 0 {
				l.Joints[i].Angle += map[rider.Bound]float64{rider.AtLeast: 1, rider.AtMost: -1}[l.Joints[i].Bound] * 6 * r.Float64()
			}
		}
		if l.Validate() != nil {
			continue
		}
		hands, _ := p.At(contact.HoodsLeft)
		wide := []float64{2, 30, 300}[r.IntN(3)]
		finest := []float64{0.002, 0.1, 1}[r.IntN(3)]
		lo := r3.Vec{X: hands.X - wide, Z: hands.Z - wide}
		hi := r3.Vec{X: hands.X + wide, Z: hands.Z + wide}
		all, err := l.Hands(p, lo, hi, finest)
		require.NoError(t, err)
		most = max(most, len(all))
		for range 60 {
			v := r3.Vec{X: lo.X + (hi.X-lo.X)*r.Float64(), Z: lo.Z + (hi.Z-lo.Z)*r.Float64()}
			if k := r.IntN(max(1, 2*len(all))); k < len(all) { // beside a corner
				c := all[k][r.IntN(len(all[k]))]
				v = r3.Vec{X: c.X + 3*finest*(r.Float64()-0.5), Z: c.Z + 3*finest*(r.Float64()-0.5)}
			}
			if v.X < lo.X || v.X > hi.X || v.Z < lo.Z || v.Z > hi.Z {
				continue
			}
			q := p
			q.Set(contact.HoodsLeft, r3.Vec{X: v.X, Y: hands.Y, Z: v.Z})
			q.Set(contact.HoodsRight, r3.Vec{X: v.X, Y: -hands.Y, Z: v.Z})
			far := math.Inf(1)
			for _, one := range all {
				far = min(far, from(one, v))
			}
			places++
			if far == 0 {
				held++
				assert.False(t, l.Breaks(q), "%v %v", v, l.Joints)
			} else if far > finest+1e-6 {
				assert.True(t, l.Breaks(q), "%v is %g from what is allowed, %v", v, far, l.Joints)
			}
		}
	}
	t.Logf("hands: %d of %d places within limits, at most %d polygons", held, places, most)
	assert.Greater(t, held, 300)
	assert.Greater(t, places-held, 300)
}

func TestHands(t *testing.T) {
	b, p := invented.Rider()
	l := rider.Limits{Body: b, Joints: []rider.Limit{{Variable: rider.TrunkLean, Bound: rider.AtLeast, Angle: 45}}}
	lo, hi := r3.Vec{X: 500, Z: 600}, r3.Vec{X: 560, Z: 700}
	all, err := l.Hands(p, lo, hi, 0.01)
	require.NoError(t, err)
	require.NotEmpty(t, all)
	p.Forget(contact.HoodsLeft)
	p.Forget(contact.HoodsRight)
	without, err := l.Hands(p, lo, hi, 0.01)
	require.NoError(t, err)
	assert.Equal(t, all, without, "wherever the hands are")
	none, err := rider.Limits{}.Hands(p, lo, hi, 0.01)
	require.NoError(t, err)
	assert.Equal(t, [][]r3.Vec{{lo, {X: hi.X, Z: lo.Z}, hi, {X: lo.X, Z: hi.Z}}}, none)
	l.Joints = append(l.Joints, rider.Limit{Variable: rider.KneeFlexion, Bound: rider.AtLeast, Angle: 90})
	shut, err := l.Hands(p, lo, hi, 0.01)
	require.NoError(t, err)
	assert.Empty(t, shut, "the hands do not help a knee")
	_, err = l.Hands(p, hi, lo, math.NaN())
	require.ErrorIs(t, err, contact.ErrRange)
	assert.Len(t, contact.Faults(err), 3)
}
