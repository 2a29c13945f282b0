package main

import (
	"fmt"
	"math"

	"example.com/fitgeom/convert"
	"example.com/fitgeom/examples/internal/draw"
	"example.com/fitgeom/examples/internal/kit"
)

const (
	scale  = 4.5 // px to a mm
	margin = 12. // mm round the region
	named  = 5   // frames of the ranking
)

// regionFigure draws where the head tube's top may be, and the frames.
func regionFigure(a *answers) *draw.Figure {
	lo, hi := a.now, a.now
	outlines := a.region.Outlines()
	for _, o := range outlines {
		for _, p := range o.Places {
			lo.Reach, lo.Stack = min(lo.Reach, p.Reach), min(lo.Stack, p.Stack)
			hi.Reach, hi.Stack = max(hi.Reach, p.Reach), max(hi.Stack, p.Stack)
		}
	}
	lo.Reach, lo.Stack = 10*math.Floor((lo.Reach-margin)/10), 10*math.Floor((lo.Stack-margin)/10)
	hi.Reach, hi.Stack = 10*math.Ceil((hi.Reach+margin)/10), 10*math.Ceil((hi.Stack+margin)/10)
	box := draw.Box{X0: 58, Y0: 98}
	box.X1, box.Y1 = box.X0+scale*(hi.Reach-lo.Reach), box.Y0+scale*(hi.Stack-lo.Stack)
	f := &draw.Figure{
		Name: "choose-region", Title: "Where the head tube's top may be: stack over reach, mm",
		Desc: "Reach to the right and stack upwards. The outlined region can hold the position; filled dots are frames that do, " +
			"hollow ones frames that do not. The best of the ranking are named.",
		Caption: fmt.Sprintf("A frame whose head tube ends in the region can hold the hands with a stem and spacers of the shelf, at a head angle from %s° to %s°. "+
			"Hollow dots within it are frames that hold at another head angle than their own, or not with the seat.", kit.Fixed(a.from, 1), kit.Fixed(a.to, 1)),
		W: box.X1 + 24, H: box.Y1 + 54,
	}
	f.Text(draw.Point{X: 14, Y: 22}, -1, "bold", f.Title)
	f.Legend(46, [2]string{"dot:disc", "frame that holds"}, [2]string{"dot:ring", "frame that does not"}, [2]string{"area:field", "region"}, [2]string{"dot:diamond", "where the rider is now"})
	axes := f.Axes(box, lo.Reach, hi.Reach, 10, lo.Stack, hi.Stack, 10)
	var polygons [][]draw.Point
	for _, o := range outlines {
		var all []draw.Point
		for _, p := range o.Places {
			all = append(all, axes.At(p.Reach, p.Stack))
		}
		polygons = append(polygons, all)
	}
	f.Area("field", polygons...)
	for i, s := range a.sizes {
		g := s.Frame.Geometry
		switch at := axes.At(g.Reach, g.Stack); {
		case !axes.Holds(g.Reach, g.Stack):
		case a.holds[i]:
			f.Dot("disc", at, 4)
		default:
			f.Dot("ring", at, 3)
		}
	}
	f.Dot("diamond", axes.At(a.now.Reach, a.now.Stack), 5)
	for i, c := range a.ranked.Choices[:min(named, len(a.ranked.Choices))] {
		g := c.Size.Frame.Geometry
		if !axes.Holds(g.Reach, g.Stack) {
			continue
		}
		at := axes.At(g.Reach, g.Stack)
		f.Circle("halo", at, 7)
		f.Label(at, fmt.Sprintf("%d %s", i+1, name(c.Size)), "bold")
	}
	f.Text(draw.Point{X: 14, Y: box.Y0 - 15}, -1, "quiet", "stack, mm")
	f.Text(draw.Point{X: box.X1, Y: f.H - 12}, 1, "quiet", "reach, mm; 1 mm is "+kit.Fixed(scale, 1)+" px both ways")
	return f
}

// bikeFigure draws the best build.
func bikeFigure(a *answers) (*draw.Figure, error) {
	best := a.ranked.Choices[0]
	f, err := draw.Set("choose-bike", name(best.Size)+", as the shelf builds it, mm", best.Best, []draw.Line{
		{Measure: convert.SaddleHeight, At: 150},
		{Measure: convert.SaddleSetback, At: -110},
		{Measure: convert.ReachHoodsLevel, At: 790},
		{Measure: convert.BarDropHoods, At: 720},
		{Measure: convert.BarStack, At: 850},
	})
	if err != nil {
		return nil, err
	}
	if _, ok := best.Size.Frame.Geometry.FrontAxle(); !ok {
		f.Caption += " The catalogue does not state the wheels."
	}
	return f, nil
}
