package draw

import (
	"math"
	"strconv"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/fitgeom"
	"gonum.org/v1/gonum/spatial/r3"
)

// View is a figure of the bike's right side, so that forward is to the right, to
// scale.
type View struct {
	*Figure
	Scale  float64 // px to a mm
	ox, oy float64 // px of the bottom bracket
}

// Side begins a view that has room from x0 to x1 mm forward and z0 to z1 mm up
// of the bottom bracket, with head px above for a title and a legend.
func Side(name, title string, scale, x0, x1, z0, z1, head float64) *View {
	const pad, foot = 14, 34
	w, h := math.Round(scale*(x1-x0))+2*pad, math.Round(scale*(z1-z0))+head+foot
	v := &View{&Figure{Name: name, Title: title, W: w, H: h}, scale, pad - scale*x0, head + scale*z1}
	v.Text(Point{pad, 22}, -1, "bold", title)
	v.scaleBar(pad, h-13)
	return v
}

// Ratio says how large a mm is drawn.
func (v *View) Ratio() string {
	return "1 mm is " + strconv.FormatFloat(v.Scale, 'f', -1, 64) + " px"
}

func (v *View) scaleBar(x, y float64) {
	l := 100 * v.Scale
	v.Path("dim", false, Point{x, y}, Point{x + l, y})
	v.Path("dim", false, Point{x, y - 4}, Point{x, y + 4})
	v.Path("dim", false, Point{x + l, y - 4}, Point{x + l, y + 4})
	v.Text(Point{x + l + 8, y + 4}, -1, "quiet", "100 mm; "+v.Ratio()+"; forward is to the right")
}

// Legend explains lines and marks, from left to right under the title. A pair is
// a class of line, or "dot:" and a mark, and what it stands for.
func (f *Figure) Legend(y float64, pairs ...[2]string) {
	x := 14.
	for _, p := range pairs {
		w := 34 + Width(p[1], false) + 22
		if x > 14 && x+w-22 > f.W-6 {
			x, y = 14, y+20
		}
		if mark, ok := strings.CutPrefix(p[0], "dot:"); ok {
			f.Dot(mark, Point{x + 13, y - 4}, 4)
		} else if mark, ok := strings.CutPrefix(p[0], "area:"); ok {
			f.Area(mark, []Point{{x, y - 10}, {x + 26, y - 10}, {x + 26, y + 1}, {x, y + 1}})
		} else if mark, ok := strings.CutPrefix(p[0], "arrow:"); ok {
			f.Arrow(mark, Point{x, y - 4}, Point{x + 26, y - 4})
		} else {
			f.Path(p[0], false, Point{x, y - 4}, Point{x + 26, y - 4})
		}
		f.Text(Point{x + 34, y}, -1, "", p[1])
		x = math.Round(x + w)
	}
}

// At is where a point of the bike is drawn.
func (v *View) At(p r3.Vec) Point {
	return Point{tenth(v.ox + v.Scale*p.X), tenth(v.oy - v.Scale*p.Z)}
}

// Line draws lines between points of the bike.
func (v *View) Line(class string, points ...r3.Vec) {
	all := make([]Point, len(points))
	for i, p := range points {
		all[i] = v.At(p)
	}
	v.Path(class, false, all...)
}

