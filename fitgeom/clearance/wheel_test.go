package clearance

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
	"pgregory.net/rapid"
)

// drawnWheel is a wheel at any steering axis, with the foot of its axle at the origin.
func drawnWheel(t *rapid.T) wheel {
	f := func(lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, "number") }
	sin, cos := math.Sincos(f(55, 90) * math.Pi / 180)
	w := wheel{up: r3.Vec{X: -cos, Z: sin}, ahead: r3.Vec{X: sin, Z: cos}, offset: f(-40, 90), count: 1}
	w.rings[0] = ring{core: f(200, 360), tube: f(8, 35)}
	w.reach = w.rings[0].core + w.rings[0].tube
	return w
}

// distance is that of a point to the filled wheel turned by an angle, with rotations and the
// nearest of many points of its disc.
func distance(w *wheel, x r3.Vec, angle float64) float64 {
	turn := r3.NewRotation(angle, w.up)
	centre := turn.Rotate(r3.Scale(w.offset, w.ahead))
	axis := turn.Rotate(r3.Vec{Y: 1})
	v := r3.Sub(x, centre)
	beside := r3.Dot(v, axis)
	in := r3.Sub(v, r3.Scale(beside, axis))
	if n := r3.Norm(in); n > w.rings[0].core {
		in = r3.Scale(w.rings[0].core/n, in)
	}
	return r3.Norm(r3.Sub(v, in)) - w.rings[0].tube
}

// An upright axis without an offset, and a ball as high as the axle: in plan view the circle
// of centres, the ball and the axis make a triangle, which the law of cosines solves.
func TestTouchOfTriangle(t *testing.T) {
	w := wheel{up: r3.Vec{Z: 1}, ahead: r3.Vec{X: 1}, count: 1, rings: [2]ring{{core: 325, tube: 15}}, reach: 340}
	x, ball := r3.Vec{X: -345, Y: 128}, 40.
	s := math.Hypot(x.X, x.Y)
	want := math.Atan2(x.Y, -x.X) - math.Acos((s*s+325*325-55*55)/(2*s*325))
	assert.InDelta(t, want, 2*math.Atan(w.touch(x, ball, w.rings[0]).turn), 1e-12)
	// Deep in the wheel its flat side is met: a right triangle.
	x.X = -250
	s = math.Hypot(x.X, x.Y)
	want = math.Atan2(x.Y, -x.X) - math.Asin(55/s)
	assert.InDelta(t, want, 2*math.Atan(w.touch(x, ball, w.rings[0]).turn), 1e-12)
	assert.Zero(t, w.touch(r3.Vec{X: -345, Y: 50}, ball, w.rings[0]).turn, "with the wheel straight")
	assert.True(t, math.IsInf(w.touch(r3.Vec{X: -400, Y: 128}, ball, w.rings[0]).turn, 1))
}

