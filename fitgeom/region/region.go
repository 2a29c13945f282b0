package region

import (
	"math"
	"slices"
	"strconv"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/rig"
	"gonum.org/v1/gonum/spatial/r3"
)

// Bounds is what may be put on a head tube, and how, for [New].
type Bounds struct {
	// HeadFrom and HeadTo bound the head angle as the bike stands, 50 to 90
	// degrees. With a range, a frame's place is in the region if it would hold
	// the position at one of the angles.
	HeadFrom, HeadTo float64
	// StemLength and StemAngle are the stems that there are, of every length in
	// every angle, 20 to 180 mm and -60 to 60 degrees. With Step 0 it is anything
	// from From to To.
	StemLength, StemAngle part.Steps
	// Flip says that stems may be mounted upside down too.
	Flip bool
	// StemHeight is the height of the stems' steerer clamp, 20 to 80 mm.
	StemHeight float64
	// Up is headset cap and spacers together, 0 to 150 mm.
	Up part.Steps
	// Bar is held by the stem, and may be turned within its RollRange.
	Bar part.Handlebar
	// Lever is on it if it is a drop bar; else zero.
	Lever part.Lever
}

// Validate reports numbers that are out of the ranges stated at the fields, a
// bar in one piece with its stem, a drop bar without levers or another bar with
// them, and bounds with so many steps that there are more than 20,000 places
// for a stem.
func (b Bounds) Validate() error {
	var c fault.List
	c.Range("head_from", b.HeadFrom, 50, 90, "degrees")
	c.Range("head_to", b.HeadTo, b.HeadFrom, 90, "degrees")
	c.Steps("stem_length", b.StemLength.From, b.StemLength.To, b.StemLength.Step, 20, 180, "mm", false)
	c.Steps("stem_angle", b.StemAngle.From, b.StemAngle.To, b.StemAngle.Step, -60, 60, "degrees", false)
	c.Range("stem_height", b.StemHeight, 20, 80, "mm")
	c.Steps("up", b.Up.From, b.Up.To, b.Up.Step, 0, 150, "mm", false)
	c.In("bar", b.Bar.Validate())
	if b.Bar.OnePiece() {
		c.Add("bar.stem", "one", "a bar that a stem holds", contact.ErrConflict)
	}
	switch drop := b.Bar.Drop != (part.DropBar{}); {
	case drop:
		c.In("lever", b.Lever.Validate())
		if b.Lever == (part.Lever{}) {
			c.Add("lever", "", "levers on a drop bar", contact.ErrMissing)
		}
	case b.Lever != part.Lever{}:
		c.Add("lever", "one", "none except on a drop bar", contact.ErrConflict)
	}
	if c.Err() == nil {
		if n := len(b.offsets()); n > 20000 {
			c.Add("bounds", strconv.Itoa(n)+" places", "20000 at most", contact.ErrRange)
		}
	}
	return c.Err()
}

// A HeadPlace is where the centre of a head tube's top may be, in mm: in front
// of and above the bottom bracket, as a frame's chart has it.
type HeadPlace struct {
	Reach float64 // forward of the bottom bracket
	Stack float64 // above it
}

// An Outline is a closed polygon: the last place joins the first.
type Outline struct {
	// Places is in order, against the clock (reach to the right, stack up) round
	// a part of the region, with the clock round a hole.
	Places []HeadPlace
	// Hole says that what is inside does not belong to the region.
	Hole bool
}

// A Region is where the head tube's top of a frame may be so that its front end
// can hold a position. It does not change once it is made and is safe for
// concurrent use. The zero Region is empty.
//
// Places are told to 0.02 mm: [Region.Holds] looks at the arcs along which bar
// and stem turn as chords. The outline is drawn through a grid of 0.5 mm: to
// 0.001 mm every point of the grid is on its right side and every line of the
// grid is crossed at the right place; between them corners are cut, by up to
// 0.35 mm, and what is narrower than the grid may be missing.
type Region struct {
	pieces   []convex
	outlines []Outline
	best     HeadPlace
	head     float64 // degrees: the middle of the range
	angle    float64 // degrees: the middle of the stems'
}

