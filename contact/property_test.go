package contact_test

import (
	"errors"
	"maps"
	"math"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/trial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

func init() { trial.Rapid(60, 5000, 1) }

func vec(t *rapid.T, lo, hi float64) r3.Vec {
	g := rapid.Float64Range(lo, hi)
	return r3.Vec{X: g.Draw(t, "x"), Y: g.Draw(t, "y"), Z: g.Draw(t, "z")}
}

// anyPosition draws some sites anywhere, and directions at some.
func anyPosition(t *rapid.T) contact.Position {
	var p contact.Position
	for _, s := range contact.Sites() {
		if rapid.Bool().Draw(t, "known") {
			p.Set(s, vec(t, -1500, 1500))
		}
		if rapid.IntRange(0, 3).Draw(t, "turned") == 0 {
			a := vec(t, -90, 90)
			p.SetAttitude(s, contact.Attitude{Tilt: a.X, Yaw: a.Y, Roll: a.Z})
		}
	}
	return p
}

// soundPosition draws a rider on a bike.
func soundPosition(t *rapid.T) contact.Position {
	f := func(lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, "number") }
	x, z := f(-300, -100), f(550, 850)
	p := contact.New(map[contact.Site]r3.Vec{
		contact.SaddleReference: {X: x, Y: f(-5, 5), Z: z},
		contact.SaddleNose:      {X: x + f(80, 180), Y: f(-5, 5), Z: z + f(-10, 10)},
		contact.SaddleRear:      {X: x - f(80, 180), Z: z + f(-10, 20)},
		contact.BarClamp:        {X: f(350, 550), Z: f(500, 750)},
		contact.HoodsLeft:       {X: f(400, 650), Y: f(150, 250), Z: f(500, 750)},
		contact.HoodsRight:      {X: f(400, 650), Y: f(-250, -150), Z: f(500, 750)},
		contact.PedalLeft:       {X: f(140, 190), Y: f(60, 90)},
		contact.PedalRight:      {X: f(140, 190), Y: f(-90, -60)},
	})
	p.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: f(-10, 10), Yaw: f(-3, 3), Roll: f(-3, 3)})
	return p
}

func mirrored(s contact.Site) contact.Site {
	if s.Side() == contact.Left {
		return s.On(contact.Right)
	}
	return s.On(contact.Left)
}

func TestPropertyMirror(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, q := anyPosition(t), anyPosition(t)
		assert.Equal(t, p, p.Mirror().Mirror())
		d, e := p.Sub(q), p.Mirror().Sub(q.Mirror())
		for _, s := range contact.Sites() {
			v, ok := d.At(s)
			w, ok2 := e.At(mirrored(s))
			require.Equal(t, ok, ok2)
			require.Equal(t, r3.Vec{X: v.X, Y: 0 - v.Y, Z: v.Z}, r3.Add(w, r3.Vec{}), s) // r3.Add turns -0 into 0
			a, ok := d.Attitude(s)
			b, ok2 := e.Attitude(mirrored(s))
			require.Equal(t, ok, ok2)
			require.InDelta(t, 0, math.Abs(a.Tilt-b.Tilt)+math.Abs(a.Yaw+b.Yaw)+math.Abs(a.Roll+b.Roll), 1e-12)
		}
		_, far, _ := d.Largest()
		_, far2, _ := e.Largest()
		require.Equal(t, far, far2)
	})
}

// A position is as sound as its mirror image: the same kinds of faults, as many.
func TestPropertyMirrorValidates(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := soundPosition(t)
		require.NoError(t, p.Validate())
		require.NoError(t, p.Mirror().Validate())
		s := rapid.SampledFrom(contact.Sites()).Draw(t, "site")
		p.Set(s, vec(t, -4000, 4000))
		classes := func(err error) map[error]int {
			all := map[error]int{}
			for _, f := range contact.Faults(err) {
				all[f.Class]++
			}
			return all
		}
		require.Equal(t, classes(p.Validate()), classes(p.Mirror().Validate()))
	})
}

// A position in metres, centimetres or inches shows: its saddle is too near.
func TestPropertyUnitsShow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := soundPosition(t)
		per := rapid.SampledFrom([]float64{1000, 10, 25.4}).Draw(t, "unit")
		for s, v := range p.All() {
			p.Set(s, r3.Scale(1/per, v))
		}
		require.ErrorIs(t, p.Validate(), contact.ErrUnit)
	})
}

