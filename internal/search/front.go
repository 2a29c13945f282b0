package search

import (
	"cmp"
	"math"
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/rig"
	"gonum.org/v1/gonum/spatial/r3"
)

// The front end is searched in steerer coordinates: q across the steerer, forward, and a
// along it, up. A stem then has a fixed q, and cap and spacers change only its a. Two
// lower bounds keep the search short. The first bounds the cost of a bar on a stem at any
// height, and rules out most stems. The second bounds the cost at one height, and rules
// out most heights of the others. Neither exceeds the true cost, so no front end among
// the best is lost.

// A carried is a stem in one of the ways to mount it. It may be part of a one-piece bar.
type carried struct {
	stem    *part.Stem
	place   int // on the shelf; -1 for the stem of a one-piece bar
	flipped bool
	mount   rig.Mount
	q, a    float64
	buy     part.Kinds
	piles   [][]Pile // by cap
}

// A front is a search for the best front ends.
type front struct {
	*wish
	frame *fitgeom.Frame
	ch    *rig.Chassis
	shelf *fitgeom.Shelf
	now   *fitgeom.Build
	r     *ranking

	piles []Pile               // every pile the shelf can make
	under map[float64][][]Pile // the piles that suit, by stem height and by cap
	caps  []int                // places of the caps that fit

	cockpits []*cockpit
}

func (w *wish) fronts(r *ranking, frame *fitgeom.Frame, ch *rig.Chassis, shelf *fitgeom.Shelf, now *fitgeom.Build) {
	f := newFront(w, r, frame, ch, shelf, now)
	// The most promising bars come first, so that their results rule out others early.
	slices.SortStableFunc(f.cockpits, func(a, b *cockpit) int { return cmp.Compare(a.floor, b.floor) })
	for _, c := range f.cockpits {
		for i := range c.on {
			f.stem(c, &c.on[i])
		}
	}
}

// newFront prepares a search of front ends, with all cockpits.
func newFront(w *wish, r *ranking, frame *fitgeom.Frame, ch *rig.Chassis, shelf *fitgeom.Shelf, now *fitgeom.Build) *front {
	f := &front{wish: w, frame: frame, ch: ch, shelf: shelf, now: now, r: r, piles: PilesOn(frame, shelf.Spacers), under: map[float64][][]Pile{}}
	for i := range shelf.Caps {
		if rig.Fits(shelf.Caps[i].SteererDiameter, frame.SteererDiameter) {
			f.caps = append(f.caps, i)
		}
	}
	var stems []carried
	for i := range shelf.Stems {
		stem := &shelf.Stems[i]
		buy := bought(part.Stems, *stem == now.Stem)
		stems = f.carry(stems, stem, i, false, buy)
		if stem.Flippable && stem.Angle != 0 {
			stems = f.carry(stems, stem, i, true, buy)
		}
	}
	for bi := range shelf.Handlebars {
		bar := &shelf.Handlebars[bi]
		on := stems
		if bar.OnePiece() {
			on = f.carry(nil, &bar.Stem, -1, false, 0)
		}
		levers := 1
		if bar.Drop != (part.DropBar{}) {
			levers = len(shelf.Levers)
		}
		for li := range levers {
			if !w.asked(contact.PadLeft) && !w.asked(contact.ExtensionLeft) {
				f.cockpit(on, bi, li, -1)
				continue
			}
			for ai := range shelf.AeroBars {
				if rig.Fits(shelf.AeroBars[ai].BarDiameter, bar.AeroDiameter) {
					f.cockpit(on, bi, li, ai)
				}
			}
		}
	}
	return f
}

// carry appends a stem if it fits the steerer.
func (f *front) carry(to []carried, stem *part.Stem, place int, flipped bool, buy part.Kinds) []carried {
	if !rig.Fits(stem.SteererDiameter, f.frame.SteererDiameter) {
		return to
	}
	c := carried{stem: stem, place: place, flipped: flipped, mount: f.ch.Mount(stem, flipped), buy: buy}
	c.q, c.a = f.ch.Steerer(c.mount.Foot)
	key := 0.0 // the stem's height matters only on a cut steerer
	if f.frame.SteererCut != 0 {
		key = stem.Height
	}
	under, ok := f.under[key]
	if !ok {
		for _, i := range f.caps {
			under = append(under, Suiting(f.piles, f.frame, &f.shelf.Caps[i], stem))
		}
		f.under[key] = under
	}
	c.piles = under
	return append(to, c)
}

