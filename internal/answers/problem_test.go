package answers_test

import (
	"context"
	"fmt"
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/fitgeom/rules"
	"example.com/fitgeom/fitgeom/solve"
	"gonum.org/v1/gonum/spatial/r3"
)

// A problem is a question for Reproduce.
type problem struct {
	kind   kind
	target contact.Position
	frame  fitgeom.Frame
	shelf  fitgeom.Shelf
	opt    solve.Problem
	from   fitgeom.Build // what the target is a disturbed picture of
}

// problem draws a bike of any kind, a shelf with it and other parts, a target near
// its position or far from it, and options of all sorts.
func (d dice) problem() problem {
	p := problem{kind: kind(d.IntN(int(kinds)))}
	for {
		p.from = d.build(p.kind)
		at, err := p.from.Position()
		if err != nil {
			continue // a stance that turns too far
		}
		p.target = at
		break
	}
	p.frame, p.shelf = p.from.Frame, d.shelf(p.kind, &p.from)
	d.disturb(&p)
	p.opt = d.options(&p)
	return p
}

// disturb moves the target by nothing, by a little, or to where no part reaches,
// and forgets some sites. Left and right move alike in half of the cases.
func (d dice) disturb(p *problem) {
	by := pick(d, 0.0, 0, 0, 0.5, 3, 10)
	alike := d.one(2)
	var shift [2]r3.Vec // of saddle and hands
	if d.one(4) {
		shift[d.IntN(2)] = r3.Vec{X: d.in(-60, 60), Z: d.in(-60, 60)}
	}
	wider := pick(d, 1, 1, 1, 1, d.in(0.8, 1.2))
	for s, v := range p.target.All() {
		if s.Group().Crank() {
			continue
		}
		v.Y *= wider
		if s.Side() == contact.Right && alike {
			l, _ := p.target.At(s.On(contact.Left))
			p.target.Set(s, r3.Vec{X: l.X, Y: -l.Y, Z: l.Z})
			continue
		}
		group := 0
		if s.Group().FrontEnd() {
			group = 1
		}
		e := d.about(by)
		e.Y *= 0.3
		p.target.Set(s, r3.Add(v, r3.Add(shift[group], e)))
	}
	if d.one(3) { // other cranks and feet than the build's
		for _, s := range []contact.Site{contact.PedalLeft, contact.PedalRight, contact.FootLeft, contact.FootRight} {
			if v, ok := p.target.At(s); ok {
				p.target.Set(s, r3.Add(v, r3.Vec{X: d.in(-4, 4), Y: pick(d, 0, 0, d.in(-20, 20)), Z: 2 * d.NormFloat64()}))
			}
		}
	}
	for _, lot := range [][]contact.Site{
		{contact.PedalLeft, contact.PedalRight},
		{contact.FootLeft, contact.FootRight},
		{contact.TopsLeft, contact.TopsRight, contact.DropsLeft, contact.DropsRight},
		{contact.SaddleNose, contact.SaddleRear},
		{contact.BarClamp},
	} {
		if d.one(3) {
			for _, s := range lot {
				p.target.Forget(s)
			}
		}
	}
}

// options draws options of all sorts. In two cases of five Keep is the default.
func (d dice) options(p *problem) solve.Problem {
	o := solve.Problem{
		Crank: pick(d, fitgeom.KeepFarEnd, fitgeom.KeepFarEnd, fitgeom.KeepSaddle), Wheels: p.from.Wheels,
		Vary:  pick(d, 0, 0, part.AllKinds, part.Stems|part.Seatposts, part.Handlebars|part.Saddles|part.Cranks),
		Grain: pick(d, 0, 0, 1e-3, 0.1, 0.5), Limit: pick(d, 0, 1, 2, 3, 4, 8),
	}
	if !d.one(5) && !d.one(4) {
		o.Keep = d.keep(p)
	}
	if d.one(3) {
		o.Bike = p.from
		if d.one(3) {
			o.Bike.Saddle = d.saddle()
		}
	}
	return o
}

