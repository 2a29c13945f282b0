package clearance

import (
	"math"

	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/rig"
	"gonum.org/v1/gonum/spatial/r3"
)

// A wheel is a front wheel that turns about the steering axis. The axis lies in the wheel's
// plane. So, seen in the half-plane through the axis that holds a point, the wheel's rear
// that is turned to the point is a circle of its own radius, whose centre lies behind the
// axis by the fork's offset: whatever the wheel sweeps is within that circle, turned about
// the axis. The width of the tyre does not matter for it, only for the steering angle at
// which something is met.
//
// Points are on one side of the bike: Y counts outwards.
type wheel struct {
	foot      r3.Vec // of the axle, on the steering axis
	up, ahead r3.Vec // along the axis, and square to it in the mid-plane
	offset    float64
	rings     [2]ring
	count     int     // of rings: the tyre, and a mudguard
	reach     float64 // outermost radius
}

// A ring is a torus, filled within: nothing passes through spokes.
type ring struct{ core, tube float64 } // radii: of its circle of centres, and of its section

func newWheel(axle r3.Vec, c *rig.Chassis, offset, radius float64, o *Bulk) wheel {
	w := wheel{up: c.SteererUp, ahead: r3.Vec{X: c.SteererUp.Z, Z: -c.SteererUp.X}, offset: offset, count: 1, reach: radius}
	w.foot = r3.Sub(axle, r3.Scale(offset, w.ahead))
	w.rings[0] = ring{radius - o.FrontTyre/2, o.FrontTyre / 2}
	if m := o.Mudguard; m != (Mudguard{}) {
		w.reach += m.Gap
		w.rings[1] = ring{max(w.reach-m.Width/2, 0), m.Width / 2}
		w.count = 2
	}
	return w
}

// A view is a point as the turned wheel's axle sees it.
type view struct {
	q, a  float64 // ahead of the steering axis, and up along it from the axle's foot
	s     float64 // from the axis
	dist  float64 // from the centre of the circle
	slope r3.Vec  // of dist, as the point moves
}

func (w *wheel) look(x r3.Vec) view {
	dx, dz := x.X-w.foot.X, x.Z-w.foot.Z
	v := view{q: dx*w.ahead.X + dz*w.ahead.Z, a: dx*w.up.X + dz*w.up.Z}
	v.s = math.Sqrt(v.q*v.q + x.Y*x.Y)
	out := v.s + w.offset
	v.dist = math.Sqrt(out*out + v.a*v.a)
	const least = 1e-9 // on the axis nothing has a direction
	d, s := max(v.dist, least), max(v.s, least)
	along, square := v.a/d, out/d*v.q/s
	v.slope = r3.Vec{X: along*w.up.X + square*w.ahead.X, Y: out / d * x.Y / s, Z: along*w.up.Z + square*w.ahead.Z}
	return v
}

// curve returns the second derivative of dist as the point moves in a direction of the side
// view.
func (w *wheel) curve(v *view, x, z float64) float64 {
	dq, da := x*w.ahead.X+z*w.ahead.Z, x*w.up.X+z*w.up.Z
	s, d := max(v.s, 1e-9), max(v.dist, 1e-9)
	ds := v.q * dq / s
	dd := v.slope.X*x + v.slope.Z*z
	return (ds*ds + (v.s+w.offset)*(dq*dq-ds*ds)/s + da*da - dd*dd) / d
}

// turned returns by how many radians the wheel is turned from straight ahead when its rear
// points at what is seen.
func (v *view) turned(y float64) float64 { return math.Atan2(y, -v.q) }

// nearest returns the crank angle in radians at which a point that the crank carries, which
// is at when the crank has no length, comes nearest to the circle's centre, and what is
// seen there. With no offset the circle's centre is a point, and the answer a direction;
// from there Newton's method has three or four steps to go.
func (w *wheel) nearest(at r3.Vec, crank float64) (angle float64, v view) {
	angle = math.Atan2(w.foot.X-at.X, w.foot.Z-at.Z)
	for range 40 {
		sin, cos := math.Sincos(angle)
		v = w.look(r3.Vec{X: at.X + crank*sin, Y: at.Y, Z: at.Z + crank*cos})
		slope := crank * (v.slope.X*cos - v.slope.Z*sin)
		curve := crank * (crank*w.curve(&v, cos, -sin) - v.slope.X*sin - v.slope.Z*cos)
		step := 0.2
		if curve > 0 {
			step = min(math.Abs(slope)/curve, 0.5)
		}
		if step < 1e-10 || slope == 0 {
			break
		}
		angle -= math.Copysign(step, slope)
	}
	return angle, v
}

