package answers_test

import (
	"context"
	"fmt"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
)

// askDirection asks Reproduce for builds whose directions are kept, from a shelf with flared
// bars, levers and cleats that can be moved, and cranks and pedals of two sizes.
func askDirection(o *out, d dice, _ int) {
	p := d.problem()
	for i := range p.shelf.Handlebars {
		if b := &p.shelf.Handlebars[i].Drop; *b != (part.DropBar{}) {
			b.DropsWidth, b.Flare, b.BendRadius, b.BendBelow = 0, d.in(2, 25), d.in(40, 80), d.in(0, 60)
			b.LeverUp, b.LeverIn = part.Steps{From: -10, To: 10, Step: 10}, part.Steps{To: 6, Step: 6}
		}
	}
	for i := range p.shelf.Pedals {
		k := &p.shelf.Pedals[i]
		k.Right = part.PedalSide{FootHeight: k.FootHeight + 2, FootOffset: k.FootOffset + 4}
		k.CleatBack, k.ToesOut, k.Wedge = part.Steps{From: -5, To: 20}, part.Steps{From: -5, To: 15}, part.Steps{From: -3, To: 3, Step: 1.5}
	}
	for i := range p.shelf.Cranks {
		k := &p.shelf.Cranks[i]
		k.RightLength = k.Length - pick(d, 0.0, 5)
	}
	if p.opt.Keep == nil {
		p.opt.Keep = fitgeom.DefaultKeep(p.target)
	}
	for i := range p.opt.Keep {
		k := &p.opt.Keep[i]
		if a, ok := p.target.Attitude(k.Site); ok && k.Site != contact.SaddleReference {
			p.target.SetAttitude(k.Site, contact.Attitude{Tilt: a.Tilt + d.in(-4, 4), Yaw: a.Yaw + d.in(-4, 4), Roll: a.Roll + d.in(-4, 4)})
			k.Turn = fitgeom.DefaultTurn(k.Site)
		}
	}
	o.explained(&p)
}

// askRenewed asks the same of stems that can be set or sink, and of extensions whose width can
// be set.
func askRenewed(o *out, d dice, _ int) {
	p := d.problem()
	d.renew(&p.shelf)
	p.opt.Bike = fitgeom.Build{}
	o.explained(&p)
}

// explained prints builds with all their settings, and what explains the first.
func (o *out) explained(p *problem) {
	q := p.problem()
	r, err := q.Solve(context.Background())
	if o.failed("reproduce", err) {
		return
	}
	for i := range r.Candidates {
		c := &r.Candidates[i]
		at, s := fmt.Sprintf("c%d", i), &c.Build.Settings
		o.candidate(at, c)
		o.floats(at+".levers", s.LeverUp, s.LeverIn)
		if s.StemAngle != 0 || s.Quill != 0 || s.ExtensionWidth != 0 {
			o.floats(at+".stem", s.StemAngle, s.Quill, s.ExtensionWidth)
		}
		for _, k := range [...]fitgeom.Cleat{s.CleatLeft, s.CleatRight} {
			o.floats(at+".cleat", k.Back, k.In, k.ToesOut, k.Wedge)
		}
		for _, v := range c.Deviations {
			o.attitude(at+".turned."+v.Site.String(), contact.Attitude(v.Turned))
		}
	}
	all, err := q.Explain(context.Background(), r.Candidates[0])
	if !o.failed("explain", err) {
		o.obstacles("explain", &r.Candidates[0].Build, all)
		for _, b := range all {
			for _, c := range b.Turned {
				o.words("explain.turned", c.String())
			}
		}
	}
}
