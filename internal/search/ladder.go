package search

// A ladder is what cap and spacers can make, lowest first.
type ladder struct {
	steps     []rung
	from      float64 // the lowest step
	units     float64 // per mm: all steps are whole units from there
	low, high float64
	next      []uint16 // by whole mm: the first step that is not lower
}

type rung struct {
	up   float64 // of the stem's lower edge above the head tube
	pref int     // points of the spacers
}

// rungSlack is for rounding, mm.
const rungSlack = 1e-7

// between reports whether a step may lie between two heights.
func (l *ladder) between(lo, hi float64) bool {
	last := (hi + rungSlack - l.from) * l.units
	return last >= 0 && float64(int(last)) >= (lo-rungSlack-l.from)*l.units
}

// newLadder is the heights of a cap and piles, lowest first, with their points.
func newLadder(lift float64, piles []Pile, points func(below float64) int) *ladder {
	l := &ladder{from: lift + piles[0].Below}
	unit := 0
	for i := range piles {
		l.steps = append(l.steps, rung{lift + piles[i].Below, points(piles[i].Below)})
		unit = gcd(unit, piles[i].tenths-piles[0].tenths)
	}
	l.units = 1 / (tenth * float64(max(1, unit)))
	l.low, l.high = l.from-rungSlack, l.steps[len(l.steps)-1].up+rungSlack
	n := 0
	for mm := 0; n < len(l.steps); mm++ {
		for n < len(l.steps) && l.steps[n].up < float64(mm) {
			n++
		}
		l.next = append(l.next, uint16(n))
	}
	return l
}