func TestPropertyDifference(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, q, r := anyPosition(t), anyPosition(t), anyPosition(t)
		pq, qp, qr, pr := p.Sub(q), q.Sub(p), q.Sub(r), p.Sub(r)
		for _, s := range contact.Sites() {
			_, in := p.At(s)
			_, in2 := q.At(s)
			a, ok := pq.At(s)
			require.Equal(t, in && in2, ok)
			b, _ := qp.At(s)
			require.Equal(t, r3.Vec{}, r3.Add(a, b))
			if c, ok2 := qr.At(s); ok && ok2 {
				sum, ok3 := pr.At(s)
				require.True(t, ok3)
				require.InDelta(t, 0, r3.Norm(r3.Sub(sum, r3.Add(a, c))), 1e-9)
			}
			if v, ok := p.Sub(p).At(s); ok {
				require.Equal(t, r3.Vec{}, v)
			}
		}
	})
}

// In whatever order sites are set, and whatever was set and forgotten between.
func TestPropertySetInAnyOrder(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		points := maps.Collect(anyPosition(t).All())
		var p contact.Position
		for _, s := range rapid.Permutation(contact.Sites()).Draw(t, "order") {
			p.Set(s, vec(t, -10, 10))
			p.SetAttitude(s, contact.Attitude{Tilt: 1})
			p.Forget(s)
			if v, ok := points[s]; ok {
				p.Set(s, v)
			}
		}
		require.Equal(t, contact.New(points), p)
		require.True(t, p.Equal(contact.New(points)))
	})
}

func TestPropertyNames(t *testing.T) {
	for _, s := range contact.Sites() {
		text, err := s.MarshalText()
		require.NoError(t, err)
		var back contact.Site
		require.NoError(t, back.UnmarshalText(text))
		assert.Equal(t, s, back)
		assert.Equal(t, s, mirrored(mirrored(s)))
		for _, side := range []contact.Side{contact.Left, contact.Right} {
			assert.Equal(t, s.On(side), s.On(side).On(side))
			assert.Equal(t, s, s.On(side).On(s.Side()))
			if s.Side() != contact.Centre {
				assert.Equal(t, side, s.On(side).Side())
			}
		}
	}
}

// anyCovariance draws G·Gᵀ of some coordinates, which is one that errors can have,
// and G.
func anyCovariance(t *rapid.T, coords []contact.Coordinate, scale float64) (contact.Covariance, [][]float64) {
	n := len(coords)
	g := make([][]float64, n)
	for i := range g {
		for range n + 1 {
			g[i] = append(g[i], scale*rapid.Float64Range(-3, 3).Draw(t, "g"))
		}
		g[i][i] += 5 * scale
	}
	c, err := contact.NewCovariance(coords, func(i, j int) float64 {
		sum := 0.0
		for k := range g[i] {
			sum += g[i][k] * g[j][k]
		}
		return sum
	})
	require.NoError(t, err)
	return c, g
}

var all3 = []contact.Axis{contact.AxisX, contact.AxisY, contact.AxisZ}

func pointsOf(sites ...contact.Site) (all []contact.Coordinate) {
	for _, s := range sites {
		for _, a := range all3 {
			all = append(all, contact.Coordinate{Site: s, Axis: a})
		}
	}
	return all
}

func TestPropertyCovariance(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		coords := append(pointsOf(contact.SaddleReference, contact.HoodsLeft), contact.Coordinate{Site: contact.SaddleReference, Axis: contact.AxisTilt})
		c, g := anyCovariance(t, coords, 1)
		d, _ := anyCovariance(t, rapid.Permutation(coords).Draw(t, "order")[:5], 1)

		// The order of the coordinates counts for nothing.
		order := rapid.Permutation(coords).Draw(t, "order")
		again, err := contact.NewCovariance(order, func(i, j int) float64 { v, _ := c.At(order[i], order[j]); return v })
		require.NoError(t, err)
		require.Equal(t, order, again.Coordinates())
		sum, sum2 := c.Add(d), d.Add(c)
		require.Len(t, sum.Coordinates(), 5)
		for _, a := range coords {
			for _, b := range coords {
				v, ok := c.At(a, b)
				w, _ := again.At(b, a)
				require.True(t, ok)
				require.Equal(t, v, w)
				x, ok := d.At(a, b)
				s, ok2 := sum.At(a, b)
				s2, _ := sum2.At(b, a)
				require.Equal(t, ok, ok2)
				require.Equal(t, s, s2)
				if ok {
					require.InDelta(t, v+x, s, 1e-12)
				}
			}
		}

		// Of f = Σ aᵢ·xᵢ the variance is |Gᵀa|², and the covariance is bilinear.
		var f, h, both []contact.Derivative
		along, across := make([]float64, len(g[0])), make([]float64, len(g[0]))
		for i, k := range coords {
			a, b := rapid.Float64Range(-2, 2).Draw(t, "slope"), rapid.Float64Range(-2, 2).Draw(t, "slope")
			f, h = append(f, contact.Derivative{Coordinate: k, By: a}), append(h, contact.Derivative{Coordinate: k, By: b})
			both = append(both, contact.Derivative{Coordinate: k, By: a + 2*b})
			for j, v := range g[i] {
				along[j] += a * v
				across[j] += b * v
			}
		}
		dot := func(a, b []float64) (sum float64) {
			for i := range a {
				sum += a[i] * b[i]
			}
			return sum
		}
		between := func(f, g []contact.Derivative) float64 {
			v, err := c.Between(f, g)
			require.NoError(t, err)
			return v
		}
		require.InDelta(t, dot(along, along), between(f, f), 1e-9)
		require.InDelta(t, dot(along, across), between(f, h), 1e-9)
		require.InDelta(t, between(f, h), between(h, f), 1e-9)
		require.InDelta(t, between(f, f)+4*between(f, h)+4*between(h, h), between(both, both), 1e-8)
	})
}

