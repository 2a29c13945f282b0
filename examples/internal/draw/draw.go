// Package draw makes the figures of the examples: SVG, computed and to scale,
// for light and dark, with labels that keep clear of one another.
//
// Nothing depends on colour: what must be told apart differs in dashes, in shape
// or by a label as well. Coordinates are rounded to 0.1 px when they come in, so
// that a figure is the same on every processor.
package draw

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Point is a place in a figure, in px: X to the right, Y down.
type Point struct{ X, Y float64 }

// Figure is a drawing under way.
type Figure struct {
	Name    string // of its file, without .svg; unique among all examples
	Title   string
	Desc    string // what there is to see, for those who do not see it
	Caption string // under the figure
	W, H    float64

	shapes []shape
	texts  []text
	labels []label
	pins   []Box  // no label may cover them
	lines  []line // labels had better not cross them
	faults []string
}

// line is a stretch that costs a label something to lie on.
type line struct {
	ends [2]Point
	cost float64
}

// costs of the lines that a label hides, by class; of others it is 7.
var costs = map[string]float64{"part": 18, "move": 18, "tube": 12, "faint": 5, "wheel": 5, "ext": 5}

func (f *Figure) avoid(class string, p, q Point) {
	cost, ok := costs[class]
	if !ok {
		cost = 7
	}
	f.lines = append(f.lines, line{[2]Point{p, q}, cost})
}

type shape struct {
	Class, D string
	X, Y, R  string // a circle if R is not empty
}

type text struct {
	Class, X, Y, Anchor, S string
	box                    Box
}

// Box is a rectangle in px.
type Box struct{ X0, Y0, X1, Y1 float64 }

func (b Box) overlaps(c Box) bool {
	const touch = 0.05
	return b.X0 < c.X1-touch && c.X0 < b.X1-touch && b.Y0 < c.Y1-touch && c.Y0 < b.Y1-touch
}

func (b Box) grown(by float64) Box { return Box{b.X0 - by, b.Y0 - by, b.X1 + by, b.Y1 + by} }

// crosses reports whether a line from p to q touches the box.
func (b Box) crosses(p, q Point) bool {
	from, to := 0., 1.
	for _, s := range [4][2]float64{{p.X - q.X, p.X - b.X0}, {q.X - p.X, b.X1 - p.X}, {p.Y - q.Y, p.Y - b.Y0}, {q.Y - p.Y, b.Y1 - p.Y}} {
		switch {
		case s[0] == 0 && s[1] < 0:
			return false
		case s[0] < 0:
			from = max(from, s[1]/s[0])
		case s[0] > 0:
			to = min(to, s[1]/s[0])
		}
	}
	return from <= to
}

// tenth rounds to 0.1.
func tenth(v float64) float64 { return math.Round(v*10)/10 + 0 }

func num(v float64) string { return strconv.FormatFloat(tenth(v), 'f', -1, 64) }

// size is the height of all letters, px.
const size = 13

// widths of the letters of a wide typeface (DejaVu Sans), in thousandths of the
// letters' height: others need less.
var widths = func() map[rune]float64 {
	m := map[rune]float64{}
	for _, g := range []struct {
		letters string
		width   float64
	}{
		{"ijlI|'", 295},
		{" .,:;/!", 340},
		{"fJ()[]-rt", 415},
		{"csz\"_–°·…", 555},
		{"akxvyeLE?F", 640},
		{"bdghnopqu0123456789STPZXYBRK", 700},
		{"ACVUwDNHGOQ&$", 825},
		{"+−±×<>=≤≥mM→←↑↓–%W", 1000},
	} {
		for _, r := range g.letters {
			m[r] = g.width
		}
	}
	return m
}()

// Width returns the greatest width that a text may take, px.
func Width(s string, bold bool) float64 {
	w := 0.
	for _, r := range s {
		k, ok := widths[r]
		if !ok {
			k = 900
		}
		w += k
	}
	if bold {
		w *= 1.13
	}
	return w * size / 1000
}

// box of a text of which the baseline starts (anchor -1), has its middle (0) or
// ends (1) at p.
func textBox(p Point, anchor int, s string, bold bool) Box {
	w := Width(s, bold)
	x := p.X - w*float64(anchor+1)/2
	return Box{x, p.Y - 0.95*size, x + w, p.Y + 0.3*size}
}

// Text writes at a place, and no label will be put there.
func (f *Figure) Text(p Point, anchor int, class, s string) {
	bold := strings.Contains(class, "bold")
	t := text{class, num(p.X), num(p.Y), [...]string{"start", "middle", "end"}[anchor+1], s, textBox(p, anchor, s, bold)}
	f.texts = append(f.texts, t)
}

// Path draws lines from point to point.
func (f *Figure) Path(class string, closed bool, points ...Point) {
	f.shapes = append(f.shapes, shape{Class: class, D: path(closed, points)})
	for i := 1; i < len(points); i++ {
		f.avoid(class, points[i-1], points[i])
	}
	if closed && len(points) > 0 {
		f.avoid(class, points[len(points)-1], points[0])
	}
}

