package draw

import (
	"math"
	"strconv"
	"strings"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/convert"
	"example.com/fitgeom/fitgeom"
	"gonum.org/v1/gonum/spatial/r3"
)

// Off draws how far a candidate is off a target.
func Off(name, title string, target contact.Position, c fitgeom.Candidate) (*Figure, error) {
	v, err := SideOf(name, title, c.Build, 66)
	if err != nil {
		return nil, err
	}
	p, err := c.Build.Position()
	if err != nil {
		return nil, err
	}
	v.Frame("faint", c.Build.Frame, c.Build.Wheels)
	want := wantedOf(target, p, c.Deviations)
	v.Contacts("ghost", want)
	v.Contacts("part", p)
	m := v.Deviations(want, c.Deviations)
	v.Legend(44, [2]string{"part", "the build"}, [2]string{"ghost", "what is wanted, and the tolerances"},
		[2]string{"arrow:move", "what it is off by; arrows and tolerances " + strconv.FormatFloat(m, 'f', -1, 64) + " times as large"})
	v.Desc = "Side view of the contact points, with an arrow at each kept site from where it is wanted to where the build puts it, and a frame for the tolerance."
	v.Caption = "Solid: the build. Dashed: where saddle, bar and cranks are wanted. An arrow that ends within its dashed frame is within tolerance. The figure leaves out what was not asked for, and sideways deviations; the table has them."
	return v.Figure, nil
}

// Against draws a whole build in a window of a size that does not hang on it, with
// measures, and how far off a target it is.
func Against(name, title string, target contact.Position, c fitgeom.Candidate, r Window, lines []Line) (*Figure, error) {
	r.Head = 66
	v, b := Side(name, title, r), c.Build
	g, w := b.Frame.Geometry, b.Wheels.On(b.Frame.Geometry)
	pitch, _ := g.Pitch(w)
	if rear, ok := g.RearAxle(); ok {
		rear.Z += w.RearSag
		v.Ground(w.RearRadius - pitched(rear, pitch).Z)
	}
	v.Contacts("ghost", target)
	p, err := v.Build(b)
	if err != nil {
		return nil, err
	}
	m := v.Deviations(target, c.Deviations)
	for _, l := range lines {
		v.Measure(p, convert.Basis{SeatAngle: g.SeatAngle - pitch}, l)
	}
	v.Legend(44, [2]string{"part", "the bike as it is set"}, [2]string{"ghost", "what is wanted, and the tolerances"},
		[2]string{"arrow:move", "off by; arrows and tolerances " + strconv.FormatFloat(m, 'f', -1, 64) + " times as large"})
	v.Desc = "Side view of the bike as the controls set it, with an arrow at each kept site from where it is wanted to where it is."
	v.Caption = "From the right side, to scale. An arrow that ends within its dashed frame is within tolerance."
	return v.Figure, nil
}

// WindowOf returns a window that has room for a build with its wheels, and for measures in
// front of the bar.
func WindowOf(b fitgeom.Build) (Window, error) {
	p, err := b.Position()
	if err != nil {
		return Window{}, err
	}
	x0, x1, z0, z1 := -460., 700., -230., 0.
	for _, at := range p.All() {
		x0, x1, z1 = min(x0, at.X-60), max(x1, at.X+60), max(z1, at.Z+130)
	}
	x1 += 320
	if front, ok := b.Frame.Geometry.FrontAxle(); ok {
		rear, _ := b.Frame.Geometry.RearAxle()
		w := b.Wheels.On(b.Frame.Geometry)
		r := max(w.FrontRadius, w.RearRadius)
		x0, x1, z0 = min(x0, rear.X-r-40), max(x1, front.X+r+60), rear.Z-r-40
	} else if g := b.Frame.Geometry; true {
		_, front, _ := fork(g.HeadTop(), g.SteererUp(), usualRear.Z)
		x0, x1, z0 = min(x0, usualRear.X-usualRadius-40), max(x1, front.X+usualRadius+60), usualRear.Z-usualRadius-40
	}
	grid := func(v float64) float64 { return 10 * math.Round(v/10) }
	return Window{X0: grid(x0), X1: grid(x1), Z0: grid(z0), Z1: grid(z1)}, nil
}

