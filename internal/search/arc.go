package search

import (
	"math"

	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/rig"
)

// An arc is a bar in a column, and where its clamp is wanted.
type arc struct {
	c      *cockpit
	form   form
	exact  bool    // the form is what it costs, not only a bound of it
	loose  bool    // nothing is asked in the plane that could be bounded
	other  float64 // what else it costs, rounded
	least  float64 // unrounded, in the form and across
	can    bool    // whether it could hold
	tq, ta float64 // where the sites are wanted on average
	radius float64 // how far they are from the clamp on average
	on     []mated // stems, those furthest forward first
}

// A mated is a bar on a stem.
type mated struct {
	q, a    float64 // of the stem
	buys    int
	pref    int       // points, but for spacers and roll
	ladders []*ladder // by cap
	low     float64   // of all of them
	high    float64
}

// arc prepares a bar.
func (q *Question) arc(ch *rig.Chassis, c *cockpit) arc {
	a := arc{c: c, form: c.form, exact: c.aero == nil, can: c.across.holds && c.acrossAero.holds && !q.noSeat}
	if !c.form.round {
		a.form = lighter(ch, c)
	}
	if c.aero != nil {
		a.other = q.w.rounded(max(0, c.acrossAero.cost-costSlack))
	}
	a.least = c.fixed
	f := &a.form
	if !(f.w > 0) {
		a.loose = true
		return a
	}
	a.least += f.base
	a.tq, a.ta = f.originQ+f.tq/f.w, f.originA+f.ta/f.w
	a.radius = math.Sqrt(f.hq*f.hq+f.ha*f.ha) / f.w
	return a
}

// anyArc stands for all bars on all stems, of which nothing is known.
func anyArc(buys int) arc {
	return arc{c: &cockpit{asked: math.Inf(1)}, loose: true, can: true, on: []mated{{buys: buys}}}
}

// lighter is a form that costs no more than a bar of which sites weigh more
// forward than up or less: each with the lesser of its weights.
func lighter(ch *rig.Chassis, c *cockpit) form {
	even := func(w *wanted) *wanted {
		e := *w
		e.weight.X = min(e.weight.X, e.weight.Z)
		e.weight.Z = e.weight.X
		return &e
	}
	hands := make([]hand, len(c.hands))
	for i, h := range c.hands {
		hands[i] = hand{at: h.at, want: even(h.want)}
	}
	return newForm(ch, hands, even(c.clamp), c.most)
}

// mate puts a bar on a stem if they go together.
func (b *bounder) mate(f *frontSearch, a *arc, s *carried, ladders map[*[]Pile][]*ladder) {
	shim, buy, ok := f.joint(a.c, s)
	if !ok || len(s.piles) == 0 {
		return
	}
	m := mated{q: s.q, a: s.a, pref: s.pref}
	if shim != (part.Shim{}) {
		m.pref += f.pref.Shim
	}
	m.buys = f.list.buys(buy) + b.q.seatBuys // a cap counts nothing here
	all, ok := ladders[&s.piles[0]]
	if !ok {
		for i, piles := range s.piles {
			if len(piles) > 0 {
				all = append(all, newLadder(f.shelf.Caps[f.caps[i]].Height, piles, func(below float64) int { return f.spacerPoints(s.stem, below) }))
			}
		}
		ladders[&s.piles[0]] = all
	}
	m.ladders = all
	m.low, m.high = math.Inf(1), math.Inf(-1)
	for _, l := range all {
		m.low, m.high = min(m.low, l.low), max(m.high, l.high)
	}
	if len(m.ladders) > 0 {
		b.on = append(b.on, m)
	}
}
