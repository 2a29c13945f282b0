package rider_test

import (
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/internal/invented"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// add changes a number of a body.
func add(b *rider.Body, n rider.Number, by float64) {
	l := &b.Left
	if n.Side == contact.Right {
		l = &b.Right
	}
	if n.Of == rider.BodyAnkleAngle {
		l.Ankle.Profile = slices.Clone(l.Ankle.Profile)
		for i := range l.Ankle.Profile {
			l.Ankle.Profile[i] += by
		}
		return
	}
	*map[rider.Dimension]*float64{
		rider.BodyThigh: &l.Thigh, rider.BodyShank: &l.Shank, rider.BodyAnkleHeight: &l.AnkleHeight, rider.BodyAnkleBehind: &l.AnkleBehind,
		rider.BodyHipForward: &b.HipForward, rider.BodyHipUp: &b.HipUp, rider.BodyTrunk: &b.Upper.Trunk, rider.BodyUpperArm: &b.Upper.UpperArm,
		rider.BodyForearm: &b.Upper.Forearm, rider.BodyWristBack: &b.Upper.WristBack, rider.BodyWristUp: &b.Upper.WristUp, rider.BodyUpperAngle: &b.Upper.Angle,
	}[n.Of] += by
}

// shift changes a coordinate of a position.
func shift(p *contact.Position, c contact.Coordinate, by float64) {
	v, _ := p.At(c.Site)
	*map[contact.Axis]*float64{contact.AxisX: &v.X, contact.AxisY: &v.Y, contact.AxisZ: &v.Z}[c.Axis] += by
	p.Set(c.Site, v)
}

func numbersOf(b rider.Body) (all []rider.Number) {
	for d := rider.BodyThigh; d <= rider.BodyUpperAngle; d++ {
		switch {
		case d > rider.BodyAnkleAngle:
			all = append(all, rider.Number{Of: d})
		case b.Right.Thigh == 0:
			all = append(all, rider.Number{Of: d, Side: contact.Left})
		default:
			all = append(all, rider.Number{Of: d, Side: contact.Left}, rider.Number{Of: d, Side: contact.Right})
		}
	}
	return all
}

func coordinatesOf(p contact.Position) (all []contact.Coordinate) {
	for i := 1; i < contact.SiteCount; i++ {
		if _, ok := p.At(contact.Site(i)); ok {
			for axis := contact.AxisX; axis <= contact.AxisZ; axis++ {
				all = append(all, contact.Coordinate{Site: contact.Site(i), Axis: axis})
			}
		}
	}
	return all
}

// differ holds slopes against central differences, by all numbers: what has no slope must
// change nothing.
func differ(t require.TestingT, s rider.Slopes, b rider.Body, p contact.Position, of func(rider.Body, contact.Position) float64) {
	const h = 1e-3
	for _, n := range numbersOf(b) {
		want := 0.0
		for _, d := range s.Body {
			if d.Number == n {
				want += d.By
			}
		}
		low, high := b, b
		add(&low, n, -h)
		add(&high, n, h)
		require.InDelta(t, (of(high, p)-of(low, p))/(2*h), want, 1e-7*max(1, math.Abs(want)), n)
	}
	for _, c := range coordinatesOf(p) {
		want := 0.0
		for _, d := range s.Position {
			if d.Coordinate == c {
				want += d.By
			}
		}
		low, high := p, p
		shift(&low, c, -h)
		shift(&high, c, h)
		require.InDelta(t, (of(b, high)-of(b, low))/(2*h), want, 1e-7*max(1, math.Abs(want)), c)
	}
}

// bent tells whether all joints are bent enough for differences to be good to 1e-7: near a
// straight limb angles bend too much for that.
func bent(t require.TestingT, c rider.Chain) bool {
	upper, _ := c.Upper()
	for _, side := range []contact.Side{contact.Left, contact.Right} {
		if s := span(t, c, rider.KneeFlexion, side); s.Least < 15 || s.Gap != 0 {
			return false
		}
	}
	return upper.Gap == 0 && upper.ElbowFlexion > 15
}

// Slopes by every coordinate and number against central differences, to 1e-7: angles at a
// crank angle, extremes and answers of the inverses.
func TestPropertySlopes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b, p := anyRider(t)
		if rapid.Bool().Draw(t, "pedals") {
			for i, s := range []contact.Site{contact.PedalLeft, contact.PedalRight} {
				foot, _ := p.At(contact.FootLeft)
				p.Set(s, r3.Vec{X: foot.X - 2, Y: 74 - 148*float64(i)})
			}
		}
		if rapid.Bool().Draw(t, "one hand") {
			p.Forget(contact.HoodsLeft)
		}
		c := closed(t, b, p)
		if !bent(t, c) {
			t.Skip("near straight")
		}
		side := rapid.SampledFrom([]contact.Side{contact.Left, contact.Right}).Draw(t, "side")
		crank := rapid.Float64Range(0, 360).Draw(t, "crank")
		m := rapid.SampledFrom(variables).Draw(t, "variable")
		switch rapid.IntRange(0, 5).Draw(t, "what") {
		case 0:
			s, err := c.Slopes(m, side, crank)
			require.NoError(t, err)
			differ(t, s, b, p, func(b rider.Body, p contact.Position) float64 { return valueAt(t, closed(t, b, p), m, side, crank) })
		case 1:
			_, least, most, err := c.SpanSlopes(m, side)
			require.NoError(t, err)
			differ(t, most.Sub(least), b, p, func(b rider.Body, p contact.Position) float64 { return span(t, closed(t, b, p), m, side).Range() })
		case 2:
			a, err := b.SaddleSlopes(p, side, 32, 73.5)
			if err != nil {
				t.Skip("a joint that is held does not allow it")
			}
			differ(t, a.Slopes, b, p, func(b rider.Body, p contact.Position) float64 {
				by, _, err := b.RaiseSaddle(p, side, 32, 73.5)
				require.NoError(t, err)
				return by
			})
			more, _, err := b.RaiseSaddle(p, side, 32.001, 73.5)
			require.NoError(t, err)
			require.InDelta(t, (more-a.Value)/0.001, a.PerDegree, 1e-3)
		case 3:
			s, err := c.SoleSlopes(side, crank)
			require.NoError(t, err)
			differ(t, s, b, p, func(b rider.Body, p contact.Position) float64 {
				return postureAt(t, closed(t, b, p), side, crank).SolePitch
			})
		case 4:
			landmark := rapid.Float64Range(-50, 120).Draw(t, "landmark")
			s, err := c.KneeOverSpindleSlopes(side, crank, landmark)
			require.NoError(t, err)
			differ(t, s, b, p, func(b rider.Body, p contact.Position) float64 {
				by, err := postureAt(t, closed(t, b, p), side, crank).KneeOverSpindle(landmark)
				require.NoError(t, err)
				return by
			})
		default:
			a, err := b.CrankSlopes(p, side, 32)
			if err != nil {
				t.Skip("no crank gives it")
			}
			differ(t, a.Slopes, b, p, func(b rider.Body, p contact.Position) float64 {
				length, _, err := b.CrankLength(p, side, 32)
				require.NoError(t, err)
				return length
			})
		}
	})
}