// dimension draws a measure between a and b along the line from p to q, to which
// thin lines lead.
func (v *View) dimension(a, b, p, q Point, s string) {
	ext := func(a, p Point) {
		dx, dy := p.X-a.X, p.Y-a.Y
		if l := math.Hypot(dx, dy); l > 1 {
			v.Path("ext", false, a, Point{tenth(p.X + 4*dx/l), tenth(p.Y + 4*dy/l)})
		}
	}
	ext(a, p)
	ext(b, q)
	dx, dy := q.X-p.X, q.Y-p.Y
	l := math.Hypot(dx, dy)
	if l >= 26 {
		v.Path("dim", false, p, q)
		v.head("dim", p, q)
		v.head("dim", q, p)
	} else if l > 0 { // arrows from outside
		ux, uy := dx/l, dy/l
		for _, e := range [2]struct {
			at   Point
			sign float64
		}{{p, -1}, {q, 1}} {
			from := Point{tenth(e.at.X + 18*e.sign*ux), tenth(e.at.Y + 18*e.sign*uy)}
			v.Path("dim", false, from, e.at)
			v.head("dim", from, e.at)
		}
	}
	lab := label{s: s, from: Point{tenth((p.X + q.X) / 2), tenth((p.Y + q.Y) / 2)}, lead: true, own: [2]Point{p, q}}
	w := Width(s, false)
	for i, t := range []float64{.5, .42, .58, .34, .66, .26, .74, .18, .82} {
		at := Point{p.X + t*dx, p.Y + t*dy}
		cost := 2 * float64(i)
		// On the line, if enough of it stays to be seen.
		covered := 1.3 * size
		if math.Abs(dx) > math.Abs(dy) {
			covered = min(w, l)
		}
		if covered < l-40 {
			lab.places = append(lab.places, place{at: Point{tenth(at.X), tenth(at.Y + .33*size)}, cost: cost, on: true})
		}
		// Beside it.
		for k, off := range []float64{6, 14, 26, 44, 70} {
			far := k > 1
			cost := cost + 6 + off/2
			if math.Abs(dx) > math.Abs(dy) {
				lab.places = append(lab.places,
					place{at: Point{tenth(at.X), tenth(at.Y - off)}, anchor: 0, cost: cost, far: far},
					place{at: Point{tenth(at.X), tenth(at.Y + off + .9*size)}, anchor: 0, cost: cost, far: far})
			} else {
				lab.places = append(lab.places,
					place{at: Point{tenth(at.X + off), tenth(at.Y + .33*size)}, anchor: -1, cost: cost, far: far},
					place{at: Point{tenth(at.X - off), tenth(at.Y + .33*size)}, anchor: 1, cost: cost, far: far})
			}
		}
	}
	v.labels = append(v.labels, lab)
}

// Level is a level measure, drawn z mm above the bottom bracket.
func (v *View) Level(a, b r3.Vec, z float64, s string) {
	v.dimension(v.At(a), v.At(b), v.At(r3.Vec{X: a.X, Z: z}), v.At(r3.Vec{X: b.X, Z: z}), s)
}

// Upright is an upright measure, drawn x mm in front of the bottom bracket.
func (v *View) Upright(a, b r3.Vec, x float64, s string) {
	v.dimension(v.At(a), v.At(b), v.At(r3.Vec{X: x, Z: a.Z}), v.At(r3.Vec{X: x, Z: b.Z}), s)
}

// Straight is a measure straight from a to b in the side view, drawn off mm to
// the left of the way from a to b.
func (v *View) Straight(a, b r3.Vec, off float64, s string) {
	d := r3.Sub(b, a)
	d.Y = 0
	n := r3.Scale(off/r3.Norm(d), r3.Vec{X: -d.Z, Z: d.X})
	v.dimension(v.At(a), v.At(b), v.At(r3.Add(a, n)), v.At(r3.Add(b, n)), s)
}

// Name labels a point of the bike with a dot on it.
func (v *View) Name(mark string, at r3.Vec, s string, ways ...string) {
	v.Dot(mark, v.At(at), 4.5)
	if s != "" {
		v.Label(v.At(at), s, "", ways...)
	}
}

// Ground draws the ground at a height below the bottom bracket.
func (v *View) Ground(height float64) {
	y := tenth(v.oy + v.Scale*height)
	v.Path("edge", false, Point{14, y}, Point{v.W - 14, y})
}

// pitched turns a point of the frame nose-up about the bottom bracket.
func pitched(p r3.Vec, degrees float64) r3.Vec {
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	return r3.Vec{X: p.X*cos - p.Z*sin, Z: p.X*sin + p.Z*cos}
}