// Area fills polygons, holes included, and draws their edges.
func (f *Figure) Area(class string, polygons ...[]Point) {
	var d strings.Builder
	for _, p := range polygons {
		d.WriteString(path(true, p))
	}
	f.shapes = append(f.shapes, shape{Class: class, D: d.String()})
}

func path(closed bool, points []Point) string {
	var d []byte
	for i, p := range points {
		way := byte('L')
		if i == 0 {
			way = 'M'
		}
		d = strconv.AppendFloat(append(d, way), tenth(p.X), 'f', -1, 64)
		d = strconv.AppendFloat(append(d, ' '), tenth(p.Y), 'f', -1, 64)
	}
	if closed {
		d = append(d, 'Z')
	}
	return string(d)
}

// Circle draws a circle, round which labels may lie.
func (f *Figure) Circle(class string, c Point, r float64) {
	f.shapes = append(f.shapes, shape{Class: class, X: num(c.X), Y: num(c.Y), R: num(r)})
	const n = 24
	at := func(i int) Point {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / n)
		return Point{tenth(c.X + r*cos), tenth(c.Y + r*sin)}
	}
	for i := range n {
		f.avoid(class, at(i), at(i+1))
	}
}

// Dot draws a mark that no label covers: "disc", "ring", "square" or "diamond".
func (f *Figure) Dot(shapeOf string, c Point, r float64) {
	switch shapeOf {
	case "square":
		f.Area("mark", []Point{{c.X - r, c.Y - r}, {c.X + r, c.Y - r}, {c.X + r, c.Y + r}, {c.X - r, c.Y + r}})
	case "diamond":
		d := 1.3 * r
		f.Area("mark", []Point{{c.X, c.Y - d}, {c.X + d, c.Y}, {c.X, c.Y + d}, {c.X - d, c.Y}})
	default:
		f.shapes = append(f.shapes, shape{Class: shapeOf, X: num(c.X), Y: num(c.Y), R: num(r)})
	}
	f.pins = append(f.pins, Box{c.X, c.Y, c.X, c.Y}.grown(r+1))
}

// Arrow draws a line with a head at its end; a head is left out where the line
// is too short for it.
func (f *Figure) Arrow(class string, from, to Point) {
	f.Path(class, false, from, to)
	f.head(class, from, to)
}

func (f *Figure) head(class string, from, to Point) {
	dx, dy := to.X-from.X, to.Y-from.Y
	l := math.Hypot(dx, dy)
	const long, half = 9, 3
	if l < long {
		return
	}
	dx, dy = dx/l, dy/l
	base := Point{to.X - long*dx, to.Y - long*dy}
	f.pins = append(f.pins, Box{min(to.X, base.X), min(to.Y, base.Y), max(to.X, base.X), max(to.Y, base.Y)}.grown(1))
	f.Area("head "+class, []Point{to, {tenth(base.X - half*dy), tenth(base.Y + half*dx)}, {tenth(base.X + half*dy), tenth(base.Y - half*dx)}})
}

// label is a text that goes where there is room.
type label struct {
	s, class string
	places   []place
	// from is what the label belongs to: a line leads there from a label that had
	// to go far.
	from Point
	lead bool
	own  [2]Point // a line that it may lie on
}

// place is one of the places that a label may take, the better the less it costs.
type place struct {
	at     Point
	anchor int
	cost   float64
	far    bool // from what it belongs to
	on     bool // a line, which is broken there
}

// Label names a point. It lies as near as there is room; of the ways "e", "ne",
// "n" and so on (up is n) those given are tried first.
func (f *Figure) Label(at Point, s, class string, ways ...string) {
	l := label{s: s, class: class, from: at, lead: true}
	all := append(append([]string(nil), ways...), "e", "ne", "se", "n", "s", "w", "nw", "sw")
	seen := map[string]bool{}
	rank := 0.
	for _, w := range all {
		if seen[w] {
			continue
		}
		seen[w] = true
		for _, d := range []float64{8, 16, 28, 42, 60, 80, 104, 130, 160} {
			dx, dy, anchor := 0., 0., 0
			slant := 1.
			if len(w) == 2 {
				slant = 0.75
			}
			if strings.Contains(w, "e") {
				dx, anchor = d*slant, -1
			}
			if strings.Contains(w, "w") {
				dx, anchor = -d*slant, 1
			}
			mid := 0.33 * size // from a text's middle down to its baseline
			if strings.Contains(w, "n") {
				dy = -d*slant - 0.3*size
				mid = 0
			}
			if strings.Contains(w, "s") {
				dy = d*slant + 0.95*size
				mid = 0
			}
			l.places = append(l.places, place{at: Point{tenth(at.X + dx), tenth(at.Y + dy + mid)}, anchor: anchor, cost: d + 3*rank, far: d > 16})
		}
		rank++
	}
	f.labels = append(f.labels, l)
}