// A touch is a ball that a ring touches when the wheel is turned towards it.
type touch struct {
	// turn is the tangent of half the steering angle at which it is first touched. Where it
	// never is, turn is infinite, and the slopes are those of the distance: they lead to
	// where it is.
	turn  float64
	slope r3.Vec  // of the steering angle, as the ball moves
	grow  float64 // of the steering angle, as the ball grows
}

// touch returns how a ring touches a ball around x.
//
// The steering angle counts by q, how far ahead of the axis the ball's centre lies in the
// turned wheel's plane: with the wheel straight that is v.q, and -v.s with its rear at the
// ball. The square of the distance to the circle of centres is concave in q, and its value
// is reached where a quadratic equation is solved.
func (w *wheel) touch(x r3.Vec, radius float64, r ring) touch {
	v := w.look(x)
	s := max(v.s, 1e-9)
	reach := r.tube + radius
	if v.dist-r.core > reach {
		return touch{math.Inf(1), v.slope, -1}
	}
	q, flat := w.meet(&v, reach, r.core)
	if q >= v.q {
		return touch{} // with the wheel straight
	}
	q = max(q, -s)
	sinTo, cosTo := x.Y/s, -v.q/s // the turn that points the rear at the ball
	sinLess, cosLess := math.Sqrt((s-q)*(s+q))/s, -q/s
	t := touch{turn: (sinTo*cosLess - cosTo*sinLess) / (1 + cosTo*cosLess + sinTo*sinLess)}

	// Slopes: of the turn to the ball, less those of what is missing to it.
	to := r3.Vec{X: sinTo / s * w.ahead.X, Y: cosTo / s, Z: sinTo / s * w.ahead.Z}
	away := r3.Vec{X: -cosTo * w.ahead.X, Y: sinTo, Z: -cosTo * w.ahead.Z} // of s
	if flat {
		k := 1 / (s * max(cosLess, 1e-9))
		t.slope, t.grow = r3.Add(to, r3.Scale(k*sinLess, away)), -k
		return t
	}
	k := 1 / (s * max(sinLess, 1e-9))
	far := math.Sqrt((q-w.offset)*(q-w.offset) + v.a*v.a)
	byQ := -w.offset - r.core*(q-w.offset)/far
	t.slope = r3.Sub(to, r3.Scale(k*(cosLess-s/byQ), away))
	t.slope = r3.Add(t.slope, r3.Scale(k*v.a*(1-r.core/far)/byQ, w.up))
	t.grow = -k * reach / byQ
	return t
}

// meet returns the q at which a ball that is met is first touched, and whether by the
// wheel's flat side.
func (w *wheel) meet(v *view, reach, core float64) (q float64, flat bool) {
	o, k := w.offset, core*core
	m := v.s*v.s + o*o + v.a*v.a + k - reach*reach
	a, b, c := k-o*o, o*(m-2*k), k*(o*o+v.a*v.a)-m*m/4
	if root := b*b - 4*a*c; a > 0 && root >= 0 {
		q := (-b - math.Sqrt(root)) / (2 * a)
		if m-2*q*o >= 2*k && q >= -v.s { // beyond the circle of centres
			return q, false
		}
	}
	// Within it, the side of the wheel is flat; and where the offset is larger than the
	// wheel, the equation is another one.
	if side := -math.Sqrt(max(0, (v.s-reach)*(v.s+reach))); a > 0 && math.Hypot(side-o, v.a) <= core {
		return side, true
	}
	q, _ = num.Bisect(-v.s, max(v.q, -v.s), 60, func(q float64) bool {
		beyond := max(0, math.Hypot(q-o, v.a)-core)
		return beyond*beyond+(v.s-q)*(v.s+q) <= reach*reach
	})
	return q, math.Hypot(q-o, v.a) <= core
}

// meets returns the crank angle at which a ring touches a ball first that the crank
// carries, with the touch there. The search starts at an angle near it.
func (w *wheel) meets(at r3.Vec, radius, crank float64, r ring, angle float64) (float64, touch) {
	var t touch
	slope := func(angle float64) float64 {
		sin, cos := math.Sincos(angle)
		t = w.touch(r3.Vec{X: at.X + crank*sin, Y: at.Y, Z: at.Z + crank*cos}, radius, r)
		return t.slope.X*cos - t.slope.Z*sin
	}
	last, f := angle, slope(angle)
	for step := -math.Copysign(0.05, f); f != 0 && math.Abs(step) < 2; step *= 2 {
		next := angle + step
		if g := slope(next); (g > 0) != (f > 0) {
			angle = num.RootTo(1e-5, slope, last, f, next, g)
			break
		} else {
			last, f = next, g
		}
	}
	slope(angle)
	return angle, t
}