var variables = []rider.Variable{rider.KneeFlexion, rider.HipFlexion, rider.AnkleDorsiflexion, rider.TrunkLean, rider.ShoulderFlexion, rider.ElbowFlexion}

func postureAt(t require.TestingT, c rider.Chain, side contact.Side, crank float64) rider.Posture {
	p, err := c.At(side, crank)
	require.NoError(t, err)
	return p
}

func valueAt(t require.TestingT, c rider.Chain, m rider.Variable, side contact.Side, crank float64) float64 {
	upper, _ := c.Upper()
	p := postureAt(t, c, side, crank)
	switch m {
	case rider.KneeFlexion:
		return p.KneeFlexion
	case rider.HipFlexion:
		return p.HipFlexion
	case rider.AnkleDorsiflexion:
		return p.AnkleDorsiflexion
	case rider.TrunkLean:
		return upper.TrunkLean
	case rider.ShoulderFlexion:
		return upper.ShoulderFlexion
	default:
		return upper.ElbowFlexion
	}
}

// sigmas is a body of whose numbers each has an error by itself, and hip and shank one in
// common.
func sigmas(t require.TestingT, b rider.Body, size float64) rider.Covariance {
	all := numbersOf(b)
	c, err := rider.NewCovariance(all, func(i, j int) float64 {
		v := 0.0
		if i == j {
			v = size * size
			if all[i].Of.Unit() == "degrees" {
				v /= 4
			}
		}
		common := func(n rider.Number) bool { return n.Of == rider.BodyHipUp || n.Of == rider.BodyShank }
		if common(all[i]) && common(all[j]) {
			v += size * size / 4
		}
		return v
	})
	require.NoError(t, err)
	return c
}

