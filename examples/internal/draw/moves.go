package draw

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"gonum.org/v1/gonum/spatial/r3"
	"gonum.org/v1/gonum/stat/distuv"
)

// Sessions is what moved between two surveys.
type Sessions struct {
	Survey        survey.Survey // the first, for its bike
	Before, After survey.Fix
	Moves         []contact.Move
	Coverage      float64
	// Tolerance is how far each site may be off, by its verdict. None: it goes by chance alone.
	Tolerance map[contact.Site]r3.Vec
}

// A panel is a part of the bike by itself, from one side.
type panel struct {
	title string
	above bool // seen from above, with the left side up; otherwise from the right side
	moves []contact.Move
}

// seen returns a point as a panel shows it.
func (p panel) seen(at r3.Vec) r3.Vec {
	if p.above {
		return r3.Vec{X: at.X, Z: at.Y}
	}
	return r3.Vec{X: at.X, Z: at.Z}
}

// axes are the two that a panel shows.
func (p panel) axes(s contact.Site) (x, z contact.Coordinate) {
	x, z = contact.Coordinate{Site: s, Axis: contact.AxisX}, contact.Coordinate{Site: s, Axis: contact.AxisZ}
	if p.above {
		z.Axis = contact.AxisY
	}
	return x, z
}

// panels puts moves together: saddle, left hand, right hand, and pedals from above, where their
// height is 0 by definition.
func panels(moves []contact.Move) []panel {
	all := []panel{{title: "saddle"}, {title: "hands: left and middle"}, {title: "hands: right"}, {title: "pedals, from above", above: true}}
	for _, m := range moves {
		i := 1
		switch {
		case m.Site.Group() == contact.OnSaddle:
			i = 0
		case m.Site.Group() == contact.OnPedals:
			i = 3
		case m.Site.Side() == contact.Right:
			i = 2
		}
		all[i].moves = append(all[i].moves, m)
	}
	return slices.DeleteFunc(all, func(p panel) bool { return len(p.moves) == 0 })
}

// Moves draws where each site went between two sessions, and how sure that is: beside the bike
// of the first a panel for each part of it.
func Moves(name, title string, s Sessions) *Figure {
	const (
		wide, high = 424., 236. // px of a panel
		edge       = 14.
		room       = 60. // px beside the sites, for arrows and names
	)
	all, head := panels(s.Moves), 64.
	if len(s.Tolerance) > 0 {
		head = 84
	}
	longest := 0.
	scale := 0.6 // px to a mm
	for _, p := range all {
		x0, x1, z0, z1 := p.box(s.Before.Position)
		scale = min(scale, (wide-3*room)/max(x1-x0, 1), (high-2*room)/max(z1-z0, 1))
		for _, m := range p.moves {
			by := p.seen(m.By)
			longest = max(longest, InSide(by))
			t := p.seen(s.Tolerance[m.Site])
			longest = max(longest, t.X, t.Z)
		}
	}
	scale = math.Floor(20*scale) / 20
	cells := len(all) + 1
	f := &Figure{Name: name, Title: title, W: 2*wide + 2*edge, H: head + high*math.Ceil(float64(cells)/2) + 34}
	f.Text(Point{edge, 22}, -1, "bold", title)
	v := &View{Figure: f, Scale: scale}
	magnified := v.Magnification(longest, room)
	cell := func(i int) Box {
		x, y := edge+wide*float64(i%2), head+high*math.Floor(float64(i)/2)
		return Box{x, y, x + wide - 10, y + high - 10}
	}
	// The bike, small, to show where its parts are.
	const overview = 0.16
	c := cell(0)
	bike := &View{Figure: f, Scale: overview, ox: c.X0 + 960*overview, oy: c.Y1 - 340*overview}
	f.Text(Point{c.X0 + 8, c.Y0 + 18}, -1, "quiet", "the bike of the first session, 1 mm is "+strconv.FormatFloat(overview, 'f', -1, 64)+" px")
	bike.Bike(s.Before, s.Survey.FrontRadius, s.Survey.RearRadius)
	bike.Contacts("part", s.Before.Position)
	bike.Hands("ghost", s.Before.Position)
	for _, m := range s.Moves {
		at, _ := s.Before.Position.At(m.Site)
		bike.Dot("ring", bike.At(at), 2.5)
	}
	v.box(c)
	both := s.Before.Covariance.Add(s.After.Covariance)
	for i, p := range all {
		v.box(cell(i + 1))
		v.panel(cell(i+1), p, s, both, magnified)
	}
	v.Legend(44, [2]string{"dot:ring", "where it was"}, [2]string{"arrow:move", "where it went, drawn " + strconv.FormatFloat(magnified, 'f', -1, 64) + " times as far"},
		[2]string{"area:cloud", fmt.Sprintf("where it may be, at %s %%, as much magnified", fixed(100*s.Coverage))})
	if len(s.Tolerance) > 0 {
		v.Legend(66, [2]string{"ghost", "tolerance, as much magnified"})
	}
	f.Text(Point{edge, f.H - 13}, -1, "quiet", "in the panels 1 mm is "+num(scale)+" px; forward is to the right")
	v.Desc = "The bike, small, and for saddle, left hand, right hand and pedals a panel with an arrow from where each site was to where it went, and round its end the ellipse of its uncertainty."
	v.Caption = "An ellipse that does not contain the ring where the site was shows a real difference. One that contains it proves nothing by itself: sites also move in the direction that a panel does not show, and the table counts all three."
	if len(s.Tolerance) > 0 {
		v.Caption += " An arrow that ends within its dashed frame is within tolerance."
	}
	return f
}

