package motion

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// A Stat is the statistics of a number over revolutions, each of which is one of a sample.
type Stat struct {
	// Mean and Spread are the mean and the standard deviation (of a sample: n − 1) of the
	// number, in its unit. For one revolution Spread is 0, which does not mean that it is
	// exact. Spread has what noise of the markers adds.
	Mean   float64 `json:"mean"`
	Spread float64 `json:"spread"`
	// Sigma is the standard uncertainty of Mean, 0 for fewer than two revolutions. It allows
	// for revolutions that are like the ones before them. It does not include what all
	// revolutions have in common, such as a marker placed beside the joint.
	Sigma float64 `json:"sigma"`
	// Count and Frames are the numbers of revolutions and of frames that it stands on.
	Count  int `json:"count"`
	Frames int `json:"frames"`
}

// Range95 returns the range that holds the mean of many such revolutions in 95 of 100
// recordings, by Student's distribution; false for fewer than two revolutions.
func (s Stat) Range95() (low, high float64, ok bool) {
	if s.Count < 2 {
		return s.Mean, s.Mean, false
	}
	half := student(0.95, s.freedom()) * s.Sigma
	return s.Mean - half, s.Mean + half, true
}

// freedom is the degrees of freedom of Sigma: of revolutions that are like the ones before
// them as many fewer as they say less.
func (s *Stat) freedom() float64 {
	n := float64(s.Count)
	if s.Spread > 0 && s.Sigma > 0 {
		n = min(n, s.Spread*s.Spread/(s.Sigma*s.Sigma))
	}
	return max(1, n-1)
}

// student returns what a share of Student's distribution lies within.
func student(share, freedom float64) float64 {
	return distuv.StudentsT{Sigma: 1, Nu: max(1, freedom)}.Quantile((1 + share) / 2)
}

// Sub returns s minus t, such as left minus right, and the standard uncertainty of this
// difference. It returns false if either has fewer than two revolutions.
func (s Stat) Sub(t Stat) (by, sigma float64, ok bool) {
	if s.Count < 2 || t.Count < 2 {
		return 0, 0, false
	}
	return s.Mean - t.Mean, math.Hypot(s.Sigma, t.Sigma), true
}

// stat returns the statistics of numbers, one a revolution, in order.
func stat(vs []float64, frames int) Stat {
	s := Stat{Count: len(vs), Frames: frames}
	n := float64(len(vs))
	for _, v := range vs {
		s.Mean += v / n
	}
	if len(vs) < 2 {
		return s
	}
	next := 0.0
	for i, v := range vs {
		s.Spread += (v - s.Mean) * (v - s.Mean)
		if i > 0 {
			next += (v - s.Mean) * (vs[i-1] - s.Mean)
		}
	}
	related := 0.0
	if s.Spread > 0 && len(vs) >= 8 {
		// The correlation of one with the next, less its bias (Kendall 1954), and no less than 0.
		related = next / s.Spread
		related = min(max(related+(1+3*related)/n, 0), 0.7)
	}
	s.Spread = math.Sqrt(s.Spread / (n - 1))
	s.Sigma = s.Spread / math.Sqrt(n) * math.Sqrt((1+related)/(1-related))
	return s
}
