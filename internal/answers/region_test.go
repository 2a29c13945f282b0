package answers_test

import (
	"context"
	"fmt"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/region"
	"gonum.org/v1/gonum/spatial/r3"
)

// bounds draws small bounds about a build, whose bar is not in one piece with a stem.
func (d dice) bounds(b *fitgeom.Build) region.Bounds {
	head := b.Frame.Geometry.HeadAngle
	n := region.Bounds{
		HeadFrom: head, HeadTo: head + pick(d, 0, 0, 0.5, 2), StemHeight: 40, Flip: d.one(2),
		StemLength: part.Steps{From: b.Stem.Length - pick(d, 0.0, 10), To: b.Stem.Length + pick(d, 0.0, 10, 30), Step: 10},
		StemAngle:  part.Steps{From: b.Stem.Angle, To: b.Stem.Angle + pick(d, 0.0, 6), Step: 6},
		Up:         part.Steps{From: 10, To: 10 + d.step(0, 20, 5), Step: 5},
		Handlebar:  b.Handlebar, Lever: b.Lever,
	}
	if d.one(3) {
		n.Up.Step = 0
	}
	if d.one(5) {
		n.StemLength.Step = 0
	}
	return n
}

// regionKeep draws tolerances for the hands, or nil.
func (d dice) regionKeep(k kind) []fitgeom.Keep {
	if d.one(3) {
		return nil
	}
	hand := contact.HoodsLeft
	if k.flat() || k == timeTrial {
		hand = contact.GripLeft
	}
	side := d.in(0.5, 3)
	return []fitgeom.Keep{
		{Site: contact.SaddleReference, Tolerance: r3.Vec{X: d.in(1, 4), Z: d.in(1, 4)}},
		{Site: hand, Tolerance: r3.Vec{X: side, Y: 5, Z: pick(d, side, 2)}},
		{Site: hand.On(contact.Right), Tolerance: r3.Vec{X: side, Y: 5, Z: side}},
	}
}

// askRegion finds where the head tube of a frame may be for a random position, which
// seat tubes hold its saddle, and the frame that its rider is on. One in seven is
// spoiled.
func askRegion(o *out, d dice, _ int) {
	k := pick(d, road, gravel, mountain, timeTrial)
	b := d.build(k)
	for b.Handlebar.OnePiece() {
		b = d.build(k)
	}
	b.Wheels = chart.Wheels{}
	b.Handlebar.ClampDiameter, b.BarShim = 31.8, part.Shim{}
	target, err := b.Position()
	if o.failed("build", err) {
		return
	}
	for s, v := range target.All() {
		if s >= contact.BarClamp && s < contact.PedalLeft {
			target.Set(s, r3.Add(v, d.about(pick(d, 0, 0, 0.7))))
		}
	}
	bounds, keep := d.bounds(&b), d.regionKeep(k)
	saddle, offset := b.Saddle, d.maybe(-10, 15)
	if d.one(7) {
		switch d.IntN(4) {
		case 0:
			d.spoilPosition(&target)
		case 1:
			d.spoil(append(saddleFields(&saddle), &offset))
		case 2:
			d.spoil(barFields(&bounds.Handlebar))
		default:
			d.spoil([]*float64{&bounds.HeadFrom, &bounds.StemHeight, &bounds.Up.From, &bounds.StemLength.To, &bounds.StemAngle.From})
		}
	}
	o.judged("bounds", bounds.Validate())
	r, err := region.New(context.Background(), target, bounds, keep)
	if !o.failed("region", err) {
		o.region(d, r)
	}
	o.seat(d, target, saddle, offset, keep)
	a := region.FrontEnd{Up: b.Cap.Height + b.Settings.Spacers, Stem: b.Stem, Flipped: b.Settings.Flipped, Handlebar: b.Handlebar, Lever: b.Lever, BarRotation: b.Settings.BarRotation}
	if d.one(2) {
		target.Forget(contact.BarClamp)
	}
	at, err := region.FrameNow(target, d.wild(66, 76), a)
	if !o.failed("now", err) {
		o.floats("now", at.Reach, at.Stack)
	}
	o.values(d)
}

func (o *out) region(d dice, r region.Region) {
	o.flags("empty", r.Empty())
	o.floats("area", r.Area())
	best, ok := r.Best()
	o.flags("best.any", ok)
	if !ok {
		return
	}
	o.floats("best", best.Reach, best.Stack)
	for i := range 6 {
		at := region.HeadPlace{Reach: best.Reach + 15*d.NormFloat64(), Stack: best.Stack + 15*d.NormFloat64()}
		if i == 5 {
			at = best
		}
		key := fmt.Sprintf("place%d", i)
		o.flags(key+".holds", r.Holds(at))
		p, ok := r.Place(at)
		o.flags(key+".any", ok, p.Holds)
		if ok {
			o.floats(key+".distance", p.Distance)
			o.floats(key+".edge", p.Edge.Reach, p.Edge.Stack)
			o.floats(key+".parts", p.Spacers, p.Stem)
			o.floats(key+".room", p.ReachLess, p.ReachMore, p.StackLess, p.StackMore)
		}
	}
	for i, l := range r.Outlines() {
		key := fmt.Sprintf("outline%d", i)
		o.flags(key+".hole", l.Hole)
		o.ints(key+".places", len(l.Places))
		for n, at := range l.Places {
			if !o.coarse || n%20 == 0 {
				o.floats(key, at.Reach, at.Stack)
			}
		}
	}
}

// seat prints which seat angles and setbacks hold a saddle.
func (o *out) seat(d dice, target contact.Position, saddle part.Saddle, offset float64, keep []fitgeom.Keep) {
	s, err := region.NewSeat(target, saddle, offset, keep)
	if o.failed("seat", err) {
		return
	}
	for i := range 6 {
		lo, hi, ok := s.SeatAngles(d.wild(-20, 40))
		key := fmt.Sprintf("seat%d", i)
		o.flags(key+".angles.any", ok)
		if ok {
			o.floats(key+".angles", lo, hi)
		}
		lo, hi, ok = s.Setbacks(d.wild(68, 80))
		o.flags(key+".setbacks.any", ok)
		if ok {
			o.floats(key+".setbacks", lo, hi)
		}
	}
}

// values prints which values a random range of steps has.
func (o *out) values(d dice) {
	s := part.Steps{From: d.in(-60, 0), To: d.in(0, 60), Step: pick(d, 0, 0.5, 5, d.in(0.5, 30))}
	o.ints("steps", s.Count())
	o.floats("steps.last", s.Last())
	if n := s.Count(); n > 0 {
		v := s.At(d.IntN(n))
		o.floats("steps.at", v)
		o.flags("steps.has", s.Has(v), s.Has(v+0.25))
	}
	v, ok := s.Nearest(d.in(-80, 80), d.in(-70, 0), d.in(0, 70))
	o.known("steps.nearest", v, ok)
}
