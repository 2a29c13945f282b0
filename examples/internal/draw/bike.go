package draw

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"gonum.org/v1/gonum/spatial/r3"
)

// SideOf begins a view that has room for a build with its wheels, and for measures
// in front of the bar.
func SideOf(name, title string, b fitgeom.Build, head float64) (*View, error) {
	r, err := WindowOf(b)
	r.Head = head
	return Side(name, title, r), err
}

// Set draws a build as it is set up, with measures.
func Set(name, title string, b fitgeom.Build, lines []Line) (*Figure, error) {
	v, err := SideOf(name, title, b, 40)
	if err != nil {
		return nil, err
	}
	g, w := b.Frame.Geometry, b.Wheels.On(b.Frame.Geometry)
	pitch, _ := g.Pitch(w)
	if rear, ok := g.RearAxle(); ok {
		rear.Z += w.RearSag
		v.Ground(w.RearRadius - pitched(rear, pitch).Z)
	}
	p, err := v.Build(b)
	if err != nil {
		return nil, err
	}
	for _, l := range lines {
		v.Measure(p, convert.Basis{SeatAngle: g.SeatAngle - pitch}, l)
	}
	v.NameContacts(p)
	v.Desc = "Side view of the bike with its contact points, and measures drawn between the points where a tape starts and ends."
	v.Caption = "From the right side, to scale, in mm. Tubes are lines from point to point: a frame's chart does not tell where the head tube ends or how tubes are bent."
	if _, ok := g.FrontAxle(); !ok {
		v.Caption += " The numbers of this frame do not tell its fork and wheels: usual ones are dashed."
	}
	return v.Figure, nil
}

// Frame draws what a frame's numbers tell of it: points, and lines from point to
// point. Numbers do not tell where the head tube ends, or how tubes are bent.
func (v *View) Frame(class string, f fitgeom.Frame, w chart.Wheels) {
	g := f.Geometry
	w = w.On(g)
	pitch, _ := g.Pitch(w)
	turn := func(p r3.Vec) r3.Vec { return pitched(p, pitch) }
	head, seat := turn(g.HeadTop()), turn(r3.Add(g.SeatFoot(), r3.Scale(f.SeatTubeTop, g.SeatUp())))
	if front, ok := g.FrontAxle(); ok {
		rear, _ := g.RearAxle()
		down, _ := g.SteererToAxle()
		rear.Z += w.RearSag
		front = r3.Add(front, r3.Scale(w.FrontSag, g.SteererUp()))
		foot := r3.Sub(g.HeadTop(), r3.Scale(down-w.FrontSag, g.SteererUp()))
		wheel := func(at r3.Vec, r float64) {
			if class == "ghost" {
				v.Circle("ghost", v.At(turn(at)), v.Scale*r)
				return
			}
			v.Circle("wheel", v.At(turn(at)), v.Scale*r-2.5)
			v.Dot("ring", v.At(turn(at)), 3)
		}
		wheel(rear, w.RearRadius)
		wheel(front, w.FrontRadius)
		v.Line(class, r3.Vec{}, turn(rear), seat)
		v.Line(class, head, turn(foot), turn(front))
	} else if beside, front, ok := fork(g.HeadTop(), g.SteererUp(), usualRear.Z); ok {
		v.Circle("ghost", v.At(usualRear), v.Scale*usualRadius)
		v.Circle("ghost", v.At(front), v.Scale*usualRadius)
		v.Line("ghost", r3.Vec{}, usualRear, seat)
		v.Line("ghost", head, beside, front)
	}
	v.Line(class, seat, turn(g.SeatFoot()))
	v.Line(class, seat, head, r3.Vec{})
}

// Build draws a bike put together, with its contact points but without names, and
// returns these.
func (v *View) Build(b fitgeom.Build) (contact.Position, error) {
	p, err := b.Position()
	if err != nil {
		return p, err
	}
	v.Frame("tube", b.Frame, b.Wheels)
	g := b.Frame.Geometry
	pitch, _ := g.Pitch(b.Wheels)
	turn := func(p r3.Vec) r3.Vec { return pitched(p, pitch) }

	up, stem := turn(g.SteererUp()), b.Carrier()
	head := turn(g.HeadTop())
	middle := r3.Add(head, r3.Scale(b.Cap.Height+b.Settings.Spacers+stem.Height/2, up))
	top := r3.Add(middle, r3.Scale(stem.Height/2+b.Settings.SpacersAbove, up))
	clamp, _ := p.At(contact.BarClamp)
	v.Line("part", head, top)
	v.Line("part", middle, clamp)

	along := turn(g.SeatUp())
	edge := r3.Add(turn(g.SeatFoot()), r3.Scale(b.Frame.SeatTubeTop, along))
	high := r3.Add(edge, r3.Scale(b.Settings.SeatpostExtension-b.Settings.Lowered, along))
	rails := r3.Add(high, r3.Scale(b.Seatpost.Setback, r3.Vec{X: -along.Z, Z: along.X}))
	v.Line("part", edge, high, rails)
	saddle, _ := p.At(contact.SaddleReference)
	v.Line("ext", rails, saddle)
	v.bend(b, clamp)
	v.Contacts("part", p)
	return p, nil
}

