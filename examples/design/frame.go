package main

import (
	"cmp"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/examples/internal/draw"
	"example.com/fitgeom/examples/internal/kit"
	"example.com/fitgeom/examples/internal/page"
	"example.com/fitgeom/fitgeom/design"
	"gonum.org/v1/gonum/spatial/r3"
)

// words says a wish in the trade's words.
func words(w design.Wish) string {
	return strings.ReplaceAll(w.String(), "_", " ")
}

func unit(s design.Subject) string {
	if s.Unit() == "degrees" {
		return "°"
	}
	return " " + s.Unit()
}

// frame is the table of all dimensions, and what is free.
func (a *answers) frame(p *page.Page) {
	p.H("3. The frame, with what is wished instead")
	p.P("In place of the wishes of the same name these are wished for, and all wishes are held:")
	var items []string
	for _, w := range a.in.instead {
		items = append(items, words(w))
	}
	p.List(items...)
	known := "The position is known as well as its readings tell"
	if a.in.asked.Request.Target.Kind() == "position" {
		known = "Of the position, each coordinate is taken to be known to ± " + kit.Fixed(1.96*a.in.sigma, 1) + " mm (95 %)"
	}
	p.P("%s, and ± says what that does to the frame, to first order. Free is how far a number can go in any frame that has all wishes, each by itself.", known)
	rows := [][]string{{"dimension", "design", "±", "free: from", "to"}}
	for _, r := range a.free {
		switch r.Subject.Dimension {
		case 0, chart.LowerHeadset, chart.AxleToCrownSteerer, chart.DropBelowAxles, chart.SeatAngleEffective, chart.FrontRadius, chart.RearRadius:
			continue
		default:
		}
		v, s, _ := a.design.Value(r.Subject)
		spread := ""
		if s > 0.005 {
			spread = kit.Fixed(1.96*s, 1)
		}
		from, to := kit.Fixed(r.From, 1), kit.Fixed(r.To, 1)
		if from == to {
			from, to = "settled", ""
		}
		rows = append(rows, []string{strings.ReplaceAll(r.Subject.String(), "_", " ") + "," + cmp.Or(strings.TrimPrefix(unit(r.Subject), "°"), " °"), kit.Fixed(v, 1), spread, from, to})
	}
	p.Table(rows...)
	rows = [][]string{{"room that is left, mm", "wanted", "design"}}
	for _, s := range [...]design.Setting{design.HandsUp, design.HandsDown, design.SaddleUp, design.SaddleDown, design.SaddleForward, design.SaddleBack} {
		v, _, _ := a.design.Value(design.Subject{Setting: s})
		rows = append(rows, []string{strings.ReplaceAll(s.String(), "_", " "), "10", kit.Fixed(v, 0)})
	}
	p.Table(rows...)
}

// drawing is the frame to scale, and its tubes.
func (a *answers) drawing(p *page.Page) error {
	w, err := a.design.Drawing()
	if err != nil {
		return err
	}
	p.H("4. The drawing")
	p.Figure(a.side(w))
	p.P("Tubes meet at their axes. A mitre is drawn on a template that is wrapped round the tube: so far from the crossing of the axes lies the cut, " +
		"every 45° from the tube's upper line (on the shell from its left line) to the opposite one; the other half mirrors it. " +
		"It is plane geometry, two cylinders that meet: √(R² − r² sin² φ)/sin θ + r cos φ/tan θ, with r and R the radii and θ the angle of the axes.")
	rows := [][]string{{"tube", "⌀, mm", "axis, mm", "upper line", "lower line", "mitre on", "at, °", "0°, mm", "45°", "90°", "135°", "180°"}}
	for _, t := range []struct {
		name string
		tube design.Tube
		on   [2]string
	}{
		{"top tube", w.Top, [2]string{"seat tube", "head tube"}},
		{"down tube", w.Down, [2]string{"shell", "head tube"}},
		{"seat tube", w.Seat, [2]string{"shell", ""}},
		{"head tube", w.Head, [2]string{}},
	} {
		row := []string{t.name, kit.Fixed(t.tube.Diameter, 1), kit.Fixed(t.tube.Length(), 1), "", ""}
		if t.name == "top tube" {
			for i, around := range [...]float64{0, 180} {
				v, err := t.tube.Cut(around)
				if err != nil {
					return err
				}
				row[3+i] = kit.Fixed(v, 1)
			}
		}
		for i, m := range [...]design.Mitre{t.tube.AtFrom, t.tube.AtTo} {
			if m == (design.Mitre{}) {
				continue
			}
			line := append(row[:5:5], t.on[i], kit.Fixed(m.Angle, 1))
			for around := 0.; around <= 180; around += 45 {
				z, err := m.At(around)
				if err != nil {
					return err
				}
				line = append(line, kit.Fixed(z, 1))
			}
			rows = append(rows, line)
			row = make([]string, 5)
		}
		if t.name == "head tube" {
			rows = append(rows, row)
		}
	}
	p.Table(rows...)
	p.P("Between top tube and down tube %s mm of the head tube's rear line are left.", kit.Fixed(w.Between, 1))
	return nil
}

