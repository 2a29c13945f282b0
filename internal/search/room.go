package search

import (
	"math"
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"gonum.org/v1/gonum/spatial/r3"
)

// groupOf numbers what is settled and rounded by itself: bar, aero bar, seat and feet.
func groupOf(g contact.Group) int {
	switch {
	case g == contact.OnHandlebar:
		return 0
	case g == contact.OnAeroBar:
		return 1
	case g == contact.OnSaddle:
		return 2
	default:
		return 3
	}
}

// Widened is what is kept with a gap added to the tolerance of each coordinate.
func Widened(k fitgeom.Keep, gap float64) fitgeom.Keep {
	for _, t := range [...]*float64{&k.Tolerance.X, &k.Tolerance.Y, &k.Tolerance.Z} {
		if *t != 0 {
			*t += gap
		}
	}
	return k
}

// widened is a wish with a gap added to the tolerance of each coordinate.
func (w *wish) widened(gap float64) *wish {
	wide := *w
	if gap == 0 {
		return &wide
	}
	for i := range w.keep {
		k := Widened(w.keep[i], gap)
		wide.want[k.Site] = newWanted(k, w.want[k.Site].at, w.want[k.Site].facing)
	}
	return &wide
}

// roomWish is what room is wanted of a group of parts, and the wish by which what is held on
// the way is judged.
type roomWish struct {
	*fitgeom.RoomWish
	wide  *wish
	place int // among those of the group
}

// roomWishes is the wishes of the seat, or those of the front end.
func (w *wish) roomWishes(all []fitgeom.RoomWish, seat bool) (of []roomWish) {
	for i := range all {
		if (all[i].Group == contact.OnSaddle) == seat {
			of = append(of, roomWish{&all[i], w.widened(all[i].Gap), len(of)})
		}
	}
	return of
}

// mostRoom is the most that room can count for.
func mostRoom(of []roomWish) int {
	for _, r := range of {
		if r.Up > 0 || r.Down > 0 || r.Forward > 0 || r.Back > 0 {
			return fitgeom.RoomMost
		}
	}
	return 0
}

// measure finds the room of what holds tells whether it is held when it is moved, as far as it
// counts. Once it is shorter than most it does not matter by how much.
func (r *roomWish) measure(m *merit, least *int, most int, holds func(by r3.Vec) bool) {
	for _, way := range [...]struct {
		wanted int
		by     r3.Vec
	}{{r.Up, r3.Vec{Z: 1}}, {r.Down, r3.Vec{Z: -1}}, {r.Forward, r3.Vec{X: 1}}, {r.Back, r3.Vec{X: -1}}} {
		if way.wanted == 0 || m.short > most {
			continue
		}
		mm := 0
		for mm < fitgeom.RoomMost && holds(r3.Scale(float64(mm+1), way.by)) {
			mm++
		}
		short := max(0, way.wanted-mm)
		m.short, m.sum, *least = max(m.short, short), m.sum+short, min(*least, mm)
	}
}

// rooms measures all wishes of a group of parts.
func rooms(of []roomWish, most int, holds func(r *roomWish, by r3.Vec) bool) (m merit) {
	least := mostRoom(of)
	for i := range of {
		r := &of[i]
		r.measure(&m, &least, most, func(by r3.Vec) bool { return holds(r, by) })
	}
	m.room = least / fitgeom.RoomStep * fitgeom.RoomStep
	return m
}

// A kit is the parts of a front end: places of cap, stem, bar, lever and aero bar on the shelf.
type kit [5]int

// A held is a clamp place that a kit offers, and the cockpit on it.
type held struct {
	c     *cockpit
	clamp r3.Vec
}

// A wideKey is a wish for room, and places of bar, lever and aero bar.
type wideKey [4]int

