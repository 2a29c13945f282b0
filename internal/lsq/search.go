package lsq

import (
	"math"
	"slices"
)

// A Search looks for the best fit where there may be several: a distance does not tell on
// which side of a line a point lies.
type Search struct {
	Best Fit
	// Equal holds fits that are as good as the best, without their covariances.
	Equal []Fit
	// Better says that another fit has become the best one. The caller clears it.
	Better bool
	// Bold says to try also what looks hopeless at first.
	Bold bool
	// Possible reports whether x can be at all; nil: always. What cannot is no other fit
	// beside a best one that can.
	Possible func(x []float64) bool

	tries         int // that are left
	model         Model
	start         []float64
	tried         []Fit // all that are no others
	x, r, scratch []float64
}

// NewSearch fits x to m residuals from a start.
func NewSearch(start []float64, m int, model Model) *Search {
	n := len(start)
	return &Search{
		Best: Solve(start, m, model), model: model, start: start,
		tries: min(mostTries, mostWork/max(1, n*n*m)),
		x:     make([]float64, n), r: make([]float64, m), scratch: make([]float64, m*n),
	}
}

const (
	// equal is a difference of sums of squares that is negligible.
	equal = 1e-9
	// chance is by how much the sum of squares of what is right may exceed the least: the
	// square of the widest range's factor.
	chance = 6
	// mostTries bounds how often a search tries, and mostWork how often times the numbers in
	// the normal equations of all observations.
	mostTries, mostWork = 200, 5e7
	// same is a distance of two fits, in the units of x, that is none.
	same = 1e-3
)

// Try starts from the best fit with some numbers changed. Of equal fits the one closest to
// the start is the best.
func (s *Search) Try(change func(x []float64)) {
	copy(s.x, s.Best.X)
	change(s.x)
	clear(s.r)
	clear(s.scratch)
	s.model(s.x, s.r, s.scratch)
	if square(s.r) > 100+10*s.Best.Chi2 && !s.Bold || s.tries == 0 { // hopeless
		return
	}
	s.tries--
	other := descend(s.x, len(s.r), s.model, 0)
	if other.Chi2 < s.Best.Chi2+chance && s.Possible != nil && !s.Possible(other.X) && s.Possible(s.Best.X) {
		return
	}
	if other.Converged && s.apart(other.X, s.Best.X) >= same &&
		other.Chi2 < s.Best.Chi2+chance && !slices.ContainsFunc(s.tried, func(t Fit) bool { return s.apart(t.X, other.X) < same }) {
		s.tried = append(s.tried, other)
	}
	switch gain := s.Best.Chi2 - other.Chi2; {
	case !other.Converged || gain < -equal:
	case gain > max(equal, 1e-6*s.Best.Chi2):
		s.tried = append(s.tried, s.Best)
		other.finish()
		s.Best, s.Equal, s.Better = other, nil, true
	case s.apart(other.X, s.Best.X) < same: // it came back, or went along what is free
	case apart(other.X, s.start) < apart(s.Best.X, s.start):
		s.tried = append(s.tried, s.Best)
		other.finish()
		s.Best, s.Equal, s.Better = other, append(s.Equal, s.Best), true
	default:
		s.Equal = append(s.Equal, other)
	}
}

// Likely returns the other fits to which the observations may belong as well, without their
// covariances.
func (s *Search) Likely() []Fit {
	var likely []Fit
	for _, other := range s.tried {
		if other.Chi2 < s.Best.Chi2+chance && s.apart(other.X, s.Best.X) >= same {
			likely = append(likely, other)
		}
	}
	return likely
}

// Fits returns the best fit and then the others to which the observations may belong as
// well, with their covariances.
func (s *Search) Fits() []Fit {
	fits := append([]Fit{s.Best}, s.Likely()...)
	for i := range fits {
		fits[i].finish()
	}
	return fits
}

// apart returns the distance between two fits in what is not free.
func (s *Search) apart(x, y []float64) float64 {
	sum := 0.0
	for j := range x {
		if !s.Best.tied(j) {
			sum += (x[j] - y[j]) * (x[j] - y[j])
		}
	}
	return math.Sqrt(sum)
}

// apart returns the distance between two sets of numbers.
func apart(x, y []float64) float64 {
	sum := 0.0
	for i := range x {
		sum += (x[i] - y[i]) * (x[i] - y[i])
	}
	return math.Sqrt(sum)
}

// Suppose returns alone, what a search without something that is usual has found, or what
// with finds, a search that supposes it: where that tells more, and readings alone do not
// speak against it. Usual returns the derivatives of what is supposed by x, as [Fit.improves]
// has them.
func Suppose(alone *Search, usual func(x []float64) (jac []float64), with func() *Search) *Search {
	without := &alone.Best
	if without.Converged && !without.improves(usual(without.X)) {
		return alone
	}
	supposing := with()
	enough := without.Converged && without.Consistent() && len(without.Free) == 0
	if f := &supposing.Best; f.Converged && (f.Consistent() || !enough) {
		return supposing
	}
	return alone
}

// Shared adds an unknown for each error that readings share, in standard uncertainties, by
// the name of what they share, empty for none. It returns the place of that of each reading,
// -1 for none, and the places of all.
func Shared(start *[]float64, readings int, name func(i int) string) (of, all []int) {
	places := map[string]int{}
	for i := range readings {
		s := name(i)
		if s == "" {
			of = append(of, -1)
			continue
		}
		if _, ok := places[s]; !ok {
			places[s] = len(*start)
			all = append(all, len(*start))
			*start = append(*start, 0)
		}
		of = append(of, places[s])
	}
	return of, all
}
