package search

import (
	"cmp"
	"math"
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/rig"
	"gonum.org/v1/gonum/spatial/r3"
)

// A job is to find the best options for one frame.
type job struct {
	*wish
	frame *fitgeom.Frame
	ch    *rig.Chassis
	shelf *fitgeom.Shelf
	now   *fitgeom.Build // the bike as it is
	list  *shortlist     // takes what is found
	pref  *fitgeom.Preference

	counts bool // whether what must be bought counts
}

func newJob(w *wish, p *Problem, frame *fitgeom.Frame, ch *rig.Chassis, list *shortlist) job {
	return job{wish: w, frame: frame, ch: ch, shelf: &p.Shelf, now: &p.Bike, list: list, pref: &p.Preference, counts: p.Bike != fitgeom.Build{}}
}

// A carried is a stem as it may be mounted, or that of a bar in one piece with it.
type carried struct {
	stem  *part.Stem
	place int // on the shelf; -1 for that of a bar
	set   rig.StemSet
	first bool    // whether it is the first of those that differ in how the stem is set
	pref  int     // its points without spacers
	q, a  float64 // of its foot from the head tube's top
	buy   part.Kinds
}

// A frontSearch is a search for the best front ends. It serves all frames of one socket.
type frontSearch struct {
	job
	top      float64                 // of the frame's head tube, across the steerer
	piles    *Piles                  // all that the shelf can make
	under    map[[2]float64][][]Pile // those that suit, by height and kind of the stem, and cap
	kept     int                     // how many of them
	suiting  []Pile                  // of a stem of which they are not kept
	caps     []int                   // those that fit
	on       []carried               // the stems that fit
	cockpits []*cockpit              // some of them
	whole    bool                    // or all
	turned   bool                    // whether some turn with the steerer: bars in one piece with their stem
	rooms    map[kit]merit           // that were measured
	wide     map[wideKey][]*cockpit  // those by which room is judged, in all ways to mount levers
	places   [2]kitPlaces            // of the kit at hand, by wish
	lacks    merit                   // what is known of the room of the kit at hand
}

// fronts offers every front end that could come among the best. If the meter stops it,
// it returns what the others cost at least, and otherwise infinity. The error is that of
// [PilesOn].
func (j job) fronts() (open float64, err error) {
	f, err := newFrontSearch(j)
	if err != nil {
		return 0, err
	}
	return f.all(), nil
}

// all is fronts.
func (f *frontSearch) all() (open float64) {
	open = math.Inf(1)
	f.lay(func(last bool) bool {
		// The most promising bars first, so that the others are soon out of the race.
		slices.SortStableFunc(f.cockpits, func(a, b *cockpit) int { return cmp.Compare(a.floor, b.floor) })
		for _, c := range f.cockpits {
			if f.list.limit != nil && c.floor > c.asked+c.askedAero {
				continue // it cannot hold
			}
			lo, hi := c.form.reach(f.ch.SteererUp)
			for i := range c.on {
				s := &c.on[i]
				if f.list.limit != nil && f.list.beyond(s.pref) {
					break // the same holds for all that follow
				}
				if f.stem(c, s, c.form.floor(f.top+s.q, lo[0], hi[0])); f.meter.Stopped() {
					if last {
						open = c.floor
					}
					return false
				}
			}
		}
		return true
	})
	if f.meter.Stopped() && math.IsInf(open, 1) {
		open = 0
	}
	return open
}

// newFrontSearch prepares caps and spacers.
func newFrontSearch(j job) (*frontSearch, error) {
	f := &frontSearch{job: j, under: map[[2]float64][][]Pile{}, rooms: map[kit]merit{}, wide: map[wideKey][]*cockpit{}}
	for i := range f.shelf.Caps {
		if rig.Fits(rig.Socket(f.shelf.Caps[i].SteererInterface, f.shelf.Caps[i].SteererDiameter), f.steerer()) {
			f.caps = append(f.caps, i)
		}
	}
	for i := range f.shelf.Handlebars {
		f.turned = f.turned || f.shelf.Handlebars[i].OnePiece()
	}
	f.on = f.stems()
	f.lacks.room = f.mostRoom[0]
	return f, f.stack()
}

// stack finds the piles for the frame at hand.
func (f *frontSearch) stack() (err error) {
	f.top, _ = f.ch.Steerer(f.ch.HeadTop)
	f.piles, err = PilesOn(f.meter, f.frame, f.shelf.Spacers)
	return err
}