// Frame draws what a frame's numbers tell of it: points, and lines from point to
// point. Numbers do not tell where the head tube ends, or how tubes are bent.
func (v *View) Frame(class string, f fitgeom.Frame, s chart.Wheels) error {
	pitch, err := f.Pitch(s)
	if err != nil {
		return err
	}
	g := f.Geometry
	turn := func(p r3.Vec) r3.Vec { return pitched(p, pitch) }
	head, seat := turn(g.HeadTop()), turn(r3.Add(g.SeatFoot(), r3.Scale(f.SeatTubeTop, g.SeatUp())))
	if front, ok := g.FrontAxle(); ok {
		rear, _ := g.RearAxle()
		down, _ := g.SteererToAxle()
		rear.Z += s.RearSag
		front = r3.Add(front, r3.Scale(s.FrontSag, g.SteererUp()))
		foot := r3.Sub(g.HeadTop(), r3.Scale(down-s.FrontSag, g.SteererUp()))
		radius := func(is, drawn float64) float64 {
			if is == 0 {
				return drawn
			}
			return is
		}
		wheel := func(at r3.Vec, r float64) {
			if class == "ghost" {
				v.Circle("ghost", v.At(turn(at)), v.Scale*r)
				return
			}
			v.Circle("wheel", v.At(turn(at)), v.Scale*r-2.5)
			v.Dot("ring", v.At(turn(at)), 3)
		}
		wheel(rear, radius(s.RearRadius, g.Axles.RearRadius))
		wheel(front, radius(s.FrontRadius, g.Axles.FrontRadius))
		v.Line(class, r3.Vec{}, turn(rear), seat)
		v.Line(class, head, turn(foot), turn(front))
	}
	v.Line(class, seat, turn(g.SeatFoot()))
	v.Line(class, seat, head, r3.Vec{})
	return nil
}

