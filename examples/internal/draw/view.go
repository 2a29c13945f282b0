package draw

import (
	"cmp"
	"math"
	"strconv"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"
)

// View is a figure of the bike's right side, so that forward is to the right, to
// scale.
type View struct {
	*Figure
	Scale  float64 // px to a mm
	ox, oy float64 // px of the bottom bracket
	nose   float64 // degrees by which all is turned nose-up about the bottom bracket
}

// A Window is what a view has room for.
type Window struct {
	// X0 to X1 mm in front of the bottom bracket, and Z0 to Z1 mm above it.
	X0, X1, Z0, Z1 float64
	// Head px above that, for a title and a legend.
	Head float64
	// Scale is px to a mm. Zero: 0.5.
	Scale float64
}

// Side begins a view.
func Side(name, title string, r Window) *View {
	const pad, foot = 14, 34
	scale := cmp.Or(r.Scale, 0.5)
	w, h := math.Round(scale*(r.X1-r.X0))+2*pad, math.Round(scale*(r.Z1-r.Z0))+r.Head+foot
	v := &View{Figure: &Figure{Name: name, Title: title, W: w, H: h}, Scale: scale, ox: pad - scale*r.X0, oy: r.Head + scale*r.Z1}
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

// At returns where a point of the bike is drawn.
func (v *View) At(p r3.Vec) Point {
	if v.nose != 0 {
		p = pitched(p, v.nose)
	}
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

// Horizontal draws a horizontal measure, z mm above the bottom bracket.
func (v *View) Horizontal(a, b r3.Vec, z float64, s string) {
	v.dimension(v.At(a), v.At(b), v.At(r3.Vec{X: a.X, Z: z}), v.At(r3.Vec{X: b.X, Z: z}), s)
}

// Vertical draws a vertical measure, x mm in front of the bottom bracket.
func (v *View) Vertical(a, b r3.Vec, x float64, s string) {
	v.dimension(v.At(a), v.At(b), v.At(r3.Vec{X: x, Z: a.Z}), v.At(r3.Vec{X: x, Z: b.Z}), s)
}

// Straight draws a measure straight from a to b in the side view, off mm to the
// left of the way from a to b.
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

// magnifications that arrows may have.
var magnifications = []float64{1, 2, 5, 10, 20, 50, 100, 200}

// Magnification returns how much longer to draw moves of a bike than they are, so that
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

// InSide returns how long a move is in the side view, mm.
func InSide(by r3.Vec) float64 { return math.Hypot(by.X, by.Z) }

// pitched turns a point of the frame nose-up about the bottom bracket.
func pitched(p r3.Vec, degrees float64) r3.Vec {
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	return r3.Vec{X: p.X*cos - p.Z*sin, Z: p.X*sin + p.Z*cos}
}
