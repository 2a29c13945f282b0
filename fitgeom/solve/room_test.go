package solve_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/solve"
	"example.com/fitgeom/internal/invented"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// handsUp is a problem in which only spacers move the hands: one stem, one bar that does not
// turn, and nothing of the shelf but what the build has.
func handsUp(spacers ...part.Spacer) (solve.Problem, fitgeom.Build) {
	b := invented.Build()
	b.Settings.BarRotation, b.Settings.Spacers = 0, 20
	b.Handlebar.RotationRange, b.Stem.Flippable = 0, false
	shelf := invented.Shelf()
	shelf.Spacers = spacers
	return solve.Problem{Target: invented.Position(b), Frame: b.Frame, Shelf: shelf, Crank: fitgeom.KeepSaddle, Keep: []fitgeom.Keep{
		{Site: contact.SaddleReference, Tolerance: r3.Vec{X: 2, Z: 2}}, {Site: contact.HoodsLeft, Tolerance: r3.Vec{X: 3, Z: 3}},
	}}, b
}

// By hand: with spacers of 5 mm, from none to the 55 mm that the frame allows less the cap's
// height, hands move along the steerer, and are held where some spacers put them within 3 mm
// both along and up.
func TestRoomByHand(t *testing.T) {
	p, b := handsUp(part.Spacer{Height: 5, Count: 20})
	r, err := p.Solve(t.Context())
	require.NoError(t, err)
	c := r.Candidates[0]
	c.Build.Cap, c.Build.Handlebar, c.Build.Stem = b.Cap, b.Handlebar, b.Stem
	room, err := p.Room(t.Context(), c, solve.Movement{})
	require.NoError(t, err)
	// The hands are where spacers of h put them, h from 0 to the most, with the target moved by s
	// up: off by (h-20)·(-cos, sin) - (0, s).
	sin, cos := math.Sincos(b.Frame.Geometry.HeadAngle * math.Pi / 180)
	holds := func(x, z float64) bool {
		for h := 0.0; h <= b.Frame.MaxUnderStem-b.Cap.Height; h += 5 {
			if math.Abs(-(h-20)*cos-x) <= 3+1e-9 && math.Abs((h-20)*sin-z) <= 3+1e-9 {
				return true
			}
		}
		return false
	}
	far := func(x, z float64) (d int) {
		for d < 30 && holds(float64(d+1)*x, float64(d+1)*z) {
			d++
		}
		return d
	}
	for name, v := range map[string][3]int{
		"up": {room.Up.MM, far(0, 1)}, "down": {room.Down.MM, far(0, -1)}, "forward": {room.Forward.MM, far(1, 0)}, "back": {room.Back.MM, far(-1, 0)},
	} {
		assert.Equal(t, v[1], v[0], name)
	}
	assert.Positive(t, room.Up.MM)
	assert.NotEmpty(t, room.Up.Ends)
	assert.Equal(t, min(room.Up.MM, room.Down.MM, room.Forward.MM, room.Back.MM), room.Least())

	// Spacers of 10 and 20 mm leave some of each 10 mm beyond 3 mm up and down, which a gap
	// closes.
	coarse, _ := handsUp(part.Spacer{Height: 20, Count: 1}, part.Spacer{Height: 10, Count: 1})
	without, err := coarse.Room(t.Context(), c, solve.Movement{})
	require.NoError(t, err)
	with, err := coarse.Room(t.Context(), c, solve.Movement{Gap: 2.5})
	require.NoError(t, err)
	assert.Greater(t, with.Down.MM, without.Down.MM)
	assert.Greater(t, with.Down.Gap, 0.)
	assert.LessOrEqual(t, with.Down.Gap, 2.5)
}

// Room and reach against targets that are moved and solved one by one, over all kinds of
// bikes; a frame reaches as far as any of its builds, and further with more parts.
func TestRoomAndReach(t *testing.T) {
	tried := 0
	for round := range draws(12, 300) {
		rng := rand.New(rand.NewPCG(40, uint64(round)))
		p, _ := drawProblem(rng, kindOf(round), 0.5)
		r, err := p.Solve(t.Context())
		if err != nil || !r.Holds() {
			continue
		}
		tried++
		m := solve.Movement{Group: []contact.Group{contact.OnHandlebar, contact.OnSaddle}[round%2], Most: 8}
		reach, err := p.Reach(t.Context(), m)
		require.NoError(t, err)
		room, err := p.Room(t.Context(), r.Candidates[0], m)
		require.NoError(t, err)
		for i, w := range []struct {
			by          r3.Vec
			reach, room solve.Extent
		}{
			{r3.Vec{Z: 1}, reach.Up, room.Up}, {r3.Vec{Z: -1}, reach.Down, room.Down}, {r3.Vec{X: 1}, reach.Forward, room.Forward}, {r3.Vec{X: -1}, reach.Back, room.Back},
		} {
			far := 0
			for ; far < m.Most; far++ {
				q := p
				for s, v := range p.Target.All() {
					if s.Group() == m.Group || m.Group == contact.OnHandlebar && s.Group() == contact.OnAeroBar {
						q.Target.Set(s, r3.Add(v, r3.Scale(float64(far+1), w.by)))
					}
				}
				if r, err := q.Solve(t.Context()); err != nil || !r.Holds() {
					break
				}
			}
			assert.Equal(t, far, w.reach.MM, "round %d, way %d", round, i)
			assert.Equal(t, far == m.Most, w.reach.Open)
			assert.Equal(t, w.reach.Open, len(w.reach.Ends) == 0)
			assert.LessOrEqual(t, w.room.MM, w.reach.MM, "a build's own parts are of the shelf")
		}
	}
	assert.Positive(t, tried)
}

func TestMovementFaults(t *testing.T) {
	p, _ := handsUp(part.Spacer{Height: 5, Count: 20})
	_, err := p.Reach(t.Context(), solve.Movement{Group: contact.OnFeet, Most: 200, Gap: math.NaN()})
	assert.Len(t, contact.Faults(err), 3)
}