// Build draws a bike put together, with its contact points but without names.
func (v *View) Build(b fitgeom.Build) error {
	if err := v.Frame("tube", b.Frame, b.Wheels); err != nil {
		return err
	}
	p, err := b.Position()
	if err != nil {
		return err
	}
	pitch, _ := b.Frame.Pitch(b.Wheels)
	g := b.Frame.Geometry
	turn := func(p r3.Vec) r3.Vec { return pitched(p, pitch) }

	up := turn(g.SteererUp())
	stem := b.Stem
	if b.Handlebar.Stem.Length != 0 {
		stem = b.Handlebar.Stem
	}
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
	return nil
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

// Middle is the middle between left and right of a pair, or a site of the
// mid-plane; false if one of them is not known.
func Middle(p contact.Position, s contact.Site) (r3.Vec, bool) {
	l, ok := p.At(s.On(contact.Left))
	r, okRight := p.At(s.On(contact.Right))
	return r3.Scale(0.5, r3.Add(l, r)), ok && okRight
}

// Contacts draws what a position knows: the saddle as a line through its three
// points, cranks level, and a line from the bar's clamp to where it is held.
func (v *View) Contacts(class string, p contact.Position) {
	saddle, ok := p.At(contact.SaddleReference)
	nose, okNose := p.At(contact.SaddleNose)
	rear, okRear := p.At(contact.SaddleRear)
	if ok && okNose && okRear {
		v.Line(class, rear, saddle, nose)
	}
	if pedal, ok := Middle(p, contact.PedalLeft); ok {
		v.Line(class, r3.Scale(-1, pedal), pedal)
		if class != "ghost" {
			v.Circle("ext", v.At(r3.Vec{}), v.Scale*pedal.X)
		}
	}
	if clamp, ok := p.At(contact.BarClamp); ok {
		if at, ok := Middle(p, contact.GripLeft); ok {
			v.Line(class, clamp, at)
		}
		pad, ok := Middle(p, contact.PadLeft)
		tip, okTip := Middle(p, contact.ExtensionLeft)
		if ok && okTip {
			v.Line("ext", clamp, pad)
			v.Line(class, pad, tip)
		}
		if class == "ghost" {
			v.Hands(class, p)
		}
	}
}

// Hands draws a line from the bar's clamp to the hoods, where nothing tells how the
// bar is bent.
func (v *View) Hands(class string, p contact.Position) {
	clamp, ok := p.At(contact.BarClamp)
	if at, okHoods := Middle(p, contact.HoodsLeft); ok && okHoods {
		v.Line(class, clamp, at)
	}
}

// Measure draws one measure of a position where it is taken, named and in
// numbers; false for one that the side view cannot show. At is where its line
// lies: a height for level ones, a place forward for upright ones, and a distance
// to the left of the way for straight ones, mm.
func (v *View) Measure(p contact.Position, m convert.Measure, b convert.Basis, at float64, decimals int) bool {
	d := m.Definition()
	val, err := m.Of(p, b)
	if err != nil || d.Unit != "mm" {
		return false
	}
	s := strings.ReplaceAll(d.Name, "_", " ") + " " + strconv.FormatFloat(val, 'f', decimals, 64)
	var ends [2]r3.Vec
	for i, name := range [2]string{d.From, d.To} {
		var ok bool
		if ends[i], ok = v.end(p, b, name); !ok {
			return false
		}
	}
	// Where the ground or the tape's own line is meant, the end lies under or over
	// the other one.
	switch d.Along {
	case "level":
		v.Level(ends[0], ends[1], at, s)
	case "upright":
		v.Upright(ends[0], ends[1], at, s)
	case "straight", "seat tube", "side view":
		if d.Along == "seat tube" {
			sin, cos := math.Sincos(b.SeatAngle * math.Pi / 180)
			ends[1] = r3.Vec{X: -val * cos, Z: val * sin}
		}
		if d.To == "pedal axis, farthest from it" { // in line with the bottom bracket
			c, _ := Middle(p, contact.PedalLeft)
			ends[1] = r3.Scale(-c.X/r3.Norm(ends[0]), ends[0])
		}
		v.Straight(ends[0], ends[1], at, s)
	default:
		return false
	}
	return true
}

func (v *View) end(p contact.Position, b convert.Basis, name string) (r3.Vec, bool) {
	switch name {
	case "bottom bracket centre":
		return r3.Vec{}, true
	case "ground":
		return r3.Vec{Z: -b.BottomBracketHeight}, b.BottomBracketHeight != 0
	case "saddle reference (80 mm wide)", "saddle top, where the line meets it":
		return p.At(contact.SaddleReference)
	case "saddle nose":
		return p.At(contact.SaddleNose)
	case "saddle's highest point":
		nose, ok := p.At(contact.SaddleNose)
		rear, okRear := p.At(contact.SaddleRear)
		if rear.Z > nose.Z {
			nose = rear
		}
		return nose, ok && okRear
	case "bar clamp centre":
		return p.At(contact.BarClamp)
	case "hoods":
		return Middle(p, contact.HoodsLeft)
	case "grips":
		return Middle(p, contact.GripLeft)
	case "pads":
		return Middle(p, contact.PadLeft)
	case "extension tips":
		return Middle(p, contact.ExtensionLeft)
	case "pedal axis", "pedal axis, farthest from it":
		return Middle(p, contact.PedalLeft)
	}
	return r3.Vec{}, false
}

// Ellipse draws where an uncertain point of the side view is, k standard
// deviations wide and magnified, round a place in px. The covariances are those
// of X, of Z and between them, mm².
func (v *View) Ellipse(c Point, xx, xz, zz, k, magnified float64) {
	// Axes of the ellipse: of two alike it does not matter which.
	mean, half := (xx+zz)/2, math.Hypot((xx-zz)/2, xz)
	turn := math.Atan2(2*xz, xx-zz) / 2
	a, b := math.Sqrt(max(mean+half, 0)), math.Sqrt(max(mean-half, 0))
	sinT, cosT := math.Sincos(turn)
	const n = 48
	points := make([]Point, n)
	for i := range points {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / n)
		x, z := a*cos*cosT-b*sin*sinT, a*cos*sinT+b*sin*cosT
		points[i] = Point{tenth(c.X + v.Scale*magnified*k*x), tenth(c.Y - v.Scale*magnified*k*z)}
	}
	v.Area("cloud", points)
	for i := range points {
		v.avoid("cloud", points[i], points[(i+1)%n])
	}
}

