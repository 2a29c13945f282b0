package draw

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/rank"
	"example.com/fitgeom/fitgeom/region"
)

// Host is what the figure of a region shows.
type Host struct {
	Region region.Region
	Level  []region.Outline // where hands are Movable
	// HeadFrom and HeadTo are the head angles that it was made for, degrees.
	HeadFrom, HeadTo float64
	Sizes            []fitgeom.Size
	Holds            []bool // by the place of the size
	Best             []rank.Choice
	Now              region.HeadPlace // where the rider is
	// Moved is how far the position has been moved since the region was made, which moves
	// with it.
	Moved region.HeadPlace
}

// moved returns a place as far away as the region was moved.
func (h Host) moved(p region.HeadPlace) region.HeadPlace {
	return region.HeadPlace{Reach: p.Reach + h.Moved.Reach, Stack: p.Stack + h.Moved.Stack}
}

// Movable is what hands should be able to move, for the level line of a region.
var Movable = region.Room{Up: 10, Down: 10}

// Region draws where the head tube's top may be, and the frames, with so many px to
// a mm.
func Region(name string, scale float64, h Host) *Figure {
	const (
		margin = 12. // mm round the region
		named  = 5   // frames of the ranking
		scrap  = 25. // mm²
	)
	lo, hi := h.Now, h.Now
	outlines := h.Region.Outlines()
	for _, o := range outlines {
		for _, p := range o.Places {
			p = h.moved(p)
			lo.Reach, lo.Stack = min(lo.Reach, p.Reach), min(lo.Stack, p.Stack)
			hi.Reach, hi.Stack = max(hi.Reach, p.Reach), max(hi.Stack, p.Stack)
		}
	}
	lo.Reach, lo.Stack = 10*math.Floor((lo.Reach-3*margin)/10), 10*math.Floor((lo.Stack-margin)/10)
	hi.Reach, hi.Stack = 10*math.Ceil((hi.Reach+margin)/10), 10*math.Ceil((hi.Stack+margin)/10)
	box := Box{X0: 58, Y0: 98}
	box.X1, box.Y1 = box.X0+scale*(hi.Reach-lo.Reach), box.Y0+scale*(hi.Stack-lo.Stack)
	f := &Figure{
		Name: name, Title: "Where the head tube's top may be: stack over reach, mm",
		Desc: "Reach to the right and stack upwards. The outlined region can hold the position; filled dots are frames that do, " +
			"hollow ones frames that do not. The best of the ranking are named, and the stems beside the longer parts of the edge that they make. " +
			"Inside the dashed line the hands can still move.",
		Caption: fmt.Sprintf("A frame whose head tube ends in the region can put the hands where they are wanted, with a stem and spacers from the shelf, at a head angle from %s° to %s°. "+
			"Hollow dots in the region are frames that would hold the position at another head angle than their own, or that fail at the seat.", fixed(h.HeadFrom), fixed(h.HeadTo)) +
			fmt.Sprintf(" Inside the dashed line there are parts for hands that move up to %d mm up or down; scraps of less than %.0f mm² are not drawn. A thin line leads through the sizes of a family.", Movable.Up, scrap),
		W: max(box.X1+24, 460), H: box.Y1 + 54,
	}
	f.Text(Point{14, 22}, -1, "bold", f.Title)
	f.Legend(46, [2]string{"dot:disc", "frame that holds"}, [2]string{"dot:ring", "frame that does not"}, [2]string{"area:field", "region"}, [2]string{"ghost", "with room up and down"}, [2]string{"dot:diamond", "with the stem that the text names"})
	axes := f.Axes(box, Scale{lo.Reach, hi.Reach, 10}, Scale{lo.Stack, hi.Stack, 10})
	f.Area("field", polygons(axes, h, outlines)...)
	f.Area("ghost", polygons(axes, h, slices.DeleteFunc(slices.Clone(h.Level), func(o region.Outline) bool { return math.Abs(o.Area()) < scrap }))...)
	families(f, axes, h.Sizes)
	outside := 0
	for i, s := range h.Sizes {
		g := s.Frame.Geometry
		if !axes.Holds(g.Reach, g.Stack) {
			outside++
		}
		switch at := axes.At(g.Reach, g.Stack); {
		case !axes.Holds(g.Reach, g.Stack):
		case h.Holds[i]:
			f.Dot("disc", at, 4)
		default:
			f.Dot("ring", at, 3)
		}
	}
	f.Dot("diamond", axes.At(h.Now.Reach, h.Now.Stack), 5)
	for i, c := range h.Best[:min(named, len(h.Best))] {
		g := c.Size.Frame.Geometry
		if !axes.Holds(g.Reach, g.Stack) {
			continue
		}
		at := axes.At(g.Reach, g.Stack)
		f.Circle("halo", at, 7)
		f.Label(at, fmt.Sprintf("%d %s %s", i+1, c.Size.Family, c.Size.Label), "bold")
	}
	for _, b := range branches(h.Region, outlines) {
		at := h.moved(b.at)
		f.Label(axes.At(at.Reach, at.Stack), b.stem.name(), "quiet", b.way)
	}
	stack := "stack, mm"
	if outside > 0 {
		stack += fmt.Sprintf("; %d of %d sizes lie beyond the axes", outside, len(h.Sizes))
	}
	f.Text(Point{14, box.Y0 - 15}, -1, "quiet", stack)
	f.Text(Point{max(box.X1, 400), f.H - 12}, 1, "quiet", "reach, mm; 1 mm is "+num(scale)+" px both ways")
	return f
}

