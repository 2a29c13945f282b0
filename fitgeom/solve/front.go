package solve

import (
	"math"
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/rig"
	"example.com/fitgeom/internal/search"
	"example.com/fitgeom/internal/work"
	"gonum.org/v1/gonum/spatial/r3"
)

// farthest is how far, in degrees, a bar or an aero bar may be turned beyond its range.
const farthest = 30

// A knobName is a setting or a part dimension of a front end that may be changed.
type knobName int

// The knobs, in the order in which they are tried.
const (
	knobSpacers knobName = iota
	knobStem
	knobAngle
	knobRoll
	knobWidth
	knobTilt
	knobRise
	knobForward
	knobPadWidth
	knobExtension
	knobExtensionWidth
	knobCount
	knobNone = knobCount
)

// A front is the front end of a build in the side view: where each of its sites has to be,
// and how each of its settings moves it.
type front struct {
	meter  *work.Meter
	build  *fitgeom.Build
	target *contact.Position
	keep   [contact.SiteCount]fitgeom.Keep

	foot    r3.Vec    // where the stem leaves the steerer, without spacers
	up, way r3.Vec    // what a millimetre of spacers and of stem moves the bar clamp by
	length  float64   // of the stem
	spacers []float64 // the heights that there are, lowest first
	angles  []float64 // how far the stem can be turned up, lowest first
	clamps  []place   // the bar clamp with each of both
	clamp   box

	roll     float64 // how far the bar may be rotated, either way
	rolled   []span  // the rotations, of these and beyond, with which directions are within tolerance
	tiltable span    // the same for the aero bar's tilt
	within   span    // the span of rotations that is looked at
	adrift   bool    // whether the clamp may be anywhere
	hands    []hand
	wider    span // by how much the bar may be wider, for the sites' distances across
	fixed    bool // whether the distances across that no knob changes are within tolerance

	arms   [2]arm // pads and extensions; of no interest without an aero bar
	widths [2]width
}

// A place is one where the clamp of the bar can be: where it is, what a millimetre of stem
// moves it by there, the height of the spacers, and whether bar and aero bar hold there in the
// side view.
type place struct {
	at, way     r3.Vec
	spacers     float64
	hands, arms bool
}

// A width is how far apart pads or extensions can be set, and how far they may be.
type width struct {
	name knobName
	can  part.Steps
	may  span
}

// well reports whether they can be as far apart as they have to be.
func (w *width) well() bool { return possible(w.can, w.may) }

// least returns what the width must be made, which is as little as possible beyond its range
// if it is not well; false if no width is.
func (w *width) least() (float64, bool) {
	lo, hi := w.can.From, w.can.Last()
	more, less := w.may.and(span{hi, math.Inf(1)}), w.may.and(span{math.Inf(-1), lo})
	switch {
	case w.well():
		return lo, true
	case !more.none() && (less.none() || more.lo-hi <= lo-less.hi):
		return more.lo, true
	}
	return less.hi, !less.none()
}

// A hand is a site on the bar that is held: where it is from the clamp's centre with the
// bar not rotated, what a millimetre of the bar's width moves it by, and where it may be.
type hand struct {
	at, wider r3.Vec
	box       box
}

// An arm is a site of the aero bar. It lies at foot + x·along in the aero bar's axes, where
// the foot rises with the pads, and x is a setting.
type arm struct {
	foot, along r3.Vec
	x           part.Steps
	box         box
}