// NameContacts puts dots and names on the contact points that a position knows,
// left and right as one where the side view shows one.
func (v *View) NameContacts(p contact.Position) {
	for _, c := range []struct {
		site contact.Site
		mark string
		ways []string
	}{
		{contact.SaddleReference, "square", []string{"nw", "n"}},
		{contact.BarClamp, "ring", []string{"nw", "n"}},
		{contact.TopsLeft, "disc", []string{"n"}},
		{contact.HoodsLeft, "disc", []string{"ne", "e"}},
		{contact.DropsLeft, "disc", []string{"e", "se"}},
		{contact.GripLeft, "disc", []string{"ne", "e"}},
		{contact.PadLeft, "disc", []string{"nw", "n"}},
		{contact.ExtensionLeft, "disc", []string{"e", "ne"}},
		{contact.PedalLeft, "disc", []string{"e", "se"}},
	} {
		at, ok := Middle(p, c.site)
		if !ok {
			continue
		}
		v.Name(c.mark, at, plain[c.site], c.ways...)
	}
	v.Name("ring", r3.Vec{}, "bottom bracket", "s", "se", "sw", "n")
}

var plain = map[contact.Site]string{
	contact.SaddleReference: "saddle reference",
	contact.BarClamp:        "bar clamp",
	contact.TopsLeft:        "tops",
	contact.HoodsLeft:       "hoods",
	contact.DropsLeft:       "drops",
	contact.GripLeft:        "grips",
	contact.PadLeft:         "pads",
	contact.ExtensionLeft:   "extension tips",
	contact.PedalLeft:       "pedal",
}

// Bike draws what a survey read of the frame itself: wheels, bottom bracket, and
// the head tube if that was read.
func (v *View) Bike(fix survey.Fix, s survey.Survey) {
	middle := func(left, right survey.Landmark) (r3.Vec, bool) {
		l, _, ok := fix.Mark(left)
		r, _, okRight := fix.Mark(right)
		return r3.Scale(0.5, r3.Add(l, r)), ok && okRight
	}
	rear, _ := middle(survey.RearAxleLeft, survey.RearAxleRight)
	front, _ := middle(survey.FrontAxleLeft, survey.FrontAxleRight)
	if s.FrontRadius != 0 && s.Unit == survey.Millimetre {
		v.Circle("wheel", v.At(rear), v.Scale*s.RearRadius-2.5)
		v.Circle("wheel", v.At(front), v.Scale*s.FrontRadius-2.5)
	}
	v.Line("faint", r3.Vec{}, rear)
	v.Dot("ring", v.At(rear), 3)
	v.Dot("ring", v.At(front), 3)
	v.Dot("ring", v.At(r3.Vec{}), 3)
	top, ok := middle(survey.HeadTubeTopLeft, survey.HeadTubeTopRight)
	low, okLow := middle(survey.HeadTubeBottomLeft, survey.HeadTubeBottomRight)
	if ok && okLow {
		v.Line("faint", top, low, front)
		v.Line("faint", low, r3.Vec{})
	}
}

