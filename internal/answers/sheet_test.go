package answers_test

import (
	"fmt"
	"math"
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert"
	"gonum.org/v1/gonum/spatial/r3"
)

// firstMeasures are those that there were when the answers were first written: draws go by
// how many there are.
var firstMeasures = convert.Measures()[:convert.FootHeight]

// rider draws a position that knows every site but a few. In half of the cases
// left and right mirror each other; in the others they are as far from the
// mid-plane as one another, or not even that.
func (d dice) rider() (p contact.Position, mirrored bool) {
	mirrored = d.one(2)
	crooked := !mirrored && d.one(2)
	wide := pick(d, 10.0, 30)
	aside := 0.
	if crooked {
		aside = 4
	}
	at := func(x, y, z float64) r3.Vec {
		return r3.Vec{X: x + d.in(-wide, wide), Y: y + d.in(-aside, aside), Z: z + d.in(-wide, wide)}
	}
	p.Set(contact.SaddleReference, at(-205, 0, 712))
	nose, rear := at(-60, 0, 710), at(-340, 0, 715)
	p.Set(contact.SaddleNose, nose)
	p.Set(contact.SaddleRear, rear)
	tilt := contact.Attitude{Tilt: math.Atan2(nose.Z-rear.Z, nose.X-rear.X) * 180 / math.Pi}
	if d.one(4) {
		tilt = contact.Attitude{Tilt: d.in(-6, 4), Yaw: d.in(-2, 2), Roll: d.in(-2, 2)}
	}
	p.SetAttitude(contact.SaddleReference, tilt)
	p.Set(contact.BarClamp, at(470, 0, 620))
	for _, hand := range []struct {
		left contact.Site
		at   r3.Vec
	}{
		{left: contact.TopsLeft, at: r3.Vec{X: 465, Y: 110, Z: 620}},
		{left: contact.HoodsLeft, at: r3.Vec{X: 580, Y: 205, Z: 640}},
		{left: contact.DropsLeft, at: r3.Vec{X: 500, Y: 215, Z: 510}},
		{left: contact.GripLeft, at: r3.Vec{X: 450, Y: 340, Z: 640}},
		{left: contact.PadLeft, at: r3.Vec{X: 390, Y: 95, Z: 660}},
		{left: contact.ExtensionLeft, at: r3.Vec{X: 690, Y: 55, Z: 680}},
		{left: contact.PedalLeft, at: r3.Vec{X: d.in(160, 180), Y: 73}},
		{left: contact.FootLeft, at: r3.Vec{X: d.in(160, 180), Y: 130, Z: d.in(8, 30)}},
	} {
		l, r := at(hand.at.X, hand.at.Y, hand.at.Z), at(hand.at.X, hand.at.Y, hand.at.Z)
		if hand.left >= contact.PedalLeft {
			l, r = hand.at, r3.Add(hand.at, r3.Vec{X: d.in(-3, 3)})
		}
		if mirrored {
			r = l
		} else if !crooked {
			r.Y = l.Y
		}
		r.Y = -r.Y
		p.Set(hand.left, l)
		p.Set(hand.left.On(contact.Right), r)
	}
	for _, s := range contact.Sites() {
		if d.one(12) {
			p.Forget(s)
		}
	}
	return p, mirrored
}

func (d dice) basis() convert.Basis {
	b := convert.Basis{SeatAngle: d.in(70, 78), BottomBracketHeight: d.in(250, 320), Side: contact.Side(d.IntN(3))}
	if d.one(12) {
		b.SeatAngle = 0
	}
	if d.one(12) {
		b.BottomBracketHeight = 0
	}
	return b
}

// lots is sites that are measured together.
var lots = [][]contact.Site{
	{contact.SaddleNose},
	{contact.SaddleNose, contact.SaddleRear},
	{contact.BarClamp},
	{contact.TopsLeft},
	{contact.HoodsLeft},
	{contact.DropsLeft},
	{contact.GripLeft},
	{contact.PadLeft, contact.ExtensionLeft},
	{contact.PedalLeft, contact.FootLeft},
}

// twofold is measures that leave two places for a site, on either side of a line.
var twofold = [][]convert.Measure{
	{convert.SaddleHeightVertical, convert.SaddleSetback, convert.SaddleSetbackNose, convert.SaddleStation},
	{convert.SaddleHeightVertical, convert.SaddleSetback, convert.SaddleHeightNose, convert.SaddleStation},
	{convert.SaddleHeightVertical, convert.SaddleSetback, convert.SaddleHeightNose, convert.SaddleSetbackNose, convert.ReachClamp, convert.ReachNoseClamp},
	{convert.SaddleHeight, convert.SaddleSetback, convert.SaddleHeightNose, convert.SaddleSetbackNose, convert.HoodsWidth, convert.ReachHoods, convert.ReachNoseHoods},
	{convert.SaddleHeight, convert.SaddleSetback, convert.SaddleHeightNose, convert.SaddleStation, convert.GripsWidth, convert.ReachGrips, convert.GripReach},
}

