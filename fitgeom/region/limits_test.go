package region_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/region"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/invented"
	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// limitedCase is a case of a rider whose limits are near to what the target asks of hip, trunk and
// arms.
func limitedCase(t *testing.T, seed uint64) regionCase {
	c := newRegionCase(seed)
	rng := rand.New(rand.NewPCG(seed, 17))
	pedal := invented.Everything().Pedal
	c.shelf.Pedals = []part.Pedal{pedal}
	crank := c.shelf.Cranks[0].Length
	c.target.Set(contact.FootLeft, r3.Vec{X: crank, Y: 125, Z: pedal.FootHeight})
	c.target.Set(contact.FootRight, r3.Vec{X: crank, Y: -125, Z: pedal.FootHeight})
	body, _ := invented.Rider()
	if rng.IntN(2) == 0 {
		body.Upper.Keep, body.Upper.Angle = rider.KeepTrunk, 40+8*rng.Float64()
	}
	if rng.IntN(4) == 0 {
		body.Upper.Grip = contact.DropsRight
	}
	chain, err := rider.NewChain(body, c.target)
	require.NoError(t, err)
	c.bounds.Limits.Body = body
	for range 1 + rng.IntN(3) {
		one := rider.Limit{Variable: []rider.Variable{rider.HipFlexion, rider.TrunkLean, rider.ShoulderFlexion, rider.ElbowFlexion}[rng.IntN(4)], Bound: rider.Bound(1 + rng.IntN(2))}
		s, err := chain.Span(one.Variable, contact.Left)
		require.NoError(t, err)
		if one.Angle = s.Least + 0.15*rng.Float64() - 0.1; one.Bound == rider.AtMost {
			one.Angle = s.Most - 0.15*rng.Float64() + 0.1
		}
		with := c.bounds.Limits
		if with.Joints = append(with.Joints[:len(with.Joints):len(with.Joints)], one); with.Validate() == nil {
			c.bounds.Limits = with
		}
	}
	return c
}

// settings tries all stems, spacers and rotations of the bar, each half hundredth of a degree, with
// the head tube's top at a place, by the forward map and the limits alone: saddle and feet are the
// target's.
func (c *regionCase) settings(t *testing.T, at region.HeadPlace) bool {
	b := invented.Build()
	b.Frame, b.Handlebar, b.Cap, b.Settings.BarRotation = c.frame, c.bounds.Handlebar, c.shelf.Caps[0], 0
	b.Frame.Geometry.Reach, b.Frame.Geometry.Stack = at.Reach, at.Stack
	for _, b.Stem = range c.shelf.Stems {
		for flips := range 2 {
			if b.Settings.Flipped = flips == 1; b.Settings.Flipped && !b.Stem.Flippable {
				continue
			}
			for up := c.bounds.Up.From; up <= c.bounds.Up.To; up += 2.5 {
				b.Settings.Spacers = up - b.Cap.Height
				p, err := b.Position()
				require.NoError(t, err)
				for turn := -200 * b.Handlebar.RotationRange; turn <= 200*b.Handlebar.RotationRange; turn++ {
					if c.rolled(p, turn/200) {
						return true
					}
				}
			}
		}
	}
	return false
}

// rolled reports whether a position with its bar turned, and with the target's saddle and feet, is
// within tolerances and limits.
func (c *regionCase) rolled(p contact.Position, roll float64) bool {
	clamp, _ := p.At(contact.BarClamp)
	sin, cos := num.Sincos(roll)
	turned := func(s contact.Site) r3.Vec {
		v, _ := p.At(s)
		x, z := v.X-clamp.X, v.Z-clamp.Z
		return r3.Vec{X: clamp.X + x*cos - z*sin, Y: v.Y, Z: clamp.Z + x*sin + z*cos}
	}
	for _, k := range c.keep {
		if k.Site.Group() == contact.OnHandlebar {
			at, _ := c.target.At(k.Site)
			if off := r3.Sub(turned(k.Site), at); math.Abs(off.X) > k.Tolerance.X || math.Abs(off.Z) > k.Tolerance.Z {
				return false
			}
		}
	}
	after := c.target
	for s := range p.All() {
		if s.Group() == contact.OnHandlebar {
			after.Set(s, turned(s))
		}
	}
	return !c.bounds.Limits.Breaks(after)
}

