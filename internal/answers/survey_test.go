package answers_test

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"gonum.org/v1/gonum/spatial/r3"
)

// A mark is where a landmark is on a bike, in the bike's own axes.
type mark struct {
	name survey.Landmark
	at   r3.Vec
	// site says that it is a contact site, turns that it turns with the front wheel.
	site, turns bool
}

// A bike is the landmarks of an invented bike, and where its steering axis is.
type bike struct {
	marks       []mark
	foot, up    r3.Vec
	front, rear float64 // radii
}

// bike draws a bike with a rider's contact points. One in two has its head tube
// read, some have marks, and some lack a few contact points.
func (d dice) bike() bike {
	b := bike{front: d.in(330, 350), rear: d.in(330, 350)}
	drop := d.in(50, 80)
	rear := r3.Vec{X: -d.in(395, 430), Z: drop}
	front := r3.Vec{X: d.in(570, 640), Z: drop + b.front - b.rear}
	sin, cos := degrees(d.in(67, 75))
	b.up = r3.Vec{X: -cos, Z: sin}
	b.foot = r3.Sub(front, r3.Scale(d.in(38, 52), r3.Vec{X: sin, Z: cos}))
	pair := func(left, right survey.Landmark, at r3.Vec, y float64) {
		turns := left == survey.FrontAxleLeft || left == survey.FrontDropoutLeft || left == survey.FrontRimLeft
		at.Y = y
		b.marks = append(b.marks, mark{name: left, at: r3.Add(at, d.about(0.2)), turns: turns})
		at.Y = -y
		b.marks = append(b.marks, mark{name: right, at: r3.Add(at, d.about(0.2)), turns: turns})
	}
	pair(survey.BottomBracketLeft, survey.BottomBracketRight, r3.Vec{}, 45)
	pair(survey.RearAxleLeft, survey.RearAxleRight, rear, 70)
	pair(survey.FrontAxleLeft, survey.FrontAxleRight, front, 52)
	if d.one(2) {
		pair(survey.HeadTubeTopLeft, survey.HeadTubeTopRight, r3.Add(b.foot, r3.Scale(530, b.up)), 18)
		pair(survey.HeadTubeBottomLeft, survey.HeadTubeBottomRight, r3.Add(b.foot, r3.Scale(390, b.up)), 20)
	}
	if d.one(3) {
		pair(survey.RearDropoutLeft, survey.RearDropoutRight, rear, 65)
		pair(survey.FrontDropoutLeft, survey.FrontDropoutRight, front, 47)
	}
	if d.one(3) {
		pair(survey.RearRimLeft, survey.RearRimRight, r3.Add(rear, r3.Vec{X: -200, Z: 220}), 13)
		pair(survey.FrontRimLeft, survey.FrontRimRight, r3.Add(front, r3.Vec{X: 290, Z: 60}), 12)
	}
	if d.one(2) {
		pair(survey.Mark("seat_tube_left"), survey.Mark("seat_tube_right"), r3.Vec{X: -100, Z: 330}, 15)
	}
	for i := range d.IntN(4) {
		b.marks = append(b.marks, mark{name: survey.Mark(fmt.Sprintf("scratch %d", i)), at: r3.Vec{X: d.in(-200, 300), Y: d.in(-20, 20), Z: d.in(80, 450)}})
	}
	p, _ := d.rider()
	turn := d.in(0, 6)
	for s, v := range p.All() {
		switch {
		case s >= contact.FootLeft:
			continue
		case s >= contact.PedalLeft: // at any angle of the crank
			c, h := math.Cos(turn)*v.X, math.Sin(turn)*v.X
			if s == contact.PedalRight {
				c, h = -c, -h
			}
			v = r3.Vec{X: c, Y: v.Y, Z: h}
		case s == contact.SaddleReference && d.one(2):
			pair(survey.SaddleEdgeLeft, survey.SaddleEdgeRight, v, 40)
			continue
		}
		b.marks = append(b.marks, mark{name: survey.At(s), at: v, site: true, turns: s >= contact.BarClamp && s < contact.PedalLeft})
	}
	return b
}

// turned is the bike with its front wheel turned to the left.
func (b bike) turned(deg float64) []mark {
	all := slices.Clone(b.marks)
	for i, m := range all {
		if m.turns {
			all[i].at = r3.Add(b.foot, r3.Rotate(r3.Sub(m.at, b.foot), deg*math.Pi/180, b.up))
		}
	}
	return all
}

// A place is where an instrument stands, and which way its axes point.
type place struct {
	turn r3.Rotation
	at   r3.Vec
}

