package answers_test

import (
	"fmt"
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom/part"
)

// dimensions returns what a chart could state of a geometry, by completing an exact
// chart of it, and invented numbers for what a side view does not tell.
func (d dice) dimensions(g chart.Geometry, height float64) []chart.Entry {
	c := chart.Chart{Rounding: chart.Rounding{LengthStep: 1e-3, AngleStep: 1e-3}, SeatAngleHeight: height, Entries: []chart.Entry{
		{Dimension: chart.Stack, Value: g.Stack},
		{Dimension: chart.Reach, Value: g.Reach},
		{Dimension: chart.HeadAngle, Value: g.HeadAngle},
		{Dimension: chart.SeatAngle, Value: g.SeatAngle},
		{Dimension: chart.SeatOffset, Value: g.SeatOffset},
		{Dimension: chart.LowerHeadset, Value: d.in(2, 15)},
		{Dimension: chart.AxleToCrown, Value: d.in(365, 410)},
		{Dimension: chart.SeatTubeTop, Value: d.in(430, 580)},
		{Dimension: chart.SeatTubeCentre, Value: d.in(400, 420)},
		{Dimension: chart.TopTube, Value: d.in(520, 590)},
		{Dimension: chart.Standover, Value: d.in(740, 820)},
	}}
	if a := g.Axles; a != (chart.Axles{}) {
		c.Entries = append(c.Entries,
			chart.Entry{Dimension: chart.Chainstay, Value: a.Chainstay},
			chart.Entry{Dimension: chart.Drop, Value: a.Drop},
			chart.Entry{Dimension: chart.ForkOffset, Value: a.ForkOffset},
			chart.Entry{Dimension: chart.FrontRadius, Value: a.FrontRadius},
			chart.Entry{Dimension: chart.RearRadius, Value: a.RearRadius})
	}
	done, err := c.Solve()
	if err != nil {
		return c.Entries
	}
	var all []chart.Entry
	for _, k := range done.Values {
		all = append(all, chart.Entry{Dimension: k.Dimension, Value: k.Value})
	}
	return all
}

// chart draws a chart: some dimensions of a geometry, rounded, in any order. In one
// of five cases a number is misprinted.
func (d dice) chart(g chart.Geometry) chart.Chart {
	c := chart.Chart{Rounding: chart.Rounding{LengthStep: pick(d, 1.0, 0.5, 5), AngleStep: pick(d, 0.1, 0.25, 0.5)}, SeatAngleHeight: pick(d, 0, 650, 720.0)}
	all := d.dimensions(g, c.SeatAngleHeight)
	shuffle(d, all)
	for _, s := range all[:1+d.IntN(len(all))] {
		step := c.LengthStep
		if s.Dimension.Unit() == "degrees" {
			step = c.AngleStep
		}
		if d.one(10) {
			s.Step = pick(d, 0.1, 2)
			step = s.Step
		}
		s.Value = rounded(s.Value, step)
		c.Entries = append(c.Entries, s)
	}
	if d.one(5) {
		s := &c.Entries[d.IntN(len(c.Entries))]
		s.Value += pick(d, -10.0, 3, 20)
		if s.Dimension.Unit() == "degrees" {
			s.Value += pick(d, 9.0, -3, -19)
		}
	}
	c.EqualWheels = g.Axles.FrontRadius == g.Axles.RearRadius && d.one(2)
	c.SeatTubeCentred = g.SeatOffset == 0 && d.one(2)
	return c
}

// spoilChart makes one number of a chart bad, or states one twice.
func (d dice) spoilChart(c *chart.Chart) {
	switch d.IntN(6) {
	case 0:
		d.spoil([]*float64{&c.LengthStep, &c.AngleStep, &c.SeatAngleHeight})
	case 1:
		c.Entries = append(c.Entries, chart.Entry{Dimension: c.Entries[0].Dimension, Value: c.Entries[0].Value + pick(d, 0, 1.0)})
	case 2:
		c.Entries[0].Dimension = 99
	case 3:
		c.Entries = nil
	default:
		d.spoil([]*float64{&c.Entries[0].Value, &c.Entries[0].Step})
	}
}