// move goes on to another frame of the same socket.
func (f *frontSearch) move(frame *fitgeom.Frame, ch *rig.Chassis, list *shortlist) error {
	same := f.piles != nil && frame.MaxUnderStem == f.frame.MaxUnderStem && frame.SteererCut == f.frame.SteererCut
	if f.turned && ch.HeadAngle != f.ch.HeadAngle {
		f.whole, f.cockpits = false, f.cockpits[:0]
		clear(f.wide)
	}
	f.frame, f.ch, f.list = frame, ch, list
	clear(f.rooms)
	if same {
		f.top, _ = ch.Steerer(ch.HeadTop)
		return nil
	}
	clear(f.under)
	f.kept = 0
	return f.stack()
}

// steerer is what caps and stems have to fit.
func (f *frontSearch) steerer() float64 {
	return rig.Socket(f.frame.SteererInterface, f.frame.SteererDiameter)
}

// lay lays out all cockpits, some at a time, and calls do with each lot until it returns
// false. It says of the last lot that it is the last.
func (f *frontSearch) lay(do func(last bool) bool) {
	if f.whole {
		do(true)
		return
	}
	f.whole = true
	put := func(on []carried, bi, li, ai int) bool {
		return rig.Mounts(&f.shelf.Handlebars[bi], func(m part.LeverMount) bool {
			if len(f.cockpits) == many.cockpits {
				if f.whole = false; !do(false) {
					return false
				}
				f.cockpits = f.cockpits[:0]
			}
			f.cockpit(on, m, bi, li, ai)
			return !f.meter.Stopped()
		})
	}
	for bi := range f.shelf.Handlebars {
		bar := &f.shelf.Handlebars[bi]
		on := f.on
		if bar.OnePiece() {
			on = f.carry(nil, &carried{stem: &bar.Stem, place: -1, first: true})
		}
		levers := 1
		if bar.Drop != (part.DropBar{}) {
			levers = len(f.shelf.Levers)
		}
		for li := range levers {
			if !f.asked(contact.PadLeft) && !f.asked(contact.ExtensionLeft) {
				if !put(on, bi, li, -1) {
					return
				}
				continue
			}
			for ai := range f.shelf.AeroBars {
				if rig.Fits(f.shelf.AeroBars[ai].BarDiameter, bar.AeroDiameter) && !put(on, bi, li, ai) {
					return
				}
			}
		}
	}
	f.whole = f.whole && !f.meter.Stopped()
	do(true)
}

// stems returns the stems of the shelf that fit, each way up.
func (f *frontSearch) stems() []carried {
	all := make([]carried, 0, 2*len(f.shelf.Stems))
	for i := range f.shelf.Stems {
		if !f.meter.Do(5) {
			return all
		}
		all = f.carryAll(all, i)
	}
	// Usual ones first, so that others are soon out of the race.
	slices.SortStableFunc(all, func(a, b carried) int { return cmp.Compare(a.pref, b.pref) })
	return all
}

// carryAll appends a stem of the shelf in all ways to set it, if it fits the steerer.
func (f *frontSearch) carryAll(all []carried, i int) []carried {
	stem := &f.shelf.Stems[i]
	c := carried{stem: stem, place: i, buy: bought(part.Stems, *stem == f.now.Stem), first: true}
	for a := range max(1, stem.Angles.Count()) {
		for q := range max(1, stem.Quill.Count()) {
			if !f.meter.Do(1) {
				return all
			}
			angle := stem.Angle
			c.set = rig.StemSet{Quill: stem.Quill.At(q)}
			if stem.Angles != (part.Steps{}) {
				angle = stem.Angles.At(a)
				c.set.Angle = angle
			}
			all = f.carry(all, &c)
			if c.set.Flipped = true; stem.Flippable && angle != 0 {
				all = f.carry(all, &c)
			}
			c.first = false
		}
	}
	return all
}

// carry appends a stem if it fits the steerer.
func (f *frontSearch) carry(to []carried, of *carried) []carried {
	c, stem := *of, of.stem
	if !rig.Fits(rig.Socket(stem.SteererInterface, stem.SteererDiameter), f.steerer()) {
		return to
	}
	c.pref = f.pref.StemPoints(stem, c.set.Angle, 0, c.set.Flipped) - f.spacerPoints(stem, 0)
	foot := upright.Mount(stem, c.set).Foot
	c.q, c.a = foot.X, foot.Z
	return append(to, c)
}

