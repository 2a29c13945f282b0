package main

import (
	"bytes"
	"cmp"
	_ "embed"
	"fmt"
	"math"
	"slices"
	"strings"
	"text/template"

	"example.com/fitgeom/examples/internal/kit"
	"example.com/fitgeom/fitgeom"
)

const (
	left, top = 60, 66
	scale     = 4.5 // of the figure's own units to a mm
	margin    = 12. // mm round the region
	named     = 3   // frames of the ranking
)

type (
	tick  struct{ At, Label string }
	dot   struct{ X, Y string }
	label struct {
		X, Y, LabelX, LabelY, Name string
		stack                      float64
	}
	figure struct {
		Width, Height, Left, Right, Top, Foot, PlotWidth, PlotHeight, Legend, LegendRegion int
		Reach, Stack                                                                       []tick
		Region, Angles                                                                     string
		Holds, Fails                                                                       []dot
		Best                                                                               []label
	}
)

//go:embed figure.svg.tmpl
var figureText string

var figureTemplate = template.Must(template.New("figure").Parse(figureText))

// draw returns the figure as SVG.
func draw(a *answers) ([]byte, error) {
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
	x := func(reach float64) string { return kit.Fixed(left+scale*(reach-lo.Reach), 1) }
	y := func(stack float64) string { return kit.Fixed(top+scale*(hi.Stack-stack), 1) }
	f := figure{Left: left, Top: top, PlotWidth: int(scale * (hi.Reach - lo.Reach)), PlotHeight: int(scale * (hi.Stack - lo.Stack))}
	f.Right, f.Foot = left+f.PlotWidth, top+f.PlotHeight
	f.Width, f.Height = f.Right+30, f.Foot+50
	f.Legend, f.LegendRegion = left+170, left+270
	f.Angles = fmt.Sprintf("head angle %s° to %s°", kit.Fixed(a.from, 1), kit.Fixed(a.to, 1))
	for r := lo.Reach; r <= hi.Reach; r += 10 {
		f.Reach = append(f.Reach, tick{x(r), kit.Fixed(r, 0)})
	}
	for s := lo.Stack; s <= hi.Stack; s += 10 {
		f.Stack = append(f.Stack, tick{y(s), kit.Fixed(s, 0)})
	}
	var path strings.Builder
	for _, o := range outlines {
		for i, p := range o.Places {
			way := "L"
			if i == 0 {
				way = "M"
			}
			path.WriteString(way + x(p.Reach) + " " + y(p.Stack))
		}
		path.WriteString("Z")
	}
	f.Region = path.String()
	inside := func(s fitgeom.Size) (dot, bool) {
		g := s.Frame.Geometry
		return dot{x(g.Reach), y(g.Stack)}, g.Reach >= lo.Reach && g.Reach <= hi.Reach && g.Stack >= lo.Stack && g.Stack <= hi.Stack
	}
	for i, s := range a.sizes {
		d, ok := inside(s)
		switch {
		case !ok:
		case a.holds[i]:
			f.Holds = append(f.Holds, d)
		default:
			f.Fails = append(f.Fails, d)
		}
	}
	for i, c := range a.ranked.Choices[:min(named, len(a.ranked.Choices))] {
		if d, ok := inside(c.Size); ok {
			f.Best = append(f.Best, label{d.X, d.Y, x(hi.Reach - 27), "", fmt.Sprintf("%d %s", i+1, name(c.Size)), c.Size.Frame.Geometry.Stack})
		}
	}
	// Names one under another at the right, the highest frame's first.
	slices.SortStableFunc(f.Best, func(a, b label) int { return cmp.Compare(b.stack, a.stack) })
	for i := range f.Best {
		f.Best[i].LabelY = kit.Fixed(float64(top+f.PlotHeight*6/10+24*i), 0)
	}
	var b bytes.Buffer
	err := figureTemplate.Execute(&b, f)
	return b.Bytes(), err
}
