package num

import "math"

// A Spread is points that lie evenly in a cube of some dimensions, the same every time: the
// fractional parts of multiples of the square roots of primes.
type Spread []float64

// NewSpread returns a spread of so many dimensions.
func NewSpread(dimensions int) (s Spread) {
	for p := 2; len(s) < dimensions; p++ {
		prime := true
		for d := 2; d*d <= p; d++ {
			prime = prime && p%d != 0
		}
		if prime {
			s = append(s, math.Sqrt(float64(p)))
		}
	}
	return s
}

// At returns a coordinate, 0 to 1, of a point.
func (s Spread) At(point, coordinate int) float64 {
	_, u := math.Modf((float64(point) + 0.5) * s[coordinate])
	return u
}

// Normal returns the standard normal deviate of which a share u are less.
func Normal(u float64) float64 {
	const least = 1e-12
	return math.Sqrt2 * math.Erfinv(2*max(least, min(1-least, u))-1)
}