// New finds the region of a position: every place of the head tube's top
// from which some stem, spacers and roll within the bounds bring all sites of the
// bar that are kept within their tolerances. Of keep only the sites from
// [contact.BarClamp] to [contact.GripRight] count; nil is [fitgeom.DefaultKeep] of the
// target. It is empty if the bar's widths are out of tolerance.
//
// Faults are those of both Validate and of keep as package fitgeom/solve reports them, and
// [contact.ErrMissing] for a site that the target does not know or the bar does not
// offer and for keep that does not ask for a site of the bar both forward and up.
func New(target contact.Position, bounds Bounds, keep []fitgeom.Keep) (Region, error) {
	var f fault.List
	f.In("target", target.Validate())
	f.In("bounds", bounds.Validate())
	if keep == nil {
		keep = fitgeom.DefaultKeep(target)
	}
	wants, across := bounds.wants(&f, &target, keep)
	if err := f.Err(); err != nil {
		return Region{}, err
	}
	r := Region{head: (bounds.HeadFrom + bounds.HeadTo) / 2, angle: (bounds.StemAngle.From + bounds.StemAngle.Last()) / 2}
	if !across {
		return r, nil
	}
	clamps := clampPieces(wants, bounds.Bar.RotationRange)
	for _, offset := range bounds.offsets() {
		for _, c := range clamps {
			r.pieces = append(r.pieces, c.less(offset))
		}
	}
	r.outlines = outline(r.pieces, r.Holds)
	if len(clamps) > 0 {
		// Everything in the middle, and the roll that is nearest to it.
		middle := slices.MinFunc(clamps, func(a, b clampPiece) int {
			switch {
			case math.Abs(a.roll) < math.Abs(b.roll):
				return -1
			case math.Abs(a.roll) > math.Abs(b.roll):
				return 1
			}
			return 0
		})
		d := bounds.offset(r.head, mid(bounds.StemLength), mid(bounds.StemAngle), mid(bounds.Up))
		r.best = HeadPlace{middle.centre.x - d.x, middle.centre.z - d.z}
	}
	return r, nil
}

// mid is the value in the middle, the lower of two.
func mid(s part.Steps) float64 {
	if s.Step == 0 || s.From == s.To {
		return (s.From + s.To) / 2
	}
	return s.At((s.Count() - 1) / 2)
}

// A want is a site of the bar and where it may be.
type want struct{ at, lo, hi vec }

// wants collects what is asked of the bar, and reports whether the widths are
// within tolerance.
func (b *Bounds) wants(f *fault.List, target *contact.Position, keep []fitgeom.Keep) (all []want, across bool) {
	offers := map[contact.Site]r3.Vec{contact.BarClamp: {}}
	for _, s := range b.Bar.Places(b.Lever) {
		offers[s.Site] = s.At
		offers[s.Site.On(contact.Right)] = r3.Vec{X: s.At.X, Y: -s.At.Y, Z: s.At.Z}
	}
	across = true
	forward, up := false, false
	for i, k := range keep {
		if k.Site.Group() != contact.OnHandlebar {
			continue
		}
		path, t := fault.At("keep", i), k.Tolerance
		f.In(path, k.Validate())
		at, known := target.At(k.Site)
		if !known {
			f.Add("target.sites."+k.Site.String(), "", "it to be known", contact.ErrMissing)
		}
		offer, ok := offers[k.Site]
		if !ok {
			f.Add(path+".site", k.Site.String(), "a site that the handlebar offers", contact.ErrMissing)
		}
		if !known || !ok {
			continue
		}
		across = across && !num.Beyond(offer.Y-at.Y, t.Y)
		w := want{at: vec{offer.X, offer.Z}, lo: vec{math.Inf(-1), math.Inf(-1)}, hi: vec{math.Inf(1), math.Inf(1)}}
		if t.X != 0 {
			forward = true
			w.lo.x, w.hi.x = at.X-t.X*(1+num.Leeway), at.X+t.X*(1+num.Leeway)
		}
		if t.Z != 0 {
			up = true
			w.lo.z, w.hi.z = at.Z-t.Z*(1+num.Leeway), at.Z+t.Z*(1+num.Leeway)
		}
		all = append(all, w)
	}
	if !forward || !up {
		f.Add("keep", "", "a site of the bar asked for forward and up", contact.ErrMissing)
	}
	return all, across
}

// A clampPiece is where the clamp may be at the rolls of a short range.
type clampPiece struct {
	convex
	roll   float64 // in the middle of the range
	centre vec
}

// A frameBox is where the clamp may be at one roll.
type frameBox struct{ lo, hi vec }

// gap is positive if the box is empty.
func (b *frameBox) gap() float64 { return max(b.lo.x-b.hi.x, b.lo.z-b.hi.z) }

func (b *frameBox) empty() bool { return b.gap() > 0 }