// upright has a steerer that stands upright on the origin.
var upright = rig.Chassis{HeadAngle: 90, SteererUp: r3.Vec{Z: 1}} //exhaustruct:ignore

// mounted is where a stem holds the bar on the frame at hand.
func (f *frontSearch) mounted(s *carried) rig.Mount {
	return rig.Mount{Foot: r3.Add(f.ch.HeadTop, f.ch.Plane(s.q, s.a))}
}

// spacerPoints is the points of spacers under a stem.
func (f *frontSearch) spacerPoints(stem *part.Stem, height float64) int {
	if stem.Quill != (part.Steps{}) {
		return 0
	}
	return f.pref.Spacers.Steps(height)
}

// suit appends the piles that suit a stem on one of the caps.
func (f *frontSearch) suit(to []Pile, stem *part.Stem, k int) []Pile {
	if !f.meter.Do(1 + len(f.piles.from)/4) {
		return to
	}
	return f.piles.Suiting(to, f.frame, &f.shelf.Caps[f.caps[k]], stem)
}

// pilesOf returns the piles that suit a stem on one of the caps.
func (f *frontSearch) pilesOf(s *carried, k int) []Pile {
	key := [2]float64{} // the stem's height matters to a cut steerer only
	if f.frame.SteererCut != 0 {
		key[0] = s.stem.Height
	}
	if s.stem.Quill != (part.Steps{}) {
		key[1] = 1 // and takes no spacers
	}
	under, ok := f.under[key]
	if !ok && f.kept < many.kept {
		for k := 0; k < len(f.caps) && f.kept < many.kept; k++ {
			under = append(under, f.suit(nil, s.stem, k))
			f.kept += 1 + len(under[k])
		}
		if len(under) < len(f.caps) {
			under = nil // there are too many to keep
		}
		f.under[key] = under
	}
	if under == nil {
		f.suiting = f.suit(f.suiting[:0], s.stem, k)
		return f.suiting
	}
	return under[k]
}

// A frontEnd is a cockpit on a stem, with a cap and a pile under it.
type frontEnd struct {
	c     *cockpit
	s     *carried
	shim  part.Shim
	buy   part.Kinds
	cap   int
	pile  *Pile
	pref  int // points, but for the roll
	clamp r3.Vec
}

// bare is a pile of no spacers.
var bare Pile

// stem offers a cockpit on a stem, which costs no less than a floor, with everything that
// may be under it.
func (f *frontSearch) stem(c *cockpit, s *carried, floor float64) {
	hopeless, counted := f.hopeless(c, floor), s.first && c.mount == firstMount(c.bar) && f.list.counted()
	if hopeless && !counted {
		return
	}
	shim, buy, ok := f.joint(c, s)
	if !ok || !f.meter.Do(1) {
		return
	}
	e := frontEnd{c: c, s: s, shim: shim, buy: buy, pile: &bare, pref: s.pref}
	if shim != (part.Shim{}) {
		e.pref += f.pref.Shim
	}
	points := e.pref
	skip := hopeless || f.list.beyond(points) || !f.admits(&e, c.fixed+floor, 0)
	mount := f.mounted(s)
	for k, ci := range f.caps {
		piles := f.pilesOf(s, k)
		if counted { // settings are no other front end
			f.list.count += len(piles)
		}
		if skip {
			continue
		}
		if !f.meter.Do(len(piles)) {
			return
		}
		lift := &f.shelf.Caps[ci]
		e.cap, e.buy = ci, buy|bought(part.Caps, *lift == f.now.Cap)
		for i := range piles {
			e.pile = &piles[i]
			e.pref = points + f.spacerPoints(s.stem, e.pile.Below)
			up := lift.Height + e.pile.Below
			e.clamp = f.ch.Clamp(&mount, up)
			if c.form.round && !f.admits(&e, c.fixed+c.form.least(e.clamp), 0) {
				continue
			}
			if c.aero == nil && c.form.round || f.admits(&e, c.fixed+c.box.least(e.clamp), c.acrossAero.cost+c.padBox.least(e.clamp)+c.tipBox.least(e.clamp)) {
				f.offer(&e)
			}
		}
	}
}

// hopeless reports whether a cockpit cannot come among the best if it costs so much.
func (f *frontSearch) hopeless(c *cockpit, floor float64) bool {
	floor += c.fixed
	return floor > c.asked && floor > f.most(f.list.ceiling())
}

