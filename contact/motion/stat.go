package motion

import "math"

// A Stat is what a number does over revolutions.
type Stat struct {
	// Mean and Spread are the mean and the standard deviation (of a sample: n − 1)
	// of the revolutions' numbers, in the unit of what they belong to. The spread of
	// one revolution is 0, which says nothing.
	Mean, Spread float64
	// Count is how many revolutions had a number.
	Count int
}

// Sub returns how much more s is than t, such as left than right, and the
// standard uncertainty of that if revolutions differ by chance alone; false if
// either has less than two of them. What all revolutions have in common, such as
// a marker stuck on beside the joint, is not in it.
func (s Stat) Sub(t Stat) (by, sigma float64, ok bool) {
	if s.Count < 2 || t.Count < 2 {
		return 0, 0, false
	}
	return s.Mean - t.Mean, math.Hypot(s.Spread/math.Sqrt(float64(s.Count)), t.Spread/math.Sqrt(float64(t.Count))), true
}

func stat(vs []float64) Stat {
	s := Stat{Count: len(vs)}
	for _, v := range vs {
		s.Mean += v / float64(len(vs))
	}
	if len(vs) > 1 {
		for _, v := range vs {
			s.Spread += (v - s.Mean) * (v - s.Mean)
		}
		s.Spread = math.Sqrt(s.Spread / float64(len(vs)-1))
	}
	return s
}
