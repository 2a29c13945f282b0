// Package blame finds which readings could be the wrong one where readings contradict one
// another, and which usual slips explain it. Each hypothesis is one other set of readings,
// which is fitted as the first was.
package blame

import (
	"cmp"
	"math"
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/lsq"
	"example.com/fitgeom/internal/slip"
	"gonum.org/v1/gonum/stat/distuv"
)

const (
	// Least is by how much the sum of squares falls without a reading that is off by the
	// least error that is found: 4.132 times its standard uncertainty against the others
	// (1 in 1,000 false alarms of one reading, power 0.8; W. Baarda 1968). Of many readings
	// more is asked, so that no more than alarms of all inputs without an error are accused.
	Least  = 17.0746468
	alarms = 2.5e-4
	// alike is by how much the sum of squares without a reading that is wrong may exceed that
	// without another one (0.001 of one degree of freedom).
	alike = 10.8276
	// closeBy is the square of how far the number of a reading without its slip may lie from
	// what the others tell (0.0001 of one degree of freedom).
	closeBy = 15.1367
	// chance is the least probability of a sum of squares that chance allows.
	chance = 1e-4
	// hopeless is the probability below which numbers have no uncertainty though no reading
	// in particular is to blame.
	hopeless = 1e-6
	// Faint is how many times its standard uncertainty a reading gets that is left out. So
	// what it alone tells is still told.
	Faint = 1e5
	// most is how many readings are looked at: as many as any sheet, chart or survey by tape
	// needs.
	most = 250
	// mostWrong is how many contradictions apart from one another are looked for.
	mostWrong = 3
	// stands is the share of its standard uncertainty by which a number that stands on a
	// suspect moves without it.
	stands = 0.1
)

// A Change is another reading in place of one.
type Change struct {
	Reading int
	Out     bool    // with next to no weight
	Value   float64 // else what it reads
}

// Out are the changes that leave readings out.
func Out(readings []int) []Change {
	changes := make([]Change, len(readings), len(readings)+1)
	for k, i := range readings {
		changes[k] = Change{Reading: i, Out: true}
	}
	return changes
}

// A Trial is what a search finds with some readings changed.
type Trial struct {
	// Fits holds the best fit, and others that are about as good. The changed readings are
	// the same residuals as before.
	Fits []lsq.Fit
	// From fits with other changes from a start.
	From func(x []float64, changes []Change) lsq.Fit
}

// An Other is something else that may have been measured.
type Other struct {
	Slip contact.Slip
	// Fit fits with that, and with some readings left out.
	Fit func(out []int) lsq.Fit
}

// A Question is about readings, which are the first residuals of a fit.
type Question struct {
	Value, Sigma []float64
	// Solve searches with some readings left out.
	Solve func(out []int) Trial
	// Values lists what a reading may have been before a slip, and Others what else may
	// have been measured.
	Values func(i int) []contact.Slip
	Others func(i int) []Other
}

// An Answer is what was found.
type Answer struct {
	Suspects []contact.Suspect
	fit      *lsq.Fit
	shifts   [][]float64 // how the unknowns move without each suspect
	nothing  bool        // whether no number is known
}

// Doubtful reports whether a number with this gradient by the unknowns stands on a
// contradiction, so that its uncertainty is not known.
func (a *Answer) Doubtful(gradient []float64) bool {
	if a.nothing || len(a.shifts) == 0 {
		return a.nothing
	}
	sigma := math.Sqrt(max(0, a.fit.Covariance(gradient, gradient)))
	return slices.ContainsFunc(a.shifts, func(shift []float64) bool {
		sum := 0.0
		for j, by := range gradient {
			sum += by * shift[j]
		}
		return math.Abs(sum) > stands*sigma+1e-9
	})
}

// Doubts reports for each unknown whether it is doubtful.
func (a *Answer) Doubts(unknowns int) []bool {
	doubts, gradient := make([]bool, unknowns), make([]float64, unknowns)
	for j := range doubts {
		gradient[j] = 1
		doubts[j] = a.Doubtful(gradient)
		gradient[j] = 0
	}
	return doubts
}

