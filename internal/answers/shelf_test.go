package answers_test

import (
	"slices"

	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
)

// shelf draws a shelf with the parts of a build and a few others, in any order.
func (d dice) shelf(k kind, b *fitgeom.Build) fitgeom.Shelf {
	s := fitgeom.Shelf{
		Caps:       append(several(d, 2, d.headsetCap), b.Cap),
		Spacers:    []part.Spacer{{Height: 5, Count: 1 + d.IntN(3)}, {Height: 10, Count: 1 + d.IntN(3)}},
		Handlebars: append(several(d, 2, func() part.Handlebar { return d.bar(k) }), b.Handlebar),
		Seatposts:  append(several(d, 2, func() part.Seatpost { return d.post(pick(d, b.Frame.SeatpostDiameter, 25.4)) }), b.Seatpost),
		Saddles:    append(several(d, 2, d.saddle), b.Saddle),
		Cranks:     append(several(d, 2, d.crank), b.Crank),
	}
	if d.one(3) || b.Frame.SteererCut != 0 && !d.one(3) {
		s.Spacers = append(s.Spacers, part.Spacer{Height: 2.5, Count: 1 + d.IntN(2)}, part.Spacer{Height: 20, Count: 1})
	}
	d.steering(k, b, &s)
	if b.Pedal != (part.Pedal{}) {
		s.Pedals = append(several(d, 1, d.pedal), b.Pedal)
		s.CleatShims = []part.Spacer{{Height: 1, Count: 1 + d.IntN(2)}, {Height: 3, Count: 1}}
	}
	for _, shim := range []part.Shim{b.BarShim, b.SeatpostShim} {
		if shim != (part.Shim{}) {
			s.Shims = append(s.Shims, shim)
		}
	}
	if d.one(3) {
		s.Shims = append(s.Shims, part.Shim{Name: "shim spare", Inner: 25.4, Outer: pick(d, 27.2, 31.6, 31.8)})
	}
	if d.one(3) { // equal parts: only their places on the shelf differ
		s.Handlebars, s.Saddles, s.Seatposts = append(s.Handlebars, s.Handlebars[0]), append(s.Saddles, s.Saddles[0]), append(s.Seatposts, s.Seatposts[0])
		if len(s.Stems) > 0 {
			s.Stems = append(s.Stems, s.Stems[0])
		}
	}
	shuffle(d, s.Caps)
	shuffle(d, s.Spacers)
	shuffle(d, s.Stems)
	shuffle(d, s.Handlebars)
	shuffle(d, s.Seatposts)
	shuffle(d, s.Saddles)
	shuffle(d, s.Cranks)
	shuffle(d, s.Pedals)
	return s
}

// steering adds the stems, levers and aero bars.
func (d dice) steering(k kind, b *fitgeom.Build, s *fitgeom.Shelf) {
	for range 1 + d.IntN(4) {
		stem := d.stem()
		if d.one(6) { // fits another frame
			stem.SteererDiameter = 31.8
		}
		if d.one(6) { // holds another bar
			stem.BarDiameter = pick(d, 25.4, 35)
		}
		s.Stems = append(s.Stems, stem)
	}
	if b.Stem != (part.Stem{}) {
		s.Stems = append(s.Stems, b.Stem)
	}
	if d.one(6) && !k.aero() { // a bar of another kind
		s.Handlebars = append(s.Handlebars, d.bar(pick(d, road, mountain, timeTrial)))
	}
	if b.Lever != (part.Lever{}) {
		s.Levers = append(several(d, 1, d.lever), b.Lever)
	}
	if b.Aero != (part.AeroBar{}) {
		s.AeroBars = append(several(d, 1, d.aeroBar), b.Aero)
	}
	if slices.ContainsFunc(s.Handlebars, func(b part.Handlebar) bool { return b.Drop != (part.DropBar{}) }) && len(s.Levers) == 0 && !d.one(8) {
		s.Levers = []part.Lever{d.lever()}
	}
}

// several draws up to so many of a kind.
func several[T any](d dice, most int, draw func() T) []T {
	var all []T
	for range d.IntN(most + 1) {
		all = append(all, draw())
	}
	return all
}
