package lsq

import (
	"fmt"
	"math"
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
	Consistent bool // at 99 %
}

// Verdict returns how well observations with the given standard uncertainties agree. They
// are the first of the residuals; others count as readings do, but are not checked.
func (f *Fit) Verdict(sigma []float64) Verdict {
	v := Verdict{Chi2: f.Chi2, Redundant: len(f.R) - len(f.X) + len(f.Free), Checks: make([]Check, len(sigma))}
	v.Consistent = f.Consistent()
	for i, r := range f.R[:len(sigma)] {
		c := &v.Checks[i]
		c.Off = 0 - r*sigma[i]
		if left := 1 - f.Leverage(i); left > 1e-9 {
			c.Checked = true
			c.Against = c.Off / left
			c.Sigma = sigma[i] / math.Sqrt(left)
		}
	}
	return v
}

// Consistent reports whether the sum of squares is one that chance gives in 99 of 100 fits.
func (f *Fit) Consistent() bool { return f.Chance() >= usual }

// ConsistentOf is Consistent where what is redundant is less than the residuals are more, since
// they are not independent.
func (f *Fit) ConsistentOf(redundant float64) bool { return f.chance(redundant) >= usual }

const usual = 0.01

// Chance is the probability that chance alone makes the sum of squares as large as it is.
func (f *Fit) Chance() float64 {
	redundant := len(f.R) - len(f.X) + len(f.Free)
	// Where no observation is redundant, all agree; but at a turning point one that tells
	// nothing more may still speak against the others.
	if redundant == 0 && f.Chi2 < 1e-6 {
		return 1
	}
	return f.chance(float64(redundant))
}

func (f *Fit) chance(redundant float64) float64 {
	return distuv.ChiSquared{K: max(1, redundant)}.Survival(f.Chi2)
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