// families draws a line through the sizes of each family, from one to the next larger.
func families(f *Figure, axes Axes, sizes []fitgeom.Size) {
	of := map[string][]region.HeadPlace{}
	var names []string
	for _, s := range sizes {
		if _, ok := of[s.Family]; !ok {
			names = append(names, s.Family)
		}
		of[s.Family] = append(of[s.Family], region.HeadPlace{Reach: s.Frame.Geometry.Reach, Stack: s.Frame.Geometry.Stack})
	}
	var lines strings.Builder
	for _, name := range names {
		all := of[name]
		slices.SortStableFunc(all, func(a, b region.HeadPlace) int { return cmp.Compare(a.Stack, b.Stack) })
		for i := 1; i < len(all); i++ {
			p, q := all[i-1], all[i]
			if axes.Holds(p.Reach, p.Stack) && axes.Holds(q.Reach, q.Stack) {
				lines.WriteString(path(false, []Point{axes.At(p.Reach, p.Stack), axes.At(q.Reach, q.Stack)}))
			}
		}
	}
	if lines.Len() > 0 {
		f.shapes = append(f.shapes, shape{Class: "ext", D: lines.String()})
	}
}

func polygons(axes Axes, h Host, outlines []region.Outline) (polygons [][]Point) {
	for _, o := range outlines {
		var all []Point
		for _, p := range o.Places {
			p = h.moved(p)
			all = append(all, axes.At(p.Reach, p.Stack))
		}
		polygons = append(polygons, all)
	}
	return polygons
}

// A branch is a part of an edge that one stem makes.
type branch struct {
	stem stem
	long float64 // mm
	at   region.HeadPlace
	way  string // where its label lies
}

// branches finds the longest parts of a region's edge that one stem makes, of those with no
// more of the region beside them.
func branches(r region.Region, outlines []region.Outline) (all []branch) {
	const (
		most  = 6
		least = 10. // mm
	)
	for _, o := range outlines {
		for i, s := range o.Stretches {
			p, q := o.Places[i], o.Places[(i+1)%len(o.Places)]
			b := branch{stem: stem{s.From.StemLength, s.From.StemAngle, s.From.Flipped}, long: math.Hypot(q.Reach-p.Reach, q.Stack-p.Stack), at: region.HeadPlace{Reach: (p.Reach + q.Reach) / 2, Stack: (p.Stack + q.Stack) / 2}}
			if b.way = "w"; q.Stack > p.Stack { // the inside is to the left
				b.way = "e"
			}
			if n := len(all); i > 0 && all[n-1].stem == b.stem {
				if b.long < all[n-1].long {
					b.at, b.way = all[n-1].at, all[n-1].way
				}
				b.long += all[n-1].long
				all = all[:n-1]
			}
			all = append(all, b)
		}
	}
	slices.SortStableFunc(all, func(a, b branch) int { return cmp.Compare(b.long, a.long) })
	var named []branch
	for _, b := range all {
		if b.long >= least && len(named) < most && outermost(r, b) && !slices.ContainsFunc(named, func(n branch) bool { return n.stem == b.stem }) {
			named = append(named, b)
		}
	}
	return named
}

// outermost reports whether there is no more of the region beside a branch.
func outermost(r region.Region, b branch) bool {
	step := 1.
	if b.way == "w" {
		step = -1
	}
	for i := range 100 {
		if r.Holds(region.HeadPlace{Reach: b.at.Reach + step*float64(i+1), Stack: b.at.Stack}) {
			return false
		}
	}
	return true
}

// A stem is what there is to say of the stem of a setting.
type stem struct {
	length, angle float64
	flipped       bool
}

func (s stem) name() string {
	name := fmt.Sprintf("stem %s, %s°", num(s.length), strings.Replace(num(s.angle), "-", "−", 1))
	if s.flipped {
		name += ", upside down"
	}
	return name
}
