package rider_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/internal/invented"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

func init() { trial.Rapid(40, 2000, 1) }

var legMeasures = []rider.Variable{rider.KneeFlexion, rider.HipFlexion, rider.AnkleDorsiflexion}

// anyRider draws a body with both legs, trunk and arms, and a position that it reaches.
func anyRider(t *rapid.T) (rider.Body, contact.Position) {
	given := rapid.SampledFrom([]rider.AnkleAngle{rider.SolePitch, rider.Dorsiflexion}).Draw(t, "ankle")
	b, p := anybody(rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1)), given, rapid.IntRange(1, 12).Draw(t, "angles"))
	b.Right = b.Left
	b.Right.Thigh -= rapid.Float64Range(0, 5).Draw(t, "thigh")
	foot, _ := p.At(contact.FootLeft)
	p.Set(contact.FootRight, r3.Vec{X: foot.X, Y: -foot.Y, Z: foot.Z + rapid.Float64Range(-3, 3).Draw(t, "lift")})
	ref, _ := p.At(contact.SaddleReference)
	for i, s := range []contact.Site{contact.HoodsLeft, contact.HoodsRight} {
		p.Set(s, r3.Vec{X: ref.X + 730, Y: 200 - 400*float64(i), Z: ref.Z - rapid.Float64Range(0, 80).Draw(t, "drop")})
	}
	whole, _ := invented.Rider()
	b.Upper = whole.Upper
	if rapid.Bool().Draw(t, "trunk") {
		b.Upper.Keep, b.Upper.Angle = rider.KeepTrunk, rapid.Float64Range(35, 50).Draw(t, "lean")
	}
	return b, p
}

func span(t require.TestingT, c rider.Chain, m rider.Variable, side contact.Side) rider.Span {
	s, err := c.Span(m, side)
	require.NoError(t, err)
	return s
}

func closed(t require.TestingT, b rider.Body, p contact.Position) rider.Chain {
	c, err := rider.NewChain(b, p)
	require.NoError(t, err)
	return c
}

// The left leg of a rider is the right leg of the mirror image.
func TestPropertyMirror(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b, p := anyRider(t)
		c := closed(t, b, p)
		b.Left, b.Right = b.Right, b.Left
		b.Upper.Grip = b.Upper.Grip.On(contact.Right)
		d := closed(t, b, p.Mirror())
		for _, m := range legMeasures {
			require.Equal(t, span(t, c, m, contact.Left), span(t, d, m, contact.Right))
			require.Equal(t, span(t, c, m, contact.Right), span(t, d, m, contact.Left))
		}
	})
}

// Angles have no unit: a rider and a bike of another size.
func TestPropertyScale(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b, p := anyRider(t)
		k := rapid.Float64Range(0.85, 1.2).Draw(t, "k")
		c := closed(t, b, p)
		leg := func(l rider.Leg) rider.Leg {
			l.Thigh *= k
			l.Shank *= k
			l.AnkleHeight *= k
			l.AnkleBehind *= k
			return l
		}
		b.Left, b.Right = leg(b.Left), leg(b.Right)
		b.HipForward *= k
		b.HipUp *= k
		u := &b.Upper
		for _, v := range []*float64{&u.Trunk, &u.UpperArm, &u.Forearm, &u.WristBack, &u.WristUp} {
			*v *= k
		}
		for s, v := range p.All() {
			p.Set(s, r3.Scale(k, v))
		}
		d := closed(t, b, p)
		for _, m := range legMeasures {
			v, w := span(t, c, m, contact.Left), span(t, d, m, contact.Left)
			require.InDelta(t, v.Least, w.Least, 1e-7, m)
			require.InDelta(t, v.Most, w.Most, 1e-7, m)
			require.InDelta(t, k*v.Gap, w.Gap, 1e-7, m)
		}
		up, _ := c.Upper()
		up2, _ := d.Upper()
		require.InDelta(t, up.TrunkLean, up2.TrunkLean, 1e-7)
		require.InDelta(t, up.ElbowFlexion, up2.ElbowFlexion, 1e-7)
		require.InDelta(t, up.ShoulderFlexion, up2.ShoulderFlexion, 1e-7)
	})
}