// SideOf begins a view that has room for a build with its wheels, and for measures
// in front of the bar.
func SideOf(name, title string, b fitgeom.Build, head float64) (*View, error) {
	p, err := b.Position()
	if err != nil {
		return nil, err
	}
	x0, x1, z0, z1 := -460., 700., -230., 0.
	for _, at := range p.All() {
		x0, x1, z1 = min(x0, at.X-60), max(x1, at.X+60), max(z1, at.Z+130)
	}
	x1 += 320
	if front, ok := b.Frame.Geometry.FrontAxle(); ok {
		rear, _ := b.Frame.Geometry.RearAxle()
		a := b.Frame.Geometry.Axles
		r := max(a.FrontRadius, a.RearRadius, b.Wheels.FrontRadius, b.Wheels.RearRadius)
		x0, x1, z0 = min(x0, rear.X-r-40), max(x1, front.X+r+60), rear.Z-r-40
	}
	grid := func(v float64) float64 { return 10 * math.Round(v/10) }
	return Side(name, title, 0.5, grid(x0), grid(x1), grid(z0), grid(z1), head), nil
}

// Set draws a candidate as it is set up, with measures: each where its line lies, as
// Measure has it.
func Set(name, title string, c fitgeom.Candidate, lines []Line) (*Figure, error) {
	v, err := SideOf(name, title, c.Build, 40)
	if err != nil {
		return nil, err
	}
	g := c.Build.Frame.Geometry
	pitch, err := c.Build.Frame.Pitch(c.Build.Wheels)
	if err != nil {
		return nil, err
	}
	if rear, ok := g.RearAxle(); ok {
		r := c.Build.Wheels.RearRadius
		if r == 0 {
			r = g.Axles.RearRadius
		}
		rear.Z += c.Build.Wheels.RearSag
		v.Ground(r - pitched(rear, pitch).Z)
	}
	if err := v.Build(c.Build); err != nil {
		return nil, err
	}
	for _, l := range lines {
		v.Measure(c.Position, l.Measure, convert.Basis{SeatAngle: g.SeatAngle - pitch}, l.At, 0)
	}
	v.NameContacts(c.Position)
	v.Desc = "Side view of the bike with its contact points, and measures drawn between the points where a tape starts and ends."
	v.Caption = "From the right side, to scale, in mm. Tubes are lines from point to point: a frame's chart does not tell where the head tube ends or how tubes are bent."
	return v.Figure, nil
}

// Line is a measure and where it is drawn.
type Line struct {
	Measure convert.Measure
	At      float64
}

// Off draws what a candidate is off by.
func Off(name, title string, c fitgeom.Candidate) (*Figure, error) {
	v, err := SideOf(name, title, c.Build, 66)
	if err != nil {
		return nil, err
	}
	if err := v.Frame("faint", c.Build.Frame, c.Build.Wheels); err != nil {
		return nil, err
	}
	v.Contacts("ghost", c.Wanted)
	v.Contacts("part", c.Position)
	m := v.Residuals(c.Wanted, c.Deviations)
	v.Legend(44, [2]string{"part", "the build"}, [2]string{"ghost", "what is wanted, and the tolerances"},
		[2]string{"arrow:move", "what it is off by; arrows and tolerances " + strconv.FormatFloat(m, 'f', -1, 64) + " times as large"})
	v.Desc = "Side view of the contact points, with an arrow at each kept site from where it is wanted to where the build puts it, and a frame for the tolerance."
	v.Caption = "Solid: the build. Dashed: where saddle, bar and cranks are wanted. An arrow that ends within its dashed frame is within tolerance. What was not asked for is not shown here, nor what is off sideways; the table has it."
	return v.Figure, nil
}

// Left draws the room that a candidate leaves.
func Left(name, title string, c fitgeom.Candidate) *Figure {
	f := Bars(name, title, Rooms(c.Margins))
	f.Desc = "A bar to both sides of where each thing is set, as long as it may still move."
	f.Caption = "How far each setting may still move either way before it comes to its limit, with all others as they are."
	return f
}

// magnifications that arrows may have.
var magnifications = []float64{1, 2, 5, 10, 20, 50, 100, 200}

// Magnification is how much longer to draw moves of a bike than they are, so that
// the longest takes at most so many px.
func (v *View) Magnification(longest, px float64) float64 {
	m := magnifications[0]
	for _, k := range magnifications {
		if longest*k*v.Scale <= px {
			m = k
		}
	}
	return m
}