// keep draws what is asked for, with unlike tolerances and weights.
func (d dice) keep(p *problem) []fitgeom.Keep {
	wide := pick(d, 2.0, 2, 5, 12, 0.05)
	all := []fitgeom.Keep{{Site: contact.SaddleReference, Tolerance: r3.Vec{X: wide, Z: pick(d, wide, 2*wide)}}}
	for s := range p.target.All() {
		if s == contact.SaddleReference || s.Side() == contact.Right {
			continue
		}
		t := pick(d, r3.Vec{X: wide, Y: 3 * wide, Z: wide}, r3.Vec{X: wide, Y: 3 * wide, Z: wide}, r3.Vec{X: 3 * wide, Z: wide}, r3.Vec{Z: 2 * wide}, r3.Vec{X: 2 * wide})
		switch {
		case s.Group() == contact.OnFeet:
			t = r3.Vec{X: 2, Y: pick(d, 0, 5.0, 10), Z: pick(d, 0.5, 1, 3)}
		case s.Group() == contact.OnPedals:
			t = r3.Vec{X: pick(d, 0.5, 1, 6), Y: pick(d, 0, 8.0)}
		case s.Side() == contact.Centre:
			t = r3.Scale(4, r3.Vec{X: wide, Z: wide})
		}
		likely := s == contact.HoodsLeft || s == contact.GripLeft || s == contact.PadLeft || s == contact.ExtensionLeft
		if !likely && !d.one(4) && (!s.Group().Crank() || d.one(2)) || likely && d.one(6) {
			continue
		}
		all = append(all, fitgeom.Keep{Site: s, Tolerance: t})
		if right := s.On(contact.Right); right != s && !d.one(8) {
			all = append(all, fitgeom.Keep{Site: right, Tolerance: pick(d, t, t, r3.Scale(1.5, t))})
		}
	}
	for i := range all {
		if d.one(6) {
			all[i].Weight = pick(d, r3.Vec{X: 4, Y: 4, Z: 4}, r3.Vec{X: 0.25}, r3.Vec{Z: 9, Y: 2})
		}
	}
	if d.one(3) {
		shuffle(d, all)
	}
	return all
}

// spoilProblem makes one number of a problem bad, or one of its choices.
func (d dice) spoilProblem(p *problem) {
	switch d.IntN(9) {
	case 0, 1:
		d.spoil(frameFields(&p.frame))
	case 2, 3:
		d.spoil(shelfFields(d, &p.shelf))
	case 4:
		d.spoilPosition(&p.target)
	case 5:
		p.opt.Keep = slices.Clone(p.opt.Keep)
		if d.one(2) {
			d.spoil(keepFields(p.opt.Keep))
		} else {
			p.opt.Keep = append(p.opt.Keep, fitgeom.Keep{Site: pick(d, contact.GripRight, contact.SaddleReference, 77), Tolerance: r3.Vec{X: 1, Z: 1}})
		}
	case 6:
		d.spoil(stanceFields(&p.opt.Wheels))
	case 7:
		p.opt.Crank, p.opt.Vary = pick(d, fitgeom.KeepSaddle, 9), pick(d, part.Stems, 1<<13)
		p.opt.Limit, p.opt.Grain = pick(d, 1, -1, 100000), d.bad(0.1)
	default:
		d.spoilShelf(&p.shelf)
	}
}

// spoilShelf empties a kind of part, or makes a count bad.
func (d dice) spoilShelf(s *fitgeom.Shelf) {
	switch d.IntN(8) {
	case 0:
		s.Caps = nil
	case 1:
		s.Stems = nil
	case 2:
		s.Handlebars = s.Handlebars[:d.IntN(len(s.Handlebars))]
	case 3:
		s.Levers = nil
	case 4:
		s.Seatposts, s.Saddles = nil, nil
	case 5:
		s.Cranks = nil
	case 6:
		s.Shims = nil
	default:
		s.Spacers[0].Count = pick(d, 0, -1, 21)
	}
}

// problem is the whole question.
func (p *problem) problem() solve.Problem {
	q := p.opt
	q.Target, q.Frame, q.Shelf = p.target, p.frame, p.shelf
	return q
}

func pitchOf(f fitgeom.Frame, w chart.Wheels) float64 {
	pitch, _ := f.Geometry.Pitch(w)
	return pitch
}

// askProblem asks Reproduce for the builds of a random problem, and for a part of
// the problems what the other functions tell of them. One in seven is spoiled.
func askProblem(o *out, d dice, _ int) {
	p := d.problem()
	if d.one(7) {
		d.spoilProblem(&p)
	}
	sound := p.frame.Geometry.Validate()
	if sound == nil {
		sound = p.frame.ValidateOn(p.opt.Wheels)
	}
	o.value("pitch", pitchOf(p.frame, p.opt.Wheels), sound)
	o.judged("frame", p.frame.Validate())
	o.judged("shelf", p.shelf.Validate())
	o.judged("target", p.target.Validate())
	for _, k := range fitgeom.DefaultKeep(p.target) {
		o.vec("keep."+k.Site.String(), k.Tolerance)
	}
	r, err := p.problem().Solve(context.Background())
	if o.failed("reproduce", err) {
		return
	}
	o.ints("combinations", r.Combinations)
	o.flags("holds", r.Holds())
	for i := range r.Candidates {
		c := &r.Candidates[i]
		at := fmt.Sprintf("c%d", i)
		o.candidate(at, c)
		o.judged(at+".verify", p.problem().Verify(*c))
	}
	askBest(o, d, &p, r.Candidates)
}