// A cockpit is a bar with levers and an aero bar, and the sites to keep on it.
type cockpit struct {
	bar    *part.Handlebar
	aero   *part.AeroBar
	on     []carried // the stems
	floor  float64   // lower bound of its cost, wherever a stem holds it
	part   [3]int    // places of bar, lever and aero bar; -1 for none
	buy    part.Kinds
	most   float64 // the roll may be -most to most, degrees
	hands  []hand
	clamp  *wanted
	across verdict // of the widths, which neither stem nor roll can change
	asked  float64 // upper bound of the cost of a bar that holds, with a leeway
	form   form
	box    box

	acrossAero     verdict
	padWidth       float64
	askedAero      float64
	padBox, tipBox box
}

// A hand is a site of a bar at roll 0, and where it is wanted.
type hand struct {
	at   r3.Vec
	want *wanted
}

// handSites lists the left sites that handlebars with their levers may offer.
var handSites = [...]contact.Site{contact.TopsLeft, contact.HoodsLeft, contact.DropsLeft, contact.GripLeft}

// cockpit adds a bar with levers and an aero bar, on the given stems, if it offers all
// kept sites.
func (f *front) cockpit(on []carried, bi, li, ai int) {
	bar := &f.shelf.Handlebars[bi]
	c := &cockpit{
		bar: bar, on: on, part: [3]int{bi, -1, ai}, buy: bought(part.Handlebars, *bar == f.now.Handlebar), most: bar.RotationRange,
		clamp: &f.want[contact.BarClamp], across: verdict{holds: true}, acrossAero: verdict{holds: true},
	}
	var lever part.Lever
	if bar.Drop != (part.DropBar{}) {
		lever = f.shelf.Levers[li]
		c.part[1] = li
		c.buy |= bought(part.Levers, lever == f.now.Lever)
	}
	// A one-piece bar has a fixed roll on the frame.
	roll := 0.0
	if bar.OnePiece() {
		roll = bar.DrawnAt - f.ch.HeadAngle
	}
	sin, cos := num.Sincos(roll)
	var offers [contact.SiteCount]bool
	var sites [3]part.Place
	c.asked = c.clamp.asked + 1e-3
	c.across.coordinate(c.clamp.at.Y, c.clamp.tolerance.Y, c.clamp.weight.Y)
	for _, s := range bar.AppendPlaces(sites[:0], lever) {
		offers[s.Site] = true
		at := num.Turned(s.At, sin, cos)
		for _, site := range s.Site.Both() {
			if want := &f.want[site]; want.asked > 0 {
				c.hands = append(c.hands, hand{at, want})
				c.asked += want.asked
				c.across.coordinate(at.Y-want.at.Y, want.tolerance.Y, want.weight.Y)
			}
			at.Y = 0 - at.Y
		}
	}
	for _, s := range handSites {
		if f.wish.asked(s) && !offers[s] {
			return
		}
	}
	c.form = newForm(f.ch, c.hands, c.clamp, c.most)
	c.box = barBox(c.hands, c.clamp, c.most)
	if ai >= 0 {
		c.aero = &f.shelf.AeroBars[ai]
		c.buy |= bought(part.AeroBars, *c.aero == f.now.Aero)
		f.prepareAero(c)
	}
	c.floor = c.across.cost + c.acrossAero.cost + c.form.base
	f.cockpits = append(f.cockpits, c)
}

// extras is what goes with the parts of a front end: the kinds of parts that must be
// bought, and the shim between handlebar and stem (zero if none is needed).
type extras struct {
	buy  part.Kinds
	shim part.Shim
}

