package lsq

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/stat/distuv"
)

// A Check is how one observation compares with the others.
type Check struct {
	Off            float64 // the observation less the fit
	Against, Sigma float64 // the observation less the value from the others, and its uncertainty
	Checked        bool    // whether the others determine a value
}

// A Verdict says how well observations agree.
type Verdict struct {
	Checks     []Check
	Chi2       float64
	Redundant  int
	Consistent bool  // at 99 %
	Suspects   []int // the most likely wrong first
}

// Verdict returns how well observations with the given standard uncertainties agree.
func (f *Fit) Verdict(sigma []float64) Verdict {
	v := Verdict{Chi2: f.Chi2, Redundant: len(f.R) - len(f.X) + len(f.Free), Checks: make([]Check, len(f.R))}
	v.Consistent = v.Redundant == 0 || distuv.ChiSquared{K: float64(v.Redundant)}.CDF(f.Chi2) <= 0.99
	for i, r := range f.R {
		c := &v.Checks[i]
		c.Off = 0 - r*sigma[i]
		if left := 1 - f.Leverage(i); left > 1e-9 {
			c.Checked = true
			c.Against = c.Off / left
			c.Sigma = sigma[i] / math.Sqrt(left)
			v.Suspects = append(v.Suspects, i)
		}
	}
	slices.SortStableFunc(v.Suspects, func(i, j int) int {
		a, b := &v.Checks[i], &v.Checks[j]
		return cmp.Compare(math.Abs(b.Against/b.Sigma), math.Abs(a.Against/a.Sigma))
	})
	return v
}

// Undetermined says in words what is undetermined and which measures would settle it.
func Undetermined[A, B fmt.Stringer](what []A, is string, settle []B) string {
	s := joined(what, " with ") + " is " + is
	if len(settle) > 0 {
		s += "; one of these settles it: " + joined(settle, ", ")
	}
	return s
}

func joined[A fmt.Stringer](all []A, by string) string {
	var names []string
	for _, a := range all {
		names = append(names, a.String())
	}
	return strings.Join(names, by)
}
