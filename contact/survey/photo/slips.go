package photo

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/lsq"
	"gonum.org/v1/gonum/stat/distuv"
)

// When something is suspected, in sums of squares.
const (
	// suspectMark and suspectStated: of a good survey of 100 marks one in 500 has one.
	suspectMark, suspectStated = 22, 20
	// alike is by how much one explanation may be worse than the best and is still named.
	alike = 10.8276
	// each is what an explanation must gain for each observation that it leaves out.
	each = 3
	// mostOut is how many contradictions apart from one another are looked for.
	mostOut = 6
	// mostStated is how many statements are doubted at a time.
	mostStated = 12
	// understated: marks may scatter twice as much as stated before that is an error.
	understated = 2
	chance      = 1e-4
)

// A hypothesis is one thing that may be wrong.
type hypothesis struct {
	slip      slip
	marks     []int // left out, or exchanged
	condition int   // left out
	at        int   // the photograph
	guess     float64
}

type slip uint8

const (
	slipMark slip = iota + 1
	slipStated
	slipExchanged // two labels of a photograph
	slipWheel
	slipMirrored // a photograph
	slipSides    // left and right in all labels of a photograph
	slipAlien    // a photograph that does not belong to the others
)

// A trial is what is found if a hypothesis is true.
type trial struct {
	hypothesis
	fit   lsq.Fit
	turn  []r3mat
	score float64
}

// scatter returns the sum of squares of the marks and what it should be.
func (m *model) scatter(f *lsq.Fit) (chi2, freedom float64) {
	for i := range 2 * len(m.marks) {
		if !m.out[i] {
			m.count.do(m.n)
			chi2 += f.R[i] * f.R[i]
			freedom += max(0, 1-f.Leverage(i))
		}
	}
	return chi2, freedom
}

func allowed(chi2, freedom float64) bool {
	return freedom < 0.5 && chi2 < 1 || freedom >= 0.5 && (distuv.ChiSquared{K: freedom}).Survival(chi2) >= chance
}

// doubtful lists marks and what was stated by how much they explain to first order, the
// most first, with what is too little left out.
func (m *model) doubtful(f *lsq.Fit) []hypothesis {
	var all []hypothesis
	for i := range m.marks {
		if m.out[2*i] {
			continue
		}
		m.count.do(m.n)
		a, b := f.Studentized(2*i), f.Studentized(2*i+1)
		if t := a*a + b*b; t > suspectMark/3. {
			all = append(all, hypothesis{slip: slipMark, marks: []int{i}, condition: -1, at: m.marks[i].photograph, guess: t})
		}
	}
	for i := range m.conditions {
		c, at := &m.conditions[i], 2*len(m.marks)+i
		if c.name == "" || c.what != aboutScale && c.what != aboutLens && c.what != aboutSide || m.out[at] {
			continue
		}
		m.count.do(m.n)
		if w := f.Studentized(at); w*w > suspectStated/3. {
			all = append(all, hypothesis{slip: slipStated, condition: i, at: -1, guess: w * w})
		}
	}
	slices.SortStableFunc(all, func(a, b hypothesis) int { return cmp.Compare(b.guess, a.guess) })
	return all
}

// contradicted reports whether something does not fit.
func (m *model) contradicted(f *lsq.Fit, doubts []hypothesis) bool {
	for i := range doubts {
		if doubts[i].slip == slipMark && doubts[i].guess > suspectMark || doubts[i].slip == slipStated && doubts[i].guess > suspectStated {
			return true
		}
	}
	chi2, freedom := m.scatter(f)
	return !allowed(chi2, freedom)
}

// robust finds where all unknowns are if what lies far off counts for little, and returns
// the residuals there. It starts anew, and lets less and less count (A. L. Cauchy's weights).
func (m *model) robust() lsq.Fit {
	x := m.begin(true)
	r, jac := make([]float64, m.rows), make([]float64, m.rows*m.n)
	weight := make([]float64, len(m.marks))
	at := func() {
		clear(r)
		clear(jac)
		m.weight = nil
		m.fill(x, r, jac)
	}
	for _, c := range [...]float64{100, 30, 10, 5, 3, 3} {
		at()
		for i := range weight {
			weight[i] = 1 / math.Sqrt(1+(r[2*i]*r[2*i]+r[2*i+1]*r[2*i+1])/(c*c))
		}
		m.weight = weight
		x = m.near(x).X
	}
	at()
	return lsq.Fit{X: x, R: r}
}

