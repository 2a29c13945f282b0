package region

import (
	"cmp"
	"math"
	"slices"
	"strconv"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
	"example.com/fitgeom/internal/rig"
	"example.com/fitgeom/internal/work"
	"gonum.org/v1/gonum/spatial/r3"
)

// Bounds describes the parts that may be mounted on a head tube, and how, for [New].
type Bounds struct {
	// HeadFrom and HeadTo bound the head angle of the bike as it stands, 50 to 90
	// degrees. A place is in the region if the frame would hold the position at any
	// angle of the range.
	HeadFrom, HeadTo float64
	// StemLength and StemAngle describe the available stems: every length, 20 to 180
	// mm, with every angle, -60 to 60 degrees. Step 0 means any value from From to To.
	StemLength, StemAngle part.Steps
	// Flip says that stems may be mounted upside down too.
	Flip bool
	// StemHeight is the height of the stems' steerer clamp, 20 to 80 mm.
	StemHeight float64
	// Up is the total height of headset cap and spacers, 0 to 150 mm.
	Up part.Steps
	// Handlebar is held by the stem, and may be rotated within its RotationRange.
	Handlebar part.Handlebar
	// Lever is the levers on a drop bar, mounted in any of the ways that the handlebar allows;
	// zero for any other handlebar.
	Lever part.Lever
	// Limits is a rider's body and what its joints may do ([rider.Limits.Check]): a place is in the
	// region if the hands are then within the limits too, with saddle and feet where the target has
	// them; so nothing is, if these break a limit by themselves. The bar may be rotated within
	// tolerance for that. What is not known does not count. Zero: nothing is limited.
	Limits rider.Limits
	// Budget is how much work [New] may do, and what comes at its end. Zero: enough for
	// any bounds of real size, and an error at the end.
	Budget fitgeom.Budget
}

// Validate reports numbers that are out of range, a handlebar in one piece with its stem,
// a drop bar without levers, another handlebar with levers, and bounds with more than
// 20,000 combinations of steps.
func (b Bounds) Validate() error {
	var c fault.List
	c.Range("head_from_deg", b.HeadFrom, 50, 90, "degrees")
	c.Range("head_to_deg", b.HeadTo, b.HeadFrom, 90, "degrees")
	c.Steps("stem_length_mm", fault.Steps(b.StemLength), fault.Range{Lo: 20, Hi: 180, Unit: "mm"}, false)
	c.Steps("stem_angle_deg", fault.Steps(b.StemAngle), fault.Range{Lo: -60, Hi: 60, Unit: "degrees"}, false)
	c.Range("stem_height_mm", b.StemHeight, 20, 80, "mm")
	c.Steps("up_mm", fault.Steps(b.Up), fault.Range{Lo: 0, Hi: 150, Unit: "mm"}, false)
	c.In("handlebar", b.Handlebar.Validate())
	if b.Handlebar.OnePiece() {
		c.Add("handlebar.stem", "one", "a handlebar that a stem holds", contact.ErrConflict)
	}
	switch drop := b.Handlebar.Drop != (part.DropBar{}); {
	case drop && b.Lever == (part.Lever{}):
		c.Add("lever", "", "levers on a drop bar", contact.ErrMissing)
	case drop:
		c.In("lever", b.Lever.Validate())
	case b.Lever != part.Lever{}:
		c.Add("lever", "one", "none except on a drop bar", contact.ErrConflict)
	}
	c.In("limits", b.Limits.Validate())
	if c.Err() == nil {
		heads, lengths, ups := b.spans()
		angles, _ := b.angles()
		if n := len(heads) * len(lengths) * len(angles) * len(ups); n > 20000 {
			c.Add("bounds", strconv.Itoa(n)+" places", "20000 at most", contact.ErrRange)
		}
	}
	return c.Err()
}

// mid returns the middle value, or the lower of two middle steps.
func mid(s part.Steps) float64 {
	if s.Step == 0 || s.From == s.To {
		return (s.From + s.To) / 2
	}
	return s.At((s.Count() - 1) / 2)
}

// A want is a site of the bar, from its clamp, and the range of places allowed for it.
type want struct{ at, lo, hi vec }