func clampBox(wants []want, roll float64) frameBox {
	sin, cos := num.Sincos(roll)
	b := frameBox{vec{math.Inf(-1), math.Inf(-1)}, vec{math.Inf(1), math.Inf(1)}}
	for i := range wants {
		w := &wants[i]
		at := vec{float64(w.at.x*cos) - float64(w.at.z*sin), float64(w.at.x*sin) + float64(w.at.z*cos)}
		b.lo.x, b.hi.x = max(b.lo.x, w.lo.x-at.x), min(b.hi.x, w.hi.x-at.x)
		b.lo.z, b.hi.z = max(b.lo.z, w.lo.z-at.z), min(b.hi.z, w.hi.z-at.z)
	}
	return b
}

// clampPieces cuts the roll range so finely that the boxes at both ends of a
// piece, joined by straight lines, are off by no more than a few thousandths of a mm.
func clampPieces(wants []want, most float64) []clampPiece {
	const fine = 2e-3 // mm
	var all []clampPiece
	add := func(lo, hi float64, a, b frameBox) {
		c := clampPiece{roll: (lo + hi) / 2}
		c.centre = vec{(a.lo.x + a.hi.x + b.lo.x + b.hi.x) / 4, (a.lo.z + a.hi.z + b.lo.z + b.hi.z) / 4}
		c.convex = hull([]vec{
			a.lo,
			{a.hi.x, a.lo.z},
			a.hi,
			{a.lo.x, a.hi.z},
			b.lo,
			{b.hi.x, b.lo.z},
			b.hi,
			{b.lo.x, b.hi.z},
		})
		all = append(all, c)
	}
	reach := 0.0 // from the clamp to the farthest site
	for i := range wants {
		reach = max(reach, math.Hypot(wants[i].at.x, wants[i].at.z))
	}
	var cut func(lo, hi float64, a, b frameBox, depth int)
	cut = func(lo, hi float64, a, b frameBox, depth int) {
		mid := (lo + hi) / 2
		m := clampBox(wants, mid)
		if m.gap() > 2*reach*num.Rad*(hi-lo)/2 {
			return // no roll of the range closes it
		}
		whole := !a.empty() && !b.empty() && !m.empty()
		straight := whole && max(
			math.Abs(a.lo.x+b.lo.x-2*m.lo.x), math.Abs(a.hi.x+b.hi.x-2*m.hi.x),
			math.Abs(a.lo.z+b.lo.z-2*m.lo.z), math.Abs(a.hi.z+b.hi.z-2*m.hi.z),
		) <= fine
		switch {
		case straight || whole && depth == 0:
			add(lo, hi, a, b)
		case depth > 0:
			cut(lo, mid, a, m, depth-1)
			cut(mid, hi, m, b, depth-1)
		}
	}
	if most == 0 {
		if b := clampBox(wants, 0); !b.empty() {
			add(0, 0, b, b)
		}
		return all
	}
	n := int(math.Ceil(most))
	for i := -n; i < n; i++ {
		lo, hi := most*float64(i)/float64(n), most*float64(i+1)/float64(n)
		cut(lo, hi, clampBox(wants, lo), clampBox(wants, hi), 16)
	}
	return all
}

// offset is from the head tube's top to the clamp.
func (b *Bounds) offset(head, length, angle, up float64) vec {
	c := rig.NewChassis(&chart.Geometry{HeadAngle: head, SeatAngle: head}, 0, 0)
	m := c.Mount(&part.Stem{Length: length, Angle: angle, Height: b.StemHeight}, false)
	v := c.Clamp(&m, up)
	return vec{v.X, v.Z}
}

// span is a short range, or a value twice.
type span [2]float64

// spans cuts a range into pieces no longer than long, or lists its steps.
func spans(s part.Steps, long float64) []span {
	if s.From == s.To {
		return []span{{s.From, s.From}}
	}
	var all []span
	if s.Step != 0 {
		for i := range s.Count() {
			all = append(all, span{s.At(i), s.At(i)})
		}
		return all
	}
	n := int(math.Ceil((s.To - s.From) / long))
	for i := range n {
		all = append(all, span{s.From + (s.To-s.From)*float64(i)/float64(n), s.From + (s.To-s.From)*float64(i+1)/float64(n)})
	}
	return all
}

// offsets is where the clamp may be, from the head tube's top, as convex pieces:
// arcs are cut so finely that their chords are off by no more than 0.01 mm.
func (b *Bounds) offsets() []convex {
	angles := spans(b.StemAngle, 1)
	if b.Flip {
		for _, s := range slices.Clone(angles) {
			if s != (span{}) {
				angles = append(angles, span{-s[1], -s[0]})
			}
		}
	}
	heads := part.Steps{From: b.HeadFrom, To: b.HeadTo}
	var all []convex
	for _, head := range spans(heads, 0.5) {
		for _, length := range spans(b.StemLength, 1000) {
			for _, angle := range angles {
				for _, up := range spans(b.Up, 1000) {
					if len(all) > 20000 {
						return all // too many
					}
					corners := make([]vec, 0, 16)
					for i := range 16 {
						corners = append(corners, b.offset(head[i&1], length[i>>1&1], angle[i>>2&1], up[i>>3&1]))
					}
					all = append(all, hull(corners))
				}
			}
		}
	}
	return all
}

