package clearance

import (
	"math"

	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// A bar is a straight round thing of one thickness.
type bar struct {
	from, way r3.Vec
	length2   float64 // of way, squared
	radius    float64
}

func newBar(from, to r3.Vec, radius float64) bar {
	way := r3.Sub(to, from)
	return bar{from, way, r3.Dot(way, way), radius}
}

// distance returns how far a point is from the bar's surface.
func (b *bar) distance(x r3.Vec) float64 {
	d, _ := b.away(x)
	return d
}

// away also returns the direction away from the bar.
func (b *bar) away(x r3.Vec) (float64, r3.Vec) {
	v := r3.Sub(x, b.from)
	if b.length2 > 0 {
		t := min(max(r3.Dot(v, b.way)/b.length2, 0), 1)
		v = r3.Sub(v, r3.Scale(t, b.way))
	}
	d := math.Sqrt(r3.Dot(v, v))
	return d - b.radius, r3.Scale(1/max(d, 1e-9), v)
}

// between returns how far a link is from a bar's surface when the crank carries it by a
// vector, and the direction away from the bar there, which is found at a place along the
// link to tol of it. The distance is convex along the link, so that its slope tells.
func (l *link) between(b *bar, by r3.Vec, tol float64) (float64, r3.Vec) {
	from := r3.Add(l.from, by)
	var d float64
	var n r3.Vec
	slope := func(t float64) float64 {
		d, n = b.away(r3.Add(from, r3.Scale(t, l.way)))
		d -= l.radius + t*l.growth
		return r3.Dot(n, l.way) - l.growth
	}
	if rear := slope(0); rear < 0 {
		if front := slope(1); front > 0 {
			slope(num.RootTo(tol, slope, 0, rear, 1, front))
		}
	}
	return d, n
}

// heel returns how far the shoe stays from the chainstay: the least of the valleys over
// the crank's turn, of either part of the shoe.
func (b *body) heel(stay *bar, crank float64) meeting {
	const steps = 18
	const step = 2 * math.Pi / steps
	best := meeting{value: math.Inf(1)}
	for i := range b.count {
		l := &b.links[i]
		d, tol := 0.0, 1e-2
		slope := func(angle float64) float64 {
			sin, cos := math.Sincos(angle)
			var n r3.Vec
			d, n = l.between(stay, r3.Vec{X: crank * sin, Z: crank * cos}, tol)
			return n.X*cos - n.Z*sin
		}
		last := slope(0)
		for j := range steps {
			from, to, before := float64(j)*step, float64(j+1)*step, d
			next := slope(to)
			after := d
			// The crank moves the shoe by no more than an arc: what is too far stays so.
			if last <= 0 && next > 0 && (before+after-crank*step)/2 < best.value+1 {
				tol = 1e-7
				at := num.RootTo(1e-6, slope, from, last, to, next)
				if slope(at); d < best.value {
					best = meeting{value: d, crank: at}
				}
				tol = 1e-2
			}
			last, d = next, after
		}
	}
	return best
}