// clamper collects the kept sites of the bar with its levers mounted in one way, and the
// ranges of its rotation in which their directions are within tolerance; none if the widths
// are not.
func (b *Bounds) clamper(f *fault.List, target *contact.Position, keep []fitgeom.Keep, mount part.LeverMount) (l clamper) {
	offers := map[contact.Site]part.Place{contact.BarClamp: {}}
	for _, s := range b.Handlebar.Places(b.Lever, mount) {
		offers[s.Site] = s
		s.At.Y, s.Forward.Y = 0-s.At.Y, 0-s.Forward.Y
		s.Left.X, s.Left.Z = 0-s.Left.X, 0-s.Left.Z
		offers[s.Site.On(contact.Right)] = s
	}
	grip, offered := offers[b.Limits.Body.Upper.Grip]
	l.grip, l.offered = vec{grip.At.X, grip.At.Z}, offered
	l.rolls = [][2]float64{{0 - b.Handlebar.RotationRange, b.Handlebar.RotationRange}}
	across, forward, up := true, false, false
	for i, k := range keep {
		if k.Site.Group() != contact.OnHandlebar {
			continue
		}
		path, t := fault.At("keep", i), k.Tolerance
		f.In(path, k.Validate())
		at, known := target.At(k.Site)
		facing, faces := target.Attitude(k.Site)
		if known = known || t == (r3.Vec{}); !known {
			f.Add("target.sites."+k.Site.String(), "", "it to be known", contact.ErrMissing)
		}
		if !faces && k.Turn.Asks() {
			f.Add("target.sites."+k.Site.String()+".attitude", "", "it to be known", contact.ErrMissing)
		}
		offer, ok := offers[k.Site]
		if !ok {
			f.Add(path+".site", k.Site.String(), "a site that the handlebar offers", contact.ErrMissing)
		}
		if !known || !ok {
			continue
		}
		across = across && !num.Beyond(offer.At.Y-at.Y, t.Y)
		forward, up = forward || t.X != 0, up || t.Z != 0
		l.wants = append(l.wants, newWant(offer.At, at, t))
		if k.Turn.Asks() {
			l.rolls = rig.Held(l.rolls, &offer.Forward, &offer.Left, facing, k.Turn.Angles())
		}
	}
	if !forward || !up {
		f.Add("keep", "", "a horizontal and a vertical tolerance for the handlebar", contact.ErrMissing)
	}
	if !across {
		l.rolls = nil
	}
	return l
}

// hands returns where the rider's grips may be by the limits, in convex polygons: one that is nil for
// anywhere, and none for nowhere.
func (b *Bounds) hands(m *work.Meter, target *contact.Position, bars []clamper) ([]convex, error) {
	if len(b.Limits.Joints) == 0 {
		return []convex{nil}, nil
	}
	if !bars[0].offered { // whatever the bar does, the hands are elsewhere, or nobody knows where
		at := *target
		if g := b.Limits.Body.Upper.Grip; g.Group() == contact.OnHandlebar {
			at.Forget(g.On(contact.Left))
			at.Forget(g.On(contact.Right))
		}
		if b.Limits.Breaks(at) {
			return nil, nil
		}
		return []convex{nil}, nil
	}
	around := nothing
	for i := range bars {
		around.add(bars[i].grips())
	}
	const most = 5000 // mm: there are no hands beyond
	around = around.and(box{vec{-most, -most}, vec{most, most}})
	if !(around.lo.x <= around.hi.x && around.lo.z <= around.hi.z) {
		return nil, nil
	}
	around = around.by(1e-3) // so that what is as wide as a point has places
	const finest = 2e-3      // mm
	var found [][]r3.Vec
	var err error
	m.Wait(func() {
		found, err = b.Limits.Hands(*target, r3.Vec{X: around.lo.x, Z: around.lo.z}, r3.Vec{X: around.hi.x, Z: around.hi.z}, finest)
	})
	if m.Stopped() {
		return nil, nil // and found may still be written
	}
	var all []convex
	for _, h := range found {
		c := make(convex, len(h))
		for i, v := range h {
			c[i] = vec{v.X, v.Z}
		}
		all = append(all, c)
	}
	corners := around.corners()
	if len(all) == 1 && slices.Equal(all[0], corners[:]) {
		all[0] = nil
	}
	return all, err
}