// newFront sets up the front end of a build and tries each place of its clamp.
func newFront(m *work.Meter, p *Problem, b *fitgeom.Build) (*front, error) {
	piles, err := search.PilesOn(m, &p.Frame, p.Shelf.Spacers)
	if err != nil {
		return nil, err
	}
	f := &front{meter: m, build: b, target: &p.Target, clamp: anywhere(), wider: anything(), tiltable: anything(), fixed: true}
	f.widths = [...]width{{name: knobPadWidth, may: anything()}, {name: knobExtensionWidth, may: anything()}}
	for _, k := range p.Keep {
		f.keep[k.Site] = k
	}
	ch, stem := search.ChassisOf(&b.Frame, b.Wheels), b.Carrier()
	for _, pile := range piles.Suiting(nil, &b.Frame, &b.Cap, &stem) {
		f.spacers = append(f.spacers, pile.Below)
	}
	if quill := stem.Quill; quill != (part.Steps{}) { // which stands for spacers
		f.spacers = nil
		for i := range quill.Count() {
			f.spacers = append(f.spacers, quill.At(i))
		}
	}
	f.stem(&ch, &stem)
	var across span
	f.clamp, across = f.site(contact.BarClamp)
	f.fixed = across.has(0)

	f.roll = b.Handlebar.RotationRange
	turned := 0.0
	if b.Handlebar.OnePiece() {
		turned = b.Handlebar.DrawnAt - ch.HeadAngle
	}
	f.rolled = []span{{-f.roll - farthest, f.roll + farthest}}
	sin, cos := num.Sincos(turned)
	wide := b.Handlebar
	widen(&wide, 1)
	more := wide.Places(b.Lever, part.LeverMount{Up: b.Settings.LeverUp, In: b.Settings.LeverIn})
	for i, place := range b.Handlebar.Places(b.Lever, part.LeverMount{Up: b.Settings.LeverUp, In: b.Settings.LeverIn}) {
		at, wider := num.Turned(place.At, sin, cos), num.Turned(r3.Sub(more[i].At, place.At), sin, cos)
		where, across := f.site(place.Site)
		f.wider = f.wider.and(across.where(at.Y, wider.Y))
		if where != anywhere() {
			f.hands = append(f.hands, hand{at, wider, where})
		}
		f.turned(place.Site, num.Turned(place.Forward, sin, cos), num.Turned(place.Left, sin, cos))
	}
	if a := &b.Aero; *a != (part.AeroBar{}) {
		f.aero(a)
	}
	for i := range f.clamps {
		if !m.Do(10) {
			break
		}
		c := &f.clamps[i]
		c.hands = f.clamp.has(c.at) && f.held(c.at, 0)
		c.arms = f.clamp.has(c.at) && f.carried(c.at)
	}
	return f, nil
}

// stem sets up where the clamp of the bar can be.
func (f *front) stem(ch *rig.Chassis, stem *part.Stem) {
	at := &f.build.Settings
	set := rig.StemSet{Flipped: at.Flipped, Angle: at.StemAngle}
	longer := *stem
	longer.Length++
	mount := func() (foot, way r3.Vec) { // with no spacers
		near, far := ch.Mount(stem, set), ch.Mount(&longer, set)
		return ch.Clamp(&near, f.build.Cap.Height), r3.Sub(far.Foot, near.Foot)
	}
	clamp, way := mount()
	f.up, f.way, f.length = ch.SteererUp, way, stem.Length
	f.foot = r3.Sub(clamp, r3.Scale(f.length, way))
	for i := range stem.Angles.Count() {
		by := 0.0
		if stem.Angles != (part.Steps{}) {
			set.Angle = stem.Angles.At(i)
			by = set.Angle - at.StemAngle
		}
		if set.Flipped {
			by = -by
		}
		f.angles = append(f.angles, by)
		clamp, way := mount()
		for _, h := range f.spacers {
			if !f.meter.Do(1) {
				return
			}
			f.clamps = append(f.clamps, place{at: r3.Add(clamp, r3.Scale(h, f.up)), way: way, spacers: h})
		}
	}
	slices.Sort(f.angles)
}