// askBest asks what the other functions tell of candidates.
func askBest(o *out, d dice, p *problem, all []fitgeom.Candidate) {
	best := all[0]
	position, _ := best.Build.Position()
	o.position("best", position)
	if !best.Holds() || d.one(4) {
		explain(o, "explain", p, best)
		if last := all[len(all)-1]; d.one(2) && len(all) > 1 {
			explain(o, "explain.last", p, last)
		}
	}
	if d.one(3) {
		o.figures("figure", best.Build)
		for i, r := range rules.Rules() {
			f, err := r.Check(best.Build, rules.Rider{Height: 1850})
			o.value(fmt.Sprintf("rule%d", i), f.Value, err)
			o.floats(fmt.Sprintf("rule%d.bounds", i), r.Min, r.Max)
			o.floats(fmt.Sprintf("rule%d.beyond", i), f.By, f.OtherBy)
			o.flags(fmt.Sprintf("rule%d.kept", i), f.Kept, f.Known)
		}
	}
	if best.Holds() || d.one(4) {
		cov := d.covariance(p.target, d.in(0.05, 1))
		chance, err := p.problem().Chance(context.Background(), best, solve.Errors{Target: cov, Rounding: chart.Rounding{LengthStep: d.maybe(0.1, 2), AngleStep: d.maybe(0.05, 0.5)}})
		o.value("chance", chance, err)
	}
	if d.one(3) {
		basis := convert.Basis{SeatAngle: d.in(70, 76), BottomBracketHeight: d.in(255, 300)}
		var measures []convert.Measure
		if d.one(3) {
			measures = some(d, d.IntN(8), firstMeasures)
		}
		o.steps("setup", best, basis, measures)
	}
	tamper(o, d, p, best)
	brokenBuild(o, d, p.from)
}

func explain(o *out, key string, p *problem, c fitgeom.Candidate) {
	obstacles, err := p.problem().Explain(context.Background(), c)
	if !o.failed(key, err) {
		o.obstacles(key, &c.Build, obstacles)
	}
}

// tamper asks of a candidate that was changed by hand, and of one with a number
// that is bad.
func tamper(o *out, d dice, p *problem, c fitgeom.Candidate) {
	was, _ := c.Build.Position()
	switch d.IntN(7) {
	case 0:
		c.Build.Settings.SeatpostExtension += 10
	case 1:
		c.Deviations = slices.Clone(c.Deviations)
		c.Deviations[0].Off.X++
	case 2:
		c.Build.Settings.Spacers += 2.5
	case 3:
		c.Buy ^= part.Saddles
	case 4:
		c.Build.Saddle.Height++
	case 5:
		c.Build.Stem.Length++
	default:
		d.spoil(settingsFields(&c.Build.Settings))
	}
	o.judged("tampered", p.problem().Verify(c))
	all, err := c.Build.Margins()
	if !o.failed("tampered.margins", err) {
		o.margins("tampered.margin", all)
	}
	at, err := c.Build.Position()
	if !o.failed("tampered.position", err) {
		o.difference("tampered.moved", at.Sub(was))
	}
}

// brokenBuild asks of a build with up to three numbers that are bad.
func brokenBuild(o *out, d dice, b fitgeom.Build) {
	for range 1 + d.IntN(3) {
		switch d.IntN(8) {
		case 0:
			d.spoil(frameFields(&b.Frame))
		case 1:
			d.spoil(stanceFields(&b.Wheels))
		case 2:
			d.spoil(postFields(&b.Seatpost))
		case 3:
			d.spoil(saddleFields(&b.Saddle))
		case 4:
			d.spoil(barFields(&b.Handlebar))
		case 5:
			d.spoil(append(stemFields(&b.Stem), &b.Cap.Height, &b.Lever.Reach, &b.Crank.Length, &b.Pedal.FootOffset))
		case 6:
			b.Aero, b.Lever = pick(d, b.Aero, part.AeroBar{}), pick(d, b.Lever, part.Lever{})
			b.SeatpostShim, b.BarShim = pick(d, b.SeatpostShim, part.Shim{}), pick(d, b.BarShim, part.Shim{})
		default:
			d.spoil(settingsFields(&b.Settings))
		}
	}
	o.judged("broken", b.Validate())
	if all, err := b.Margins(); !o.failed("broken.margins", err) {
		o.margins("broken.margin", all)
	}
	if at, err := b.Position(); !o.failed("broken.position", err) {
		o.position("broken.at", at)
		o.judged("broken.sound", at.Validate())
	}
	o.figures("broken.figure", b)
}