// grips is a box around all places that the rider's grip has with the sites within tolerance.
func (l *clamper) grips() box {
	all := nothing
	for _, r := range l.rolls {
		sin, cos := num.Sincos((r[0] + r[1]) / 2)
		half := num.Rad * (r[1] - r[0]) / 2
		b := box{vec{math.Inf(-1), math.Inf(-1)}, vec{math.Inf(1), math.Inf(1)}}
		for i := range l.wants {
			w := &l.wants[i]
			to := l.grip.less(w.at)
			by := vec{float64(to.x*cos) - float64(to.z*sin), float64(to.x*sin) + float64(to.z*cos)}
			b = b.and(box{w.lo, w.hi}.plus(box{by, by}).by(half * math.Hypot(to.x, to.z)))
		}
		all.add(b)
	}
	return all
}

// newWant returns a want for a site of the bar, from its target place and tolerance.
func newWant(site, at, t r3.Vec) want {
	w := want{at: vec{site.X, site.Z}, lo: vec{math.Inf(-1), math.Inf(-1)}, hi: vec{math.Inf(1), math.Inf(1)}}
	if t.X != 0 {
		w.lo.x, w.hi.x = at.X-t.X*(1+num.Leeway), at.X+t.X*(1+num.Leeway)
	}
	if t.Z != 0 {
		w.lo.z, w.hi.z = at.Z-t.Z*(1+num.Leeway), at.Z+t.Z*(1+num.Leeway)
	}
	return w
}

// offset returns the vector from the head tube's top to the bar clamp.
func (b *Bounds) offset(head, length, angle, up float64) vec {
	c := rig.NewChassis(&chart.Geometry{HeadAngle: head, SeatAngle: head}, 0, 0)
	m := c.Mount(&part.Stem{Length: length, Angle: angle, Height: b.StemHeight}, rig.StemSet{})
	v := c.Clamp(&m, up)
	return vec{v.X, v.Z}
}

// span is a short range, or a single value as both ends.
type span [2]float64

// spans cuts a continuous range into pieces no longer than long, or lists the steps.
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

// angles returns the ranges of the stem's angle, in short pieces or step by step, and from
// which on they are those of stems that are flipped. What is so both ways is left out.
func (b *Bounds) angles() (all []span, flipped int) {
	all = spans(b.StemAngle, 1)
	flipped = len(all)
	if b.Flip {
		const same = 1e-9 // degrees
		for _, s := range all[:flipped] {
			i, _ := slices.BinarySearchFunc(all[:flipped], 0-s[1]-same, func(t span, from float64) int { return cmp.Compare(t[0], from) })
			if i == flipped || math.Abs(all[i][0]+s[1]) > same || math.Abs(all[i][1]+s[0]) > same {
				all = append(all, s)
			}
		}
	}
	return all, flipped
}

// spans returns the ranges of head angle, stem length and height.
func (b *Bounds) spans() (heads, lengths, ups []span) {
	return spans(part.Steps{From: b.HeadFrom, To: b.HeadTo}, 0.5), spans(b.StemLength, 1000), spans(b.Up, 1000)
}

// offsets returns the possible places of the head tube's top, from the clamp, as convex
// pieces, and what settings each has. Arcs are cut so finely that their chords are off by no
// more than 0.01 mm. The list has a gap at its end if the meter stops it.
func (b *Bounds) offsets(m *work.Meter) (all []convex, of []bracket) {
	heads, lengths, ups := b.spans()
	angles, flipped := b.angles()
	room := make([]vec, 16)
	for _, head := range heads {
		for _, length := range lengths {
			for k, angle := range angles {
				for _, up := range ups {
					if !m.Do(50) {
						return all, of
					}
					r := bracket{head, length, angle, up, k >= flipped}
					corners := room[:0]
					for i := range r.corners() {
						corners = append(corners, b.place(r.corner(i)))
					}
					all, of = append(all, hull(corners)), append(of, r)
				}
			}
		}
	}
	return all, of
}