// askChart completes a random chart, asks a geometry for all it tells, puts it on
// other wheels, and asks the functions of single numbers. One in seven is spoiled,
// in the chart and in the geometry.
func askChart(o *out, d dice, _ int) {
	g := d.geometry(kind(d.IntN(int(kinds))))
	c := d.chart(g)
	spoiled := d.one(7)
	if spoiled {
		d.spoilChart(&c)
	}
	o.judged("chart", c.Validate())
	o.completion("done", c)
	if spoiled {
		d.spoil(geometryFields(&g))
	}
	o.geometry("geometry", g)
	w := chart.Wheels{FrontRadius: d.in(280, 390), RearRadius: d.in(280, 390)}
	on, err := g.OnWheels(w)
	if !o.failed("wheels", err) {
		pitch, _ := g.Pitch(w)
		o.floats("wheels.pitch", pitch)
		o.geometry("wheels", on)
	}
	o.scalars(d)
	o.inverses(d)
	o.tyres(d)
}

func (o *out) completion(key string, c chart.Chart) {
	o.ints(key+".stated", len(c.Entries))
	done, err := c.Solve()
	if o.failed(key, err) {
		return
	}
	for _, k := range done.Values {
		o.floats(fmt.Sprintf("%s.%d", key, int(k.Dimension)-1), k.Value, k.Sigma)
	}
	o.checks(key, done.Checks, done.Chi2, done.Redundant, done.Consistent, done.Suspects)
	o.ints(key+".gaps", len(done.Free))
	var open []int
	for i, g := range done.Free {
		if !o.coarse { // the ways may hang on rounding, but not all that is open
			o.ints(fmt.Sprintf("%s.gap%d", key, i), numbers(g.Dimensions)...)
			o.ints(fmt.Sprintf("%s.settle%d", key, i), numbers(g.Settle)...)
		}
		open = append(open, numbers(g.Dimensions)...)
	}
	slices.Sort(open)
	o.ints(key+".open", slices.Compact(open)...)
	v, sigma, ok := done.Get(chart.Trail)
	o.known(key+".trail", v, ok)
	o.known(key+".trail.sigma", sigma, ok)
	g, ok := done.Geometry()
	o.flags(key+".whole", ok)
	if ok {
		o.geometry(key+".geometry", g)
	}
}

// geometry prints a geometry and what follows from it.
func (o *out) geometry(key string, g chart.Geometry) {
	o.floats(key, g.Stack, g.Reach, g.HeadAngle, g.SeatAngle, g.SeatOffset)
	o.floats(key+".axles", g.Axles.Chainstay, g.Axles.Drop, g.Axles.ForkOffset, g.Axles.FrontRadius, g.Axles.RearRadius)
	if err := g.Validate(); err != nil {
		o.judged(key+".sound", err)
		return // what follows promises nothing then
	}
	o.floats(key+".top_tube", g.EffectiveTopTube())
	o.vec(key+".head_top", g.HeadTop())
	o.vec(key+".steerer_up", g.SteererUp())
	o.vec(key+".seat_up", g.SeatUp())
	o.vec(key+".seat_foot", g.SeatFoot())
	front, ok := g.FrontAxle()
	rear, _ := g.RearAxle()
	o.flags(key+".stated", ok)
	if ok {
		o.vec(key+".front", front)
		o.vec(key+".rear", rear)
	}
	v, ok := g.BottomBracketHeight()
	o.known(key+".height", v, ok)
	v, ok = g.SteererToAxle()
	o.known(key+".steerer", v, ok)
	v, ok = g.Trail()
	o.known(key+".trail", v, ok)
	v, ok = g.Wheelbase()
	o.known(key+".wheelbase", v, ok)
}

// wild returns a number in a range, or in one of five cases one that may be beyond it.
func (d dice) wild(lo, hi float64) float64 {
	v := d.in(lo, hi)
	if d.one(5) {
		return d.bad(v)
	}
	return v
}

// numbers is dimensions as they were counted once, from 0.
func numbers(all []chart.Dimension) []int {
	var n []int
	for _, k := range all {
		n = append(n, int(k)-1)
	}
	return n
}