// stem offers a cockpit on a stem with every cap and every height of spacers that suit
// the steerer.
func (f *front) stem(c *cockpit, s *carried) {
	with := extras{c.buy | s.buy, part.Shim{}}
	if !c.bar.OnePiece() {
		var ok bool
		if with.shim, ok = shimFor(f.shelf, c.bar.ClampDiameter, s.stem.BarDiameter, f.now.BarShim); !ok {
			return
		}
		with.buy |= bought(part.Shims, with.shim == f.now.BarShim || with.shim == part.Shim{})
	}
	least := c.across.cost + c.form.floor(s.q)
	skip := !f.admits(c, least, 0, with.buy, 0, s.flipped)
	for k, ci := range f.caps {
		piles := s.piles[k]
		f.r.count += len(piles)
		if skip {
			continue
		}
		lift := &f.shelf.Caps[ci]
		with := with
		with.buy |= bought(part.Caps, *lift == f.now.Cap)
		for i := range piles {
			up := lift.Height + piles[i].Below
			if c.form.round && !f.admits(c, c.across.cost+c.form.least(s.q, s.a+up), 0, with.buy, piles[i].tenths, s.flipped) {
				continue
			}
			clamp := f.ch.Clamp(&s.mount, up)
			if c.aero == nil && c.form.round || f.admits(c, c.across.cost+c.box.least(clamp), c.acrossAero.cost+c.padBox.least(clamp)+c.tipBox.least(clamp), with.buy, piles[i].tenths, s.flipped) {
				f.offer(c, s, ci, &piles[i], clamp, with)
			}
		}
	}
}

// admits reports whether a front end could be among the best, given lower bounds of the
// costs of bar and aero bar.
func (f *front) admits(c *cockpit, bar, aero float64, buy part.Kinds, spacers int, flipped bool) bool {
	less := func(cost float64) float64 { return max(0, cost*(1-rounding)-1e-9) } // less an allowance for rounding
	cost := f.rounded(less(bar)) + f.rounded(less(aero))
	can := c.across.holds && bar <= c.asked && c.acrossAero.holds && aero <= c.askedAero+1e-3
	return f.r.admits(cost, can, buy, int64(spacers), yes(flipped))
}

// offer finds the best settings of a front end and hands it to the ranking.
func (f *front) offer(c *cockpit, s *carried, ci int, st *Pile, clamp r3.Vec, with extras) {
	roll, bar := c.settle(f.ch, clamp)
	o := option{
		cost: f.rounded(bar.cost), holds: bar.holds, buy: with.buy,
		order:    [orderLength]int64{int64(st.tenths), yes(s.flipped), millionths(math.Abs(roll)), int64(ci), int64(s.place), int64(c.part[0]), int64(c.part[1]), int64(c.part[2])},
		settings: fitgeom.Settings{Spacers: st.Below, SpacersAbove: st.Above, Flipped: s.flipped, BarRotation: roll},
		part:     [5]int{ci, s.place, c.part[0], c.part[1], c.part[2]},
		shim:     with.shim, pile: st,
	}
	if c.aero != nil {
		a := f.settleAero(c, clamp)
		o.cost += f.rounded(a.cost)
		o.holds = o.holds && a.holds
		o.settings.AeroTilt, o.settings.PadRise, o.settings.PadForward = a.tilt, a.stack, a.reach
		o.settings.PadWidth, o.settings.Extension = c.padWidth, a.extension
	}
	f.r.keep(&o)
}

// settle returns the roll of least cost among those that hold, or among all if none does.
func (c *cockpit) settle(ch *rig.Chassis, clamp r3.Vec) (roll float64, v verdict) {
	if c.most > 0 {
		if c.form.round {
			roll = c.form.roll(ch.Steerer(clamp))
		} else {
			roll = c.least(c.rolls(clamp), clamp)
		}
	}
	v = c.judge(clamp, roll)
	if v.holds || v.cost > c.asked || c.most == 0 || !c.across.holds {
		return roll, v
	}
	// Among the rolls that hold, the cost is least either at the edge of a coordinate's
	// tolerance or at a local minimum of the cost.
	best := math.Inf(1)
	for _, r := range append(c.meets(clamp), c.rolls(clamp)...) {
		if u := c.judge(clamp, r); u.holds && u.cost < best-1e-9 {
			roll, v, best = r, u, u.cost
		}
	}
	return roll, v
}

