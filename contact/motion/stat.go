package motion

import "math"

// A Stat is the statistics of a number over revolutions.
type Stat struct {
	// Mean and Spread are the mean and the standard deviation (of a sample: n − 1) of the
	// number, in its unit. For one revolution Spread is 0, which does not mean that it is
	// exact.
	Mean, Spread float64
	// Count is the number of revolutions that have a value.
	Count int
}

// Sub returns s minus t, such as left minus right, and the standard uncertainty of this
// difference if revolutions differ by chance alone. It returns false if either has fewer
// than two revolutions. The uncertainty does not include what all revolutions have in
// common, such as a marker placed beside the joint.
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