// ahead lists what lies far off of a robust fit, the furthest first.
func (m *model) ahead(f *lsq.Fit) (all []hypothesis) {
	for i := range m.marks {
		if t := f.R[2*i]*f.R[2*i] + f.R[2*i+1]*f.R[2*i+1]; t > suspectMark/3. {
			all = append(all, hypothesis{slip: slipMark, marks: []int{i}, condition: -1, at: m.marks[i].photograph, guess: t})
		}
	}
	slices.SortStableFunc(all, func(a, b hypothesis) int { return cmp.Compare(b.guess, a.guess) })
	return all
}

// settle leaves out what the rest contradicts, one after another, and returns the fit that
// is left.
func (m *model) settle(f lsq.Fit) (lsq.Fit, []Finding, error) {
	var findings []Finding
	for range mostOut {
		doubts := m.doubtful(&f)
		if !m.contradicted(&f, doubts) && m.farSided(f.X) < 0 {
			return f, findings, nil
		}
		from := m.starts(&f)
		if from.better.X != nil { // the fit of all was in a false minimum
			m.turn = from.turn
			f = m.fit(from.better.X)
			continue
		}
		tried := m.tryAll(&from, doubts)
		m.turn = from.turn
		if len(tried) == 0 || tried[0].score < suspectMark-2*each {
			break
		}
		best := tried[0]
		ties := slices.DeleteFunc(slices.Clone(tried), func(t trial) bool { return t.score < best.score-alike })
		switch best.slip {
		case slipMark:
			near := slices.Clone(ties)
			ties = slices.DeleteFunc(ties, func(t trial) bool { return t.slip != slipMark })
			ties = ties[:min(3, len(ties))]
			if ties[len(ties)-1].score > 0 && len(ties) > 1 {
				for k := range ties {
					m.leave(&ties[k].hypothesis)
				}
			} else {
				m.leave(&best.hypothesis)
			}
			m.turn = best.turn
			f = m.fit(best.fit.X)
			for k := range ties {
				findings = append(findings, m.setAside(&ties[k], near))
			}
		case slipWheel:
			off := 0.0
			for _, i := range best.marks {
				off = max(off, math.Hypot(f.R[2*i], f.R[2*i+1])*m.marks[i].sigma)
			}
			m.leave(&best.hypothesis)
			m.turn = best.turn
			f = m.fit(best.fit.X)
			q := &m.marks[best.marks[0]]
			findings = append(findings, Finding{Kind: WheelNotRound, Photograph: -1, Mark: -1, Landmark: m.mark(q).Landmark, Amount: off, Others: m.others(ties[1:])})
		default:
			return f, nil, m.contradiction(&best, ties[1:])
		}
	}
	chi2, freedom := m.scatter(&f)
	if allowed(chi2, freedom) {
		return f, findings, nil
	}
	ratio := math.Sqrt(chi2 / freedom)
	if ratio > understated {
		return f, nil, &contact.Error{
			Path: "photographs", Value: fmt.Sprintf("marks that lie %.1f times as far apart as they are uncertain", ratio),
			Want: "marks of one bike that did not move, of the landmarks that they name", Class: contact.ErrConflict,
		}
	}
	return f, append(findings, Finding{Kind: Scattered, Photograph: -1, Mark: -1, Amount: ratio}), nil
}

// tryAll fits with each hypothesis that may explain what does not fit, the best first.
func (m *model) tryAll(from *start, doubts []hypothesis) []trial {
	var all []trial
	settled := false
	add := func(t trial, ok bool) bool {
		if ok {
			settled = settled || m.settles(from, &t)
			all = append(all, t)
		}
		return settled
	}
	sorted := func() []trial {
		slices.SortStableFunc(all, func(a, b trial) int { return cmp.Compare(b.score, a.score) })
		return all
	}
	m.turn = from.turn
	far := m.farSided(from.whole.X)
	worst := m.worstPhotographs(from, far)
	first := far >= 0 || worst[0].off > 0.5 // no single mark explains that
	if first && m.sides(from, worst, far, add) {
		return sorted()
	}
	ahead := m.ahead(&from.robust)
	stated := 0
	for i := range doubts {
		if doubts[i].slip == slipStated {
			if stated++; stated <= mostStated {
				add(m.without(from, doubts[i]))
			}
		} else if !slices.ContainsFunc(ahead, func(h hypothesis) bool { return h.marks[0] == doubts[i].marks[0] }) {
			ahead = append(ahead, doubts[i])
		}
	}
	for i := range ahead[:min(8, len(ahead))] {
		add(m.without(from, ahead[i]))
	}
	for _, h := range m.exchanges(&from.robust, ahead) {
		add(m.exchanged(from, h))
	}
	for front, w := range m.wheels {
		h := hypothesis{slip: slipWheel, condition: -1, at: -1}
		for i := range m.marks {
			if q := &m.marks[i]; w >= 0 && q.round && btoi(q.front) == front && !m.out[2*i] {
				h.marks = append(h.marks, i)
			}
		}
		if len(h.marks) > 1 {
			add(m.without(from, h))
		}
	}
	if !settled && (first || !m.sides(from, worst, far, add)) {
		m.aliens(from, worst, add)
	}
	return sorted()
}