// aero sets up pads and extensions.
func (f *front) aero(a *part.AeroBar) {
	pads, across := f.site(contact.PadLeft)
	f.arms[0] = arm{along: r3.Vec{X: 1}, x: a.PadForward, box: pads}
	f.widths[0].can, f.widths[0].may = a.PadWidth, across.where(0, 0.5)
	tips, across := f.site(contact.ExtensionLeft)
	foot := a.Tip(0, 0)
	f.arms[1] = arm{foot: foot, along: r3.Sub(a.Tip(0, 1), foot), x: a.Extension, box: tips}
	if a.ExtensionWidths != (part.Steps{}) {
		f.widths[1].can, f.widths[1].may = a.ExtensionWidths, across.where(0, 0.5)
	} else {
		f.fixed = f.fixed && across.has(foot.Y)
	}
	f.tipped(contact.PadLeft, 0)
	f.tipped(contact.ExtensionLeft, a.ExtensionAngle)
}

// turned leaves of the bar's rotations those with which a pair faces as it has to.
func (f *front) turned(left contact.Site, forward, aside r3.Vec) {
	for i, s := range left.Both() {
		k := &f.keep[s]
		if !k.Turn.Asks() {
			continue
		}
		if i == 1 { // the left one in a mirror
			forward.Y, aside.X, aside.Z = 0-forward.Y, 0-aside.X, 0-aside.Z
		}
		want, _ := f.target.Attitude(s)
		all := make([][2]float64, 0, 4)
		for _, r := range f.rolled {
			all = append(all, [2]float64{r.lo, r.hi})
		}
		f.rolled = f.rolled[:0]
		for _, r := range rig.Held(all, &forward, &aside, want, k.Turn.Angles()) {
			f.rolled = append(f.rolled, span{r[0], r[1]})
		}
	}
}

// tipped leaves of the aero bar's tilts those with which a pair, tilted by so much more,
// faces as it has to.
func (f *front) tipped(left contact.Site, more float64) {
	for _, s := range left.Both() {
		t := f.keep[s].Turn
		want, _ := f.target.Attitude(s)
		off := t.TurnedFrom(want, contact.Attitude{Tilt: want.Tilt})
		f.fixed = f.fixed && t.Holds(off)
		f.tiltable = f.tiltable.and(about(want.Tilt-more, t.Tilt))
	}
}

// site returns where a left site may be, and how far to the left, so that both it and the
// right one, which mirrors it, are within tolerance.
func (f *front) site(left contact.Site) (box, span) {
	where, across := anywhere(), anything()
	for i, s := range left.Both() {
		t := f.keep[s].Tolerance
		at, _ := f.target.At(s)
		where = where.and(box{about(at.X, t.X), about(at.Z, t.Z)})
		across = across.and(about([2]float64{1, -1}[i]*at.Y, t.Y))
	}
	return where, across
}

// widen makes a bar wider.
func widen(h *part.Handlebar, by float64) {
	switch {
	case h.Drop != part.DropBar{}:
		h.Drop.Width += by
		if h.Drop.DropsWidth != 0 {
			h.Drop.DropsWidth += by
		}
	case h.Flat != part.FlatBar{}:
		h.Flat.Width += by
	default:
		h.Base.Width += by
	}
}

// rolls returns by how much the bar may be rotated, of a range, with its clamp at a place
// and the bar wider by so much.
func (f *front) rolls(clamp r3.Vec, wider float64, within span) []span {
	all := common([]span{within}, f.rolled)
	for i := range f.hands {
		h := &f.hands[i]
		var buffer [16]span
		all = common(all, h.box.wider(slack).from(clamp).turns(buffer[:0], r3.Add(h.at, r3.Scale(wider, h.wider)), r3.Vec{X: 1}, span{}, within))
	}
	return all
}

// held reports whether the bar can be rotated, within its range, to be where it has to be.
func (f *front) held(clamp r3.Vec, wider float64) bool {
	return len(f.rolls(clamp, wider, span{-f.roll, f.roll})) > 0
}

// possible reports whether steps have a value in a span.
func possible(s part.Steps, within span) bool {
	_, ok := s.Nearest(s.From, within.lo, within.hi)
	return ok
}

// steady reports whether there is only a range of values, or one value.
func steady(s part.Steps) bool { return s.Step == 0 || s.From == s.To }