// Ask finds what could be wrong with the readings of a fit, if anything is. Held is the fit
// that tells how readings check one another.
func (q *Question) Ask(first Trial, held *lsq.Fit) Answer {
	fit := &first.Fits[0]
	a := Answer{fit: fit}
	s := search{Question: q, first: first, least: Least}
	if n := float64(len(q.Sigma)); n > 0 {
		s.least = max(Least, distuv.ChiSquared{K: 1}.Quantile(1-alarms/n))
	}
	if held.Consistent() && q.worst(held) < s.least {
		return a
	}
	var out []int
	var all []left
	ok := len(q.Sigma) <= most
	if ok {
		out, all, ok = s.apart(held)
	}
	if !ok {
		a.nothing = fit.Chance() < hopeless
		return a
	}
	for k := range out {
		ties := s.ties(out, k, all)
		for _, l := range ties {
			if len(ties) <= mostSearched {
				s.branches(&l)
			}
			a.Suspects = append(a.Suspects, s.suspect(l, k))
		}
	}
	for _, c := range a.Suspects {
		a.shifts = append(a.shifts, q.shift(fit, c))
	}
	return a
}

// worst is the most by which the sum of squares falls without one reading, to first order.
func (q *Question) worst(fit *lsq.Fit) float64 {
	worst := 0.0
	for i := range q.Sigma {
		w := fit.Studentized(i)
		worst = max(worst, w*w)
	}
	return worst
}

// shift is how the unknowns move without a suspect, to first order.
func (q *Question) shift(fit *lsq.Fit, c contact.Suspect) []float64 {
	n := len(fit.X)
	row := fit.Jac[c.Reading*n : (c.Reading+1)*n]
	shift := make([]float64, n)
	for j := range shift {
		for k, by := range row {
			shift[j] += fit.Cov.At(j, k) * by
		}
		shift[j] *= c.Against / q.Sigma[c.Reading]
	}
	return shift
}

// A left is what is found without some readings, of which the last is looked at.
type left struct {
	reading int
	out     []int
	trial   Trial
	chi2    float64
	freedom int
}

func (l *left) allowed() bool { return allowed(l.chi2, l.freedom) }

// allowed reports whether chance allows a sum of squares.
func allowed(chi2 float64, freedom int) bool {
	if freedom <= 0 {
		return chi2 < 1e-3
	}
	return distuv.ChiSquared{K: float64(freedom)}.Survival(chi2) >= chance
}

type search struct {
	*Question
	first Trial
	least float64 // Least, of so many readings
}

// apart returns the fewest readings without which the others agree, found one after
// another, and what is found without each one beside the others; false if there are none,
// or only ones that are off by less than can be told.
func (s *search) apart(held *lsq.Fit) (out []int, all []left, ok bool) {
	base, before := held, s.first.Fits[0].Chi2
	for range mostWrong {
		all = s.without(out, base)
		if len(all) == 0 || before-first(all).chi2 < s.least {
			return nil, nil, false
		}
		best := first(all)
		if out = best.out; best.allowed() {
			return out, all, true
		}
		base, before = &best.trial.Fits[0], best.chi2
	}
	return nil, nil, false
}

// ties returns the readings that could be wrong as well as one of those that were found, of
// which the last was looked for beside the others.
func (s *search) ties(out []int, k int, all []left) []left {
	if k < len(out)-1 {
		others := slices.Delete(slices.Clone(out), k, k+1)
		all = s.without(others, &s.Solve(others).Fits[0])
	}
	bound := first(all).chi2 + alike
	return slices.DeleteFunc(all, func(l left) bool { return !l.allowed() || l.chi2 > bound })
}

// first returns the best of some, and of equal ones the first.
func first(all []left) *left {
	best := &all[0]
	for i := range all {
		if all[i].chi2 < best.chi2*(1-1e-6)-1e-6 {
			best = &all[i]
		}
	}
	return best
}