// Oracle: with bars that do not turn a place is in the region of limits if Problem.Solve holds there
// within them; with those that do if one of all settings does, since Solve turns a bar to where it is
// closest. Places nearer to the edge than the region promises (0.02 mm) are left out.
func TestRegionOfLimits(t *testing.T) {
	cases := 24
	if trial.Long() {
		cases = 200
	}
	inside, outside, near, cut, ways := 0, 0, 0, 0, 0
	for i := range cases {
		c := limitedCase(t, uint64(i))
		if i%2 == 0 {
			c.bounds.Handlebar.RotationRange = 0
			c.shelf.Handlebars[0] = c.bounds.Handlebar
		} else {
			c.bounds.Handlebar.RotationRange = min(2, c.bounds.Handlebar.RotationRange)
		}
		holds := func(at region.HeadPlace) bool {
			if i%2 != 0 {
				return c.settings(t, at)
			}
			f := c.frame
			f.Geometry.Reach, f.Geometry.Stack = at.Reach, at.Stack
			r, err := solve.Problem{Target: c.target, Frame: f, Shelf: c.shelf, Keep: c.keep, Limits: c.bounds.Limits, Limit: 1}.Solve(t.Context())
			require.NoError(t, err)
			return r.Holds()
		}
		free := c.bounds
		free.Limits = rider.Limits{}
		whole, err := region.New(t.Context(), c.target, free, c.keep)
		require.NoError(t, err)
		r, err := region.New(t.Context(), c.target, c.bounds, c.keep)
		require.NoError(t, err)
		if r.Area() < whole.Area()-0.01 {
			cut++
		}
		if best, ok := r.Best(); ok {
			ways++
			assert.True(t, r.Holds(best))
			if p, _ := r.Place(best); p.Distance > 0.02 {
				assert.True(t, holds(best), "best of %d", i)
			}
		}
		rng := rand.New(rand.NewPCG(uint64(i), 18))
		var beside []region.HeadPlace // of the edges of both, and on the way between
		for _, o := range append(r.Outlines(), whole.Outlines()...) {
			beside = append(beside, o.Places...)
		}
		if len(beside) == 0 {
			continue
		}
		for range 40 {
			a, b := beside[rng.IntN(len(beside))], beside[rng.IntN(len(beside))]
			share, by := 0., 0.1
			if rng.IntN(3) == 0 {
				share, by = rng.Float64(), 1
			}
			at := region.HeadPlace{
				Reach: a.Reach + share*(b.Reach-a.Reach) + by*(2*rng.Float64()-1), Stack: a.Stack + share*(b.Stack-a.Stack) + by*(2*rng.Float64()-1),
			}
			p, ok := r.Place(at)
			switch {
			case ok && math.Abs(p.Distance) < 0.02:
				near++
				continue
			case ok && p.Holds:
				inside++
			default:
				outside++
			}
			assert.Equal(t, p.Holds, holds(at), "%d: %v, %g from the edge: %v", i, at, p.Distance, c.bounds.Limits.Joints)
		}
	}
	t.Logf("regions of limits: %d of %d riders' are less than without, %d have a place; %d places inside, %d outside, %d too near to tell, none on the wrong side", cut, cases, ways, inside, outside, near)
	assert.Greater(t, cut, cases/3)
	assert.Greater(t, inside, 2*cases)
}

// Limits of the legs are kept or broken wherever the frame is; a bar without the rider's grip leaves
// the arms where the target has them, and hands of which nobody knows break nothing.
func TestRegionOfOtherLimits(t *testing.T) {
	c := limitedCase(t, 3)
	body, _ := invented.Rider()
	c.bounds.Limits = rider.Limits{Body: body}
	area := func(b region.Bounds, target contact.Position) float64 {
		r, err := region.New(t.Context(), target, b, c.keep)
		require.NoError(t, err)
		return r.Area()
	}
	whole := area(c.bounds, c.target)
	require.Positive(t, whole)
	with := func(one rider.Limit) region.Bounds {
		b := c.bounds
		b.Limits.Joints = []rider.Limit{one}
		return b
	}
	knee := rider.Limit{Variable: rider.KneeFlexion, Bound: rider.AtLeast, Angle: 10}
	assert.Equal(t, whole, area(with(knee), c.target))
	knee.Angle = 100
	assert.Zero(t, area(with(knee), c.target))
	trunk := with(rider.Limit{Variable: rider.TrunkLean, Bound: rider.AtLeast, Angle: 100})
	assert.Zero(t, area(trunk, c.target))
	trunk.Limits.Body.Upper.Grip = contact.PadLeft
	assert.Equal(t, whole, area(trunk, c.target), "nobody knows where the pads are")
	target := c.target
	hoods, _ := target.At(contact.HoodsLeft)
	target.Set(contact.PadLeft, hoods)
	assert.Zero(t, area(trunk, target))

	c.bounds.Limits.Joints = []rider.Limit{{}}
	_, err := region.New(t.Context(), c.target, c.bounds, []fitgeom.Keep{})
	assert.True(t, trial.FaultAt(err, "bounds.limits.joints[0].variable", contact.ErrUnknown), err)
}