// Whether a move is real depends neither on the unit of length, nor on which way
// round the axes are, nor on which position came first; and less coverage finds more.
func TestPropertyJudge(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := contact.HoodsLeft
		by := vec(t, -20, 20)
		c, _ := anyCovariance(t, pointsOf(s), 1)
		judge := func(by r3.Vec, c contact.Covariance, coverage float64) contact.Move {
			moves, turns, err := contact.New(map[contact.Site]r3.Vec{s: by}).Sub(contact.New(map[contact.Site]r3.Vec{s: {}})).Judge(c, coverage)
			require.NoError(t, err)
			require.Empty(t, turns)
			require.Len(t, moves, 1)
			return moves[0]
		}
		m := judge(by, c, 0.95)
		require.True(t, m.Chance >= 0 && m.Chance <= 1)
		require.Equal(t, m.Chance < 1-0.95, m.Real)
		if judge(by, c, 0.99).Real {
			require.True(t, m.Real)
		}
		require.InDelta(t, m.Chance, judge(r3.Scale(-1, by), c, 0.95).Chance, 1e-9)

		scaled := func(x, y, z float64) contact.Covariance {
			f := []float64{x, y, z}
			d, err := contact.NewCovariance(c.Coordinates(), func(i, j int) float64 {
				v, _ := c.At(c.Coordinates()[i], c.Coordinates()[j])
				return f[i] * f[j] * v
			})
			require.NoError(t, err)
			return d
		}
		inch := 1 / 25.4
		small := judge(r3.Scale(inch, by), scaled(inch, inch, inch), 0.95)
		require.InDelta(t, m.Chance, small.Chance, 1e-9)
		for _, k := range []float64{1e-4, 100} {
			require.InDelta(t, m.Chance, judge(r3.Scale(k, by), scaled(k, k, k), 0.95).Chance, 1e-9)
		}
		require.InDelta(t, m.Chance, judge(r3.Vec{X: by.X, Y: -by.Y, Z: by.Z}, scaled(1, -1, 1), 0.95).Chance, 1e-9)
		require.GreaterOrEqual(t, judge(by, scaled(1.5, 1.5, 1.5), 0.95).Chance, m.Chance)
		require.LessOrEqual(t, judge(r3.Scale(1.5, by), c, 0.95).Chance, m.Chance)

		mean, sigma := m.DistanceSquared()
		mean2, sigma2 := small.DistanceSquared()
		require.InEpsilon(t, mean*inch*inch, mean2, 1e-9)
		require.InEpsilon(t, sigma*inch*inch, sigma2, 1e-9)
		require.Greater(t, mean, r3.Norm2(by))
		d, u := m.DistanceMean()
		d2, u2 := small.DistanceMean()
		require.InEpsilon(t, d*inch, d2, 1e-9)
		require.InEpsilon(t, u*inch, u2, 1e-6)
		require.InEpsilon(t, mean, d*d+u*u, 1e-9)
		if distance, off, ok := m.Distance(); ok {
			d2, off2, ok2 := small.Distance()
			require.InEpsilon(t, r3.Norm(by), distance, 1e-12)
			require.InEpsilon(t, distance*inch, d2, 1e-9)
			require.InEpsilon(t, off*inch, off2, 1e-9)
			require.True(t, ok2 || off > 0.2999*distance)
		}
	})
}

// Every fault of a position has a path and one of the classes.
func TestPropertyFaultsAreComplete(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyPosition(t)
		err := p.Validate()
		for _, f := range contact.Faults(err) {
			require.NotEmpty(t, f.Path)
			require.True(t, errors.Is(err, f.Class))
			require.Contains(t, f.Error(), f.Path)
		}
		require.Equal(t, err == nil, len(contact.Faults(err)) == 0)
	})
}