// scalars prints what single numbers make of random ones.
func (o *out) scalars(d dice) {
	v, err := chart.Steering{HeadAngle: d.wild(50, 90), ForkOffset: d.wild(-100, 120), Radius: d.wild(100, 450)}.Trail()
	o.value("trail", v, err)
	g := chart.Geometry{Stack: d.wild(300, 800), Reach: d.wild(200, 600), SeatAngle: d.wild(50, 90), HeadAngle: 72}
	o.value("top_tube", g.EffectiveTopTube(), g.Validate())
	seatAngle, height := d.wild(50, 90), d.wild(100, 1200)
	p, err := chart.SeatPointAt(height, seatAngle)
	o.value("setback", p.Setback, err)
	d.wild(100, 1000) // widths of bars were functions once
	d.wild(15, 50)
	length, headAngle, angle := d.wild(0, 250), d.wild(50, 90), d.wild(-60, 60)
	carried, err := part.Stem{Length: length, Angle: angle}.Offset(headAngle)
	o.value("rise", carried.Rise, err)
	o.value("run", carried.Run, err)
	d.wild(50, 90)
	d.wild(-60, 60)
	d.wild(50, 90)
	d.wild(-300, 500)
	v, err = chart.Steering{HeadAngle: d.wild(50, 89), ForkOffset: d.wild(-100, 120), Radius: d.wild(100, 450)}.AxisCut()
	o.value("axis_cut", v, err)
	v, err = chart.RolloutRadius(d.wild(1000, 20000), float64(pick(d, 1, 2, 3, 5, 0, -1, 2000)))
	o.value("rollout", v, err)
	d.wild(100, 250)
	d.wild(0, 120)
	d.wild(0, 120)
}

// inverses prints what the inverses make of random numbers.
func (o *out) inverses(d dice) {
	headAngle, trail, radius := d.wild(50, 90), d.wild(-300, 500), d.wild(100, 450)
	s, err := chart.Steering{HeadAngle: headAngle, Radius: radius}.WithTrail(trail)
	o.value("fork_offset", s.ForkOffset, err)
	v, err := chart.VirtualTopTube{Stack: d.wild(300, 800), Effective: d.wild(300, 1000), SeatAngle: d.wild(50, 90)}.Reach()
	o.value("reach", v, err)
	v, err = chart.SeatPoint{Setback: d.wild(-300, 700), Height: d.wild(100, 1200)}.SeatAngle()
	o.value("seat_angle", v, err)
	d.wild(100, 1000)
	d.wild(15, 50)
	stem, err := part.StemOffset{Rise: d.wild(-180, 180), Run: d.wild(-180, 180), HeadAngle: d.wild(50, 90)}.Stem()
	o.value("stem_length", stem.Length, err)
	o.value("stem_angle", stem.Angle, err)
	d.wild(50, 90)
	d.wild(-60, 100)
}

// tyres prints what is read of random markings.
func (o *out) tyres(d dice) {
	marking := pick(d, fmt.Sprintf("%d-%d", 18+d.IntN(60), pick(d, 622, 584, 559, 406, 90, 1000)),
		fmt.Sprintf("%sx%d%s", pick(d, "700", "650", "800"), 18+d.IntN(60), pick(d, "C", "B", "A", "")),
		fmt.Sprintf("%sx%.2f", pick(d, "29", "26", "27.5", "20", "31"), d.in(1, 4)), "650Bx48", "x", "32-", "700x", "1e3-622", "32 - 622")
	y, err := chart.ParseTyre(marking)
	if !o.failed("tyre", err) {
		o.floats("tyre", y.Width, y.BeadSeat)
		o.names("tyre.marking", y.String())
		v, err := y.Radius()
		o.value("tyre.radius", v, err)
	}
	z := chart.Tyre{Width: d.wild(10, 150), BeadSeat: d.wild(150, 700)}
	o.judged("tyre.drawn", z.Validate())
	v, err := z.Radius()
	o.value("tyre.drawn.radius", v, err)
	seat, err := chart.BeadSeat(pick(d, "700C", "650B", "650A", "29", "26", "27.5", "28", "24", "20", "16", "none", ""))
	o.known("bead_seat", seat, err == nil)
	text := pick(d, "1.125", "1 1/8", "9/16", "1-1/8", "0", "", "1/0", "x", "101", "1e2", "-1", fmt.Sprintf("%d %d/%d", d.IntN(4), d.IntN(9), d.IntN(17)))
	v, err = chart.Inches(text)
	o.value("inches", v, err)
	name := pick(d, "", "none", "saddle", "saddle_height", "bar_stack", "trail", "stack")
	site, err := contact.ParseSite(pick(d, name, "hoods_left", "saddle_nose"))
	o.value("site", float64(site)-1, err)
	m, err := convert.ParseMeasure(name)
	o.value("measure", float64(m)-1, err)
	dim, err := chart.ParseDimension(name)
	o.value("dimension", float64(dim)-1, err)
}
