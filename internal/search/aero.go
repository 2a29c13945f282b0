package search

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// aeroSet is the best an aero bar can be set to with the clamp at a place.
type aeroSet struct {
	verdict
	tilt, stack, reach, extension float64
}

// put puts it into the settings of a build.
func (a *aeroSet) put(c *cockpit, to *fitgeom.Settings) {
	to.AeroTilt, to.PadRise, to.PadForward = a.tilt, a.stack, a.reach
	to.PadWidth, to.Extension = c.padWidth, a.extension
	if c.aero.ExtensionWidths != (part.Steps{}) {
		to.ExtensionWidth = c.tipWidth
	}
}

// prepareAero settles the widths, which nothing else touches, and how near the
// settings can bring pads and tips.
func (f *frontSearch) prepareAero(c *cockpit) {
	a := c.aero
	width, tips := newSlide(), newSlide()
	for side, sign := range [2]float64{1, -1} {
		pad := &f.want[contact.PadLeft.Both()[side]]
		tip := &f.want[contact.ExtensionLeft.Both()[side]]
		c.askedAero += pad.asked + tip.asked
		width.coordinate(-pad.at.Y, sign/2, pad.tolerance.Y, pad.weight.Y)
		tips.coordinate(-tip.at.Y, sign/2, tip.tolerance.Y, tip.weight.Y)
		c.acrossAero.straight(pad)
		c.acrossAero.straight(tip)
	}
	least, holding, ok := width.best(&a.PadWidth)
	c.padWidth = least
	if ok {
		c.padWidth = holding
	}
	widths := part.Steps{From: a.ExtensionWidth, To: a.ExtensionWidth}
	if a.ExtensionWidths != (part.Steps{}) {
		widths = a.ExtensionWidths
	}
	if least, holding, ok = tips.best(&widths); ok {
		least = holding
	}
	c.tipWidth = least
	for side, sign := range [2]float64{1, -1} {
		tip := &f.want[contact.ExtensionLeft.Both()[side]]
		c.acrossAero.coordinate(sign*c.tipWidth/2-tip.at.Y, tip.tolerance.Y, tip.weight.Y)
	}
	var padLo, padHi, tipLo, tipHi [2]float64
	wider := func(lo, hi *[2]float64, v r3.Vec) {
		for i, x := range [2]float64{v.X, v.Z} {
			lo[i], hi[i] = min(lo[i], x), max(hi[i], x)
		}
	}
	for i := range 2 {
		padLo[i], tipLo[i] = math.Inf(1), math.Inf(1)
		padHi[i], tipHi[i] = math.Inf(-1), math.Inf(-1)
	}
	for t := range a.Tilt.Count() {
		sin, cos := num.Sincos(a.Tilt.At(t))
		for _, stack := range [2]float64{a.PadRise.From, a.PadRise.Last()} {
			for _, reach := range [2]float64{a.PadForward.From, a.PadForward.Last()} {
				wider(&padLo, &padHi, num.Turned(r3.Vec{X: reach, Z: stack}, sin, cos))
			}
			for _, ext := range [2]float64{a.Extension.From, a.Extension.Last()} {
				wider(&tipLo, &tipHi, num.Turned(a.Tip(stack, ext), sin, cos))
			}
		}
	}
	for side, sign := range [2]float64{1, -1} {
		pad := &f.want[contact.PadLeft.Both()[side]]
		c.acrossAero.coordinate(sign*c.padWidth/2-pad.at.Y, pad.tolerance.Y, pad.weight.Y)
		c.padBox.add(pad, padLo, padHi)
		c.tipBox.add(&f.want[contact.ExtensionLeft.Both()[side]], tipLo, tipHi)
	}
	c.padBox.ready()
	c.tipBox.ready()
}