func (d dice) place() place {
	axis := r3.Add(d.about(1), r3.Vec{Z: 1e-3})
	return place{turn: r3.NewRotation(d.in(0, 2*math.Pi), axis), at: d.about(1500)}
}

func (p place) see(v r3.Vec) r3.Vec { return r3.Add(p.turn.Rotate(v), p.at) }

// readings reads landmarks so many times, with noise, in a unit of so many mm.
func (d dice) readings(all []mark, from place, times int, noise, unit float64) []survey.Reading {
	var got []survey.Reading
	for range times {
		for _, m := range all {
			got = append(got, survey.Reading{Landmark: m.name, At: r3.Scale(1/unit, r3.Add(from.see(m.at), d.about(noise)))})
		}
	}
	return got
}

// survey draws a survey of a bike: in any unit, with uncertainties of any kind, level
// by its tyres or by gravity. One in four has slips.
func (d dice) survey(b bike, all []mark, from place) survey.Survey {
	noise := pick(d, 0, 0.1, 0.3, 0.8)
	k := d.IntN(4)
	unit := [...]float64{1, 10, 1000, 25.4}[k]
	s := survey.Survey{
		Readings: d.readings(all, from, 1+d.IntN(4), noise, unit), Unit: [...]survey.Unit{survey.Millimetre, survey.Centimetre, survey.Metre, survey.Inch}[k],
		FrontRadius: b.front + d.NormFloat64(), RearRadius: b.rear + d.NormFloat64(), RadiusSigma: d.maybe(0.5, 3),
	}
	sigma := max(noise, 0.1) * d.in(0.8, 1.4) / unit
	if d.one(3) {
		for i := range s.Covariance {
			s.Covariance[i][i] = sigma * sigma
			for j := range i {
				v := 0.3 * sigma * sigma
				s.Covariance[i][j], s.Covariance[j][i] = v, v
			}
		}
	} else {
		s.Sigma = r3.Scale(sigma, r3.Vec{X: 1, Y: d.in(0.7, 1.3), Z: d.in(0.7, 1.3)})
	}
	if !d.one(3) {
		s.Up, s.UpSigma = r3.Add(from.turn.Rotate(r3.Vec{Z: d.in(0.5, 2)}), d.about(0.002)), d.maybe(0.05, 0.5)
		if d.one(4) {
			s.FrontRadius, s.RearRadius = 0, 0
		}
	}
	if d.one(3) {
		for _, l := range []survey.Landmark{survey.RearAxleLeft, survey.FrontAxleLeft, survey.BottomBracketLeft} {
			s.Trueness = append(s.Trueness, survey.Trueness{Pair: l, Sigma: d.maybe(0.1, 1), Counts: pick(d, survey.CountsAsUsual, survey.CountsBoth)})
		}
	}
	if d.one(4) {
		for range 1 + d.IntN(2) {
			r := &s.Readings[d.IntN(len(s.Readings))]
			r.At = r3.Add(r.At, r3.Scale(pick(d, 3.0, 8, 50)/unit, r3.Unit(r3.Add(d.about(1), r3.Vec{X: 1e-3}))))
		}
	}
	return s
}

// spoilSurvey makes something of a survey bad.
func (d dice) spoilSurvey(s *survey.Survey) {
	r := &s.Readings[d.IntN(len(s.Readings))]
	switch d.IntN(10) {
	case 0:
		d.spoil(vecFields(&r.At))
	case 1:
		r.Landmark = pick(d, "nowhere", survey.Ground, survey.At(contact.FootLeft), survey.Mark(""))
	case 2:
		d.spoil(vecFields(&s.Sigma))
	case 3:
		d.spoil([]*float64{&s.FrontRadius, &s.RearRadius, &s.RadiusSigma, &s.UpSigma})
	case 4:
		d.spoil(vecFields(&s.Up))
	case 5:
		s.Unit = survey.Unit(d.IntN(6))
	case 6:
		s.Covariance[0][1] = d.bad(1)
	case 7: // a mirror image
		for i := range s.Readings {
			s.Readings[i].At.X *= -1
		}
	case 8: // a landmark that no reading has
		s.Readings = slices.DeleteFunc(s.Readings, func(r survey.Reading) bool { return r.Landmark == s.Readings[0].Landmark })
	default:
		s.Readings[0].Landmark, s.Readings[1].Landmark = s.Readings[1].Landmark, s.Readings[0].Landmark
	}
}

