package answers_test

import (
	"fmt"
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"gonum.org/v1/gonum/spatial/r3"
)

// onTape draws a position on the mid-plane, left and right as far from it, as a
// tape survey supposes.
func (d dice) onTape() contact.Position {
	at := func(x, y, z float64) r3.Vec { return r3.Vec{X: x + d.in(-25, 25), Y: y, Z: z + d.in(-25, 25)} }
	var p contact.Position
	nose, rear := at(-66, 0, 714), at(-340, 0, 722)
	p.Set(contact.SaddleReference, at(-210, 0, 715))
	p.Set(contact.SaddleNose, nose)
	p.Set(contact.SaddleRear, rear)
	p.SetAttitude(contact.SaddleReference, contact.Attitude{Tilt: math.Atan2(nose.Z-rear.Z, nose.X-rear.X) * 180 / math.Pi})
	p.Set(contact.BarClamp, at(471, 0, 633))
	for _, s := range []contact.Site{contact.HoodsLeft, contact.GripLeft, contact.PadLeft} {
		v := at(540, 205, 655)
		p.Set(s, v)
		p.Set(s.On(contact.Right), r3.Vec{X: v.X, Y: -v.Y, Z: v.Z})
	}
	x := d.step(160, 180, 2.5)
	p.Set(contact.PedalLeft, r3.Vec{X: x, Y: 74})
	p.Set(contact.PedalRight, r3.Vec{X: x, Y: -74})
	return p
}

// tape reads a distance off a position on ground that slopes, with noise.
func (d dice) tape(p contact.Position, kind survey.TapeKind, from, to survey.Landmark, noseUp, noise float64) survey.TapeReading {
	find := func(l survey.Landmark) r3.Vec {
		switch l {
		case survey.BottomBracket:
			return r3.Vec{}
		case survey.Ground:
			sin, cos := degrees(noseUp)
			return r3.Scale(-268, r3.Vec{X: sin, Z: cos})
		}
		for s, v := range p.All() {
			if survey.At(s) == l {
				return v
			}
		}
		return r3.Vec{}
	}
	v := r3.Rotate(r3.Sub(find(to), find(from)), -noseUp*math.Pi/180, r3.Vec{Y: 1})
	r := survey.TapeReading{Kind: kind, From: from, To: to, Sigma: d.in(0.5, 2)}
	switch kind {
	case survey.Direct:
		r.Value = r3.Norm(v)
	case survey.Horizontal:
		r.Value = v.X
	case survey.Vertical:
		r.Value = v.Z
	case survey.Lateral:
		r.Value = v.Y
	case survey.Tilt:
		a, _ := p.Attitude(contact.SaddleReference)
		r.Value, r.Sigma = a.Tilt+noseUp, 0.2
	}
	r.Value += float64(noise * r.Sigma * d.NormFloat64())
	return r
}

// tapeSurvey draws what was noted down: plumb lines, heights over the floor and
// straight distances, mostly more than enough. One in six has a slip.
func (d dice) tapeSurvey(p contact.Position) survey.TapeSurvey {
	bb, ground := survey.BottomBracket, survey.Ground
	ref, nose, rear := survey.At(contact.SaddleReference), survey.At(contact.SaddleNose), survey.At(contact.SaddleRear)
	clamp := survey.At(contact.BarClamp)
	hand := pick(d, contact.HoodsLeft, contact.GripLeft, contact.PadLeft)
	left, right := survey.At(hand), survey.At(hand.On(contact.Right))
	pedalLeft, pedalRight := survey.At(contact.PedalLeft), survey.At(contact.PedalRight)
	t := survey.TapeSurvey{NoseUp: pick(d, 0, 0, d.in(-2, 2)), NoseUpSigma: d.maybe(0.05, 0.3)}
	noise := pick(d, 0, 0.3, 1)
	keep := pick(d, 1000, 1000, 1000, 15)
	for _, r := range []struct {
		kind     survey.TapeKind
		from, to survey.Landmark
	}{
		{kind: survey.Vertical, from: ground, to: bb},
		{kind: survey.Horizontal, from: nose, to: bb},
		{kind: survey.Vertical, from: ground, to: nose},
		{kind: survey.Direct, from: bb, to: ref},
		{kind: survey.Horizontal, from: ref, to: nose},
		{kind: survey.Vertical, from: bb, to: ref},
		{kind: survey.Direct, from: nose, to: rear},
		{kind: survey.Tilt},
		{kind: survey.Direct, from: nose, to: clamp},
		{kind: survey.Vertical, from: ground, to: clamp},
		{kind: survey.Direct, from: nose, to: left},
		{kind: survey.Direct, from: nose, to: right},
		{kind: survey.Vertical, from: clamp, to: left},
		{kind: survey.Vertical, from: ground, to: right},
		{kind: survey.Lateral, from: right, to: left},
		{kind: survey.Lateral, from: bb, to: left},
		{kind: survey.Horizontal, from: bb, to: pedalLeft},
		{kind: survey.Horizontal, from: bb, to: pedalRight},
		{kind: survey.Lateral, from: pedalRight, to: pedalLeft},
		{kind: survey.Horizontal, from: bb, to: clamp},
	} {
		if d.one(keep) {
			continue
		}
		t.Readings = append(t.Readings, d.tape(p, r.kind, r.from, r.to, t.NoseUp, noise))
	}
	if d.one(8) { // too few
		t.Readings = some(d, 7, t.Readings)
	}
	if d.one(6) {
		t.Readings[d.IntN(len(t.Readings))].Value += pick(d, -30.0, 12, 100)
	}
	return t
}