// Uncertainties of spans, changes and answers against draws (JCGM 101): within 2 %. The test
// has a tenth of the draws of the proof, and is given what chance does to so few.
func TestSigmaMonteCarlo(t *testing.T) {
	draws := 2000
	if n, err := strconv.Atoi(os.Getenv("FITGEOM_DRAWS")); err == nil {
		draws = n
	}
	const bodySize, positionSize, wanted, raised = 1, 0.5, 35., 8.
	b, p := invented.Rider()
	after := p
	for _, s := range []contact.Site{contact.SaddleReference, contact.SaddleNose, contact.SaddleRear} {
		shift(&after, contact.Coordinate{Site: s, Axis: contact.AxisZ}, raised)
	}
	body := sigmas(t, b, bodySize)
	coords := coordinatesOf(p)
	position, err := contact.NewCovariance(coords, func(i, j int) float64 {
		if i == j {
			return positionSize * positionSize
		}
		return 0
	})
	require.NoError(t, err)
	stated := map[string]float64{}
	c := closed(t, b, p)
	_, least, most, err := c.SpanSlopes(rider.HipFlexion, contact.Right)
	require.NoError(t, err)
	over, err := c.KneeOverSpindleSlopes(contact.Left, 90, 45)
	require.NoError(t, err)
	sole, err := c.SoleSlopes(contact.Left, 90)
	require.NoError(t, err)
	for name, s := range map[string]rider.Slopes{"hip least": least, "hip most": most, "knee over spindle": over, "sole": sole} {
		stated[name], err = s.Sigma(position, body)
		require.NoError(t, err)
	}
	saddle, err := b.SaddleSlopes(p, contact.Left, wanted, 73.5)
	require.NoError(t, err)
	crank, err := b.CrankSlopes(p, contact.Left, wanted)
	require.NoError(t, err)
	for name, a := range map[string]rider.Answer{"saddle": saddle, "crank": crank} {
		stated[name], err = a.Slopes.Sigma(position, body)
		require.NoError(t, err)
	}
	for name, u := range map[string]rider.Uncertainty{"moved": {Body: body, Before: position, Moved: true}, "again": {Body: body, Before: position, After: position}} {
		changes, err := b.Changes(p, after, u)
		require.NoError(t, err)
		stated[name] = changes[0].Least.Sigma
		stated[name+", range"] = changes[0].Range.Sigma
	}

	rng := rand.New(rand.NewPCG(23, 1))
	moved := func(p contact.Position) contact.Position {
		for _, k := range coords {
			shift(&p, k, positionSize*rng.NormFloat64())
		}
		return p
	}
	drawn := map[string][]float64{}
	put := func(name string, v float64) { drawn[name] = append(drawn[name], v) }
	for range draws {
		one := b
		common := bodySize / 2 * rng.NormFloat64()
		for _, n := range numbersOf(b) {
			by := bodySize * rng.NormFloat64()
			if n.Of.Unit() == "degrees" {
				by /= 2
			}
			if n.Of == rider.BodyHipUp || n.Of == rider.BodyShank {
				by += common
			}
			add(&one, n, by)
		}
		first := moved(p)
		hip := span(t, closed(t, one, first), rider.HipFlexion, contact.Right)
		put("hip least", hip.Least)
		put("hip most", hip.Most)
		at := postureAt(t, closed(t, one, first), contact.Left, 90)
		put("sole", at.SolePitch)
		forward, err := at.KneeOverSpindle(45)
		require.NoError(t, err)
		put("knee over spindle", forward)
		by, _, err := one.RaiseSaddle(first, contact.Left, wanted, 73.5)
		require.NoError(t, err)
		put("saddle", by)
		length, _, err := one.CrankLength(first, contact.Left, wanted)
		require.NoError(t, err)
		put("crank", length)
		second := first
		shift(&second, contact.Coordinate{Site: contact.SaddleReference, Axis: contact.AxisZ}, raised)
		before := span(t, closed(t, one, first), rider.KneeFlexion, contact.Left)
		for name, p := range map[string]contact.Position{"moved": second, "again": moved(after)} {
			then := span(t, closed(t, one, p), rider.KneeFlexion, contact.Left)
			put(name, then.Least-before.Least)
			put(name+", range", then.Range()-before.Range())
		}
	}
	for name, want := range stated {
		sum, squares := 0.0, 0.0
		for _, v := range drawn[name] {
			sum += v / float64(draws)
		}
		for _, v := range drawn[name] {
			squares += (v - sum) * (v - sum) / float64(draws-1)
		}
		t.Logf("body: | %s | %.4f | %.4f | %+.1f |", name, want, math.Sqrt(squares), 100*(want/math.Sqrt(squares)-1))
		assert.InEpsilon(t, math.Sqrt(squares), want, 0.02+2.5/math.Sqrt(2*float64(draws)), name)
	}
}