// sheet draws readings of a position of measures between a few sites, at some
// sides, with noise or without, and in one of six cases with a slip.
func (d dice) sheet(p contact.Position, b convert.Basis) []convert.Entry {
	about := []contact.Site{contact.SaddleReference}
	for range 1 + d.IntN(4) {
		about = append(about, pick(d, lots...)...)
	}
	var measures []convert.Measure
	for _, m := range firstMeasures {
		if !slices.ContainsFunc(m.Definition().Needs, func(s contact.Site) bool { return !slices.Contains(about, s) }) {
			measures = append(measures, m)
		}
	}
	if d.one(5) {
		measures = append(pick(d, twofold...), some(d, d.IntN(3), measures)...)
	} else if d.one(2) {
		measures = some(d, 1+d.IntN(len(measures)), measures)
	}
	shuffle(d, measures)
	var all []convert.Entry
	noise := pick(d, 0.0, 0.3, 1)
	for _, m := range measures {
		for _, side := range pick(d, []contact.Side{contact.Centre}, []contact.Side{contact.Centre}, []contact.Side{contact.Left, contact.Right}, []contact.Side{contact.Right}) {
			c := b
			c.Side = side
			s, err := convert.NewSheet(p, c, m)
			if err != nil {
				continue
			}
			e := s.Entries[0]
			e.Sigma = d.in(0.3, 2)
			e.Value += float64(noise * e.Sigma * d.NormFloat64())
			all = append(all, e)
		}
	}
	if len(all) > 0 && d.one(6) {
		all[d.IntN(len(all))].Value += pick(d, -10.0, 8, 25)
	}
	return all
}

// spoilSheet makes one reading bad.
func (d dice) spoilSheet(s []convert.Entry) {
	if len(s) == 0 {
		return
	}
	r := &s[d.IntN(len(s))]
	switch d.IntN(5) {
	case 0:
		r.Measure = 200
	case 1:
		r.Side = 7
	case 2:
		r.Sigma = d.bad(1)
	default:
		r.Value = d.bad(r.Value)
	}
}

// askSheet takes all measures of a random position, some of them with their
// uncertainties, and solves a sheet of it. One in seven is spoiled, in the
// position, the basis or the sheet.
func askSheet(o *out, d dice, i int) {
	p, mirrored := d.rider()
	b := d.basis()
	clean := p
	spoiled := d.one(7)
	if spoiled && d.one(2) {
		d.spoilPosition(&p)
	} else if spoiled && d.one(3) {
		d.spoil([]*float64{&b.SeatAngle, &b.BottomBracketHeight})
	}
	o.judged("position", p.Validate())
	o.judged("basis", b.Validate())
	for _, m := range firstMeasures {
		v, err := m.Of(p, b)
		o.value(fmt.Sprintf("of.%d", int(m)-1), v, err)
	}
	o.definition(d)
	o.slopes(d, p, b)
	cov := d.covariance(p, d.in(0.2, 2))
	lot := some(d, 1+d.IntN(12), firstMeasures)
	if s, err := convert.NewSheetWithSigma(p, cov, b, lot...); !o.failed("measured", err) {
		for _, r := range s.Entries {
			o.floats(fmt.Sprintf("measured.%d", int(r.Measure)-1), r.Value, r.Sigma)
		}
	}
	if s, err := convert.NewSheet(p, b, lot[0], convert.CrankLength); !o.failed("appended", err) {
		v, ok := s.Value(convert.CrankLength)
		o.known("appended", v, ok)
	}
	o.moved(d, clean, cov)
	s := d.sheet(clean, convert.Basis{SeatAngle: 73.5, BottomBracketHeight: 268})
	if spoiled {
		d.spoilSheet(s)
	}
	o.solution("solved", s, convert.Basis{SeatAngle: 73.5, BottomBracketHeight: 268}, mirrored && d.one(2))
}

// definition prints what a measure needs.
func (o *out) definition(d dice) {
	m := pick(d, firstMeasures...)
	k := m.Definition()
	key := fmt.Sprintf("definition.%d", int(m)-1)
	var needs []int
	for _, s := range k.Needs {
		needs = append(needs, int(s)-1)
	}
	o.ints(key, needs...)
	o.flags(key+".also", k.Tilt, k.SeatAngle, k.Ground, k.Pair)
}