// A touch is where the turned wheel's distance to the ball is none, and before it there is
// some; its slopes are those of neighbouring touches. Offsets larger than a wheel's radius
// too.
func TestTouch(t *testing.T) {
	seen := map[string]int{}
	rapid.Check(t, func(t *rapid.T) {
		f := func(lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, "number") }
		w := drawnWheel(t)
		if rapid.IntRange(0, 9).Draw(t, "small") == 0 {
			w.rings[0].core, w.offset = f(30, 60), f(60, 120)
			w.reach = w.rings[0].core + w.rings[0].tube
		}
		ball := f(5, 60)
		x := r3.Add(r3.Scale(-f(0.3, 1.2)*w.reach, w.ahead), r3.Add(r3.Scale(f(-150, 150), w.up), r3.Vec{Y: f(70, 160)}))
		m := w.touch(x, ball, w.rings[0])
		if math.IsInf(m.turn, 1) {
			// Its rear passes the ball at the distance that is seen.
			v := w.look(x)
			seen["none"]++
			require.InDelta(t, v.dist-w.reach, distance(&w, x, -v.turned(x.Y)), 1e-9)
			require.Greater(t, v.dist-w.reach, ball-1e-9)
			return
		}
		angle := 2 * math.Atan(m.turn)
		room := func(angle float64) float64 { return distance(&w, x, -angle) - ball }
		if angle == 0 {
			seen["straight"]++
			require.LessOrEqual(t, room(0), 1e-9)
			return
		}
		require.InDelta(t, 0, room(angle), 1e-6)
		for share := 0.; share < 0.999; share += 0.05 {
			require.Positive(t, room(share*angle))
		}
		const h = 1e-4
		turn := func(by r3.Vec, grow float64) float64 {
			return 2 * math.Atan(w.touch(r3.Add(x, by), ball+grow, w.rings[0]).turn)
		}
		if w.look(x).dist > w.reach+ball-1 || w.offset > w.rings[0].core || angle < 0.01 {
			seen["barely"]++
			return // no slope to speak of
		}
		seen["met"]++
		for _, way := range []r3.Vec{{X: 1}, {Y: 1}, {Z: 1}} {
			require.InDelta(t, (turn(r3.Scale(h, way), 0)-turn(r3.Scale(-h, way), 0))/(2*h), r3.Dot(m.slope, way), 1e-5)
		}
		require.InDelta(t, (turn(r3.Vec{}, h)-turn(r3.Vec{}, -h))/(2*h), m.grow, 1e-5)
	})
	if !testing.Short() { // which draws less
		assert.Greater(t, seen["met"], 5)
		assert.Greater(t, seen["none"], 5)
		assert.Positive(t, seen["straight"])
	}
}

// What is seen has the slopes of neighbouring points.
func TestLook(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := func(lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, "number") }
		w := drawnWheel(t)
		x := r3.Vec{X: f(-500, -150), Y: f(50, 200), Z: f(-200, 200)}
		v := w.look(x)
		const h = 1e-3
		at := func(by r3.Vec) view { return w.look(r3.Add(x, by)) }
		for _, way := range []r3.Vec{{X: 1}, {Y: 1}, {Z: 1}} {
			require.InDelta(t, (at(r3.Scale(h, way)).dist-at(r3.Scale(-h, way)).dist)/(2*h), r3.Dot(v.slope, way), 1e-8)
		}
		way := r3.Vec{X: 0.6, Z: -0.8}
		more, less := at(r3.Scale(h, way)), at(r3.Scale(-h, way))
		require.InDelta(t, r3.Dot(r3.Sub(more.slope, less.slope), way)/(2*h), w.curve(&v, way.X, way.Z), 1e-8)
	})
}

// Valleys of known functions, with few looks at those that are smooth.
func TestLeastOfAFunction(t *testing.T) {
	for name, c := range map[string]struct {
		f         func(float64) float64
		at, tol   float64
		evaluated int
	}{
		"parabola": {func(x float64) float64 { return (x - 0.3) * (x - 0.3) }, 0.3, 2e-6, 8},
		"kink":     {func(x float64) float64 { return math.Abs(x + 0.7) }, -0.7, 2e-6, 24},
		"edge":     {func(x float64) float64 { return x }, -1, 3e-6, 32},
		"flat":     {func(x float64) float64 { return math.Pow(x-0.1, 4) }, 0.1, 1e-3, 17},
		"cosine":   {func(x float64) float64 { return -math.Cos(x - 0.9) }, 0.9, 2e-6, 12},
		"cubic":    {func(x float64) float64 { return x*x*x - x }, math.Sqrt(1. / 3), 2e-6, 14},
		"quick":    {func(x float64) float64 { return math.Exp(4*x) - 3*x }, math.Log(0.75) / 4, 2e-6, 13},
	} {
		n := 0
		at, v := least(-1, 1, 1e-6, func(x float64) float64 {
			require.True(t, x > -1 && x < 1, "%s: %g", name, x)
			n++
			return c.f(x)
		})
		assert.InDelta(t, c.at, at, c.tol, name)
		assert.Equal(t, c.f(at), v, name)
		assert.LessOrEqual(t, n, c.evaluated, name)
	}
}