// bend draws the side of a drop bar: its reach and its drop, rounded off.
func (v *View) bend(b fitgeom.Build, clamp r3.Vec) {
	d := b.Handlebar.Drop
	if d.Reach == 0 {
		return
	}
	low := math.Min(d.Drop/2, d.Reach*0.8)
	var points []r3.Vec
	add := func(x, z float64) {
		points = append(points, r3.Add(clamp, pitched(r3.Vec{X: x, Z: z}, b.Settings.BarRotation)))
	}
	add(0, 0)
	for i := 0; i <= 6; i++ { // a quarter of an ellipse from the top to the foremost point, another to the lowest
		sin, cos := math.Sincos(float64(i) * math.Pi / 12)
		add(d.Reach-low+low*sin, -low+low*cos)
	}
	for i := 1; i <= 6; i++ {
		sin, cos := math.Sincos(float64(i) * math.Pi / 12)
		add(d.Reach-low+low*cos, -low-(d.Drop-low)*sin)
	}
	add(math.Min(d.Reach-low, d.Reach-d.Hook), -d.Drop)
	v.Line("part", points...)
	hoods := r3.Add(clamp, pitched(r3.Vec{X: d.Reach + b.Lever.Reach, Z: b.Lever.Rise}, b.Settings.BarRotation))
	v.Line("part", points[4], hoods)
}

// usual is about where things are on a usual bike, mm and degrees: common practice, no source.
const (
	usualRadius = 340.
	usualHead   = 71.
	usualOffset = 45.
	usualFork   = 390. // along the steering axis, from beside the front axle
	usualTube   = 140.
)

var usualRear = r3.Vec{X: -410, Z: 70}

// Bike draws the bike that a survey was read on, whole: what was read of the frame, and dashed
// what was not, about where it is on a usual bike. Radii of wheels are in mm, 0 if they are not
// known.
func (v *View) Bike(fix survey.Fix, front, rear float64) {
	middle := func(left survey.Landmark) (r3.Vec, bool) {
		right, _ := left.Mate()
		l, _, ok := fix.Mark(left)
		r, _, okRight := fix.Mark(right)
		switch {
		case ok && okRight:
			return r3.Scale(0.5, r3.Add(l, r)), true
		case ok:
			return l, true
		}
		return r, okRight
	}
	class := func(read bool) string {
		if read {
			return "faint"
		}
		return "ghost"
	}
	hub, okRear := middle(survey.RearAxleLeft)
	if !okRear {
		hub = usualRear
	}
	wheel, okFront := middle(survey.FrontAxleLeft)
	top, okTop := middle(survey.HeadTubeTopLeft)
	low, okLow := middle(survey.HeadTubeBottomLeft)
	clamp, ok := fix.Position.At(contact.BarClamp)
	if !ok {
		clamp = contact.BarClamp.Usual()
	}
	switch {
	case !okFront && okTop && okLow:
		up := r3.Unit(r3.Vec{X: top.X - low.X, Z: top.Z - low.Z})
		_, wheel, _ = fork(low, up, hub.Z)
	case !okFront || !okTop || !okLow:
		up := steerer(usualHead)
		if okFront { // from the axle up
			low = r3.Add(wheel, r3.Add(r3.Scale(-usualOffset, r3.Vec{X: up.Z, Z: -up.X}), r3.Scale(usualFork, up)))
		} else { // from under a usual stem down
			low = r3.Sub(r3.Add(clamp, r3.Vec{X: -90}), r3.Scale(usualTube+60, up))
			_, wheel, _ = fork(low, up, hub.Z)
		}
		top = r3.Add(low, r3.Scale(usualTube, up))
	}
	for _, w := range []struct {
		at   r3.Vec
		r    float64
		read bool
	}{{hub, rear, okRear && rear > 0}, {wheel, front, okFront && front > 0}} {
		switch {
		case w.read:
			v.Circle("wheel", v.At(w.at), v.Scale*w.r-2.5)
			v.Dot("ring", v.At(w.at), 3)
		case w.r > 0:
			v.Circle("ghost", v.At(w.at), v.Scale*w.r)
		default:
			v.Circle("ghost", v.At(w.at), v.Scale*usualRadius)
		}
	}
	foot, okFoot := middle(survey.SeatTubeBottomLeft)
	edge, okEdge := middle(survey.SeatTubeTopLeft)
	if !okFoot || !okEdge {
		saddle, ok := fix.Position.At(contact.SaddleReference)
		if !ok {
			saddle = contact.SaddleReference.Usual()
		}
		foot, edge = r3.Vec{}, r3.Scale(0.7, r3.Add(saddle, r3.Vec{X: 20})) // a post's head is a little in front of the reference
	}
	seat, head := okFoot && okEdge, okTop && okLow
	v.Line(class(okRear), r3.Vec{}, hub)
	v.Line(class(seat), foot, edge)
	v.Line(class(seat && okRear), hub, edge)
	v.Line(class(head), top, low, r3.Vec{})
	v.Line(class(head && okFront), low, wheel)
	v.Line(class(head && seat), edge, top)
	if saddle, ok := fix.Position.At(contact.SaddleReference); ok {
		v.Line("ghost", edge, saddle)
	}
	if ok {
		v.Line("ghost", top, clamp)
	}
	v.Dot("ring", v.At(r3.Vec{}), 3)
}

// steerer is the way up along a steering axis with a head angle.
func steerer(head float64) r3.Vec {
	sin, cos := math.Sincos(head * math.Pi / 180)
	return r3.Vec{X: -cos, Z: sin}
}

// fork returns where a usual fork puts the front axle, at a height, under the foot of a head
// tube whose axis leads up; and the point of that axis beside it. It is not ok of an axis that
// does not lead up.
func fork(low, up r3.Vec, height float64) (beside, axle r3.Vec, ok bool) {
	if up.Z <= 0 {
		return low, low, false
	}
	forward := r3.Vec{X: up.Z, Z: -up.X}
	beside = r3.Sub(low, r3.Scale((low.Z+usualOffset*forward.Z-height)/up.Z, up))
	return beside, r3.Add(beside, r3.Scale(usualOffset, forward)), true
}
