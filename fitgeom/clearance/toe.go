package clearance

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// The distances that standards word: from the pedal's centre, which the crank carries in a
// plane that is parallel to the mid-plane, to what the wheel sweeps. The plane cuts that in
// a convex figure. Each distance is how far the pedal's circle can be moved or widened
// until both touch, by Newton's method, where a sphere of the wheel's radius around the
// axle's foot is to begin with.

// sphere returns the radius of that sphere's circle in the plane at y; false where the
// wheel does not come so far out.
func (w *wheel) sphere(y float64) (float64, bool) {
	return math.Sqrt(max(0, (w.reach-y)*(w.reach+y))), w.reach > y
}

// touching returns how far something moves until it touches: from by, and by what is left
// at a place and its slope there.
func touching(by float64, left func(by float64) (left, slope float64)) (float64, bool) {
	for range 60 {
		l, slope := left(by)
		if !(slope < -1e-6) {
			return 0, false // it does not come nearer
		}
		step := -l / slope
		by += min(max(step, -500), 500)
		if math.Abs(step) < 1e-9 {
			return by, true
		}
	}
	return 0, false
}

// toeLevel moves the pedal's circle forward.
func (w *wheel) toeLevel(y, crank float64) (m meeting, ok bool) {
	r, ok := w.sphere(y)
	if !ok {
		return m, false
	}
	from := w.foot.X - math.Sqrt(max(0, (crank+r)*(crank+r)-w.foot.Z*w.foot.Z))
	m.value, ok = touching(from, func(by float64) (float64, float64) {
		angle, v := w.nearest(r3.Vec{X: by, Y: y}, crank)
		m.crank, m.steering = angle, v.turned(y)
		return v.dist - w.reach, v.slope.X
	})
	return m, ok
}

// toeParallel widens the pedal's circle.
func (w *wheel) toeParallel(y, crank float64) (m meeting, ok bool) {
	r, ok := w.sphere(y)
	if !ok {
		return m, false
	}
	m.value, ok = touching(math.Hypot(w.foot.X, w.foot.Z)-r-crank, func(by float64) (float64, float64) {
		angle, v := w.nearest(r3.Vec{Y: y}, crank+by)
		m.crank, m.steering = angle, v.turned(y)
		sin, cos := math.Sincos(angle)
		return v.dist - w.reach, v.slope.X*sin + v.slope.Z*cos
	})
	return m, ok
}

// toePlan moves the pedal's line forward, which is all that is seen of its circle from
// above, to what is foremost of the wheel at any height.
func (w *wheel) toePlan(y, crank float64) (m meeting, ok bool) {
	r, ok := w.sphere(y)
	if !ok {
		return m, false
	}
	z := w.foot.Z
	m.crank = math.Pi / 2
	m.value, ok = touching(w.foot.X-r-crank, func(by float64) (float64, float64) {
		var v view
		for range 40 {
			v = w.look(r3.Vec{X: by + crank, Y: y, Z: z})
			curve := w.curve(&v, 0, 1)
			if !(curve > 0) {
				break
			}
			step := min(max(-v.slope.Z/curve, -200), 200)
			z += step
			if math.Abs(step) < 1e-9 {
				break
			}
		}
		m.steering = v.turned(y)
		return v.dist - w.reach, v.slope.X
	})
	return m, ok
}