// joint returns the shim between a cockpit and a stem and what of both must be bought;
// false if they do not go together.
func (f *frontSearch) joint(c *cockpit, s *carried) (shim part.Shim, buy part.Kinds, ok bool) {
	buy = c.buy | s.buy
	if c.bar.OnePiece() {
		return shim, buy, true
	}
	shim, ok = shimFor(f.shelf, rig.Socket(c.bar.ClampInterface, c.bar.ClampDiameter), rig.Socket(s.stem.BarInterface, s.stem.BarDiameter), f.now.BarShim)
	return shim, buy | boughtShim(shim, f.now.BarShim), ok
}

// admits reports whether a front end could come among the best, if bar and aero
// bar cost no less than given.
func (f *frontSearch) admits(e *frontEnd, bar, aero float64) bool {
	less := func(cost float64) float64 { return max(0, cost*(1-rounding)-1e-9) } // by what rounding may add
	cost := f.rounded(less(bar)) + f.rounded(less(aero))
	can := e.c.across.holds && bar <= e.c.asked && e.c.acrossAero.holds && aero <= e.c.askedAero+1e-3
	o := &f.list.scratch
	o.merit = f.lacks.plus(&merit{buys: f.list.buys(e.buy), pref: e.pref, cost: cost})
	o.holds, o.part = can, e.part()
	o.key = f.list.key(o, e.s.set.Flipped)
	o.order[0], o.order[1] = int64(e.pile.tenths), yes(e.s.set.Flipped)
	return f.list.admits(o, can)
}

// part is the places of the parts on the shelf.
func (e *frontEnd) part() [5]int {
	return [5]int{e.cap, e.s.place, e.c.part[0], e.c.part[1], e.c.part[2]}
}

// settling is the work of settling a cockpit, but for its aero bar, and of keeping it.
func (f *frontSearch) settling(c *cockpit) int {
	n := 10 + len(f.list.all.all)/16
	if !c.form.round || c.turns {
		n += 50
	}
	if c.turns {
		n += 100
	}
	return n
}

// offer settles a front end and hands it to the shortlist.
func (f *frontSearch) offer(e *frontEnd) {
	c, s := e.c, e.s
	if !f.meter.Do(f.settling(c)) {
		return
	}
	roll, bar := c.settle(e.clamp)
	o := option{
		merit: merit{pref: e.pref + f.pref.Rotation.Steps(roll), cost: f.rounded(bar.cost)}, holds: bar.holds, buy: e.buy,
		order:    [orderLength]int64{int64(e.pile.tenths), yes(s.set.Flipped), millionths(math.Abs(roll)), int64(e.cap), int64(s.place), int64(c.part[0]), int64(c.part[1]), int64(c.part[2]), away(c.mount.Up), away(c.mount.In), away(s.set.Angle), away(s.set.Quill), 0},
		settings: fitgeom.Settings{Spacers: e.pile.Below, SpacersAbove: e.pile.Above, Flipped: s.set.Flipped, StemAngle: s.set.Angle, Quill: s.set.Quill, BarRotation: roll, LeverUp: c.mount.Up, LeverIn: c.mount.In},
		part:     e.part(),
		shim:     e.shim, pile: *e.pile,
	}
	if c.aero == nil {
		f.settled(&o, c)
		return
	}
	for choice := range f.list.choices(&f.laws.tips) {
		f.offerAero(o, e, choice)
	}
}

// offerAero settles the aero bar of a front end, for one of the limits of its tips.
func (f *frontSearch) offerAero(o option, e *frontEnd, choice int) {
	a, ok := f.settleAero(e.c, e.clamp, f.laws.tips.within(choice), func(a *aeroSet) bool {
		if len(f.laws.front) == 0 {
			return true
		}
		set := o
		a.put(e.c, &set.settings)
		return f.keepsLaws(&set, false)
	})
	if !ok {
		return
	}
	o.cost += f.rounded(a.cost)
	o.holds = o.holds && a.holds
	a.put(e.c, &o.settings)
	o.order[orderLength-1] = int64(choice)
	f.settled(&o, e.c)
}

// settled hands a front end that is settled to the shortlist.
func (f *frontSearch) settled(o *option, c *cockpit) {
	if !o.holds || f.list.nearest || !f.keepsLaws(o, false) {
		f.list.keep(o)
		return
	}
	f.list.weigh(o, f.lacks, func() merit { return f.kitRoom(kit(o.part), c.on) })
}
