package search

import (
	"cmp"
	"math/bits"
	"slices"
	"sort"

	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
)

// orderLength is how many numbers break ties between two options.
const orderLength = 12

// An option is one way to put a group of parts together, with its best settings.
type option struct {
	cost     float64 // in squared grains
	holds    bool
	buy      part.Kinds
	buys     int                // parts that count
	order    [orderLength]int64 // breaks ties: less is better; the last ones are places on the shelf
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

// nearer is the order of what does not hold.
func nearer(a, b *option) int {
	return cmp.Or(cmp.Compare(a.cost, b.cost), cmp.Compare(a.buys, b.buys), slices.Compare(a.order[:], b.order[:]))
}

// cheaper is the order of what holds.
func cheaper(a, b *option) int {
	return cmp.Or(cmp.Compare(a.buys, b.buys), cmp.Compare(a.cost, b.cost), slices.Compare(a.order[:], b.order[:]))
}

// A shortlist keeps the best options of a group, and the best of those that hold:
// of each set of parts that vary the best one.
type shortlist struct {
	most         int
	counts       bool    // whether what must be bought counts
	vary         [5]bool // the parts that vary
	flips        bool    // whether a stem upside down is another one
	count        int     // options seen or left out
	all, holding []option
	scratch      option // keeps what is passed around off the heap
}

func newShortlist(most int, counts bool, vary part.Kinds, kinds [5]part.Kinds) *shortlist {
	l := &shortlist{most: most, counts: counts, flips: kinds[1] == part.Stems && vary&part.Stems != 0}
	for i, k := range kinds {
		l.vary[i] = vary&k != 0
	}
	return l
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

// admits reports whether an option that costs no less than given could be kept.
func (l *shortlist) admits(cost float64, holds bool, buy part.Kinds, first, second int64) bool {
	buys := l.buys(buy)
	if len(l.all) < l.most {
		return true
	}
	last := &l.all[l.most-1]
	tie := cmp.Or(cmp.Compare(first, last.order[0]), cmp.Compare(second, last.order[1]))
	if cmp.Or(cmp.Compare(cost, last.cost), cmp.Compare(buys, last.buys), tie) <= 0 {
		return true
	}
	if !holds || len(l.holding) < l.most {
		return holds
	}
	last = &l.holding[l.most-1]
	tie = cmp.Or(cmp.Compare(first, last.order[0]), cmp.Compare(second, last.order[1]))
	return cmp.Or(cmp.Compare(buys, last.buys), cmp.Compare(cost, last.cost), tie) <= 0
}

// add counts an option and keeps it if it belongs there.
func (l *shortlist) add(o *option) {
	l.count++
	l.keep(o)
}

// keep puts an option that has been counted where it belongs.
func (l *shortlist) keep(found *option) {
	l.scratch = *found
	o := &l.scratch
	o.buys = l.buys(o.buy)
	for i, varies := range l.vary {
		if varies {
			o.key[i] = 1 + o.part[i]
		}
	}
	if l.flips && o.settings.Flipped {
		o.key[5] = 1
	}
	l.all = insert(l.all, o, l.most, nearer)
	if o.holds {
		l.holding = insert(l.holding, o, l.most, cheaper)
	}
}

// insert puts an option into a list, unless a twin, with the same parts that vary, is before it.
func insert(list []option, o *option, most int, order func(a, b *option) int) []option {
	if len(list) == most && order(o, &list[most-1]) > 0 {
		return list
	}
	at := sort.Search(len(list), func(i int) bool { return order(&list[i], o) >= 0 })
	twin := -1
	for i := range list {
		if list[i].key == o.key {
			twin = i
		}
	}
	switch {
	case twin >= 0 && twin < at:
		return list
	case twin >= 0:
		list = slices.Delete(list, twin, twin+1)
	case len(list) == most:
		list = list[:most-1]
	}
	return slices.Insert(list, at, *o)
}