func (c *cockpit) judge(clamp r3.Vec, roll float64) verdict {
	v := c.across
	v.coordinate(clamp.X-c.clamp.at.X, c.clamp.tolerance.X, c.clamp.weight.X)
	v.coordinate(clamp.Z-c.clamp.at.Z, c.clamp.tolerance.Z, c.clamp.weight.Z)
	sin, cos := num.Sincos(roll)
	for i := range c.hands {
		h := &c.hands[i]
		t := num.Turned(h.at, sin, cos)
		v.coordinate(clamp.X+t.X-h.want.at.X, h.want.tolerance.X, h.want.weight.X)
		v.coordinate(clamp.Z+t.Z-h.want.at.Z, h.want.tolerance.Z, h.want.weight.Z)
	}
	return v
}

func (c *cockpit) least(rolls []float64, clamp r3.Vec) float64 {
	best, least := 0.0, math.Inf(1)
	for _, r := range rolls {
		if v := c.judge(clamp, r); v.cost < least {
			best, least = r, v.cost
		}
	}
	return best
}

// rolls returns the rolls within the range at which the cost may be least.
//
// The cost of a roll ρ is a trigonometric polynomial of second degree,
//
//	kc cos ρ + ks sin ρ + kd cos² ρ + kx sin ρ cos ρ + a constant,
//
// which has at most two minima in a full turn. Every sign change of its derivative on a
// grid is refined, and the ends of the range are tried as well.
func (c *cockpit) rolls(clamp r3.Vec) []float64 {
	var kc, ks, kd, kx float64
	for i := range c.hands {
		want, h := c.hands[i].want, c.hands[i].at
		wx, wz := want.weight.X, want.weight.Z
		dx, dz := clamp.X-want.at.X, clamp.Z-want.at.Z
		kc += 2 * (wx*dx*h.X + wz*dz*h.Z)
		ks += 2 * (wz*dz*h.X - wx*dx*h.Z)
		kd += (wx - wz) * (h.X*h.X - h.Z*h.Z)
		kx += 2 * (wz - wx) * h.X * h.Z
	}
	if kc == 0 && ks == 0 && kd == 0 && kx == 0 {
		return []float64{0} // no kept site depends on the roll
	}
	slope := func(roll float64) float64 {
		sin, cos := num.Sincos(roll)
		return ks*cos - kc*sin - 2*kd*sin*cos + kx*(cos*cos-sin*sin)
	}
	all := []float64{-c.most}
	const steps = 8
	lo, slopeLo := -c.most, slope(-c.most)
	for i := range steps {
		hi := c.most * (2*float64(i+1)/steps - 1)
		slopeHi := slope(hi)
		if slopeLo <= 0 && slopeHi >= 0 {
			all = append(all, num.Root(slope, lo, slopeLo, hi, slopeHi))
		}
		lo, slopeLo = hi, slopeHi
	}
	return append(all, c.most)
}

// meets returns the rolls within the range at which a coordinate of a site is exactly at
// the edge of its tolerance, and the ends of the range.
func (c *cockpit) meets(clamp r3.Vec) []float64 {
	all := []float64{-c.most, c.most}
	add := func(deg float64) {
		if deg = math.Remainder(deg, 360); math.Abs(deg) <= c.most {
			all = append(all, deg)
		}
	}
	for i := range c.hands {
		want, h := c.hands[i].want, c.hands[i].at
		n, at := math.Hypot(h.X, h.Z), num.Atan2(h.Z, h.X)
		if n == 0 {
			continue
		}
		for _, sign := range [2]float64{1, -1} {
			if t := want.tolerance.X; t != 0 {
				if r := (want.at.X + sign*t - clamp.X) / n; math.Abs(r) <= 1 {
					add(math.Acos(r)/num.Rad - at)
					add(-math.Acos(r)/num.Rad - at)
				}
			}
			if t := want.tolerance.Z; t != 0 {
				if r := (want.at.Z + sign*t - clamp.Z) / n; math.Abs(r) <= 1 {
					add(math.Asin(r)/num.Rad - at)
					add(180 - math.Asin(r)/num.Rad - at)
				}
			}
		}
	}
	return all
}
