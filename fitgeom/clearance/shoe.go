package clearance

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// A body is a shoe from where its crank has no length: the pedal's axle lies on the
// bottom bracket's, and the crank only carries the shoe about. Y counts outwards.
type body struct {
	links [2]link
	count int
}

// A link is the hull of two balls: of all balls between them.
type link struct {
	from, way      r3.Vec // the centre at its rear end, and from there to the front one
	radius, growth float64
}

func (l *link) at(t float64) (r3.Vec, float64) {
	return r3.Add(l.from, r3.Scale(t, l.way)), l.radius + t*l.growth
}

// newBody puts a shoe on its sole's place. The ball of the foot is left out where the hull
// of toe and heel covers it.
func newBody(s *Shoe, sole r3.Vec, a contact.Attitude) body {
	sinT, cosT := num.Sincos(a.Tilt)
	// Each angle is that of a projection: from the side, the way's slope; from above, its
	// direction.
	sinY, cosY := num.Sincos(a.Yaw)
	way := r3.Vec{X: cosT * cosY, Y: cosT * sinY, Z: sinT * cosY}
	if n := r3.Norm(way); n > 1e-9 {
		way = r3.Scale(1/n, way)
	} else { // up and across at once is no direction
		way = r3.Vec{X: 1}
	}
	axis := r3.Add(sole, r3.Scale(s.Axis, r3.Vec{X: -sinT, Z: cosT}))
	ball := func(along float64) r3.Vec { return r3.Add(axis, r3.Scale(along, way)) }
	join := func(from, rFrom, to, rTo float64) link {
		return link{ball(from), r3.Scale(to-from, way), rFrom, rTo - rFrom}
	}
	toe, heel := s.Toe-s.ToeRadius, s.HeelRadius-s.Heel
	if covered := s.HeelRadius + (s.ToeRadius-s.HeelRadius)*(s.Ball-heel)/(toe-heel); s.BallRadius <= covered {
		return body{links: [2]link{join(heel, s.HeelRadius, toe, s.ToeRadius)}, count: 1}
	}
	return body{links: [2]link{join(s.Ball, s.BallRadius, toe, s.ToeRadius), join(heel, s.HeelRadius, s.Ball, s.BallRadius)}, count: 2}
}

// A meeting is where a shoe and a wheel are nearest to one another or touch.
type meeting struct {
	value, crank, steering float64 // mm or radians; steering either way
}

// gap returns how far the shoe stays from what the wheel sweeps.
func (w *wheel) gap(b *body, crank float64) meeting {
	best := meeting{value: math.Inf(1)}
	for i := range b.count {
		l := &b.links[i]
		t := w.closest(l, crank)
		x, radius := l.at(t)
		angle, v := w.nearest(x, crank)
		if d := v.dist - radius - w.reach; d < best.value {
			best = meeting{d, angle, v.turned(x.Y)}
		}
	}
	return best
}

// closest returns where along a link the ball is that comes nearest. The distance is convex
// there, so that its slope tells.
func (w *wheel) closest(l *link, crank float64) float64 {
	slope := func(t float64) float64 {
		x, _ := l.at(t)
		_, v := w.nearest(x, crank)
		return r3.Dot(v.slope, l.way) - l.growth
	}
	front := slope(1)
	if front <= 0 {
		return 1
	}
	rear := slope(0)
	if rear >= 0 {
		return 0
	}
	return num.RootTo(1e-6, slope, 0, rear, 1, front)
}

// steered returns the least steering angle at which the shoe meets the wheel, of a shoe
// that is in the way of what the wheel sweeps.
func (w *wheel) steered(b *body, crank float64) meeting {
	best := meeting{value: math.Inf(1)}
	for i := range b.count {
		for _, r := range w.rings[:w.count] {
			if turn, angle := w.first(&b.links[i], crank, r); turn < best.value {
				best = meeting{value: turn, crank: angle}
			}
		}
	}
	best.value = 2 * math.Atan(best.value)
	best.steering = best.value
	return best
}

// first returns the tangent of half the least steering angle at which a ring touches a
// link, and the crank angle there.
func (w *wheel) first(l *link, crank float64, r ring) (turn, angle float64) {
	x, _ := l.at(1)
	angle, _ = w.nearest(x, crank)
	slope := func(t float64) float64 {
		x, radius := l.at(t)
		var m touch
		angle, m = w.meets(x, radius, crank, r, angle)
		turn = m.turn
		return r3.Dot(m.slope, l.way) + m.grow*l.growth
	}
	front := slope(1)
	if front <= 0 {
		return turn, angle
	}
	rear := slope(0)
	if rear >= 0 {
		return turn, angle
	}
	slope(num.RootTo(1e-6, slope, 0, rear, 1, front))
	return turn, angle
}