// Stroke, At, Span and FarEnd look at the same chain; a turn later it is the same posture.
func TestPropertyPostures(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b, p := anyRider(t)
		c := closed(t, b, p)
		side := rapid.SampledFrom([]contact.Side{contact.Left, contact.Right}).Draw(t, "side")
		all := make([]rider.Posture, rapid.IntRange(1, 50).Draw(t, "n"))
		require.NoError(t, c.Stroke(side, all))
		for i, s := range all {
			at := 360 * float64(i) / float64(len(all))
			one, err := c.At(side, at)
			require.NoError(t, err)
			require.Equal(t, s, one)
			round, err := c.At(side, at-720)
			require.NoError(t, err)
			require.InDelta(t, 0, r3.Norm(r3.Sub(s.Knee, round.Knee)), 1e-6)
			for _, m := range legMeasures {
				v := map[rider.Variable]float64{rider.KneeFlexion: s.KneeFlexion, rider.HipFlexion: s.HipFlexion, rider.AnkleDorsiflexion: s.AnkleDorsiflexion}[m]
				w := span(t, c, m, side)
				require.GreaterOrEqual(t, v, w.Least-1e-7, m)
				require.LessOrEqual(t, v, w.Most+1e-7, m)
				require.InDelta(t, w.Range(), w.Most-w.Least, 1e-12)
			}
		}
		far, err := c.FarEnd(side)
		require.NoError(t, err)
		if far.Gap == 0 {
			require.InDelta(t, span(t, c, rider.KneeFlexion, side).Least, far.KneeFlexion, 1e-7)
		}
	})
}

// With the sole held level, hip and ankle are as far apart as the middle of the
// ankle's circle plus or less the crank: a longer crank flexes the knee more at
// the top and less at the far end, and a higher saddle flexes it less.
func TestPropertyCrankAndSaddle(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b, p := anybody(rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1)), rider.SolePitch, 1)
		c := closed(t, b, p)
		foot, _ := p.At(contact.FootLeft)
		foot.X += rapid.Float64Range(0.5, 10).Draw(t, "longer")
		q := p
		q.Set(contact.FootLeft, foot)
		short, long := span(t, c, rider.KneeFlexion, contact.Left), span(t, closed(t, b, q), rider.KneeFlexion, contact.Left)
		require.Greater(t, long.Most, short.Most)
		require.Less(t, long.Least, short.Least)

		by, up, err := b.RaiseSaddle(p, contact.Left, short.Least+1, 75)
		require.NoError(t, err)
		require.Less(t, by, 0., "a knee that is to bend more wants a lower saddle")
		require.InDelta(t, short.Least+1, span(t, closed(t, b, up), rider.KneeFlexion, contact.Left).Least, 1e-6)
		require.Greater(t, span(t, closed(t, b, up), rider.KneeFlexion, contact.Left).Most, short.Most)

		// There and back again, and to where it is.
		down, home, err := b.RaiseSaddle(up, contact.Left, short.Least, 75)
		require.NoError(t, err)
		require.InDelta(t, -by, down, 1e-6)
		_, far, _ := home.Sub(p).Largest()
		require.InDelta(t, 0, far, 1e-6)
		length, same, err := b.CrankLength(p, contact.Left, short.Least)
		require.NoError(t, err)
		old, _ := p.At(contact.FootLeft)
		require.InDelta(t, old.X, length, 1e-6)
		_, far, _ = same.Sub(p).Largest()
		require.InDelta(t, 0, far, 1e-6)
	})
}