// Empty reports whether no place holds.
func (r Region) Empty() bool { return len(r.pieces) == 0 }

// Outlines returns the region's polygons: parts and holes. The caller may keep
// and change them.
func (r Region) Outlines() []Outline {
	all := slices.Clone(r.outlines)
	for i := range all {
		all[i].Places = slices.Clone(all[i].Places)
	}
	return all
}

// Area returns the area of the outlines, in mm².
func (r Region) Area() float64 {
	sum := 0.0
	for _, o := range r.outlines {
		sum += o.area()
	}
	return sum
}

// area is negative for a hole.
func (o *Outline) area() float64 {
	sum := 0.0
	for i, p := range o.Places {
		q := o.Places[(i+1)%len(o.Places)]
		sum += float64(p.Reach*q.Stack) - float64(q.Reach*p.Stack)
	}
	return sum / 2
}

// Best returns the place of a frame that holds the position with the stem's
// length and angle, the spacers and the head angle in the middle of their
// bounds (of two steps, with the lower), and the bar turned as little as may
// be. False if the region is empty.
func (r Region) Best() (HeadPlace, bool) { return r.best, !r.Empty() }

// Holds reports whether a front end on a frame whose head tube's top is at the
// place can hold the position.
func (r Region) Holds(at HeadPlace) bool {
	v := vec{at.Reach, at.Stack}
	for i := range r.pieces {
		if r.pieces[i].holds(v) {
			return true
		}
	}
	return false
}

// A Placing is where a frame is in a region, and what that means.
type Placement struct {
	// Holds is [Region.Holds] of the place.
	Holds bool
	// Distance is from the place to the outline, in mm: positive inside, negative outside.
	Distance float64
	// Edge is the place of the outline that is nearest.
	Edge HeadPlace
	// Spacers and Stem are how much more spacers and how much more length of
	// stem the frame needs than one at Edge, which is at an end of the bounds, in
	// mm; negative: less. For a frame outside that is what the bounds lack, for
	// one inside what they leave on that side. They are counted along the
	// steerer and along a stem, with head angle and stem angle in the middle of
	// their ranges.
	Spacers, Stem float64
	// ReachLess, ReachMore, StackLess and StackMore are how far reach or stack
	// alone may change, either way, before the place leaves the region, in mm;
	// 0 if it is outside.
	ReachLess, ReachMore, StackLess, StackMore float64
}

// Place tells where a frame is in the region; false if the region is empty or
// all narrower than the grid of its outline, and if the place is not of finite
// numbers.
func (r Region) Place(at HeadPlace) (Placement, bool) {
	if r.Empty() || !num.Finite(at.Reach, at.Stack) {
		return Placement{}, false
	}
	p := Placement{Holds: r.Holds(at)}
	least := math.Inf(1)
	v := vec{at.Reach, at.Stack}
	for _, o := range r.outlines {
		for i, a := range o.Places {
			b := o.Places[(i+1)%len(o.Places)]
			near := nearest(v, vec{a.Reach, a.Stack}, vec{b.Reach, b.Stack})
			if d := math.Hypot(near.x-v.x, near.z-v.z); d < least {
				least = d
				p.Edge = HeadPlace{near.x, near.z}
			}
		}
	}
	if math.IsInf(least, 1) {
		return Placement{}, false // no piece as large as the grid
	}
	p.Distance = least
	if !p.Holds {
		p.Distance = -least
	}
	dx, dz := p.Edge.Reach-at.Reach, p.Edge.Stack-at.Stack
	sin, cos := num.Sincos(r.head)
	sinA, cosA := num.Sincos(r.angle)
	p.Stem = (float64(dx*sin) + float64(dz*cos)) / cosA
	p.Spacers = float64(dz*sin) - float64(dx*cos) - float64(p.Stem*sinA)
	if p.Holds {
		for _, s := range crossings(r.pieces, v.z, false) {
			if v.x >= s[0] && v.x <= s[1] {
				p.ReachLess, p.ReachMore = v.x-s[0], s[1]-v.x
			}
		}
		for _, s := range crossings(r.pieces, v.x, true) {
			if v.z >= s[0] && v.z <= s[1] {
				p.StackLess, p.StackMore = v.z-s[0], s[1]-v.z
			}
		}
	}
	return p, true
}