// settle finds places for all labels, in the order in which they were asked for.
func (f *Figure) settle() {
	var leads, gaps []shape
	for _, l := range f.labels {
		best, cost := -1, math.Inf(1)
		bold := strings.Contains(l.class, "bold")
		for i, p := range l.places {
			b := textBox(p.at, p.anchor, l.s, bold)
			if p.cost >= cost || b.X0 < 2 || b.Y0 < 2 || b.X1 > f.W-2 || b.Y1 > f.H-2 || f.taken(b.grown(1.5)) {
				continue
			}
			c := p.cost
			for _, s := range f.lines {
				if s.ends != l.own && b.crosses(s.ends[0], s.ends[1]) {
					c += s.cost
				}
			}
			if c < cost-1e-6 {
				best, cost = i, c
			}
		}
		if best < 0 {
			f.faults = append(f.faults, "no room for "+strconv.Quote(l.s))
			continue
		}
		p := l.places[best]
		f.Text(p.at, p.anchor, l.class, l.s)
		if p.on {
			b := textBox(p.at, p.anchor, l.s, bold).grown(1)
			gaps = append(gaps, shape{Class: "gap", D: path(true, []Point{{b.X0, b.Y0 + 2}, {b.X1, b.Y0 + 2}, {b.X1, b.Y1 - 1}, {b.X0, b.Y1 - 1}})})
		}
		if p.far && l.lead {
			b := textBox(p.at, p.anchor, l.s, bold)
			to := Point{min(max(l.from.X, b.X0), b.X1), min(max(l.from.Y, b.Y0+2), b.Y1)}
			leads = append(leads, shape{Class: "lead", D: path(false, []Point{l.from, to})})
		}
	}
	f.labels = nil
	f.shapes = append(append(f.shapes, gaps...), leads...)
}

func (f *Figure) taken(b Box) bool {
	for _, t := range f.texts {
		if b.overlaps(t.box) {
			return true
		}
	}
	return slices.ContainsFunc(f.pins, b.overlaps)
}

// Faults lists labels for which there was no room, texts that overlap one
// another and texts that leave the figure, by the widths of a wide typeface.
func (f *Figure) Faults() []string {
	f.settle()
	all := append([]string(nil), f.faults...)
	for i, t := range f.texts {
		if t.box.X0 < 0 || t.box.Y0 < 0 || t.box.X1 > f.W || t.box.Y1 > f.H {
			all = append(all, strconv.Quote(t.S)+" leaves the figure")
		}
		for _, u := range f.texts[:i] {
			if t.box.overlaps(u.box) {
				all = append(all, strconv.Quote(t.S)+" lies on "+strconv.Quote(u.S))
			}
		}
	}
	return all
}

// write writes the figure. It is also what a page in a browser draws anew at each move,
// and html/template is several times as large as all else that takes.
func (f *Figure) write(style string) string {
	f.settle()
	var b strings.Builder
	w, h, name := num(f.W), num(f.H), escape.Replace(f.Name)
	fmt.Fprintf(&b, `<svg class="fg" xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %s %s" width="%s" height="%s" role="img" aria-labelledby="%s-t %s-d">`, w, h, w, h, name, name)
	fmt.Fprintf(&b, "\n<title id=\"%s-t\">%s</title>\n<desc id=\"%s-d\">%s</desc>", name, escape.Replace(f.Title), name, escape.Replace(f.Desc))
	if style != "" {
		b.WriteString("\n<style>\n" + style + "</style>")
	}
	fmt.Fprintf(&b, "\n<rect class=\"paper\" width=\"%s\" height=\"%s\"/>", w, h)
	put := func(all ...string) { // of hundreds of shapes, so that it makes no garbage
		for _, s := range all {
			b.WriteString(s)
		}
	}
	for _, s := range f.shapes {
		if s.R != "" {
			put("\n<circle class=\"", s.Class, `" cx="`, s.X, `" cy="`, s.Y, `" r="`, s.R, `"/>`)
			continue
		}
		put("\n<path class=\"", s.Class, `" d="`, s.D, `"/>`)
	}
	for _, t := range f.texts {
		b.WriteString("\n<text")
		if t.Class != "" {
			b.WriteString(` class="` + t.Class + `"`)
		}
		fmt.Fprintf(&b, ` x="%s" y="%s"`, t.X, t.Y)
		if t.Anchor != "start" {
			b.WriteString(` text-anchor="` + t.Anchor + `"`)
		}
		b.WriteString(">" + escape.Replace(t.S) + "</text>")
	}
	b.WriteString("\n</svg>\n")
	return b.String()
}

// escape keeps what is text from being read as marks.
var escape = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&#34;")

// Escape returns a text as SVG and HTML have it.
func Escape(s string) string { return escape.Replace(s) }

// Wraps reports whether a cell of a table has so many words that a screen may set them on
// several lines; a name such as "stem 90 −6°" stays whole.
func Wraps(cell string) bool { return utf8.RuneCountInString(cell) > 26 }

// SVG returns the figure as a file of its own.
func (f *Figure) SVG() string { return f.write(Style) }

// Inline returns the figure for a page that has Style already.
func (f *Figure) Inline() string { return f.write("") }