// askSurvey solves a random survey of a random bike, a second one after some things
// were moved, and compares the two. One in seven is spoiled.
func askSurvey(o *out, d dice, _ int) {
	b := d.bike()
	from := d.place()
	steer := pick(d, 0, 0, d.in(-12, 12))
	s := d.survey(b, b.turned(steer), from)
	if d.one(7) {
		d.spoilSurvey(&s)
	}
	o.judged("sound", s.Validate())
	before, err := s.Solve()
	if o.failed("solved", err) {
		return
	}
	o.fix("solved", before)
	for _, m := range b.marks {
		if at, sigma, ok := before.Mark(m.name); ok {
			o.vec("mark."+strings.ReplaceAll(string(m.name), " ", "_"), at)
			o.vec("mark.sigma", sigma)
		}
	}
	moved := b
	moved.marks = slices.Clone(b.marks)
	for i := range moved.marks {
		if moved.marks[i].site && d.one(3) {
			moved.marks[i].at = r3.Add(moved.marks[i].at, d.about(pick(d, 0.3, 2, 8)))
		}
	}
	coverage := pick(d, 0.9, 0.95, 0.99)
	other := d.place()
	t := d.survey(b, moved.turned(d.in(-3, 3)), other)
	after, err := t.Solve()
	if !o.failed("after", err) {
		o.vec("after.steer", r3.Vec{X: after.Steer, Y: after.SteerSigma})
		moves, turns, err := survey.Compare(before, after, coverage)
		if !o.failed("compared", err) {
			o.judgement("compared", moves, turns)
		}
	}
	unit := [...]float64{1, 10, 1000, 25.4}[int(s.Unit)%4]
	again, err := before.Locate(d.readings(moved.turned(steer), from, 1+d.IntN(3), 0.2, unit))
	if !o.failed("located", err) {
		o.position("located", again.Position)
		moves, turns, err := survey.Compare(before, again, coverage)
		if !o.failed("located.compared", err) {
			o.judgement("located.compared", moves, turns)
		}
	}
	o.registered(d, s, t, other)
}

// registered carries the axes of one survey onto those of another, and a few points
// onto points that are not quite theirs.
func (o *out) registered(d dice, s, t survey.Survey, other place) {
	r, err := survey.Register(s, t)
	if !o.failed("registered", err) {
		o.vec("registered.at", r.Motion.Apply(r3.Vec{X: 100, Y: 20, Z: 300}))
		o.vec("registered.turn", r.Motion.Turn(r3.Vec{Z: 1}))
		c := r.Covariance(other.at)
		o.floats("registered.covariance", c[0][0], c[0][1], c[0][2], c[1][1], c[1][2], c[2][2])
		o.ints("registered.moved", len(r.Moved))
		for _, m := range r.Moved {
			o.names("registered.moved.each", string(m))
		}
		o.residuals("registered.off", r.Residuals)
	}
	n := 2 + d.IntN(6)
	var to, these []r3.Vec
	for range n {
		v := d.about(300)
		these, to = append(these, v), append(to, r3.Add(other.see(v), d.about(pick(d, 0, 1, 20.0))))
	}
	if d.one(7) {
		d.spoil(vecFields(&these[0]))
	}
	m, off, err := survey.FitMotion(these, to)
	if !o.failed("motion", err) {
		o.vec("motion.off", off[0])
		o.vec("motion.back", m.Inverse().Apply(r3.Vec{X: 100, Y: 20, Z: 300}))
		o.vec("motion.at", m.Apply(r3.Vec{X: 100, Y: 20, Z: 300}))
		o.vec("motion.x", m.Turn(r3.Vec{X: 1}))
		o.vec("motion.y", m.Turn(r3.Vec{Y: 1}))
	}
}

// fix prints all that a survey came to.
func (o *out) fix(key string, f survey.Fix) {
	o.position(key+".at", f.Position)
	o.covariance(key+".sigma", f.Covariance)
	o.floats(key+".steer", f.Steer, f.SteerSigma)
	for i, g := range f.Findings {
		at := fmt.Sprintf("%s.finding%d", key, i)
		o.ints(at, int(g.Kind)-1, g.Reading)
		o.names(at+".landmark", string(g.Landmark))
		o.floats(at+".amount", g.Amount)
		for _, l := range g.Others {
			o.names(at+".other", string(l))
		}
	}
	o.residuals(key+".residual", f.Residuals)
	if s, ok := f.Standing(); ok {
		o.floats(key+".stands", s.Lean, s.LeanSigma, s.NoseUp, s.NoseUpSigma, s.RaiseFront-s.RaiseRear)
	}
}

func (o *out) residuals(key string, all []survey.Residual) {
	for _, r := range all {
		at := key + "." + strings.ReplaceAll(string(r.Landmark), " ", "_")
		o.vec(at, r.Off)
		o.vec(at+".sigma", r.Sigma)
	}
}
