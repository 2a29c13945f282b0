package solve

import (
	"math"
	"slices"

	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// least returns the smallest change of one knob of a front end, up (sign 1) or down (-1)
// from its range, with which everything else can be set to hold; false if none does.
func (f *front) least(k knobName, sign float64) (float64, bool) {
	best := f.leastOf(k, sign)
	return best, best < farAway
}

func (f *front) leastOf(k knobName, sign float64) float64 {
	best := float64(farAway)
	if !f.across(k) {
		return best
	}
	if k == knobAngle {
		r := f.remedy(f.list(), farthest*degree)
		if f.search(&r, int(k), sign > 0); r.least < farthest*degree {
			return r.least / degree
		}
		return best
	}
	end := f.spacers[0]
	if sign > 0 {
		end = f.spacers[len(f.spacers)-1]
	}
	for i := range f.clamps {
		if !f.meter.Do(10) {
			break
		}
		c := &f.clamps[i]
		switch {
		case k == knobSpacers:
			if c.spacers == end {
				best = f.moved(c.at, r3.Scale(sign, f.up), best)
			}
		case k == knobStem:
			best = f.moved(c.at, r3.Scale(sign, c.way), best)
		case k < knobTilt && c.arms:
			best = f.turnedOrWider(k, sign, c.at, best)
		case k >= knobTilt && c.hands:
			best = f.reset(k, sign, c, best)
		}
	}
	return best
}

// moved returns the least t with which everything can hold with the clamp at t·v from a
// place, or a best so far.
func (f *front) moved(clamp, v r3.Vec, best float64) float64 {
	window := f.clamp.line(clamp, v).and(span{0, best})
	if window.none() {
		return best
	}
	ts := []span{window}
	if a := &f.build.Aero; *a != (part.AeroBar{}) {
		ts = nil
		for i := range a.Tilt.Count() {
			if !f.tiltable.has(a.Tilt.At(i)) {
				continue
			}
			p := f.pose(clamp, a.Tilt.At(i))
			for k := range a.PadRise.Count() {
				if !f.meter.Do(5) {
					return best
				}
				if pads := p.reach(0, a.PadRise.At(k), v, window); pads != nil {
					ts = append(ts, common(pads, p.reach(1, a.PadRise.At(k), v, window))...)
				}
			}
			ts = merged(ts)
		}
	}
	return f.first(clamp, v, 0, ts, best)
}

// first returns the least t of some spans at which the bar can be rotated to hold, with
// its clamp at t·v from a place and the bar wider by t times a rate; or a best so far.
//
// It halves the range of rotation. In a piece of it each hand moves along a straight line
// but for what its box is widened by, so that the least t of a piece is a bound.
func (f *front) first(clamp, v r3.Vec, wider float64, ts []span, best float64) float64 {
	const (
		narrow = 1e-9 // radians
		over   = 1e-9 // mm: what is returned does, whatever rounding did
	)
	bound := func(middle, half float64) float64 {
		sin, cos := math.Sincos(middle)
		var buffer [16]strip
		strips := buffer[:0]
		for i := range f.hands {
			h := &f.hands[i]
			at, widens := num.Turned(h.at, sin, cos), r3.Scale(wider, num.Turned(h.wider, sin, cos))
			loose := slack + half*(half/2*math.Hypot(h.at.X, h.at.Z)+best*math.Hypot(widens.X, widens.Z))
			two := h.box.wider(loose).strips(r3.Add(clamp, at), r3.Add(v, widens), r3.Vec{X: -at.Z, Z: at.X})
			strips = append(strips, two[:]...)
		}
		for _, t := range ts {
			if t = slide(t, span{-half, half}, strips...); !t.none() {
				return t.lo
			}
		}
		return math.Inf(1)
	}
	var search func(middle, half, floor float64)
	search = func(middle, half, floor float64) {
		if floor >= best || !f.meter.Do(5*len(f.hands)) {
			return
		}
		if half < narrow || len(f.hands) == 0 {
			best = floor
			return
		}
		half /= 2
		less, more := bound(middle-half, half), bound(middle+half, half)
		if less <= more {
			search(middle-half, half, less)
		}
		search(middle+half, half, more)
		if less > more {
			search(middle-half, half, less)
		}
	}
	before := best
	for _, s := range common([]span{{-f.roll, f.roll}}, f.rolled) {
		middle, half := (s.lo+s.hi)/2*num.Rad, (s.hi-s.lo)/2*num.Rad
		search(middle, half, bound(middle, half))
	}
	return min(best+over, before)
}

// turnedOrWider returns the least change of the bar's rotation or width with the clamp at
// a place, or a best so far.
func (f *front) turnedOrWider(k knobName, sign float64, clamp r3.Vec, best float64) float64 {
	if k == knobWidth {
		window := f.wider.where(0, sign).and(span{0, best})
		if window.none() {
			return best
		}
		return f.first(clamp, r3.Vec{}, sign, []span{window}, best)
	}
	far := f.roll + min(best, farthest)
	if sign > 0 {
		if all := f.rolls(clamp, 0, span{f.roll, far}); all != nil {
			best = min(best, all[0].lo-f.roll)
		}
	} else if all := f.rolls(clamp, 0, span{-far, -f.roll}); all != nil {
		best = min(best, -f.roll-all[len(all)-1].hi)
	}
	return best
}

// reset returns the least change of a setting of the aero bar with the clamp at one of its
// places, or a best so far.
func (f *front) reset(k knobName, sign float64, c *place, best float64) float64 {
	clamp, a := c.at, &f.build.Aero
	end := func(s part.Steps) float64 {
		if sign > 0 {
			return s.Last()
		}
		return s.From
	}
	window := span{0, best}
	switch k {
	case knobPadWidth, knobExtensionWidth:
		for i := range f.widths {
			w := &f.widths[i]
			if t := w.may.where(end(w.can), sign).and(window); w.name == k && c.arms && !t.none() {
				best = t.lo
			}
		}
		return best
	case knobTilt:
		for n := range a.PadRise.Count() {
			best = f.tilted(sign, end(a.Tilt), clamp, a.PadRise.At(n), best)
		}
		return best
	default: // tilt by tilt, below
	}
	for n := range a.Tilt.Count() {
		if !f.meter.Do(5) {
			return best
		}
		if !f.tiltable.has(a.Tilt.At(n)) {
			continue
		}
		p := f.pose(clamp, a.Tilt.At(n))
		var ts []span
		switch k {
		case knobRise:
			v := r3.Scale(sign, p.up())
			ts = common(p.reach(0, end(a.PadRise), v, window), p.reach(1, end(a.PadRise), v, window))
		case knobForward:
			ts = p.longer(0, sign, end(a.PadForward), window)
		default: // knobExtension
			ts = p.longer(1, sign, end(a.Extension), window)
		}
		if len(ts) > 0 {
			best = min(best, ts[0].lo)
			window.hi = best
		}
	}
	return best
}

// longer returns the t of a window at which an arm reaches its box, with the other in its
// box, if its setting is an end of its range and t more, or less with sign -1.
func (p *pose) longer(i int, sign, end float64, window span) []span {
	var all []span
	for _, rise := range p.rises(1 - i) {
		foot, along := p.arm(i, rise)
		if t := p.arms[i].box.line(r3.Add(foot, r3.Scale(end, along)), r3.Scale(sign, along)).and(window); !t.none() {
			all = append(all, t)
		}
	}
	return merged(all)
}

// tilted returns the least change of the aero bar's tilt beyond an end of its range, with
// the pads at a rise; or a best so far.
func (f *front) tilted(sign, end float64, clamp r3.Vec, rise, best float64) float64 {
	far := end + sign*min(best, farthest)
	within := span{min(end, far), max(end, far)}
	all := common([]span{within}, []span{f.tiltable})
	for i := range f.arms {
		all = common(all, f.tilts(i, clamp, rise, within))
	}
	switch {
	case len(all) == 0:
		return best
	case sign > 0:
		return min(best, all[0].lo-end)
	}
	return min(best, end-all[len(all)-1].hi)
}

// tilts returns the tilts of a range at which an arm reaches its box with one of its settings.
func (f *front) tilts(i int, clamp r3.Vec, rise float64, within span) []span {
	a := &f.arms[i]
	b, foot := a.box.from(clamp), r3.Add(a.foot, r3.Vec{Z: rise})
	f.meter.Do(20)
	all := b.turns(nil, foot, a.along, span{a.x.From, a.x.Last()}, within)
	if all == nil || steady(a.x) {
		return all
	}
	all = nil
	for k := range a.x.Count() {
		if !f.meter.Do(10) {
			return nil
		}
		all = b.turns(all, foot, a.along, span{a.x.At(k), a.x.At(k)}, within)
	}
	return merged(slices.Clip(all))
}