// spoilTape makes something of a survey by tape bad.
func (d dice) spoilTape(t *survey.TapeSurvey) {
	r := &t.Readings[d.IntN(len(t.Readings))]
	switch d.IntN(7) {
	case 0:
		r.Kind = survey.TapeKind(1 + d.IntN(8))
	case 1:
		r.From = pick(d, "nowhere", r.To, survey.Ground)
	case 2:
		d.spoil([]*float64{&t.NoseUp, &t.NoseUpSigma})
	case 3:
		t.Readings = nil
	case 4:
		r.Sigma = d.bad(r.Sigma)
	default:
		r.Value = d.bad(r.Value)
	}
}

// askTape solves a random survey by tape, compares it with a second one, and asks
// for the uncertainties of random instruments. One in seven is spoiled.
func askTape(o *out, d dice, _ int) {
	p := d.onTape()
	t := d.tapeSurvey(p)
	if d.one(7) {
		d.spoilTape(&t)
	}
	o.judged("sound", t.Validate())
	before, err := t.Solve()
	if !o.failed("solved", err) {
		o.fix("solved", before)
		q := p
		for s, v := range p.All() {
			if s < contact.PedalLeft && s.Side() == contact.Centre {
				q.Set(s, r3.Add(v, r3.Vec{X: d.in(-5, 5), Z: d.in(-5, 5)}))
			}
		}
		after, err := d.tapeSurvey(q).Solve()
		if !o.failed("after", err) {
			moves, turns, err := survey.Compare(before, after, 0.95)
			if !o.failed("compared", err) {
				o.judgement("compared", moves, turns)
			}
		}
		_, err = before.Locate([]survey.Reading{{Landmark: survey.At(contact.BarClamp), At: r3.Vec{X: 470, Z: 630}}})
		o.judged("located", err)
	}
	o.instruments(d)
}

// instruments prints the uncertainties of random instruments and readings.
func (o *out) instruments(d dice) {
	var parts []survey.Uncertainty
	add := func(key string, u survey.Uncertainty, err error) {
		if !o.failed(key, err) {
			o.floats(key, u.Standard, u.Freedom)
			parts = append(parts, u)
		}
	}
	u, err := survey.Tape(pick(d, survey.ClassI, survey.ClassII, survey.ClassIII, survey.TapeClass(d.IntN(5))), d.wild(0, 6000), d.one(2))
	add("tape", u, err)
	u, err = survey.Level(d.wild(0, 100))
	add("level", u, err)
	u, err = survey.Limits(math.Abs(d.in(-2, 2)))
	add("limits", u, err)
	var values []float64
	for range d.IntN(7) {
		values = append(values, d.in(700, 702))
	}
	if len(values) > 0 && d.one(5) {
		values[0] = d.bad(700)
	}
	mean, u, err := survey.Repeated(values...)
	o.value("repeated.mean", mean, err)
	add("repeated", u, err)
	add("own", survey.Uncertainty{Standard: d.in(0, 2), Freedom: d.maybe(0.5, 30)}, nil)
	sum, err := survey.Combine(parts...)
	if !o.failed("sum", err) {
		o.floats("sum", sum.Standard, sum.Freedom)
	}
	for i, part := range append(parts, sum) {
		v, err := part.Expanded(pick(d, 0.5, 0.9, 0.95, 0.99, d.bad(1)))
		o.value(fmt.Sprintf("expanded%d", i), v, err)
	}
}