// A position against itself changes nothing, and backwards before and after change places.
func TestPropertyCompare(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b, p := anyRider(t)
		q := p
		ref, _ := p.At(contact.SaddleReference)
		q.Set(contact.SaddleReference, r3.Add(ref, r3.Vec{X: rapid.Float64Range(-10, 10).Draw(t, "x"), Z: rapid.Float64Range(-10, 5).Draw(t, "z")}))
		there, err := b.Compare(p, q)
		require.NoError(t, err)
		back, err := b.Compare(q, p)
		require.NoError(t, err)
		self, err := b.Compare(p, p)
		require.NoError(t, err)
		require.Len(t, back, len(there))
		require.Len(t, there, 2*3+3)
		for i, c := range there {
			require.Equal(t, rider.Comparison{Variable: c.Variable, Side: c.Side, Before: c.After, After: c.Before}, back[i])
			require.Equal(t, self[i].Before, self[i].After)
			require.Equal(t, c.Before, self[i].Before)
		}
	})
}

func TestPropertyStartingValues(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := func(lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, "number") }
		inseam, crank := f(700, 950), f(140, 190)
		h, err := rider.StartByInseam109(inseam)
		require.NoError(t, err)
		bb, err := h.ToBottomBracket(crank)
		require.NoError(t, err)
		again, err := bb.ToPedal(crank)
		require.NoError(t, err)
		require.InDelta(t, h.Height, again.Height, 1e-9)
		longer, err := h.ToBottomBracket(crank + 5)
		require.NoError(t, err)
		require.Less(t, longer.Height, bb.Height)

		more := inseam + f(1, 50)
		seat, least, most := f(70, 76), f(20, 50), f(100, 120)
		for _, rule := range []func(inseam, flexed float64) float64{
			func(i, _ float64) float64 {
				v, err := rider.StartByInseam109(i)
				require.NoError(t, err)
				return v.Height
			},
			func(i, _ float64) float64 {
				v, err := rider.StartByInseam883(i)
				require.NoError(t, err)
				return v.Height
			},
			func(i, k float64) float64 {
				v, err := rider.StartByLeastFlexion(i, seat, least+k)
				require.NoError(t, err)
				return v.Height
			},
			func(i, k float64) float64 {
				v, err := rider.StartByMostFlexion(i, seat, most+k)
				require.NoError(t, err)
				return v.Height
			},
		} {
			require.Greater(t, rule(more, 0), rule(inseam, 0), "longer legs, a higher saddle")
			require.LessOrEqual(t, rule(inseam, 1), rule(inseam, 0), "a knee that bends more, a lower saddle")
		}

		stature, k := f(1500, 1800), f(1, 1.1)
		for _, table := range []rider.Table{rider.DrillisContini, rider.ANSURMen, rider.ANSURWomen} {
			for _, s := range []rider.Segment{rider.Thigh, rider.Shank, rider.AnkleHeight, rider.Trunk, rider.UpperArm, rider.Forearm} {
				v, err := table.Length(s, stature)
				w, err2 := table.Length(s, k*stature)
				require.Equal(t, err == nil, err2 == nil)
				require.InDelta(t, k*v, w, 1e-9)
				require.True(t, err != nil || !math.IsNaN(v) && v > 0 && v < stature/2)
			}
		}
	})
}

func TestPastTheLast(t *testing.T) {
	for _, pair := range [][2]string{
		{rider.Dorsiflexion.String(), (rider.Dorsiflexion + 1).String()},
		{rider.KeepTrunk.String(), (rider.KeepTrunk + 1).String()},
		{rider.ElbowFlexion.String(), (rider.ElbowFlexion + 1).String()},
		{rider.Forearm.String(), (rider.Forearm + 1).String()},
		{rider.ANSURWomen.String(), (rider.ANSURWomen + 1).String()},
	} {
		require.NotContains(t, pair[0], "(")
		require.Contains(t, pair[1], "(")
	}
}
