package search

import (
	"cmp"
	"math/bits"
	"slices"
	"sort"

	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"gonum.org/v1/gonum/spatial/r3"
)

// orderLength is the number of numbers that break ties between two options.
const orderLength = 8

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
	pile     *Pile
	shift    r3.Vec // of the saddle
	key      [6]int // the parts that vary
}

// nearer compares options that do not hold: cost comes before purchases.
func nearer(a, b *option) int {
	return cmp.Or(cmp.Compare(a.cost, b.cost), cmp.Compare(a.buys, b.buys), slices.Compare(a.order[:], b.order[:]))
}

// cheaper compares options that hold: purchases come before cost.
func cheaper(a, b *option) int {
	return cmp.Or(cmp.Compare(a.buys, b.buys), cmp.Compare(a.cost, b.cost), slices.Compare(a.order[:], b.order[:]))
}

// A ranking keeps the best options of a group and the best of those that hold. Of options
// with the same varying parts it keeps only the best.
type ranking struct {
	most         int
	counts       bool    // whether what must be bought counts
	vary         [5]bool // the parts that vary
	flips        bool    // whether a stem upside down is another one
	count        int     // options seen or left out
	all, holding []option
	scratch      option // keeps what is passed around off the heap
}

func newRanking(most int, counts bool, vary part.Kinds, kinds [5]part.Kinds) *ranking {
	r := &ranking{most: most, counts: counts, flips: kinds[1] == part.Stems && vary&part.Stems != 0}
	for i, k := range kinds {
		r.vary[i] = vary&k != 0
	}
	return r
}

func (r *ranking) buys(buy part.Kinds) int {
	if !r.counts {
		return 0
	}
	return bits.OnesCount16(uint16(buy))
}

// admits reports whether an option could be kept, given a lower bound of its cost.
func (r *ranking) admits(cost float64, holds bool, buy part.Kinds, first, second int64) bool {
	buys := r.buys(buy)
	if len(r.all) < r.most {
		return true
	}
	last := &r.all[r.most-1]
	tie := cmp.Or(cmp.Compare(first, last.order[0]), cmp.Compare(second, last.order[1]))
	if cmp.Or(cmp.Compare(cost, last.cost), cmp.Compare(buys, last.buys), tie) <= 0 {
		return true
	}
	if !holds || len(r.holding) < r.most {
		return holds
	}
	last = &r.holding[r.most-1]
	tie = cmp.Or(cmp.Compare(first, last.order[0]), cmp.Compare(second, last.order[1]))
	return cmp.Or(cmp.Compare(buys, last.buys), cmp.Compare(cost, last.cost), tie) <= 0
}

// add counts an option and offers it; keep offers one that has been counted already.
func (r *ranking) add(o *option) {
	r.count++
	r.keep(o)
}

func (r *ranking) keep(found *option) {
	r.scratch = *found
	o := &r.scratch
	o.buys = r.buys(o.buy)
	for i, varies := range r.vary {
		if varies {
			o.key[i] = 1 + o.part[i]
		}
	}
	if r.flips && o.settings.Flipped {
		o.key[5] = 1
	}
	r.all = insert(r.all, o, r.most, nearer)
	if o.holds {
		r.holding = insert(r.holding, o, r.most, cheaper)
	}
}

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

// A pairing is one option of each group: a whole build.
type pairing struct{ front, seat *option }

func (p pairing) holds() bool { return p.front.holds && p.seat.holds }

// key is the parts in which candidates differ.
func (p pairing) key() [2][6]int { return [2][6]int{p.front.key, p.seat.key} }

func (p pairing) compare(u pairing, holding bool) int {
	cost := cmp.Compare(float64(p.front.cost+p.seat.cost), float64(u.front.cost+u.seat.cost))
	buys := cmp.Compare(p.front.buys+p.seat.buys, u.front.buys+u.seat.buys)
	if holding {
		cost, buys = buys, cost
	}
	return cmp.Or(cost, buys, slices.Compare(p.front.order[:], u.front.order[:]), slices.Compare(p.seat.order[:], u.seat.order[:]))
}

// merge returns the best builds that can be made of options of both groups. The groups do
// not affect each other, so a build of the i-th and the j-th option of the two groups has
// at least ij - 1 builds before it. This bounds the pairs to be tried.
func merge(front, seat []option, most int, holding bool) []pairing {
	var all []pairing
	for i := range front {
		for j := range seat {
			if (i+1)*(j+1) > most {
				break
			}
			all = append(all, pairing{&front[i], &seat[j]})
		}
	}
	slices.SortFunc(all, func(a, b pairing) int { return a.compare(b, holding) })
	return all[:min(len(all), most)]
}
