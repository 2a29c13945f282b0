package solve

import (
	"math"
	"slices"

	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// list returns the knobs by their names; those that a build lacks are zero.
func (f *front) list() []knob {
	b := f.build
	all := make([]knob, knobCount)
	more, less := fitgeom.LimitSpacersUp, fitgeom.LimitSpacersDown
	if f.build.Stem.Quill != (part.Steps{}) {
		more, less = fitgeom.LimitQuillUp, fitgeom.LimitQuillDown
	}
	all[knobSpacers] = knob{more: more, less: less, lo: f.spacers[0], hi: f.spacers[len(f.spacers)-1], steps: f.spacers}
	all[knobStem] = knob{more: fitgeom.LimitStemLonger, less: fitgeom.LimitStemShorter}
	if !b.Handlebar.OnePiece() {
		all[knobRoll] = knob{more: fitgeom.LimitRotationUp, less: fitgeom.LimitRotationDown, lo: -f.roll, hi: f.roll}
	}
	all[knobWidth] = knob{more: fitgeom.LimitBarWider, less: fitgeom.LimitBarNarrower}
	a := &b.Aero
	if *a == (part.AeroBar{}) {
		return all
	}
	for _, k := range [...]struct {
		name       knobName
		more, less fitgeom.Limit
		at         part.Steps
	}{
		{knobTilt, fitgeom.LimitAeroTiltUp, fitgeom.LimitAeroTiltDown, a.Tilt},
		{knobRise, fitgeom.LimitPadsUp, fitgeom.LimitPadsDown, a.PadRise},
		{knobForward, fitgeom.LimitPadsForward, fitgeom.LimitPadsBack, a.PadForward},
		{knobPadWidth, fitgeom.LimitPadsApart, fitgeom.LimitPadsTogether, a.PadWidth},
		{knobExtension, fitgeom.LimitExtensionsOut, fitgeom.LimitExtensionsIn, a.Extension},
	} {
		to := &all[k.name]
		*to = knob{more: k.more, less: k.less, lo: k.at.From, hi: k.at.Last()}
		if !steady(k.at) {
			for i := range k.at.Count() {
				to.steps = append(to.steps, k.at.At(i))
			}
		}
	}
	return all
}

// obstacle finds the changes that would make the front end hold. It returns true if none
// are needed.
func (f *front) obstacle(o *Obstacle) bool {
	o.Parts = part.Caps | part.Stems | part.Handlebars | part.Levers | part.AeroBars
	if f.holds() {
		return true
	}
	knobs := f.list()
	least := math.Inf(1)
	for i := range knobs {
		k := &knobs[i]
		if k.more == 0 {
			continue
		}
		for _, way := range [2]struct {
			limit fitgeom.Limit
			sign  float64
		}{{k.more, 1}, {k.less, -1}} {
			by, ok := f.least(knobName(i), way.sign)
			if !ok {
				continue
			}
			c := Change{way.limit, by}
			o.Alone = append(o.Alone, c)
			if c.weight() < least {
				least, o.Together = c.weight(), []Change{c}
			}
		}
	}
	if !f.fixed || f.wider.none() || f.padWidth.none() {
		return false
	}
	// The widths that the distances across demand are no choice.
	wide, apart := f.wider.nearest(0), knobs[knobPadWidth].lo
	if !f.padsWell() {
		apart = f.padWidth.nearest(apart)
	}
	least -= math.Abs(wide)
	r := remedy{meter: f.meter, knobs: slices.Clone(knobs), rows: f.rows, least: least}
	r.knobs[knobWidth].lo, r.knobs[knobWidth].hi, r.knobs[knobPadWidth] = wide, wide, knob{}
	if len(f.hands) == 0 && len(f.rolled) == 1 && f.rolled[0] == (span{-f.roll - farthest, f.roll + farthest}) {
		r.knobs[knobRoll] = knob{}
	}
	for _, s := range f.rolled {
		f.within = s
		if slices.ContainsFunc(f.rows(&r.cells, nil), func(w row) bool { return w.in.none() }) {
			continue
		}
		r.search(-1, false)
	}
	if r.least < least {
		r.knobs, r.best[knobPadWidth] = knobs, apart
		o.Together = r.changes()
	}
	return false
}

// A mover is a site in the side view as the knobs move it.
type mover struct {
	at    r3.Vec // with all values 0
	by    [knobMost]r3.Vec
	loose values
	give  float64 // how much farther, in mm, it may be in any direction
}

// rows appends what keeps the site in a box.
func (m *mover) rows(to []row, b box) []row {
	b = b.wider(m.give)
	x, z := row{at: m.at.X, loose: m.loose, in: b.x}, row{at: m.at.Z, loose: m.loose, in: b.z}
	for k, by := range m.by {
		x.by[k], z.by[k] = by.X, by.Z
	}
	for _, w := range [2]row{x, z} {
		if w.in != anything() {
			to = append(to, w)
		}
	}
	return to
}

// turn turns the site, which is so far from the clamp, by an angle in a cell of it, or very
// near to a value of it. At the middle m of the cell R(m) turns it, and R(a) = R(m) + (a - m)·R'(m)
// but for half of (a - m)².
func (m *mover) turn(k knobName, middle, half float64, at, seen r3.Vec) (sin, cos float64) {
	sin, cos = num.Sincos(middle)
	now := num.Turned(seen, sin, cos)
	m.by[k] = r3.Scale(num.Rad, r3.Vec{X: -now.Z, Z: now.X})
	m.at = r3.Sub(r3.Add(m.at, num.Turned(at, sin, cos)), r3.Scale(middle, m.by[k]))
	m.give = half * half / 2 * math.Hypot(seen.X, seen.Z)
	return sin, cos
}

// rows says where everything has to be.
func (f *front) rows(cells *[knobMost]cell, near *values) []row {
	var middle, half, from values // from: the values beside which loose counts
	for k := range cells {
		c := &cells[k]
		middle[k], half[k], from[k] = (c.lo+c.hi)/2, c.half(), c.lo
	}
	if near != nil {
		middle, half, from = *near, values{}, *near
	}
	var clamp mover
	clamp.at = r3.Sub(f.clamps[0], r3.Scale(f.spacers[0], f.up))
	clamp.by[knobSpacers], clamp.by[knobStem] = f.up, f.way
	all := clamp.rows(make([]row, 0, 12), f.clamp)
	if f.wider != anything() {
		w := row{in: f.wider}
		w.by[knobWidth] = 1
		all = append(all, w)
	}
	if f.within != (span{-f.roll - farthest, f.roll + farthest}) {
		w := row{in: f.within}
		w.by[knobRoll] = 1
		all = append(all, w)
	}
	for i := range f.hands {
		h, m := &f.hands[i], clamp
		sin, cos := m.turn(knobRoll, middle[knobRoll], half[knobRoll], h.at, r3.Add(h.at, r3.Scale(from[knobWidth], h.wider)))
		m.by[knobWidth] = num.Turned(h.wider, sin, cos)
		m.loose[knobWidth] = half[knobRoll] * math.Hypot(h.wider.X, h.wider.Z)
		all = m.rows(all, h.box)
	}
	if f.build.Aero == (part.AeroBar{}) {
		return all
	}
	if f.tiltable != anything() {
		w := row{in: f.tiltable}
		w.by[knobTilt] = 1
		all = append(all, w)
	}
	for i, x := range [2]knobName{knobForward, knobExtension} {
		a, m := &f.arms[i], clamp
		seen := r3.Add(a.foot, r3.Add(r3.Vec{Z: from[knobRise]}, r3.Scale(from[x], a.along)))
		sin, cos := m.turn(knobTilt, middle[knobTilt], half[knobTilt], a.foot, seen)
		m.by[knobRise], m.by[x] = num.Turned(r3.Vec{Z: 1}, sin, cos), num.Turned(a.along, sin, cos)
		m.loose[knobRise], m.loose[x] = half[knobTilt], half[knobTilt]
		all = m.rows(all, a.box)
	}
	return all
}
