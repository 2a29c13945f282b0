package answers_test

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/rank"
	"example.com/fitgeom/fitgeom/solve"
)

// rounded rounds a number as a chart does.
func rounded(v, step float64) float64 { return math.Round(v/step) * step }

// catalogue draws sizes in families, with the numbers rounded as charts have them.
// Some families state their axles, and some the other things that a frame may
// state. Some sizes are there again under another name.
func (d dice) catalogue(k kind, n int) []fitgeom.Size {
	var all []fitgeom.Size
	angle := pick(d, 0.1, 0.5)
	for family := 0; len(all) < n; family++ {
		first := d.frame(k)
		name := fmt.Sprintf("family %d", family)
		count := 1 + d.IntN(8)
		first.Geometry.Stack -= 9 * float64(count)
		for size := range min(count, n-len(all)) {
			f, s := first, float64(size)
			g := &f.Geometry
			g.Stack, g.Reach = rounded(g.Stack+19*s+d.in(0, 4), 1), rounded(g.Reach+5*(s-2)+d.in(0, 3), 1)
			g.HeadAngle, g.SeatAngle = rounded(g.HeadAngle+0.2*s-0.4, angle), rounded(g.SeatAngle-0.15*s, angle)
			f.MaxUnderStem, f.SeatTubeTop = rounded(f.MaxUnderStem, 5), rounded(f.SeatTubeTop-40+20*s, 5)
			if d.one(6) { // other posts fit it, or none
				f.SeatpostDiameter = pick(d, 27.2, 31.6, 30)
			}
			label := fmt.Sprint(46 + 2*size)
			f.Name = name + " " + label
			all = append(all, fitgeom.Size{Family: name, Label: label, Frame: f, Row: pick(d, 0, len(all)+2)})
		}
	}
	for i := range n / 10 {
		twin := all[d.IntN(n)]
		twin.Family = fmt.Sprintf("twin %d", i)
		all = append(all, twin)
	}
	return all
}

// spoilSizes makes one size bad in a number or a name.
func (d dice) spoilSizes(all []fitgeom.Size) {
	s := &all[d.IntN(len(all))]
	switch d.IntN(5) {
	case 0:
		s.Label = ""
	case 1:
		s.Family = ""
	case 2:
		*s = all[0]
	default:
		d.spoil(frameFields(&s.Frame))
	}
}

// askRanking ranks a random catalogue for the target of a random problem.
// One in seven is spoiled, in the catalogue or in the problem.
func askRanking(o *out, d dice, i int) {
	p := d.problem()
	n := pick(d, 5, 12, 40, 100, 300)
	p.opt.Limit = pick(d, 0, 3, 8, 12, 1000)
	if n > 12 && p.opt.Limit == 1000 {
		p.opt.Limit = 20
	}
	if p.kind.aero() { // bounds leave out less, and obstacles take longer
		n, p.opt.Limit = min(n, 40), 1+d.IntN(2)
	}
	sizes := d.catalogue(p.kind, n)
	if p.opt.Wheels != (chart.Wheels{}) && n > 40 {
		p.opt.Wheels = chart.Wheels{} // with one every frame is searched
	}
	if d.one(7) {
		if d.one(2) {
			d.spoilSizes(sizes)
		} else {
			d.spoilProblem(&p)
		}
	}
	x, err := rank.NewIndex(context.Background(), sizes)
	shelf := p.shelf.Validate()
	o.failed("index", errors.Join(err, shelf))
	if x == nil || shelf != nil {
		return
	}
	o.ints("frames", x.Len())
	r, err := x.Rank(context.Background(), p.onFrames())
	if o.failed("rank", err) {
		return
	}
	o.ints("scored", r.Scored)
	for k := range r.Choices {
		o.choice(fmt.Sprintf("r%d", k), &p, &r.Choices[k])
	}
	if len(r.Choices) > 0 {
		o.candidate("first", &r.Choices[0].Best)
		at, _ := r.Choices[0].Best.Build.Position()
		o.position("first.at", at)
	}
	if p.kind.aero() && i%4 != 0 {
		return
	}
	if len(r.Choices) > 0 {
		o.neighbours("first.next", x, &p, r.Choices[0].Place)
		o.neighbours("last.next", x, &p, r.Choices[len(r.Choices)-1].Place)
	}
	o.neighbours("any.next", x, &p, d.IntN(n+1))
	if i%8 == 0 && n <= 40 && (n <= 12 || !p.kind.aero()) {
		o.steadiness(d, x, &p)
	}
	if i%8 == 1 {
		o.each(d, x, &p)
	}
}

// class tells whether a choice holds, does not, or has no build.
func class(c *rank.Choice) string {
	switch {
	case c.Fault != nil:
		return "none"
	case c.Best.Holds():
		return "holds"
	}
	return "near"
}

func (o *out) choice(key string, p *problem, c *rank.Choice) {
	o.ints(key+".place", c.Place)
	o.names(key+".size", c.Size.Family, c.Size.Label)
	o.words(key+".class", class(c))
	o.failed(key, c.Fault)
	if c.Fault == nil {
		s := &c.Best.Build.Settings
		o.floats(key+".score", c.Best.Score())
		o.floats(key+".set", s.Spacers, s.BarRotation, s.SeatpostExtension, s.RailClamp)
		obstacles, err := c.Explain(context.Background(), p.onFrames())
		o.failed(key, err)
		o.obstacles(key+".obstacle", &c.Best.Build, obstacles)
	}
}

func (o *out) neighbours(key string, x *rank.Index, p *problem, place int) {
	all, err := x.Neighbours(context.Background(), p.onFrames(), place)
	if o.failed(key, err) {
		return
	}
	o.ints(key, len(all))
	for i := range all {
		n := &all[i]
		at := fmt.Sprintf("%s.%d", key, i)
		o.ints(at, n.Choice.Place, int(n.Reason)-1)
		o.flags(at+".better", n.Larger, n.Better)
		o.floats(at+".by", n.By)
		o.words(at+".class", class(&n.Choice))
	}
}

// steadiness prints how much of a ranking hangs on the rounding of charts.
func (o *out) steadiness(d dice, x *rank.Index, p *problem) {
	opt := p.onFrames()
	opt.Limit = 4
	all, err := x.Sensitivities(context.Background(), opt, chart.Rounding{LengthStep: pick(d, 1.0, 2, 0), AngleStep: pick(d, 0.1, 0.5, d.bad(0.5))})
	if o.failed("steady", err) {
		return
	}
	for i, s := range all {
		at := fmt.Sprintf("steady.%d", i)
		o.ints(at, s.Place, s.First, s.Last)
		o.floats(at+".score", s.Least, s.Most)
		o.flags(at+".holds", s.Always, s.Ever)
	}
}

// each ranks for several positions, one of which is bad.
func (o *out) each(d dice, x *rank.Index, p *problem) {
	bad := p.target
	d.spoilPosition(&bad)
	opt := p.onFrames()
	opt.Limit = 3
	k := 0
	for r, err := range x.RankEach(context.Background(), slices.Values([]contact.Position{p.target, bad, p.target.Mirror()}), opt) {
		at := fmt.Sprintf("each%d", k)
		k++
		if o.failed(at, err) {
			continue
		}
		for i := range r.Choices {
			o.ints(at, r.Choices[i].Place)
			o.floats(at+".score", r.Choices[i].Best.Score())
		}
	}
}

// onFrames is the question without a frame.
func (p *problem) onFrames() solve.Problem {
	q := p.problem()
	q.Frame = fitgeom.Frame{}
	return q
}
