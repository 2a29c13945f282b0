package search

import (
	"cmp"
	"math"

	"example.com/fitgeom/fitgeom"
)

// A merit is what builds are sorted by, of one group of parts or of both. It counts in whole
// numbers, so that the merits of two groups add up in any order.
type merit struct {
	short, sum int     // by how much there is less room than wanted, mm: the worst way, and all
	buys       int     // parts that must be bought
	pref       int     // points
	room       int     // in the least way, mm
	cost       float64 // in squared grains
}

// compare is the order of builds that hold, or of all builds.
func (a *merit) compare(b *merit, holding bool) int {
	_, by := a.decide(b, holding)
	return by
}

// decide is the order of builds that hold, or of all builds: what it hangs on, and by how much
// a is worse, which is negative where it is better, and of closeness no amount.
func (a *merit) decide(b *merit, holding bool) (fitgeom.Reason, int) {
	switch {
	case holding && a.short != b.short:
		return fitgeom.ByShortfall, a.short - b.short
	case holding && a.sum != b.sum:
		return fitgeom.ByShortfall, a.sum - b.sum
	case !holding && a.cost != b.cost:
		return fitgeom.ByCloseness, cmp.Compare(a.cost, b.cost)
	case a.buys != b.buys:
		return fitgeom.ByPurchase, a.buys - b.buys
	case a.pref != b.pref:
		return fitgeom.ByPreference, a.pref - b.pref
	case holding && a.room != b.room:
		return fitgeom.ByRoom, b.room - a.room
	case a.cost != b.cost:
		return fitgeom.ByCloseness, cmp.Compare(a.cost, b.cost)
	}
	return fitgeom.ByPlace, 0
}

// plus is the merit of two groups together.
func (a *merit) plus(b *merit) merit {
	return merit{a.short + b.short, a.sum + b.sum, a.buys + b.buys, a.pref + b.pref, a.room + b.room, float64(a.cost + b.cost)}
}

// less is what a merit is without a part of it.
func (a *merit) less(b *merit) merit {
	cost := max(0, a.cost-b.cost)
	if cost > 1<<50 {
		cost *= 1 - 1e-12 // where whole numbers end
	}
	return merit{a.short - b.short, a.sum - b.sum, a.buys - b.buys, a.pref - b.pref, a.room - b.room, cost}
}

// beats reports whether what holds is worse if it has so many parts to buy and so many points.
func (a *merit) beats(buys, pref int) bool {
	return a.short == 0 && a.sum == 0 && (buys > a.buys || buys == a.buys && pref > a.pref)
}

// Decide returns what the order of two frames hangs on, and the difference.
func Decide(a, b *Standing) (fitgeom.Reason, float64) {
	switch {
	case a.class == b.class:
	case a.class == unfit || b.class == unfit:
		return fitgeom.ByFit, 0
	default:
		return fitgeom.ByHolding, 0
	}
	reason, by := a.decide(&b.merit, a.class == holding)
	if reason == fitgeom.ByCloseness {
		by = 0 // the caller knows it better
	}
	return reason, math.Abs(float64(by))
}

// Unfit is where a frame stands on which no parts fit, but for its place.
func Unfit() Standing { return Standing{bound: bound{class: unfit}} }

// Weigh returns where a candidate of a problem stands among others, but for its place.
func Weigh(p *Problem, c *fitgeom.Candidate) Standing {
	s := Standing{bound: bound{class: failing, merit: merit{
		short: c.Merit.Shortfall, sum: c.Merit.ShortfallSum, pref: c.Merit.Preference, room: c.Merit.Room,
	}}}
	if c.Holds() {
		s.class = holding
	}
	if p.Bike != (fitgeom.Build{}) {
		s.buys = c.Purchases
	}
	// The cost of each group is rounded by itself.
	w := wish{grain: p.Grain}
	costs := [4]float64{}
	for i := range c.Deviations {
		d := &c.Deviations[i]
		costs[groupOf(d.Site.Group())] += d.Cost()
	}
	for _, v := range costs {
		s.cost += w.rounded(v)
	}
	return s
}