// wantedOf returns a target with the saddle where the cranks of a build want it.
func wantedOf(target, build contact.Position, all []fitgeom.Deviation) contact.Position {
	for _, d := range all {
		if d.Site != contact.SaddleReference {
			continue
		}
		to, _ := d.Wanted(build)
		from, _ := target.At(d.Site)
		shift := r3.Sub(to, from)
		for site, at := range target.All() {
			if site.Group() == contact.OnSaddle {
				target.Set(site, r3.Add(at, shift))
			}
		}
	}
	return target
}

// Deviations draws how far off a build is at each kept site: a frame round where
// the site is wanted, as far out as the tolerance, and an arrow to where it is,
// both magnified. It returns how much. What was not asked for is not drawn, and left
// and right are one where they are alike in the side view.
func (v *View) Deviations(wanted contact.Position, all []fitgeom.Deviation) float64 {
	ones, longest := inSideView(wanted, all)
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
		v.deviation(o, m)
	}
	return m
}

// off is how far off one site is in the side view, or a pair that is off alike.
type off struct {
	at, by, tolerance r3.Vec
	name              string
}

// inSideView puts deviations in order for a figure, and tells the longest length of
// any of them.
func inSideView(wanted contact.Position, all []fitgeom.Deviation) (ones []off, longest float64) {
	for _, d := range all {
		o := off{by: d.Off, tolerance: d.Tolerance, name: Words(d.Site)}
		o.at, _ = wanted.At(d.Site)
		if d.Tolerance.X == 0 {
			o.by.X = 0
		}
		if d.Tolerance.Z == 0 {
			o.by.Z = 0
		}
		longest = max(longest, InSide(o.by), d.Tolerance.X, d.Tolerance.Z)
		if n := len(ones); n > 0 && d.Site.Side() == contact.Right {
			left := &ones[n-1]
			if left.name == Words(d.Site.On(contact.Left)) && InSide(r3.Sub(left.by, o.by)) < 0.05 && InSide(r3.Sub(left.at, o.at)) < 3.5 {
				left.name = strings.TrimSuffix(o.name, " right") + ", both"
				continue
			}
		}
		ones = append(ones, o)
	}
	return ones, longest
}

// deviation draws one arrow, so many times as long, with its name and numbers.
func (v *View) deviation(o off, magnified float64) {
	c := v.At(o.at)
	v.Dot("ring", c, 3)
	if InSide(o.by) < 0.05 {
		v.Label(c, o.name+": 0", "", "sw", "s")
		return
	}
	tip := Point{tenth(c.X + magnified*v.Scale*o.by.X), tenth(c.Y - magnified*v.Scale*o.by.Z)}
	v.Arrow("move", c, tip)
	v.pins = append(v.pins, Box{min(c.X, tip.X), min(c.Y, tip.Y), max(c.X, tip.X), max(c.Y, tip.Y)})
	var parts []string
	if o.tolerance.X > 0 {
		parts = append(parts, signed(o.by.X)+" forward")
	}
	if o.tolerance.Z > 0 {
		parts = append(parts, signed(o.by.Z)+" up")
	}
	// A label lies where its arrow points.
	ways := []string{"e", "se", "ne"}
	if o.by.X < 0 {
		ways = []string{"w", "nw", "sw"}
	}
	if math.Abs(o.by.Z) > 2*math.Abs(o.by.X) {
		ways = append([]string{map[bool]string{true: "n", false: "s"}[o.by.Z > 0]}, ways...)
	}
	v.Label(tip, o.name+": "+strings.Join(parts, ", "), "", ways...)
}

func signed(v float64) string {
	s := fixed(v)
	if v > 0 && s != "0.0" {
		s = "+" + s
	}
	return s
}