// A pose is an aero bar with its clamp at a place, tilted by an angle of which it has sine
// and cosine.
type pose struct {
	*front
	clamp    r3.Vec
	sin, cos float64
}

// pose is the aero bar with its clamp at a place and a tilt in degrees.
func (f *front) pose(clamp r3.Vec, tilt float64) pose {
	sin, cos := num.Sincos(tilt)
	return pose{f, clamp, sin, cos}
}

// arm returns where an arm begins with the pads at a rise, and which way it goes.
func (p *pose) arm(i int, rise float64) (foot, along r3.Vec) {
	a := &p.arms[i]
	foot = a.foot
	foot.Z += rise
	return r3.Add(p.clamp, num.Turned(foot, p.sin, p.cos)), num.Turned(a.along, p.sin, p.cos)
}

// up is what a millimetre of the pads' rise moves the arms by.
func (p *pose) up() r3.Vec { return num.Turned(r3.Vec{Z: 1}, p.sin, p.cos) }

// reaches reports whether an arm reaches its box with one of its settings.
func (p *pose) reaches(i int, rise float64) bool {
	a := &p.arms[i]
	foot, along := p.arm(i, rise)
	within := a.box.line(foot, along)
	return !within.none() && possible(a.x, within)
}

// reach returns the t of a window at which an arm, moved by t·v, reaches its box with one
// of its settings.
func (p *pose) reach(i int, rise float64, v r3.Vec, window span) []span {
	a := &p.arms[i]
	foot, along := p.arm(i, rise)
	strips := a.box.strips(foot, v, along)
	all := slide(window, span{a.x.From, a.x.Last()}, strips[:]...)
	switch {
	case all.none():
		return nil
	case steady(a.x):
		return []span{all}
	}
	var some []span
	p.meter.Do(a.x.Count())
	for k := range a.x.Count() {
		if s := all.and(a.box.line(r3.Add(foot, r3.Scale(a.x.At(k), along)), v)); !s.none() {
			some = append(some, s)
		}
	}
	return merged(some)
}

// rises returns the rises of the pads, in steps, at which some arms reach their boxes.
func (p *pose) rises(arms ...int) (all []float64) {
	s := p.build.Aero.PadRise
	within := span{s.From, s.Last()}
	for _, i := range arms {
		a := &p.arms[i]
		foot, along := p.arm(i, 0)
		strips := a.box.strips(foot, p.up(), along)
		within = slide(within, span{a.x.From, a.x.Last()}, strips[:]...)
	}
	if within.none() {
		return nil
	}
	for i := range s.Count() {
		rise := s.At(i)
		if !p.meter.Do(1) {
			return nil
		}
		if within.has(rise) && !slices.ContainsFunc(arms, func(i int) bool { return !p.reaches(i, rise) }) {
			all = append(all, rise)
		}
	}
	return all
}

// carried reports whether the aero bar can be set to have pads and extensions where they
// have to be.
func (f *front) carried(clamp r3.Vec) bool {
	a := &f.build.Aero
	if *a == (part.AeroBar{}) {
		return true
	}
	for i := range a.Tilt.Count() {
		if !f.meter.Do(5) {
			break
		}
		if p := f.pose(clamp, a.Tilt.At(i)); f.tiltable.has(a.Tilt.At(i)) && len(p.rises(0, 1)) > 0 {
			return true
		}
	}
	return false
}

// holds reports whether the front end needs no change.
func (f *front) holds() bool {
	if !f.across(knobNone) {
		return false
	}
	return slices.ContainsFunc(f.clamps, func(c place) bool { return c.hands && c.arms })
}

// across reports whether the distances across can be within tolerance, those that one knob
// changes aside.
func (f *front) across(but knobName) bool {
	for i := range f.widths {
		if w := &f.widths[i]; but != w.name && !w.well() {
			return false
		}
	}
	return f.fixed && (but == knobWidth || f.wider.has(0))
}