// kitRoom is the room of a kit on its stem in all ways to set it, which are among some.
func (f *frontSearch) kitRoom(k kit, on []carried) merit {
	if m, ok := f.rooms[k]; ok {
		return m
	}
	if len(f.rooms)+len(f.wide) > many.kept {
		clear(f.rooms)
		clear(f.wide)
	}
	wishes := f.wish.rooms[0]
	for i := range wishes {
		f.fill(&f.places[i], k, on, i)
	}
	m := rooms(wishes, f.list.shortest(), func(r *roomWish, by r3.Vec) bool { return f.anyHolds(&f.places[r.place], r, by) })
	f.rooms[k] = m
	return m
}

// kitPlaces is the places that a kit offers, and at which it held the last time.
type kitPlaces struct {
	all []held
	at  int
}

// anyHolds reports whether a kit can be set so that it holds what is moved.
func (f *frontSearch) anyHolds(p *kitPlaces, r *roomWish, by r3.Vec) bool {
	for range p.all { // from where it held the last time
		at := &p.all[p.at]
		if !f.meter.Do(2) {
			return false
		}
		if at.c.holds(f, r, at.clamp, by) {
			return true
		}
		if p.at++; p.at == len(p.all) {
			p.at = 0
		}
	}
	return false
}

// widened is a bar with lever and aero bar, in all ways to mount them, as a wish for room judges it.
func (f *frontSearch) widened(wish int, at [3]int, on []carried) []*cockpit {
	key := wideKey{wish, at[0], at[1], at[2]}
	cockpits, ok := f.wide[key]
	if !ok {
		wide := f.job
		wide.wish = f.wish.rooms[0][wish].wide
		cockpits = wide.cockpitsOf(at, on)
		f.wide[key] = cockpits
	}
	return cockpits
}

// fill lists the places that a kit offers for its bar's clamp.
func (f *frontSearch) fill(p *kitPlaces, k kit, on []carried, wish int) {
	p.all, p.at = p.all[:0], 0
	cockpits := f.widened(wish, [3]int{k[2], k[3], k[4]}, on)
	lift, which := f.shelf.Caps[k[0]].Height, slices.Index(f.caps, k[0])
	for _, c := range cockpits {
		for i := range on {
			if s := &on[i]; s.place == k[1] {
				mount := f.mounted(s)
				for _, pile := range f.pilesOf(s, which) {
					p.all = append(p.all, held{c, f.ch.Clamp(&mount, lift+pile.Below)})
				}
			}
		}
	}
}

// holds reports whether a cockpit with its clamp at a place can hold what is moved.
func (c *cockpit) holds(f *frontSearch, r *roomWish, clamp, by r3.Vec) bool {
	moved := r3.Sub(clamp, by)
	bar := moved
	if r.Group == contact.OnAeroBar {
		bar = clamp
	}
	if !c.across.holds || !c.acrossAero.holds || c.fixed+c.box.least(bar) > c.asked {
		return false
	}
	if c.form.round && c.fixed+c.form.least(bar) > c.asked {
		return false
	}
	if !c.can(bar) {
		return false
	}
	if c.aero == nil {
		return true
	}
	if c.acrossAero.cost+c.padBox.least(moved)+c.tipBox.least(moved) > c.askedAero+1e-3 {
		return false
	}
	a, ok := r.wide.settleAero(c, moved, math.Inf(1), func(*aeroSet) bool { return true })
	return ok && a.holds
}

// sitRoom is the room of a perch with cranks and pedals.
func (j job) sitRoom(h *perch, f *feet) merit {
	return rooms(j.rooms[1], math.MaxInt, func(r *roomWish, by r3.Vec) bool {
		if !j.meter.Do(2) {
			return false
		}
		moved, ok := SaddleMoved(j.policy, r3.Add(j.want[contact.SaddleReference].at, by), j.stroke, f.stroke)
		if !ok {
			return false
		}
		_, _, v := h.seat.best(r.wide, r3.Add(moved.By, by), math.Inf(1))
		return v.holds
	})
}
