package draw

import (
	"fmt"
	"math"

	"example.com/fitgeom/fitgeom"
	"example.com/fitgeom/fitgeom/rank"
	"example.com/fitgeom/fitgeom/region"
)

// Host is what the figure of a region shows.
type Host struct {
	Region region.Region
	// HeadFrom and HeadTo are the head angles that it was made for, degrees.
	HeadFrom, HeadTo float64
	Sizes            []fitgeom.Size
	Holds            []bool // by the place of the size
	Best             []rank.Choice
	Now              region.HeadPlace // where the rider is
}

// Region draws where the head tube's top may be, and the frames, with so many px to
// a mm.
func Region(name string, scale float64, h Host) *Figure {
	const (
		margin = 12. // mm round the region
		named  = 5   // frames of the ranking
	)
	lo, hi := h.Now, h.Now
	outlines := h.Region.Outlines()
	for _, o := range outlines {
		for _, p := range o.Places {
			lo.Reach, lo.Stack = min(lo.Reach, p.Reach), min(lo.Stack, p.Stack)
			hi.Reach, hi.Stack = max(hi.Reach, p.Reach), max(hi.Stack, p.Stack)
		}
	}
	lo.Reach, lo.Stack = 10*math.Floor((lo.Reach-margin)/10), 10*math.Floor((lo.Stack-margin)/10)
	hi.Reach, hi.Stack = 10*math.Ceil((hi.Reach+margin)/10), 10*math.Ceil((hi.Stack+margin)/10)
	box := Box{X0: 58, Y0: 98}
	box.X1, box.Y1 = box.X0+scale*(hi.Reach-lo.Reach), box.Y0+scale*(hi.Stack-lo.Stack)
	f := &Figure{
		Name: name, Title: "Where the head tube's top may be: stack over reach, mm",
		Desc: "Reach to the right and stack upwards. The outlined region can hold the position; filled dots are frames that do, " +
			"hollow ones frames that do not. The best of the ranking are named.",
		Caption: fmt.Sprintf("A frame whose head tube ends in the region can put the hands where they are wanted, with a stem and spacers from the shelf, at a head angle from %s° to %s°. "+
			"Hollow dots in the region are frames that would hold the position at another head angle than their own, or that fail at the seat.", fixed(h.HeadFrom), fixed(h.HeadTo)),
		W: max(box.X1+24, 460), H: box.Y1 + 54,
	}
	f.Text(Point{14, 22}, -1, "bold", f.Title)
	f.Legend(46, [2]string{"dot:disc", "frame that holds"}, [2]string{"dot:ring", "frame that does not"}, [2]string{"area:field", "region"}, [2]string{"dot:diamond", "where the rider is now"})
	axes := f.Axes(box, Scale{lo.Reach, hi.Reach, 10}, Scale{lo.Stack, hi.Stack, 10})
	var polygons [][]Point
	for _, o := range outlines {
		var all []Point
		for _, p := range o.Places {
			all = append(all, axes.At(p.Reach, p.Stack))
		}
		polygons = append(polygons, all)
	}
	f.Area("field", polygons...)
	for i, s := range h.Sizes {
		g := s.Frame.Geometry
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
	f.Text(Point{14, box.Y0 - 15}, -1, "quiet", "stack, mm")
	f.Text(Point{max(box.X1, 400), f.H - 12}, 1, "quiet", "reach, mm; 1 mm is "+num(scale)+" px both ways")
	return f
}
