package draw

import (
	"math"
	"strconv"

	"example.com/fitgeom/fitgeom"
)

// A Scale is the numbers along an axis.
type Scale struct{ From, To, Step float64 }

// numbers are at the steps.
func (s Scale) numbers() []float64 {
	var all []float64
	for i := 0; s.From+float64(i)*s.Step <= s.To+1e-9; i++ {
		all = append(all, s.From+float64(i)*s.Step)
	}
	return all
}

// along returns the px of a number on an axis whose ends are drawn at a and b.
func (s Scale) along(a, b, v float64) float64 { return a + (b-a)*(v-s.From)/(s.To-s.From) }

// Axes is a rectangle with numbers along its edges.
type Axes struct {
	f    *Figure
	box  Box
	x, y Scale
}

// Axes draws axes with lines at every step, numbered.
func (f *Figure) Axes(box Box, x, y Scale) Axes {
	a := Axes{f, box, x, y}
	line := func(p, q Point) {
		f.shapes = append(f.shapes, shape{Class: "rule", D: path(false, []Point{p, q})})
	}
	for _, v := range x.numbers() {
		p := a.At(v, y.From)
		line(p, Point{p.X, box.Y0})
		f.Text(Point{p.X, box.Y1 + 21}, 0, "quiet", strconv.FormatFloat(v, 'f', -1, 64))
	}
	for _, v := range y.numbers() {
		p := a.At(x.From, v)
		line(p, Point{box.X1, p.Y})
		f.Text(Point{box.X0 - 7, p.Y + 4}, 1, "quiet", strconv.FormatFloat(v, 'f', -1, 64))
	}
	f.Area("edge", []Point{{box.X0, box.Y0}, {box.X1, box.Y0}, {box.X1, box.Y1}, {box.X0, box.Y1}})
	return a
}

// At returns where a pair of numbers lies.
func (a Axes) At(x, y float64) Point {
	return Point{tenth(a.x.along(a.box.X0, a.box.X1, x)), tenth(a.y.along(a.box.Y1, a.box.Y0, y))}
}

// Holds reports whether a pair of numbers lies within the axes.
func (a Axes) Holds(x, y float64) bool {
	return x >= a.x.From && x <= a.x.To && y >= a.y.From && y <= a.y.To
}

// Curve draws a line through pairs of numbers.
func (a Axes) Curve(class string, xs, ys []float64) {
	points := make([]Point, len(xs))
	for i := range xs {
		points[i] = a.At(xs[i], ys[i])
	}
	a.f.Path(class, false, points...)
}

// A Room is how far something can still be moved, either way from where it is; negative
// where it is beyond its limit.
type Room struct {
	Name, Less, More string // what moves, and what its two ways are called
	Unit             string
	Down, Up         float64
	HasDown, HasUp   bool
}

var pairs = []struct {
	name, less, more string
	down, up         fitgeom.Limit
}{
	{"seatpost", "down", "up", fitgeom.LimitSeatpostDown, fitgeom.LimitSeatpostUp},
	{"saddle on its rails", "back", "forward", fitgeom.LimitSaddleBack, fitgeom.LimitSaddleForward},
	{"spacers under the stem", "fewer", "more", fitgeom.LimitSpacersDown, fitgeom.LimitSpacersUp},
	{"spacers on the stem", "", "more", fitgeom.LimitSpacersAbove, fitgeom.LimitSpacersAbove},
	{"bar rotation", "down", "up", fitgeom.LimitRotationDown, fitgeom.LimitRotationUp},
	{"aero bar tilt", "down", "up", fitgeom.LimitAeroTiltDown, fitgeom.LimitAeroTiltUp},
	{"pads: height", "down", "up", fitgeom.LimitPadsDown, fitgeom.LimitPadsUp},
	{"pads: reach", "back", "forward", fitgeom.LimitPadsBack, fitgeom.LimitPadsForward},
	{"pads: width", "closer", "apart", fitgeom.LimitPadsTogether, fitgeom.LimitPadsApart},
	{"extensions", "in", "out", fitgeom.LimitExtensionsIn, fitgeom.LimitExtensionsOut},
}

// roomsOf puts the margins of a build in pairs.
func roomsOf(margins []fitgeom.Margin) []Room {
	room := map[fitgeom.Limit]float64{}
	for _, m := range margins {
		room[m.Limit] = m.Room
	}
	var all []Room
	for _, p := range pairs {
		r := Room{Name: p.name, Less: p.less, More: p.more, Unit: p.up.Unit()}
		r.Up, r.HasUp = room[p.up]
		if p.down != p.up {
			r.Down, r.HasDown = room[p.down]
		}
		if r.HasUp || r.HasDown {
			all = append(all, r)
		}
	}
	return all
}

// Left draws the room that a build leaves.
func Left(name, title string, b fitgeom.Build) (*Figure, error) {
	margins, err := b.Margins()
	if err != nil {
		return nil, err
	}
	f := Bars(name, title, roomsOf(margins))
	f.Desc = "A bar to both sides of where each thing is set, as long as it may still move."
	f.Caption = "How far each setting can still move either way before it reaches its limit, with all others as they are. A thick line stands where it is at its stop."
	return f, nil
}