// Numbers that no body has, twice, a matrix that errors cannot have; and what a covariance
// that is there does not know.
func TestCovarianceRefuses(t *testing.T) {
	hip, thigh := rider.Number{Of: rider.BodyHipUp}, rider.Number{Of: rider.BodyThigh, Side: contact.Right}
	one := func(i, j int) float64 { return 1 }
	for _, c := range []struct {
		numbers []rider.Number
		at      func(i, j int) float64
		class   error
		path    string
	}{
		{[]rider.Number{{Of: rider.BodyThigh}}, one, contact.ErrUnknown, "numbers[0]"},
		{[]rider.Number{{Of: rider.BodyHipUp, Side: contact.Left}}, one, contact.ErrUnknown, "numbers[0]"},
		{[]rider.Number{hip, hip}, one, contact.ErrConflict, "numbers[1]"},
		{[]rider.Number{hip, thigh}, func(i, j int) float64 { return float64(1 - 3*(i-j)) }, contact.ErrConflict, "covariance"},
		{[]rider.Number{hip}, func(i, j int) float64 { return math.NaN() }, contact.ErrRange, "hip_up, hip_up"},
		{nil, nil, contact.ErrMissing, "at"},
	} {
		_, err := rider.NewCovariance(c.numbers, c.at)
		require.ErrorIs(t, err, c.class)
		require.Equal(t, c.path, contact.Faults(err)[0].Path)
	}
	c, err := rider.NewCovariance([]rider.Number{hip, thigh}, func(i, j int) float64 { return []float64{4, 1, 9}[i+j] })
	require.NoError(t, err)
	sigma, ok := c.Sigma(thigh)
	require.True(t, ok)
	require.InDelta(t, 3, sigma, 1e-12)
	between, ok := c.At(thigh, hip)
	require.True(t, ok)
	require.InDelta(t, 1, between, 0)
	// (JCGM 100:2008, 5.2.2) of hip + 2·thigh: 4 + 4·9 + 2·2·1.
	v, err := rider.Slopes{Body: []rider.Derivative{{hip, 1}, {thigh, 2}}}.Sigma(contact.Covariance{}, c)
	require.NoError(t, err)
	require.InDelta(t, math.Sqrt(44), v, 1e-12)
	_, err = c.Between([]rider.Derivative{{rider.Number{Of: rider.BodyTrunk}, 1}}, nil)
	require.NoError(t, err)
	_, err = rider.Slopes{Body: []rider.Derivative{{rider.Number{Of: rider.BodyTrunk}, 1}}}.Sigma(contact.Covariance{}, c)
	require.ErrorIs(t, err, contact.ErrMissing)
	require.Equal(t, "body.covariance.trunk", contact.Faults(err)[0].Path)
}

// Limbs that are straight or do not reach have no slopes, and a change of them none
// either; a covariance beside a move is a contradiction.
func TestChangesRefuse(t *testing.T) {
	b, p := invented.Rider()
	far := p
	shift(&far, contact.Coordinate{Site: contact.SaddleReference, Axis: contact.AxisZ}, 150)
	_, err := b.Changes(p, far, rider.Uncertainty{})
	require.ErrorIs(t, err, contact.ErrConflict)
	require.Equal(t, "after.knee_flexion", contact.Faults(err)[0].Path)
	known, err := contact.NewCovariance([]contact.Coordinate{{Site: contact.SaddleReference}}, func(i, j int) float64 { return 1 })
	require.NoError(t, err)
	_, err = b.Changes(p, p, rider.Uncertainty{Moved: true, After: known})
	require.ErrorIs(t, err, contact.ErrConflict)
	_, err = b.Changes(p, p, rider.Uncertainty{After: known})
	require.ErrorIs(t, err, contact.ErrMissing)
	require.Contains(t, contact.Faults(err)[0].Path, "after.covariance.")
	same, err := b.Changes(p, p, rider.Uncertainty{Body: sigmas(t, b, 5), Moved: true})
	require.NoError(t, err)
	for _, c := range same { // the same errors in both fall out
		require.InDelta(t, 0, c.Least.Sigma, 1e-12)
	}
	// 1.959964 standard deviations hold 95 % of a normal distribution.
	low, high, err := rider.Estimate{Value: 2, Sigma: 1}.Range(0.95)
	require.NoError(t, err)
	require.InDelta(t, 2-1.959964, low, 1e-6)
	require.InDelta(t, 2+1.959964, high, 1e-6)
	real95, err := rider.Estimate{Value: -2, Sigma: 1}.Real(0.95)
	require.NoError(t, err)
	require.True(t, real95)
	_, err = rider.Estimate{}.Real(1)
	require.ErrorIs(t, err, contact.ErrRange)
}
