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
	if b.Stem.Angles != (part.Steps{}) {
		more, less := fitgeom.LimitStemAngleUp, fitgeom.LimitStemAngleDown
		if b.Settings.Flipped {
			more, less = less, more
		}
		all[knobAngle] = knob{more: more, less: less, lo: f.angles[0], hi: f.angles[len(f.angles)-1], steps: f.angles}
	}
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
		{knobExtensionWidth, fitgeom.LimitExtensionsApart, fitgeom.LimitExtensionsTogether, a.ExtensionWidths},
	} {
		if k.name == knobExtensionWidth && k.at == (part.Steps{}) {
			continue
		}
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
	if !f.fixed || f.wider.none() {
		return false
	}
	// The widths that the distances across demand are no choice.
	wide := f.wider.nearest(0)
	least -= math.Abs(wide)
	r := f.remedy(knobs, least)
	r.knobs[knobWidth].lo, r.knobs[knobWidth].hi = wide, wide
	var apart [len(f.widths)]float64
	for i := range f.widths {
		w, ok := &f.widths[i], false
		if apart[i], ok = w.least(); !ok {
			return false
		}
		if c, beyond := knobs[w.name].beyond(apart[i]); beyond {
			r.least -= c.weight()
		}
	}
	before := r.least
	if f.search(&r, -1, false); r.least < before {
		r.knobs = knobs
		for i, v := range apart {
			r.best[f.widths[i].name] = v
		}
		o.Together = r.changes()
	}
	return false
}

// remedy is a search with some knobs, but for those of widths of pads and extensions, for less
// than something.
func (f *front) remedy(knobs []knob, least float64) remedy {
	r := remedy{meter: f.meter, knobs: slices.Clone(knobs), rows: f.rows, least: least}
	r.knobs[knobPadWidth], r.knobs[knobExtensionWidth] = knob{}, knob{}
	if len(f.hands) == 0 && len(f.rolled) == 1 && f.rolled[0] == (span{-f.roll - farthest, f.roll + farthest}) {
		r.knobs[knobRoll] = knob{}
	}
	return r
}

// search has a remedy look for less in each span of the bar's rotation. Where the stem turns
// too, it first looks whether anything would do wherever the clamp is, since then no angle of
// the stem makes good what is just not possible.
func (f *front) search(r *remedy, only int, up bool) {
	for _, s := range f.rolled {
		f.within = s
		if slices.ContainsFunc(f.rows(&r.cells, nil), func(w row) bool { return w.in.none() }) {
			continue
		}
		if f.adrift = r.knobs[knobAngle].more != 0; f.adrift {
			any := *r
			any.knobs = slices.Clone(r.knobs)
			any.knobs[knobSpacers], any.knobs[knobStem], any.knobs[knobAngle] = knob{}, knob{}, knob{}
			any.search(only, up)
			f.adrift = false
			if any.least == r.least {
				continue
			}
		}
		r.search(only, up)
	}
}

// A mover is a site in the side view as the knobs move it, and where it has to be.
type mover struct {
	at    r3.Vec // with all values 0
	by    [knobMost]r3.Vec
	loose values
	give  float64 // how much farther, in mm, it may be in any direction
	box   box
}

// plus returns the mover as seen from where another is seen from, which it moves with; or
// with sign -1 as seen from another, which need not be known but for its box.
func (m mover) plus(sign float64, n *mover) mover {
	m.at = r3.Add(m.at, r3.Scale(sign, n.at))
	for k := range m.by {
		m.by[k] = r3.Add(m.by[k], r3.Scale(sign, n.by[k]))
		m.loose[k] += n.loose[k]
	}
	m.give += n.give
	if sign < 0 {
		a, b := &m.box, &n.box
		m.box = box{span{a.x.lo - b.x.hi, a.x.hi - b.x.lo}, span{a.z.lo - b.z.hi, a.z.hi - b.z.lo}}
	}
	return m
}

// rows appends what keeps the site in its box.
func (m mover) rows(to []row) []row {
	b := m.box.wider(m.give)
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
	m.give += half * half / 2 * math.Hypot(seen.X, seen.Z)
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
	clamp := mover{at: f.foot}
	sin, cos := clamp.turn(knobAngle, middle[knobAngle], half[knobAngle], r3.Scale(f.length, f.way), r3.Scale(f.length+from[knobStem], f.way))
	clamp.by[knobSpacers], clamp.by[knobStem] = f.up, num.Turned(f.way, sin, cos)
	clamp.loose[knobStem] = half[knobAngle]
	all := make([]row, 0, 12)
	for _, one := range [...]struct {
		knob knobName
		in   span
		of   span // that says nothing
	}{
		{knobWidth, f.wider, anything()},
		{knobRoll, f.within, span{-f.roll - farthest, f.roll + farthest}},
		{knobTilt, f.tiltable, anything()},
	} {
		if one.in != one.of {
			w := row{in: one.in}
			w.by[one.knob] = 1
			all = append(all, w)
		}
	}
	sites := append(make([]mover, 0, 6), mover{box: f.clamp}) // as seen from the clamp
	for i := range f.hands {
		h := &f.hands[i]
		m := mover{box: h.box}
		sin, cos := m.turn(knobRoll, middle[knobRoll], half[knobRoll], h.at, r3.Add(h.at, r3.Scale(from[knobWidth], h.wider)))
		m.by[knobWidth] = num.Turned(h.wider, sin, cos)
		m.loose[knobWidth] = half[knobRoll] * math.Hypot(h.wider.X, h.wider.Z)
		sites = append(sites, m)
	}
	for i, x := range [2]knobName{knobForward, knobExtension} {
		if f.build.Aero == (part.AeroBar{}) {
			break
		}
		a := &f.arms[i]
		m := mover{box: a.box}
		seen := r3.Add(a.foot, r3.Add(r3.Vec{Z: from[knobRise]}, r3.Scale(from[x], a.along)))
		sin, cos := m.turn(knobTilt, middle[knobTilt], half[knobTilt], a.foot, seen)
		m.by[knobRise], m.by[x] = num.Turned(r3.Vec{Z: 1}, sin, cos), num.Turned(a.along, sin, cos)
		m.loose[knobRise], m.loose[x] = half[knobTilt], half[knobTilt]
		sites = append(sites, m)
	}
	for i := range sites {
		if !f.adrift {
			all = sites[i].plus(1, &clamp).rows(all)
		}
		for j := range i {
			if f.adrift || half[knobAngle] > 0 { // which the clamp gives, and not the one as seen from the other
				all = sites[i].plus(-1, &sites[j]).rows(all)
			}
		}
	}
	return all
}