// without fits without each reading that could matter, beside those that are out, and
// returns them in their order.
func (s *search) without(out []int, base *lsq.Fit) []left {
	type guess struct {
		reading int
		chi2    float64
	}
	var guesses []guess
	for i := range s.Sigma {
		if w := base.Studentized(i); w != 0 && !slices.Contains(out, i) {
			guesses = append(guesses, guess{i, base.Chi2 - w*w})
		}
	}
	slices.SortStableFunc(guesses, func(a, b guess) int { return cmp.Compare(a.chi2, b.chi2) })
	for n, g := range guesses {
		// First order is rough where a reading is far off.
		if n >= leastTried && (n >= mostTried || g.chi2 > guesses[0].chi2+alike+base.Chi2/4) {
			guesses = guesses[:n]
			break
		}
	}
	try := func(solve func(out []int) Trial, guesses []guess) (all []left) {
		for _, g := range guesses {
			l := left{reading: g.reading, out: append(slices.Clone(out), g.reading)}
			l.settle(solve(l.out))
			if l.trial.Fits[0].Converged {
				all = append(all, l)
			}
		}
		return all
	}
	all := try(s.near, guesses)
	if !slices.ContainsFunc(all, func(l left) bool { return l.allowed() }) {
		all = try(s.Solve, guesses[:min(len(guesses), leastTried)])
	}
	slices.SortFunc(all, func(a, b left) int { return a.reading - b.reading })
	return all
}

// settle takes what was found.
func (l *left) settle(t Trial) {
	best := &t.Fits[0]
	l.trial, l.chi2, l.freedom = t, best.Chi2, len(best.R)-len(best.X)+len(best.Free)-len(l.out)
}

// near fits without some readings from where the fit of all is.
func (s *search) near(out []int) Trial {
	return Trial{Fits: []lsq.Fit{s.first.From(s.first.Fits[0].X, Out(out))}, From: s.first.From}
}

// branches adds other fits without a reading, which distances leave open.
func (s *search) branches(l *left) {
	found := s.Solve(l.out)
	if best := &found.Fits[0]; !best.Converged || best.Chi2 > l.chi2+alike {
		return
	}
	if l.trial.Fits[0].Chi2 < found.Fits[0].Chi2+alike {
		found.Fits = append(found.Fits, l.trial.Fits[0])
	}
	l.settle(found)
}

const (
	// How many readings are tried at least, whatever first order says of them, and at most.
	leastTried, mostTried = 8, 60
	// mostSearched is up to how many suspects all is searched that distances leave open
	// without one.
	mostSearched = 8
)

// suspect returns what is said of a reading that could be wrong.
func (s *search) suspect(l left, contradiction int) contact.Suspect {
	i, fit := l.reading, &l.trial.Fits[0]
	value, spread := s.told(fit, i)
	c := contact.Suspect{Reading: i, Against: s.Value[i] - value, Sigma: math.Hypot(spread, s.Sigma[i]), Contradiction: contradiction}
	explains := func(fit *lsq.Fit) bool {
		freedom := len(fit.R) - len(fit.X) + len(fit.Free) - len(l.out) + 1
		return fit.Converged && fit.Chi2 <= l.chi2+closeBy && allowed(fit.Chi2, freedom)
	}
	changes := Out(l.out)
	for _, slip := range s.Values(i) {
		changes[len(changes)-1] = Change{Reading: i, Value: slip.Value}
		for k := range l.trial.Fits {
			value, spread := s.told(&l.trial.Fits[k], i)
			if math.Abs(slip.Value-value) > far*math.Hypot(spread, s.Sigma[i]) {
				continue
			}
			if fit := l.trial.From(l.trial.Fits[k].X, changes); explains(&fit) {
				c.Slips = append(c.Slips, slip)
				break
			}
		}
	}
	for _, o := range s.Others(i) {
		// What nothing else checks would explain anything.
		if fit := o.Fit(l.out[:len(l.out)-1]); explains(&fit) && fit.Leverage(i) < 1-1e-6 {
			c.Slips = append(c.Slips, o.Slip)
		}
	}
	return c
}

// far is how many standard uncertainties from what the others tell a value may lie that is
// tried; first order may be off.
const far = 6

// told returns the value that a fit without reading i tells of it, and how well that is
// known.
func (s *search) told(fit *lsq.Fit, i int) (value, sigma float64) {
	faint := s.Sigma[i] * Faint
	return s.Value[i] + fit.R[i]*faint, math.Sqrt(max(0, fit.Leverage(i))) * faint
}

// Values lists what a number may have been before a slip, from lo to hi.
func Values(v float64, degrees bool, lo, hi float64) []contact.Slip {
	all := slip.Values(v, degrees, lo, hi)
	slips := make([]contact.Slip, len(all))
	for i, c := range all {
		slips[i] = contact.Slip{Kind: contact.SlipKind(c.Kind), Value: c.Value}
	}
	return slips
}