// slopes prints the slopes of a few measures, and how their errors hang together.
func (o *out) slopes(d dice, p contact.Position, b convert.Basis) {
	var last []contact.Derivative
	cov := d.covariance(p, 1)
	for _, m := range some(d, 3, firstMeasures) {
		all, err := m.Gradient(p, b)
		key := fmt.Sprintf("slope.%d", int(m)-1)
		if o.failed(key, err) {
			continue
		}
		for _, s := range all {
			o.floats(fmt.Sprintf("%s.%s.%d", key, s.Coordinate.Site, int(s.Coordinate.Axis)), s.By)
		}
		v, err := cov.Between(all, all)
		o.value(key+".variance", v, err)
		if last != nil {
			v, err = cov.Between(all, last)
			o.value(key+".between", v, err)
		}
		last = all
	}
}

// moved judges how a position differs from another one, and from its mirror.
func (o *out) moved(d dice, p contact.Position, cov contact.Covariance) {
	q := p
	for s, v := range p.All() {
		if d.one(3) {
			q.Set(s, r3.Add(v, d.about(3)))
		}
	}
	if a, ok := p.Attitude(contact.SaddleReference); ok {
		a.Tilt += 2 * d.NormFloat64()
		q.SetAttitude(contact.SaddleReference, a)
	}
	o.difference("moved", q.Sub(p))
	o.difference("mirrored", p.Mirror().Sub(p))
	twice := cov.Add(d.covariance(q, 1))
	coverage := pick(d, 0.95, 0.99, 0.5, d.bad(1))
	moves, turns, err := q.Sub(p).Judge(twice, coverage)
	if !o.failed("judged", err) {
		o.judgement("judged", moves, turns)
	}
}

// solution prints the position that a sheet stands for, and what else is told of it.
func (o *out) solution(key string, s []convert.Entry, b convert.Basis, mirrored bool) {
	o.ints(key+".readings", len(s))
	b.Mirrored = mirrored
	got, err := convert.Sheet{Entries: s, Basis: b}.Solve()
	if o.failed(key, err) {
		return
	}
	o.position(key+".at", got.Position)
	o.covariance(key+".sigma", got.Covariance)
	o.ints(key+".others", len(got.Others))
	for i, p := range got.Others {
		o.difference(fmt.Sprintf("%s.other%d", key, i), p.Sub(got.Position))
	}
	o.ints(key+".free", len(got.Free))
	o.freedoms(key, got.Free)
	o.checks(key, got.Checks, got.Chi2, got.Redundant, got.Consistent, got.Suspects)
}

// freedoms prints what a sheet leaves free. Which ways there are and in what order may
// hang on rounding, but not which coordinates are free in one of them.
func (o *out) freedoms(key string, all []convert.Freedom) {
	var free []int
	for i, f := range all {
		var these, settle []int
		for _, c := range f.Coordinates {
			these = append(these, 10*(int(c.Site)-1)+int(c.Axis))
		}
		for _, a := range f.Settle {
			if a.Measure <= firstMeasures[len(firstMeasures)-1] {
				settle = append(settle, int(a.Measure)-1, int(a.Side))
			}
		}
		if !o.coarse {
			o.ints(fmt.Sprintf("%s.free%d", key, i), these...)
			o.ints(fmt.Sprintf("%s.settle%d", key, i), settle...)
		}
		free = append(free, these...)
	}
	slices.Sort(free)
	o.ints(key+".free.all", slices.Compact(free)...)
}

// checks prints how readings compare with one another.
func (o *out) checks(key string, all []convert.Check, chi2 float64, redundant int, consistent bool, suspects []contact.Suspect) {
	for i, c := range all {
		o.floats(fmt.Sprintf("%s.check%d", key, i), c.Off, c.Against, c.Sigma)
		o.flags(fmt.Sprintf("%s.checked%d", key, i), c.Checked)
	}
	o.floats(key+".chi2", chi2)
	o.ints(key+".redundant", redundant)
	o.flags(key+".consistent", consistent)
	o.ints(key+".suspects", len(suspects))
	for _, s := range suspects {
		o.ints(key+".suspect", s.Reading, s.Contradiction, len(s.Slips))
		o.floats(key+".suspect.against", s.Against, s.Sigma)
		for _, c := range s.Slips {
			o.words(key+".slip", c.String())
		}
	}
}