// side draws the frame with its dimensions.
func (a *answers) side(w design.Drawing) *draw.Figure {
	g := a.design.Geometry()
	height, _ := g.BottomBracketHeight()
	ground := -height
	v := draw.Side("design-drawing", "The frame to build, mm", draw.Window{
		X0: w.Rear.X - g.Axles.RearRadius - 30, X1: w.Front.X + g.Axles.FrontRadius + 110, Z0: ground - 150, Z1: 760, Head: 40, Scale: 0.55,
	})
	v.Ground(height)
	v.Circle("wheel", v.At(w.Rear), v.Scale*g.Axles.RearRadius-2.5)
	v.Circle("wheel", v.At(w.Front), v.Scale*g.Axles.FrontRadius-2.5)
	v.Line("tube", r3.Vec{}, w.Rear, w.Top.From)
	v.Line("tube", w.Head.From, w.Crown, w.Front)
	for _, t := range [...]design.Tube{w.Head, w.Top, w.Down, w.Seat} {
		edges(v, t)
	}
	a.rider(v, w)
	get := func(d chart.Dimension) float64 { x, _, _ := a.design.Get(d); return x }
	name := func(s string, d chart.Dimension) string { return s + " " + kit.Fixed(get(d), 1) }
	v.Horizontal(r3.Vec{}, w.Head.To, 690, name("reach", chart.Reach))
	v.Vertical(r3.Vec{}, w.Head.To, w.Front.X+g.Axles.FrontRadius+40, name("stack", chart.Stack))
	v.Horizontal(w.Rear, w.Front, ground-85, name("wheelbase", chart.Wheelbase))
	v.Horizontal(r3.Vec{}, w.Front, ground-40, name("front centre", chart.FrontCentreHorizontal))
	v.Straight(w.Rear, r3.Vec{}, -45, name("chainstay", chart.Chainstay))
	v.Straight(w.Head.From, w.Head.To, -45, name("head tube", chart.HeadTube))
	v.Straight(w.Seat.From, w.Seat.To, 70, name("seat tube", chart.SeatTubeTop))
	v.Straight(w.Top.From, w.Top.To, 40, name("top tube", chart.TopTube))
	v.Vertical(r3.Vec{}, w.Rear, w.Rear.X-60, name("drop", chart.Drop))
	meets := r3.Vec{X: w.Front.X + get(chart.Trail), Z: ground}
	v.Line("ghost", w.Head.From, meets)
	v.Straight(r3.Vec{X: w.Front.X, Z: ground}, meets, 0, name("trail", chart.Trail))
	angle := func(at r3.Vec, s string, d chart.Dimension, ways ...string) {
		v.Label(v.At(at), name(s, d)+"°", "", ways...)
	}
	angle(r3.Add(r3.Scale(0.45, w.Head.From), r3.Scale(0.55, meets)), "head angle", chart.HeadAngle, "w")
	angle(r3.Scale(0.6, w.Seat.To), "seat angle", chart.SeatAngle, "e")
	v.Desc = "Side view of the frame with the outlines of its main tubes, its wheels, and its dimensions."
	v.Caption = "From the right side, to scale. Head, top, down and seat tube are as wide as they are; fork, stays, stem and seatpost are lines. The dashed line is the steering axis, down to the ground."
	return v.Figure
}

// rider draws the parts between frame and rider as lines, and where hands and saddle are.
func (a *answers) rider(v *draw.View, w design.Drawing) {
	g, front, target := a.design.Geometry(), a.design.Front(), a.problem.Target
	clamp, err := front.Clamp(target)
	if err != nil {
		return // it has been asked before
	}
	stem := r3.Add(w.Head.To, r3.Scale(front.Up+front.Stem.Height/2, g.SteererUp()))
	v.Line("part", w.Head.To, stem, clamp)
	hoods, _ := draw.Middle(target, contact.HoodsLeft)
	v.Line("ext", clamp, hoods)
	out, _, _ := a.design.Value(design.Subject{Setting: design.SeatpostExtension})
	high := r3.Add(w.Seat.To, r3.Scale(out, g.SeatUp()))
	saddle, _ := target.At(contact.SaddleReference)
	v.Line("part", w.Seat.To, high)
	v.Line("ext", high, saddle)
	if pedal, ok := draw.Middle(target, contact.PedalLeft); ok {
		v.Line("ext", r3.Vec{}, pedal)
		v.Circle("ext", v.At(r3.Vec{}), v.Scale*pedal.X)
	}
	v.Name("ring", r3.Vec{}, "")
	v.Name("square", saddle, "saddle reference", "nw", "w")
	v.Name("disc", hoods, "hoods", "ne", "e")
}

// edges draws the outline of a tube.
func edges(v *draw.View, t design.Tube) {
	d := r3.Unit(r3.Sub(t.To, t.From))
	n := r3.Scale(t.Diameter/2, r3.Vec{X: -d.Z, Z: d.X})
	v.Line("s1", r3.Add(t.From, n), r3.Add(t.To, n))
	v.Line("s1", r3.Sub(t.From, n), r3.Sub(t.To, n))
}