// settles reports whether what a trial leaves fits together. Each row that it leaves out was
// about as much to check by.
func (m *model) settles(from *start, t *trial) bool {
	save := slices.Clone(m.out)
	m.leave(&t.hypothesis)
	chi2, rows := 0.0, 0
	for i := range 2 * len(m.marks) {
		if !m.out[i] {
			chi2 += t.fit.R[i] * t.fit.R[i]
		} else if !save[i] {
			rows++
		}
	}
	m.out = save
	return allowed(chi2, from.freedom-float64(rows))
}

func (m *model) leave(h *hypothesis) {
	if h.slip == slipExchanged {
		return
	}
	for _, i := range h.marks {
		m.out[2*i], m.out[2*i+1] = true, true
	}
	if h.condition >= 0 {
		m.out[2*len(m.marks)+h.condition] = true
	}
}

// without fits without what a hypothesis leaves out.
func (m *model) without(f *start, h hypothesis) (trial, bool) {
	out := slices.Clone(m.out)
	m.leave(&h)
	t := trial{hypothesis: h}
	m.try(f, &t)
	m.out = out
	rows := 2 * len(h.marks)
	if h.condition >= 0 {
		rows++
	}
	t.score = f.whole.Chi2 - t.fit.Chi2 - each*float64(rows)
	return t, t.fit.Converged
}

// exchanges lists pairs of marks in one photograph that together lie nearer to where the
// other should be, those that gain most first.
func (m *model) exchanges(f *lsq.Fit, doubts []hypothesis) (all []hypothesis) {
	const most = 12
	tried := map[[2]int]bool{}
	for _, d := range doubts[:min(8, len(doubts))] {
		if d.slip != slipMark {
			continue
		}
		i := d.marks[0]
		a := &m.marks[i]
		for k := range m.marks {
			b := &m.marks[k]
			pair := [2]int{min(i, k), max(i, k)}
			if k == i || b.photograph != a.photograph || a.landmark < 0 || b.landmark < 0 || m.out[2*i] || m.out[2*k] || tried[pair] {
				continue
			}
			tried[pair] = true
			own := m.off(f, i, a.x, a.y) + m.off(f, k, b.x, b.y)
			if other := m.off(f, i, b.x, b.y) + m.off(f, k, a.x, a.y); other < own {
				all = append(all, hypothesis{slip: slipExchanged, marks: pair[:], condition: -1, at: a.photograph, guess: own - other})
			}
		}
	}
	slices.SortStableFunc(all, func(a, b hypothesis) int { return cmp.Compare(b.guess, a.guess) })
	return all[:min(most, len(all))]
}

// off returns how far from where a mark should be a pixel is.
func (m *model) off(f *lsq.Fit, i int, x, y float64) float64 {
	q := &m.marks[i]
	return math.Hypot(q.x+f.R[2*i]*q.sigma-x, q.y+f.R[2*i+1]*q.sigma-y)
}

// exchanged fits with two labels exchanged.
func (m *model) exchanged(f *start, h hypothesis) (trial, bool) {
	a, b := &m.marks[h.marks[0]], &m.marks[h.marks[1]]
	t := trial{hypothesis: h}
	a.x, a.y, b.x, b.y = b.x, b.y, a.x, a.y
	m.try(f, &t)
	a.x, a.y, b.x, b.y = b.x, b.y, a.x, a.y
	t.score = f.whole.Chi2 - t.fit.Chi2 - 2*each
	return t, t.fit.Converged
}
