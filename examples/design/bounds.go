package main

import (
	"context"
	"math"
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/examples/internal/draw"
	"example.com/fitgeom/examples/internal/kit"
	"example.com/fitgeom/examples/internal/page"
	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/clearance"
	"example.com/fitgeom/fitgeom/design"
)

// bounds shows how trail and toe clearance bound head angle and fork offset, if all of them are
// wished for.
func (a *answers) bounds(p *page.Page) error {
	l, ok := a.limits()
	if !ok {
		return nil
	}
	p.H("5. How trail and toe clearance bound it")
	f, err := a.chart(l)
	if err != nil {
		return err
	}
	p.P("On these parts the head angle alone says where the steering axis runs, and with the fork's offset where the wheel is. "+
		"A steeper head angle brings the wheel nearer to the toe. More offset takes it away, and takes trail. "+
		"The toe shall have %s mm from the pedal's centre forward to the arc of the tyre.", kit.Fixed(l.toes.From, 0))
	p.Figure(f)
	return nil
}

// limits is what is wished of head angle, fork offset, trail and toe clearance.
type limits struct{ head, offset, trail, toes design.Wish }

// limits returns them, if each has the ends that are drawn.
func (a *answers) limits() (l limits, ok bool) {
	for _, w := range a.problem.Wishes {
		switch w.Subject {
		case design.Subject{Dimension: chart.HeadAngle}:
			l.head = w
		case design.Subject{Dimension: chart.ForkOffset}:
			l.offset = w
		case design.Subject{Dimension: chart.Trail}:
			l.trail = w
		case design.Subject{Clearance: clearance.ToeLevel}:
			l.toes = w
		default:
		}
	}
	for _, w := range [...]design.Wish{l.head, l.offset, l.trail} {
		if w == (design.Wish{}) || math.IsInf(w.From, 0) || math.IsInf(w.To, 0) {
			return l, false
		}
	}
	return l, l.toes != design.Wish{} && !math.IsInf(l.toes.From, 0)
}

// atToes returns the fork offset with which the toe has just what it wants, at a head
// angle and with all else as in the design; false where there is none.
func (a *answers) atToes(head, toes float64) (float64, bool, error) {
	p := a.problem
	p.Covariance, p.RoomWanted = contact.Covariance{}, []fitgeom.RoomWish{}
	height, _, _ := a.design.Get(chart.BottomBracketHeight)
	radius, _, _ := a.design.Get(chart.FrontRadius)
	p.Wishes = nil
	for d, v := range map[chart.Dimension]float64{
		chart.HeadAngle: head, chart.BottomBracketHeight: height, chart.FrontRadius: radius, chart.RearRadius: radius, chart.SeatOffset: 0,
	} {
		p.Wishes = append(p.Wishes, design.Wish{Subject: design.Subject{Dimension: d}, From: v, To: v})
	}
	slices.SortFunc(p.Wishes, func(v, w design.Wish) int { return int(v.Subject.Dimension) - int(w.Subject.Dimension) })
	p.Wishes = append(p.Wishes, design.Wish{Subject: design.Subject{Clearance: clearance.ToeLevel}, From: toes, To: toes})
	d, err := p.Solve(context.Background())
	if err != nil || !d.Holds() {
		return 0, false, err
	}
	offset, _, _ := d.Get(chart.ForkOffset)
	return offset, true, nil
}

// chart draws trail and toe clearance over head angle and fork offset.
func (a *answers) chart(l limits) (*draw.Figure, error) {
	f := &draw.Figure{Name: "design-bounds", Title: "What trail and toe clearance leave of head angle and fork offset", W: 760, H: 580}
	f.Text(draw.Point{X: 14, Y: 22}, -1, "bold", f.Title)
	axes := f.Axes(draw.Box{X0: 60, Y0: 96, X1: 730, Y1: 516}, draw.Scale{From: 69, To: 75, Step: 1}, draw.Scale{From: 35, To: 65, Step: 5})
	f.Text(draw.Point{X: 395, Y: 562}, 0, "quiet", "head angle, °")
	f.Text(draw.Point{X: 14, Y: 78}, -1, "quiet", "fork offset, mm")
	f.Legend(48, [2]string{"s1", "trail"}, [2]string{"s2", "toe clearance of " + kit.Fixed(l.toes.From, 0) + " mm"}, [2]string{"ghost", "wished of fork and head angle"}, [2]string{"area:field", "left"})

	radius, _, _ := a.design.Get(chart.FrontRadius)
	var heads, least, most, toe []float64
	var low, high []draw.Point
	var coarse [25]float64 // every quarter of a degree; the line is all but straight
	for i := range coarse {
		offset, ok, err := a.atToes(69+float64(i)/4, l.toes.From)
		if err != nil {
			return nil, err
		}
		if !ok {
			offset = math.Inf(1)
		}
		coarse[i] = offset
	}
	for step := range 24*25 + 1 {
		head, at := 69+float64(step)/100, float64(step)/25
		k := min(int(at), len(coarse)-2)
		offset := coarse[k] + (at-float64(k))*(coarse[k+1]-coarse[k])
		for trail, to := range map[float64]*[]float64{l.trail.From: &least, l.trail.To: &most} {
			s, err := chart.Steering{HeadAngle: head, Radius: radius}.WithTrail(trail)
			if err != nil {
				return nil, err
			}
			*to = append(*to, s.ForkOffset)
		}
		i := len(heads)
		heads, toe = append(heads, head), append(toe, offset)
		from, upTo := max(l.offset.From, most[i], offset), min(l.offset.To, least[i])
		if head >= l.head.From && head <= l.head.To && from <= upTo {
			low, high = append(low, axes.At(head, from)), append(high, axes.At(head, upTo))
		}
	}
	slices.Reverse(high)
	f.Area("field", append(low, high...))
	a.curve(f, axes, "s1", heads, least, "trail "+kit.Fixed(l.trail.From, 0)+" mm", "ne")
	a.curve(f, axes, "s1", heads, most, "trail "+kit.Fixed(l.trail.To, 0)+" mm", "sw")
	a.curve(f, axes, "s2", heads, toe, "", "e")
	for _, v := range [...]float64{l.offset.From, l.offset.To} {
		axes.Curve("ghost", []float64{69, 75}, []float64{v, v})
	}
	for _, v := range [...]float64{l.head.From, l.head.To} {
		axes.Curve("ghost", []float64{v, v}, []float64{35, 65})
	}
	g := a.design.Geometry()
	at := axes.At(g.HeadAngle, g.Axles.ForkOffset)
	f.Dot("disc", at, 4.5)
	f.Label(at, "the design", "", "s", "se", "e")
	f.Desc = "Fork offset over head angle, with a line for each end of the trail that is wished, the line at which the toe has just its clearance, and the area that all wishes leave."
	f.Caption = "Exact, at the design's bottom bracket height. On one line of trail the offset falls as the head angle gets steeper; at one toe clearance it has to rise."
	return f, nil
}

// curve draws what of a curve lies within the axes, and names its last point.
func (a *answers) curve(f *draw.Figure, axes draw.Axes, class string, xs, ys []float64, name string, ways ...string) {
	var x, y []float64
	for i := range xs {
		if axes.Holds(xs[i], ys[i]) {
			x, y = append(x, xs[i]), append(y, ys[i])
		}
	}
	if len(x) == 0 {
		return
	}
	axes.Curve(class, x, y)
	if name != "" {
		i := len(x) * 3 / 4
		f.Label(axes.At(x[i], y[i]), name, "", ways...)
	}
}