// box is what the sites of a panel take, mm.
func (p panel) box(at contact.Position) (x0, x1, z0, z1 float64) {
	x0, z0, x1, z1 = math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, m := range p.moves {
		site, _ := at.At(m.Site)
		q := p.seen(site)
		x0, x1, z0, z1 = min(x0, q.X), max(x1, q.X), min(z0, q.Z), max(z1, q.Z)
	}
	return x0, x1, z0, z1
}

// box draws the edge of a panel.
func (v *View) box(b Box) {
	v.Path("rule", true, Point{b.X0, b.Y0}, Point{b.X1, b.Y0}, Point{b.X1, b.Y1}, Point{b.X0, b.Y1})
}

// panel draws one panel in its place.
func (v *View) panel(c Box, p panel, s Sessions, both contact.Covariance, magnified float64) {
	x0, x1, z0, z1 := p.box(s.Before.Position)
	v.ox, v.oy = tenth((c.X0+c.X1)/2-v.Scale*(x0+x1)/2), tenth((c.Y0+c.Y1+16)/2+v.Scale*(z0+z1)/2)
	v.Text(Point{c.X0 + 8, c.Y0 + 18}, -1, "quiet", p.title)
	// The shadow of the ellipsoid in which the true move lies with the coverage.
	k := math.Sqrt(distuv.ChiSquared{K: 3}.Quantile(s.Coverage))
	place := func(m contact.Move) r3.Vec {
		at, _ := s.Before.Position.At(m.Site)
		return p.seen(at)
	}
	tip := func(m contact.Move) Point { return v.At(r3.Add(place(m), r3.Scale(magnified, p.seen(m.By)))) }
	var line []r3.Vec
	for _, m := range p.moves {
		line = append(line, place(m))
	}
	slices.SortFunc(line, func(a, b r3.Vec) int { return cmp.Compare(a.X, b.X) })
	if !p.above {
		v.Line("faint", line...)
	}
	for _, m := range p.moves {
		x, z := p.axes(m.Site)
		xx, _ := both.At(x, x)
		xz, _ := both.At(x, z)
		zz, _ := both.At(z, z)
		v.Ellipse(tip(m), xx, xz, zz, k, magnified)
	}
	for _, m := range p.moves {
		at := v.At(place(m))
		if t := r3.Scale(magnified*v.Scale, p.seen(s.Tolerance[m.Site])); t.X > 0 && t.Z > 0 {
			v.Path("ghost", true, Point{tenth(at.X - t.X), tenth(at.Y - t.Z)}, Point{tenth(at.X + t.X), tenth(at.Y - t.Z)},
				Point{tenth(at.X + t.X), tenth(at.Y + t.Z)}, Point{tenth(at.X - t.X), tenth(at.Y + t.Z)})
		}
		v.Dot("ring", at, 3.5)
		v.Arrow("move", at, tip(m))
	}
	for _, m := range p.moves {
		name, class, ways := Words(m.Site), "", []string{"se", "s", "e"}
		if m.Real {
			name, class, ways = name+": moved", "bold", []string{"n", "ne", "nw"}
		}
		v.Label(tip(m), name, class, ways...)
	}
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
