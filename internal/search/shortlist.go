package search

import (
	"cmp"
	"math"
	"math/bits"
	"slices"

	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
)

// orderLength is how many numbers break ties between two options.
const orderLength = 13

// An option is one way to put a group of parts together, with its best settings.
type option struct {
	merit
	holds    bool
	buy      part.Kinds
	order    [orderLength]int64 // breaks ties: less is better; the last one is the choice of settings
	settings fitgeom.Settings
	part     [5]int // places on the shelf; -1 for none
	shim     part.Shim
	pile     Pile
	moved    fitgeom.SaddleMove
	key      [6]int // the parts that vary
}

// The parts of the two groups, in the order of their places in an option.
var (
	frontKinds = [5]part.Kinds{part.Caps, part.Stems, part.Handlebars, part.Levers, part.AeroBars}
	seatKinds  = [5]part.Kinds{part.Seatposts, part.Saddles, part.Cranks, part.Pedals}
)

// A shortlist keeps the best options of a group, and the best of those that hold:
// of each set of parts that vary the best one.
type shortlist struct {
	counts       bool    // whether what must be bought counts
	vary         [5]bool // the parts that vary
	flips        bool    // whether a stem upside down is another one
	count        int     // options seen or left out
	all, holding chosen
	enough       bool    // holding ones are all that matters if there are enough of them
	limit        *merit  // if not nil, those that hold and are no worse are all that matters
	after        *option // if not nil, of those that hold only these matter that come after it
	pairs        *pairs  // if not nil, takes those that hold
	apart        bool    // whether choices of settings are kept apart
	nearest      bool    // how near they are is all that matters
	scratch      option
}

func newShortlist(most int, counts bool, vary part.Kinds, kinds [5]part.Kinds) *shortlist {
	l := &shortlist{counts: counts, flips: kinds[1] == part.Stems && vary&part.Stems != 0}
	l.all, l.holding = newChosen(most, false), newChosen(most, true)
	for i, k := range kinds {
		l.vary[i] = vary&k != 0
	}
	return l
}

// choices is how many choices of settings are wanted: all for pairs.
func (l *shortlist) choices(of *farthest) int {
	if l.pairs != nil || l.apart {
		return 1 + len(of.either)
	}
	return 1
}

// buys returns how many kinds count among what must be bought.
func (l *shortlist) buys(buy part.Kinds) int {
	if !l.counts {
		return 0
	}
	return purchases(buy)
}

// purchases is how many kinds a group of parts has to buy. Each group has at most one shim.
func purchases(buy part.Kinds) int { return bits.OnesCount16(uint16(buy)) }

// key is the parts that vary of an option.
func (l *shortlist) key(o *option, flipped bool) (key [6]int) {
	for i, varies := range l.vary {
		if varies {
			key[i] = 1 + o.part[i]
		}
	}
	if l.apart { // of seats, which have nothing there
		key[5] = int(o.order[orderLength-1])
	}
	if l.flips && flipped {
		key[5] = 1
	}
	return key
}

// admits reports whether an option could be kept that is no better than given. The first two
// numbers of its order are known.
func (l *shortlist) admits(o *option, can bool) bool {
	if l.limit != nil {
		return can && o.merit.compare(l.limit, true) <= 0 && l.admitsHolding(o)
	}
	if !(l.enough && l.full()) && l.all.admits(o) {
		return true
	}
	return can && !l.nearest && l.admitsHolding(o)
}

func (l *shortlist) admitsHolding(o *option) bool {
	if l.pairs != nil {
		return l.pairs.admits(&o.merit)
	}
	return l.holding.admits(o)
}

// full reports whether as many hold as are wanted.
func (l *shortlist) full() bool {
	if l.pairs != nil {
		return l.pairs.full()
	}
	return l.holding.last != nil
}

// counted reports whether it is asked how many options there are.
func (l *shortlist) counted() bool { return l.limit == nil && !l.nearest }