// InSide is how long a move is in the side view, mm.
func InSide(by r3.Vec) float64 { return math.Hypot(by.X, by.Z) }

// Residuals draws how far off a build is at each kept site: a frame round where
// the site is wanted, as far out as the tolerance, and an arrow to where it is,
// both magnified. It returns how much. What was not asked for is not drawn, and left
// and right are one where they are alike in the side view.
func (v *View) Residuals(wanted contact.Position, all []fitgeom.Deviation) float64 {
	type one struct {
		at, off, tolerance r3.Vec
		name               string
	}
	var ones []one
	longest := 0.
	for _, r := range all {
		o := one{off: r.Off, tolerance: r.Tolerance, name: Name(r.Site)}
		o.at, _ = wanted.At(r.Site)
		if r.Tolerance.X == 0 {
			o.off.X = 0
		}
		if r.Tolerance.Z == 0 {
			o.off.Z = 0
		}
		longest = max(longest, InSide(o.off), r.Tolerance.X, r.Tolerance.Z)
		if r.Site.Side() == contact.Right {
			if n := len(ones); n > 0 && ones[n-1].name == Name(r.Site.On(contact.Left)) && InSide(r3.Sub(ones[n-1].off, o.off)) < 0.05 && InSide(r3.Sub(ones[n-1].at, o.at)) < 3.5 {
				ones[n-1].name = strings.TrimSuffix(Name(r.Site), " right") + ", both"
				continue
			}
		}
		ones = append(ones, o)
	}
	m := v.Magnification(longest, 80)
	type place struct{ X, Z float64 }
	done := map[place]bool{}
	for _, o := range ones {
		c, t := v.At(o.at), r3.Scale(m*v.Scale, o.tolerance)
		if key := (place{math.Round(o.at.X / 2), math.Round(o.at.Z / 2)}); t.X > 0 && t.Z > 0 && !done[key] {
			done[key] = true
			v.Path("ghost", true, Point{tenth(c.X - t.X), tenth(c.Y - t.Z)}, Point{tenth(c.X + t.X), tenth(c.Y - t.Z)},
				Point{tenth(c.X + t.X), tenth(c.Y + t.Z)}, Point{tenth(c.X - t.X), tenth(c.Y + t.Z)})
		}
	}
	for _, o := range ones {
		if InSide(o.off) < 0.05 {
			v.Dot("ring", v.At(o.at), 3)
			v.Label(v.At(o.at), o.name+": 0", "", "sw", "s")
			continue
		}
		c := v.At(o.at)
		tip := Point{tenth(c.X + m*v.Scale*o.off.X), tenth(c.Y - m*v.Scale*o.off.Z)}
		v.Dot("ring", c, 3)
		v.Arrow("move", c, tip)
		v.pins = append(v.pins, Box{min(c.X, tip.X), min(c.Y, tip.Y), max(c.X, tip.X), max(c.Y, tip.Y)})
		var parts []string
		if o.tolerance.X > 0 {
			parts = append(parts, signed(o.off.X)+" forward")
		}
		if o.tolerance.Z > 0 {
			parts = append(parts, signed(o.off.Z)+" up")
		}
		// A label lies where its arrow points.
		ways := []string{"e", "se", "ne"}
		if o.off.X < 0 {
			ways = []string{"w", "nw", "sw"}
		}
		if math.Abs(o.off.Z) > 2*math.Abs(o.off.X) {
			ways = append([]string{map[bool]string{true: "n", false: "s"}[o.off.Z > 0]}, ways...)
		}
		v.Label(tip, o.name+": "+strings.Join(parts, ", "), "", ways...)
	}
	return m
}

// Name is a site's name in words: "hoods left".
func Name(s contact.Site) string { return strings.ReplaceAll(s.String(), "_", " ") }

func signed(v float64) string {
	s := fixed(v)
	if v > 0 && s != "0.0" {
		s = "+" + s
	}
	return s
}
