package clearance

import (
	"math"

	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// A stance is two wheels that stand on the ground on round tyres.
type stance struct {
	front, rear         r3.Vec // axles
	frontRing, rearRing ring
}

// ground returns the height of a point above the ground when the bike leans by an angle
// with sine and cosine to the point's side. The wheels roll over on their tyres: the ground
// touches both, and unlike tyres also pitch the bike.
func (s *stance) height(x r3.Vec, sin, cos float64) float64 {
	// The ground's normal in the bike's axes is (cos·sinP, -sin, cos·cosP) with a pitch P at
	// which both wheels are equally high: a·sinP + b·cosP = c.
	a, b := s.front.X-s.rear.X, s.front.Z-s.rear.Z
	c := s.frontRing.core - s.rearRing.core + (s.frontRing.tube-s.rearRing.tube)/cos
	h := math.Hypot(a, b)
	t := min(max(c/h, -1), 1)
	u := math.Sqrt((1 - t) * (1 + t))
	sinP, cosP := (t*a-u*b)/h, (t*b+u*a)/h
	n := r3.Vec{X: cos * sinP, Y: -sin, Z: cos * cosP}
	return r3.Dot(n, r3.Sub(x, s.rear)) + s.rearRing.core*cos + s.rearRing.tube
}

// lean returns the angle in degrees at which the pedal meets the ground.
func (s *stance) lean(p *Pedal, outer, crank float64) (float64, bool) {
	room := func(angle float64) float64 {
		sin, cos := num.Sincos(angle)
		low := math.Inf(1)
		for _, x := range [...]float64{-p.Length / 2, p.Length / 2} {
			low = min(low, s.height(r3.Vec{X: x, Y: outer, Z: -crank - p.Below}, sin, cos))
		}
		return low
	}
	const far = 85
	down, up := room(far), room(-far)
	if !(down < 0 && up > 0) {
		return 0, false
	}
	return num.Root(room, -far, up, far, down), true
}