// ceiling is the cost above which an option cannot be kept that does not hold.
func (l *shortlist) ceiling() float64 {
	switch {
	case l.limit != nil || l.enough && l.full():
		return 0
	case l.all.last != nil:
		return l.all.last.cost
	}
	return math.Inf(1)
}

// beyond reports whether no option of so many points or more is of use.
func (l *shortlist) beyond(pref int) bool {
	worst := l.limit
	if (worst != nil || l.enough) && l.holding.last != nil && (worst == nil || l.holding.last.merit.compare(worst, true) < 0) {
		worst = &l.holding.last.merit
	}
	return worst != nil && !l.counts && worst.short == 0 && worst.sum == 0 && pref > worst.pref
}

// shortest is the shortfall above which an option that holds is of no use.
func (l *shortlist) shortest() int {
	most := math.MaxInt
	if l.limit != nil {
		most = l.limit.short
	}
	if l.holding.last != nil {
		most = min(most, l.holding.last.short)
	}
	return most
}

// weigh keeps an option that holds, with its room: which is measured only if it may matter, since
// it is known what the option lacks at least.
func (l *shortlist) weigh(o *option, lacks merit, room func() merit) {
	o.buys = l.buys(o.buy)
	o.key = l.key(o, o.settings.Flipped)
	own := o.merit
	if o.merit = own.plus(&lacks); l.admits(o, true) {
		r := room()
		o.merit = own.plus(&r)
		l.keep(o)
	}
}

// keep puts an option that has been counted where it belongs.
func (l *shortlist) keep(o *option) {
	o.buys = l.buys(o.buy)
	o.key = l.key(o, o.settings.Flipped)
	if l.limit == nil {
		l.all.add(o)
	}
	switch {
	case !o.holds, l.nearest, l.after != nil && l.holding.order(o, l.after) <= 0:
	case l.pairs != nil:
		l.pairs.add(o)
	default:
		l.holding.add(o)
	}
}

// A chosen is the best options in an order: of each key the best one.
type chosen struct {
	most    int
	holding bool // whether it is of options that hold
	all     []*option
	twins   map[[6]int]int // where the option with a key is
	last    *option        // as many as wanted are no worse; nil if there are not so many yet
}

func newChosen(most int, holding bool) chosen {
	return chosen{most: most, holding: holding, all: nil, twins: map[[6]int]int{}, last: nil}
}

func (c *chosen) order(a, b *option) int {
	return cmp.Or(a.merit.compare(&b.merit, c.holding), slices.Compare(a.order[:], b.order[:]))
}

// admits reports whether an option could be kept that is no better than given, up to the
// second number of its order.
func (c *chosen) admits(o *option) bool {
	no := func(u *option) bool {
		n := o.merit.compare(&u.merit, c.holding)
		return cmp.Or(n, slices.Compare(o.order[:2], u.order[:2])) > 0
	}
	if c.last != nil && no(c.last) {
		return false
	}
	at, ok := c.twins[o.key]
	return !ok || !no(c.all[at])
}

// add keeps an option, unless a twin, with the same key, is better.
func (c *chosen) add(o *option) {
	if c.last != nil && c.order(o, c.last) > 0 {
		return
	}
	at, ok := c.twins[o.key]
	if ok && c.order(c.all[at], o) <= 0 {
		return
	}
	own := new(option)
	*own = *o
	if ok {
		c.all[at] = own
		return
	}
	c.twins[o.key] = len(c.all)
	c.all = append(c.all, own)
	if len(c.all) >= c.most && (c.last == nil || len(c.all) > c.most+c.most/4) {
		c.sort()
		c.last = c.all[c.most-1]
	}
}

// sort puts the best options first, and drops what is more than wanted.
func (c *chosen) sort() {
	slices.SortFunc(c.all, c.order)
	c.all = c.all[:min(len(c.all), c.most)]
	clear(c.twins)
	for i, o := range c.all {
		c.twins[o.key] = i
	}
}

// list returns the best options, best first.
func (c *chosen) list() []*option {
	c.sort()
	return c.all
}
