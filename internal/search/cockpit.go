package search

import (
	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// A cockpit is a bar with levers and an aero bar, and what is wanted of it.
type cockpit struct {
	bar    *part.Handlebar
	aero   *part.AeroBar
	on     []carried // the stems
	floor  float64   // what it costs at least, wherever a stem holds it
	part   [3]int    // places of bar, lever and aero bar; -1 for none
	buy    part.Kinds
	most   float64 // roll range
	hands  []hand
	clamp  *wanted
	across verdict // what neither stem nor roll can change: widths
	asked  float64 // the most that a bar that holds can cost, with a leeway
	form   form
	box    box

	acrossAero     verdict
	padWidth       float64
	askedAero      float64
	padBox, tipBox box
}

// A hand is a site of a bar that is not turned.
type hand struct {
	at   r3.Vec
	want *wanted
}

// handSites is the sites, left ones, that handlebars with their levers may offer.
var handSites = [...]contact.Site{contact.TopsLeft, contact.HoodsLeft, contact.DropsLeft, contact.GripLeft}

// cockpit prepares a bar with levers and an aero bar, on stems, if it offers
// what is asked for.
func (f *frontSearch) cockpit(on []carried, bi, li, ai int) {
	bar := &f.shelf.Handlebars[bi]
	units := 20
	if ai >= 0 {
		units += 2 * f.shelf.AeroBars[ai].Tilt.Count()
	}
	if !f.meter.Do(units) {
		return
	}
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