// Bars draws rooms as bars to both sides of where things are set.
func Bars(name, title string, rooms []Room) *Figure {
	const (
		head, row  = 58, 30
		mm, degree = 1.5, 8. // px
		text       = 185
	)
	per := func(r Room) float64 {
		if r.Unit == "degrees" {
			return degree
		}
		return mm
	}
	label := func(v float64, way, unit string) string {
		u := " mm"
		if unit == "degrees" {
			u = "°"
		}
		s := way + " " + fixed(v) + u
		switch {
		case v < -0.05:
			s = way + ": " + fixed(-v) + u + " beyond the limit"
		case v < 0.05:
			s = way + ": at its stop"
		}
		return s
	}
	left, right := 0., 0.
	for _, r := range rooms {
		if r.HasDown {
			left = max(left, per(r)*max(r.Down, 0)+10+Width(label(r.Down, r.Less, r.Unit), false))
		}
		if r.HasUp {
			right = max(right, per(r)*max(r.Up, 0)+10+Width(label(r.Up, r.More, r.Unit), false))
		}
	}
	zero := math.Ceil(14 + text + left + 6)
	f := &Figure{Name: name, Title: title, W: max(zero+math.Ceil(right)+16, 660), H: head + row*float64(len(rooms)) + 34}
	f.Text(Point{14, 22}, -1, "bold", title)
	f.Text(Point{zero, 44}, 0, "quiet", "as set")
	foot := f.H - 34
	for i, r := range rooms {
		y := head + row*float64(i)
		f.Text(Point{14, y + 18}, -1, "", r.Name)
		side := func(v, sign float64, anchor int, way string) {
			l := tenth(per(r) * max(v, 0))
			if v < 0.05 { // a wall
				f.Path("part", false, Point{zero + 2*sign, y + 3}, Point{zero + 2*sign, y + 25})
			}
			if l > 0 {
				f.Area("bar", []Point{{zero, y + 6}, {zero + sign*l, y + 6}, {zero + sign*l, y + 22}, {zero, y + 22}})
			}
			if v < 0 {
				l = tenth(per(r) * -v)
				f.Area("out", []Point{{zero, y + 6}, {zero - sign*l, y + 6}, {zero - sign*l, y + 22}, {zero, y + 22}})
				l = 0
			}
			f.Text(Point{tenth(zero + sign*(l+7)), y + 18}, anchor, "", label(v, way, r.Unit))
		}
		if r.HasDown {
			side(r.Down, -1, 1, r.Less)
		}
		if r.HasUp {
			side(r.Up, 1, -1, r.More)
		}
	}
	f.Path("s1", false, Point{zero, head - 6}, Point{zero, foot})
	f.Text(Point{14, f.H - 12}, -1, "quiet", "1 mm is "+num(mm)+" px, 1° is "+num(degree)+" px")
	return f
}

func fixed(v float64) string { return Fixed(v, 1) }

// Fixed prints a number with so many decimals, and never -0.
func Fixed(v float64, decimals int) string {
	scale := math.Pow10(decimals)
	return strconv.FormatFloat(math.Round(v*scale)/scale+0, 'f', decimals, 64)
}

// A Check is how far a number is off, in units of what chance lets expect.
type Check struct {
	Name, Text string // what it is, and its amount with unit
	Times      float64
	Marked     bool // worth a look first
}

// Checks draws numbers that are off as arrows, over a band that reaches one unit to
// both sides.
func Checks(name, title, unit string, all []Check) *Figure {
	const head, row, text = 58, 22, 190
	left, right, most := 0., 0., 1.
	for _, d := range all {
		most = max(most, math.Abs(d.Times))
	}
	per := math.Floor(240 / most) // px
	for _, d := range all {
		w := per*math.Abs(d.Times) + 12 + Width(d.Text, d.Marked)
		if d.Times < 0 {
			left = max(left, w)
		} else {
			right = max(right, w)
		}
	}
	zero := math.Ceil(14 + text + max(left, per+40))
	f := &Figure{Name: name, Title: title, W: zero + math.Ceil(max(right, per+40)) + 16, H: head + row*float64(len(all)) + 34}
	f.Text(Point{14, 22}, -1, "bold", title)
	foot := f.H - 30
	f.Area("bar", []Point{{zero - per, head - 6}, {zero + per, head - 6}, {zero + per, foot}, {zero - per, foot}})
	f.Text(Point{zero, 44}, 0, "quiet", "agrees")
	for i, d := range all {
		y := head + row*float64(i)
		class, line := "", "part"
		if d.Marked {
			class, line = "bold", "move"
		}
		f.Text(Point{14, y + 13}, -1, class, d.Name)
		tip := Point{tenth(zero + per*d.Times), y + 9}
		f.Arrow(line, Point{zero, y + 9}, tip)
		anchor, x := -1, max(tip.X, zero+per)+6
		if d.Times < 0 {
			anchor, x = 1, min(tip.X, zero-per)-6
		}
		f.Text(Point{tenth(x), y + 13}, anchor, class, d.Text)
	}
	f.Path("s1", false, Point{zero, head - 6}, Point{zero, foot})
	f.Text(Point{14, f.H - 10}, -1, "quiet", unit+" is "+num(per)+" px, the width of the band to each side")
	return f
}
