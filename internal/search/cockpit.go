package search

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/rig"
	"gonum.org/v1/gonum/spatial/r3"
)

// A cockpit is a bar with levers and an aero bar, and what is wanted of it.
type cockpit struct {
	bar    *part.Handlebar
	aero   *part.AeroBar
	on     []carried // the stems
	floor  float64   // what it costs at least, wherever a stem holds it
	part   [3]int    // places of bar, lever and aero bar; -1 for none
	mount  part.LeverMount
	buy    part.Kinds
	most   float64 // roll range
	hands  []hand
	clamp  *wanted
	across verdict   // what neither stem nor roll can change: widths
	turns  bool      // whether one of its hands does
	tries  []float64 // memory for rolls
	fixed  float64   // what it costs at least whatever stem and roll: across, and directions
	asked  float64   // the most that a bar that holds can cost, with a leeway
	form   form
	box    box

	acrossAero     verdict
	padWidth       float64
	tipWidth       float64 // of the extensions
	askedAero      float64
	padBox, tipBox box
}

// A hand is a site of a bar that is not turned, and its direction.
type hand struct {
	at            r3.Vec
	want          *wanted
	forward, left r3.Vec
	turns         bool // whether a direction is asked for that the roll changes
}

// handSites is the sites, left ones, that handlebars with their levers may offer.
var handSites = [...]contact.Site{contact.TopsLeft, contact.HoodsLeft, contact.DropsLeft, contact.GripLeft}

// firstMount is the first of the ways to mount levers on a bar.
func firstMount(bar *part.Handlebar) part.LeverMount {
	return part.LeverMount{Up: bar.Drop.LeverUp.From, In: bar.Drop.LeverIn.From}
}

// cockpit prepares a bar with levers, mounted in one of their ways, and an aero bar, on
// stems, if it offers what is asked for.
func (f *frontSearch) cockpit(on []carried, mount part.LeverMount, bi, li, ai int) {
	bar := &f.shelf.Handlebars[bi]
	units := 20
	if ai >= 0 {
		units += 2 * f.shelf.AeroBars[ai].Tilt.Count()
	}
	if !f.meter.Do(units) {
		return
	}
	c := &cockpit{
		bar: bar, on: on, part: [3]int{bi, -1, ai}, mount: mount, buy: bought(part.Handlebars, *bar == f.now.Handlebar), most: bar.RotationRange,
		clamp: &f.want[contact.BarClamp], across: verdict{holds: true}, acrossAero: verdict{holds: true},
	}
	var lever part.Lever
	if bar.Drop != (part.DropBar{}) {
		lever = f.shelf.Levers[li]
		c.part[1] = li
		c.buy |= bought(part.Levers, lever == f.now.Lever)
	}
	// A bar in one piece with its stem is turned once and for all.
	roll := 0.0
	if bar.OnePiece() {
		roll = bar.DrawnAt - f.ch.HeadAngle
	}
	sin, cos := num.Sincos(roll)
	var offers [contact.SiteCount]bool
	var sites [3]part.Place
	c.asked = c.clamp.asked + 1e-3
	c.across.coordinate(c.clamp.at.Y, c.clamp.tolerance.Y, c.clamp.weight.Y)
	for _, s := range bar.AppendPlaces(sites[:0], lever, mount) {
		offers[s.Site] = true
		h := hand{at: num.Turned(s.At, sin, cos), forward: num.Turned(s.Forward, sin, cos), left: num.Turned(s.Left, sin, cos)}
		for _, site := range s.Site.Both() {
			if h.want = &f.want[site]; h.want.asked > 0 {
				c.add(h)
			}
			h = h.mirrored()
		}
	}
	for _, s := range handSites {
		if f.wish.asked(s) && !offers[s] {
			return
		}
	}
	c.form = newForm(c.hands, c.clamp, c.most)
	c.box = barBox(c.hands, c.clamp, c.most)
	if ai >= 0 {
		c.aero = &f.shelf.AeroBars[ai]
		c.buy |= bought(part.AeroBars, *c.aero == f.now.Aero)
		f.prepareAero(c)
	}
	c.fixed += c.across.cost
	c.floor = c.fixed + c.acrossAero.cost + c.form.base
	f.cockpits = append(f.cockpits, c)
}

// cockpitsOf prepares a bar with levers and an aero bar, which have places on the shelf, in all ways
// to mount the levers.
func (j job) cockpitsOf(at [3]int, on []carried) []*cockpit {
	g := frontSearch{job: j} //exhaustruct:ignore
	rig.Mounts(&j.shelf.Handlebars[at[0]], func(m part.LeverMount) bool {
		g.cockpit(on, m, at[0], max(0, at[1]), at[2])
		return true
	})
	return g.cockpits
}

// add adds a hand of which something is asked.
func (c *cockpit) add(h hand) {
	want := h.want
	c.asked += want.asked
	c.across.coordinate(h.at.Y-want.at.Y, want.tolerance.Y, want.weight.Y)
	switch {
	case !want.turned:
	case c.most == 0 && !c.bar.OnePiece(), want.turn.Tilt == 0 && h.forward.Y == 0 && h.left == r3.Vec{Y: h.left.Y}: // no roll changes it
		c.across.face(want, h.facing(0, 0, 1))
	default:
		c.turns, h.turns = true, true
		if c.bar.OnePiece() {
			break // it turns with the steerer
		}
		// The tilt turns with the bar.
		off := math.Abs(h.facing(0, 0, 1).Less(want.facing).Tilt)
		off = max(0, min(off, 360-off)-c.most-1e-9)
		c.fixed += want.price.Tilt * off * off
	}
	c.hands = append(c.hands, h)
}

// facing is the direction of a hand with the bar turned by a roll.
func (h *hand) facing(roll, sin, cos float64) contact.Attitude {
	return rig.Facing(&h.forward, &h.left, roll, sin, cos)
}

// mirrored is the hand on the other side.
func (h *hand) mirrored() hand {
	m := *h
	m.at.Y, m.forward.Y = 0-m.at.Y, 0-m.forward.Y
	m.left.X, m.left.Z = 0-m.left.X, 0-m.left.Z
	return m
}