// settleAero returns the best settings of those that hold, or else the best: of
// every tilt and pad stack the pads' reach and the extensions' length in closed
// form. Of equal ones it is the first, with the lower tilt and then the lower stack.
// What holds has its tips no further forward than most, and keeps what it has to.
// It returns false if the meter stopped it.
func (w *wish) settleAero(c *cockpit, clamp r3.Vec, most float64, keeps func(*aeroSet) bool) (best aeroSet, ok bool) {
	a := c.aero
	least, leastHolding := math.Inf(1), math.Inf(1)
	take := func(s aeroSet, sin, cos float64) {
		s.verdict = c.acrossAero
		w.tiltPair(&s.verdict, contact.PadLeft, s.tilt)
		w.tiltPair(&s.verdict, contact.ExtensionLeft, s.tilt+a.ExtensionAngle)
		w.judgePair(&s.verdict, contact.PadLeft, clamp, num.Turned(r3.Vec{X: s.reach, Z: s.stack}, sin, cos))
		tip := num.Turned(a.Tip(s.stack, s.extension), sin, cos)
		w.judgePair(&s.verdict, contact.ExtensionLeft, clamp, tip)
		q := w.rounded(s.cost)
		s.holds = s.holds && clamp.X+tip.X <= most && q < leastHolding && keeps(&s)
		switch {
		case s.holds && q < leastHolding:
			best, leastHolding = s, q
		case math.IsInf(leastHolding, 1) && q < least:
			best, least = s, q
		}
	}
	sinE, cosE := num.Sincos(a.ExtensionAngle)
	for t := range a.Tilt.Count() {
		tilt := a.Tilt.At(t)
		sin, cos := num.Sincos(tilt)
		forward := r3.Vec{X: cos, Z: sin}
		out := num.Turned(r3.Vec{X: cosE, Z: sinE}, sin, cos)
		if !w.meter.Do(5 * a.PadRise.Count()) {
			return best, false
		}
		for i := range a.PadRise.Count() {
			stack := a.PadRise.At(i)
			pad := r3.Add(clamp, num.Turned(r3.Vec{Z: stack}, sin, cos))
			tip := r3.Add(clamp, num.Turned(a.Tip(stack, 0), sin, cos))
			reach, ext := newSlide(), newSlide()
			for side := range 2 {
				reach.site(&w.want[contact.PadLeft.Both()[side]], pad, forward)
				ext.site(&w.want[contact.ExtensionLeft.Both()[side]], tip, out)
			}
			ext.atMost(tip.X, out.X, most-just)
			r, rHolds, ok1 := reach.best(&a.PadForward)
			e, eHolds, ok2 := ext.best(&a.Extension)
			take(aeroSet{tilt: tilt, stack: stack, reach: r, extension: e}, sin, cos)
			if ok1 && ok2 && (r != rHolds || e != eHolds) {
				take(aeroSet{tilt: tilt, stack: stack, reach: rHolds, extension: eHolds}, sin, cos)
			}
		}
	}
	return best, true
}

// judgePair adds a left and a right site, without their widths.
func (w *wish) judgePair(v *verdict, left contact.Site, clamp, at r3.Vec) {
	for _, s := range left.Both() {
		want := &w.want[s]
		v.coordinate(clamp.X+at.X-want.at.X, want.tolerance.X, want.weight.X)
		v.coordinate(clamp.Z+at.Z-want.at.Z, want.tolerance.Z, want.weight.Z)
	}
}

// straight adds yaw and roll of a site that points straight ahead and is level across.
func (v *verdict) straight(w *wanted) {
	off := contact.Attitude{}.Less(w.facing)
	v.coordinate(off.Yaw, w.turn.Yaw, w.price.Yaw)
	v.coordinate(off.Roll, w.turn.Roll, w.price.Roll)
}

// tiltPair adds the tilt of a left and a right site.
func (w *wish) tiltPair(v *verdict, left contact.Site, tilt float64) {
	for _, s := range left.Both() {
		want := &w.want[s]
		v.coordinate(contact.Attitude{Tilt: tilt}.Less(want.facing).Tilt, want.turn.Tilt, want.price.Tilt)
	}
}
