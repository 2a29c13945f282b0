package rider_test

import (
	"cmp"
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/internal/invented"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// moved is a position with a site, and that of the other side, elsewhere.
func moved(t *testing.T, p contact.Position, f rider.Adjustment, by float64) contact.Position {
	q, err := rider.Way{Adjustment: f}.Moved(p, by)
	require.NoError(t, err)
	return q
}

func ranged(t *testing.T, l rider.Limits, p contact.Position, w rider.Way) []rider.Interval {
	all, err := l.Range(p, w)
	require.NoError(t, err)
	return all
}

// What nothing changes is judged wherever the limb reaches.
func TestRangeOfWhatNothingChanges(t *testing.T) {
	b, p := invented.Rider()
	reach := rider.Way{Adjustment: rider.BarReach, From: -400, To: 100}
	far := moved(t, p, rider.BarReach, 150) // the hands do not reach
	elbow := rider.Limits{Body: b, Joints: []rider.Limit{{Variable: rider.ElbowFlexion, Bound: rider.AtMost, Angle: 10}}}
	assert.Empty(t, ranged(t, elbow, far, reach))
	b.Upper.Keep, b.Upper.Angle = rider.KeepTrunk, 60
	trunk := rider.Limits{Body: b, Joints: []rider.Limit{{Variable: rider.TrunkLean, Bound: rider.AtMost, Angle: 50}}}
	assert.Empty(t, ranged(t, trunk, far, reach))
	trunk.Joints[0].Angle = 61
	assert.NotEmpty(t, ranged(t, trunk, far, reach))
	b.Left.Ankle = rider.Ankle{Given: rider.Dorsiflexion, Profile: []float64{5}}
	b.Right.Ankle = b.Left.Ankle
	high := moved(t, p, rider.SaddleHeight, 120) // the feet do not reach
	ankle := rider.Limits{Body: b, Joints: []rider.Limit{{Variable: rider.AnkleDorsiflexion, Bound: rider.AtMost}}}
	down := rider.Way{Adjustment: rider.SaddleHeight, From: -200, To: 0}
	assert.Empty(t, ranged(t, ankle, high, down))
	ankle.Joints[0].Angle = 5
	assert.NotEmpty(t, ranged(t, ankle, high, down))
}

// An interval is found wherever the way begins, also in its first or its last stride.
func TestRangeNearTheEndOfAWay(t *testing.T) {
	b, p := invented.Rider()
	b.Right, b.HipForward, b.Upper.Angle = rider.Leg{}, 53.5, 23
	b.Left.Ankle = rider.Ankle{Given: rider.Dorsiflexion, Profile: []float64{-16.88}}
	// Where the hip's least flexion is greatest, and what it is to 1.5 mm of there.
	least := func(at float64) float64 {
		c, err := rider.NewChain(b, moved(t, p, rider.SaddleSetback, at))
		require.NoError(t, err)
		s, err := c.Span(rider.HipFlexion, contact.Left)
		require.NoError(t, err)
		return s.Least
	}
	top := 35.
	for at := 35.; at < 45; at += 0.1 {
		if least(at) > least(top) {
			top = at
		}
	}
	l := rider.Limits{Body: b, Joints: []rider.Limit{{Variable: rider.HipFlexion, Bound: rider.AtLeast, Angle: least(top + 1.5)}}}
	whole := ranged(t, l, p, rider.Way{Adjustment: rider.SaddleSetback})
	require.Len(t, whole, 1)
	require.InDelta(t, 3, whole[0].Length(), 0.5)
	for _, from := range []float64{0, 1, 2, 3, 4.5, 6, 7} {
		for _, w := range []rider.Way{
			{Adjustment: rider.SaddleSetback, From: whole[0].From.At - from, To: 100},
			{Adjustment: rider.SaddleSetback, From: -20, To: whole[0].To.At + from},
		} {
			got := ranged(t, l, p, w)
			require.Len(t, got, 1, "%v", w)
			assert.InDelta(t, whole[0].From.At, got[0].From.At, 1e-6)
			assert.InDelta(t, whole[0].To.At, got[0].To.At, 1e-6)
		}
	}
}

// An edge of the hip says where on the stroke it is, also where the hands move.
func TestEdgeOfHip(t *testing.T) {
	b, p := invented.Rider()
	b.Left.Ankle.Profile = []float64{-20, -15, -25, -30}
	l := rider.Limits{Body: b, Joints: []rider.Limit{{Variable: rider.HipFlexion, Side: contact.Left, Bound: rider.AtMost, Angle: 115}}}
	for _, f := range []rider.Adjustment{rider.BarDrop, rider.SaddleHeight} {
		all := ranged(t, l, p, rider.Way{Adjustment: f})
		var edges []rider.Edge
		for _, one := range all {
			edges = append(edges, one.From, one.To)
		}
		for _, e := range edges {
			if e.Place != 0 {
				continue
			}
			c, err := rider.NewChain(b, moved(t, p, f, e.At))
			require.NoError(t, err)
			s, err := c.Span(rider.HipFlexion, contact.Left)
			require.NoError(t, err)
			assert.InDelta(t, 0, math.Remainder(s.MostAt-e.CrankAngle, 360), 1e-3)
			assert.NotZero(t, e.CrankAngle)
		}
		require.NotEmpty(t, edges)
	}
}

// Oracle: spans. Of a leg that is nearly stretched the thigh turns back within some degrees of the crank, and
// by a profile of the ankle it may turn back twice in a few.
func TestRangeOfHipOfStretchedLeg(t *testing.T) {
	b, p := invented.Rider()
	for _, ankle := range []rider.Ankle{
		{Given: rider.Dorsiflexion, Profile: []float64{-4}},
		{Given: rider.Dorsiflexion, Profile: []float64{-1, -4, -5, -1}},
		{Given: rider.SolePitch, Profile: []float64{-11, -14, -9, -18, -17, -16, -10, -12, -11, -15, -14, -9}},
	} {
		b.Left.Ankle = ankle
		l := rider.Limits{Body: b, Joints: []rider.Limit{{Variable: rider.HipFlexion, Side: contact.Left, Bound: rider.AtLeast, Angle: -30}}}
		all := ranged(t, l, p, rider.Way{Adjustment: rider.SaddleHeight})
		require.NotEmpty(t, all)
		end := all[len(all)-1].To
		require.Equal(t, rider.Unreached, end.Place)
		for _, by := range []float64{0.01, 0.05, 0.2, 1, 5, 20} {
			c, err := rider.NewChain(b, moved(t, p, rider.SaddleHeight, end.At-by))
			require.NoError(t, err)
			s, err := c.Span(rider.HipFlexion, contact.Left)
			require.NoError(t, err)
			l.Joints[0].Angle = s.Least
			all := ranged(t, l, p, rider.Way{Adjustment: rider.SaddleHeight, From: end.At - 40, To: 100})
			require.Len(t, all, 1)
			assert.InDelta(t, end.At-by, all[0].To.At, edge, "%v", ankle)
			assert.Zero(t, all[0].To.Place)
			assert.InDelta(t, 0, math.Remainder(s.LeastAt-all[0].To.CrankAngle, 360), 1e-3)
		}
	}
}

// Oracle: the most of postures each hundredth of a degree. Near to an angle of its profile an ankle may turn
// three times in a few degrees.
func TestSpanOfAnkleThatTurnsThrice(t *testing.T) {
	b, p := invented.Rider()
	b.Left.Thigh, b.Left.Shank = 430.1918, 405.2956
	b.Left.Ankle.Profile = []float64{-9.57602, -11.62515, -11.4542, -11.7504, -14.62132, -16.72046, -14.36963, -10.42143, -13.52673, -11.02241, -16.97371, -14.1909}
	p = moved(t, p, rider.SaddleSetback, -30)
	all := make([]rider.Posture, 36000)
	for up := -43.5; up <= -42; up += 0.05 {
		c, err := rider.NewChain(b, moved(t, p, rider.SaddleHeight, up))
		require.NoError(t, err)
		require.NoError(t, c.Stroke(contact.Left, all))
		s, err := c.Span(rider.AnkleDorsiflexion, contact.Left)
		require.NoError(t, err)
		most := slices.MaxFunc(all, func(a, b rider.Posture) int { return cmp.Compare(a.AnkleDorsiflexion, b.AnkleDorsiflexion) })
		assert.InDelta(t, most.AnkleDorsiflexion, s.Most, 1e-5, "%v up", up)
		assert.InDelta(t, most.CrankAngle, s.MostAt, 0.02, "%v up", up)
	}
}

// A window of one column holds what its heights hold.
func TestRegionOfOneColumn(t *testing.T) {
	b, p := invented.Rider()
	l := rider.Limits{Body: b, Joints: []rider.Limit{{Variable: rider.KneeFlexion, Bound: rider.AtLeast, Angle: 20}}}
	r, err := l.Region(t.Context(), p, rider.Window{Moving: rider.SaddlePlace, AlongFrom: 5, AlongTo: 5})
	require.NoError(t, err)
	assert.True(t, r.Holds(5, 0))
	assert.False(t, r.Empty())
	assert.True(t, rider.Region{}.Empty())
}

// Cranks stay within their bounds whatever the body is, and what is no number is named.
func TestWaysAreBounded(t *testing.T) {
	_, p := invented.Rider()
	all := ranged(t, rider.Limits{}, p, rider.Way{Adjustment: rider.CrankChange, From: -300, To: 300})
	require.Len(t, all, 1)
	assert.InDelta(t, 50-172.5, all[0].From.At, 1e-12)
	assert.InDelta(t, 250-172.5, all[0].To.At, 1e-12)
	_, err := rider.Limits{}.Range(p, rider.Way{Adjustment: rider.BarDrop, From: math.NaN(), To: 3})
	require.ErrorIs(t, err, contact.ErrRange)
	faults := contact.Faults(err)
	require.Len(t, faults, 1)
	assert.Equal(t, "way.from_mm", faults[0].Path)
}

// Whatever angle may be stated: a place is within Range if, and only if, Check finds nothing broken
// there.
func TestRangeOfAnyAngle(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	found := 0
	for range anyAngles {
		_, p := limited(r)
		l, _ := limited(r)
		one := rider.Limit{Variable: everyVariable[r.IntN(len(everyVariable))], Bound: rider.AtLeast + rider.Bound(r.IntN(2))}
		for {
			one.Angle = -70 + 245*r.Float64()
			if l.Joints = []rider.Limit{one}; l.Validate() == nil {
				break
			}
		}
		for f := rider.SaddleHeight; f <= rider.BarReach; f++ {
			w := rider.Way{Adjustment: f, From: -200, To: 200}
			all := ranged(t, l, p, w)
			found += len(all)
			for by := -200.; by <= 200; by += 8 {
				q, err := w.Moved(p, by)
				require.NoError(t, err)
				if q.Validate() != nil {
					continue
				}
				if got, far := in(all, by); got == l.Breaks(q) {
					require.LessOrEqual(t, far, edge, "%v, %v by %v: in %v", one, f, by, all)
				}
			}
		}
	}
	assert.NotZero(t, found)
}

var anyAngles = 12

// Oracle: each limit alone. Of two legs that are nearly alike the one counts that comes first, however
// close the other is.
func TestRangeOfLegsNearlyAlike(t *testing.T) {
	b, p := invented.Rider()
	b.Left.Ankle.Profile = []float64{-20, -15, -25, -30}
	b.Right.Ankle.Profile = []float64{-24, -28, -22, -17}
	way := rider.Way{Adjustment: rider.SaddleHeight}
	end := func(sides ...contact.Side) float64 {
		l := rider.Limits{Body: b}
		for _, side := range sides {
			l.Joints = append(l.Joints, rider.Limit{Variable: rider.KneeFlexion, Side: side, Bound: rider.AtLeast, Angle: 30})
		}
		all := ranged(t, l, p, way)
		require.NotEmpty(t, all)
		return all[len(all)-1].To.At
	}
	low, high := b.Left.Thigh-25, b.Left.Thigh+25 // between which the other leg begins to count
	for high-low > 1e-3 {
		if b.Right.Thigh = (low + high) / 2; end(contact.Right) < end(contact.Left) {
			low = b.Right.Thigh
		} else {
			high = b.Right.Thigh
		}
	}
	for by := -0.06; by < 0.06; by += 0.004 {
		b.Right.Thigh = low + by
		want := min(end(contact.Left), end(contact.Right))
		assert.InDelta(t, want, end(contact.Left, contact.Right), 1e-7, "thigh %v", b.Right.Thigh)
	}
}

// Oracle: each limit alone. So it is with knee and hip of one leg, whichever is the first at some crank
// angles and the last at others.
func TestRangeOfJointsNearlyAlike(t *testing.T) {
	b, p := invented.Rider()
	b.Left.Ankle = rider.Ankle{Given: rider.Dorsiflexion, Profile: []float64{-3.4}}
	b.Upper.Keep, b.Upper.Angle = rider.KeepTrunk, 35.4
	knee := rider.Limit{Variable: rider.KneeFlexion, Side: contact.Left, Bound: rider.AtLeast, Angle: 14.1}
	hip := rider.Limit{Variable: rider.HipFlexion, Side: contact.Left, Bound: rider.AtLeast}
	end := func(joints ...rider.Limit) float64 {
		all := ranged(t, rider.Limits{Body: b, Joints: joints}, p, rider.Way{Adjustment: rider.SaddleHeight})
		require.NotEmpty(t, all)
		return all[len(all)-1].To.At
	}
	low, high := 0., 120. // between which the hip begins to count
	for high-low > 1e-6 {
		if hip.Angle = (low + high) / 2; end(hip) > end(knee) {
			low = hip.Angle
		} else {
			high = hip.Angle
		}
	}
	for by := -0.6; by < 0.6; by += 0.02 {
		hip.Angle = low + by
		assert.InDelta(t, min(end(knee), end(hip)), end(knee, hip), 1e-7, "hip %v", hip.Angle)
	}
}

// Identity: a way that begins or ends just beyond a limit leaves what a long one leaves, also if the limit
// is broken between two of the crank angles that are looked at alone.
func TestRangeJustBeyondALimit(t *testing.T) {
	b, p := invented.Rider()
	b.Left.Ankle.Profile = []float64{-20, -15, -25, -30}
	l := rider.Limits{Body: b, Joints: []rider.Limit{
		{Variable: rider.KneeFlexion, Side: contact.Left, Bound: rider.AtMost, Angle: 115},
		{Variable: rider.KneeFlexion, Side: contact.Left, Bound: rider.AtLeast, Angle: 25},
	}}
	whole := ranged(t, l, p, rider.Way{Adjustment: rider.SaddleHeight})
	require.Len(t, whole, 1)
	for _, by := range []float64{1e-5, 1e-3, 0.01, 0.1} {
		got := ranged(t, l, p, rider.Way{Adjustment: rider.SaddleHeight, From: whole[0].From.At - by, To: whole[0].To.At + by})
		require.Len(t, got, 1)
		assert.Equal(t, []int{0, 1}, []int{got[0].From.Place, got[0].To.Place}, "%v beyond", by)
		assert.InDelta(t, whole[0].From.At, got[0].From.At, 1e-7)
		assert.InDelta(t, whole[0].To.At, got[0].To.At, 1e-7)
	}
}

// More limits than a joint has ends cost nothing, and the strictest is the one that is named.
func TestStrictestLimit(t *testing.T) {
	b, p := invented.Rider()
	l := rider.Limits{Body: b}
	for i := range 100 {
		l.Joints = append(l.Joints, rider.Limit{Variable: rider.HipFlexion, Side: contact.Side(i % 3), Bound: rider.AtMost, Angle: 112 + float64(7*i%31)})
	}
	w := rider.Way{Adjustment: rider.SaddleHeight}
	many := ranged(t, l, p, w)
	one := ranged(t, rider.Limits{Body: b, Joints: l.Joints[:1]}, p, w)
	require.NotEmpty(t, one)
	assert.Equal(t, one, many)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err := l.Region(ctx, p, rider.Window{Moving: rider.SaddlePlace})
	require.ErrorIs(t, err, context.Canceled)
}

// Angles that no joint has are refused, and so are limits that the body can never tell.
func TestLimitsOfNoJoint(t *testing.T) {
	b, p := invented.Rider()
	for v, angle := range map[rider.Variable]float64{rider.TrunkLean: 121, rider.HipFlexion: -31, rider.AnkleDorsiflexion: 61, rider.KneeFlexion: 176, rider.ElbowFlexion: -21, rider.ShoulderFlexion: 183} {
		_, err := rider.Limits{Body: b, Joints: []rider.Limit{{Variable: v, Bound: rider.AtMost, Angle: angle}}}.Check(p)
		require.ErrorIs(t, err, contact.ErrRange, v)
	}
	b.Right, b.Upper = rider.Leg{}, rider.Upper{}
	for _, one := range []rider.Limit{
		{Variable: rider.KneeFlexion, Side: contact.Right, Bound: rider.AtMost, Angle: 110},
		{Variable: rider.HipFlexion, Side: contact.Left, Bound: rider.AtMost, Angle: 110},
		{Variable: rider.TrunkLean, Bound: rider.AtMost, Angle: 60},
	} {
		require.ErrorIs(t, rider.Limits{Body: b, Joints: []rider.Limit{one}}.Validate(), contact.ErrConflict, one)
	}
}
