package main

import (
	"bytes"
	_ "embed"
	"math"
	"strings"
	"text/template"

	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/examples/internal/kit"
)

// panels are the curves, from top to bottom.
var panels = []struct {
	title string
	of    func(*rider.Posture) float64
}{
	{"knee flexion", func(p *rider.Posture) float64 { return p.KneeFlexion }},
	{"hip flexion", func(p *rider.Posture) float64 { return p.HipFlexion }},
	{"ankle dorsiflexion", func(p *rider.Posture) float64 { return p.AnkleDorsiflexion }},
}

// Sizes in the figure's own units. Two to a degree of crank puts every point on
// a whole number.
const (
	left, top     = 70, 70
	width, height = 720, 170
	gap           = 60
)

// styles tell the variants apart by colour and by dashes: for print, and for
// those who see colours otherwise.
var styles = []struct{ Colour, Dash string }{
	{"#333333", "none"},
	{"#c05000", "7 4"},
	{"#0060a8", "2 3"},
}

type (
	tick  struct{ At, Label string }
	curve struct{ Colour, Dash, Points string }
	panel struct {
		Title            string
		Above, Top, Foot int
		Ticks            []tick
		Curves           []curve
	}
	entry  struct{ X, Line, Text, Name, Colour, Dash string }
	figure struct {
		Width, Height         int
		Left, Right           int // of the panels
		PlotWidth, PlotHeight int
		Legend                []entry
		Crank                 []tick
		Panels                []panel
	}
)

//go:embed figure.svg.tmpl
var figureText string

var figureTemplate = template.Must(template.New("figure").Parse(figureText))

// draw returns the figure as SVG.
func draw(variants []variant) ([]byte, error) {
	f := figure{Left: left, Right: left + width, Width: left + width + 30, PlotWidth: width, PlotHeight: height}
	for i, v := range variants {
		x := float64(left + 240*i)
		f.Legend = append(f.Legend, entry{
			X: kit.Fixed(x, 0), Line: kit.Fixed(x+34, 0), Text: kit.Fixed(x+42, 0),
			Name: v.name, Colour: styles[i].Colour, Dash: styles[i].Dash,
		})
	}
	for crank := 0; crank <= 360; crank += 45 {
		f.Crank = append(f.Crank, tick{kit.Fixed(float64(left+2*crank), 0), kit.Fixed(float64(crank), 0)})
	}
	for i, p := range panels {
		y0 := top + i*(height+gap)
		lo, hi := math.Inf(1), math.Inf(-1)
		for _, v := range variants {
			for k := range v.stroke {
				lo, hi = min(lo, p.of(&v.stroke[k])), max(hi, p.of(&v.stroke[k]))
			}
		}
		lo, hi = 10*math.Floor(lo/10), 10*math.Ceil(hi/10)
		step := 10.
		if hi-lo > 60 {
			step = 20
			lo = 20 * math.Floor(lo/20)
		}
		y := func(angle float64) string { return kit.Fixed(float64(y0)+height*(hi-angle)/(hi-lo), 2) }
		drawn := panel{Title: p.title, Above: y0 - 10, Top: y0, Foot: y0 + height}
		for at := lo; at <= hi; at += step {
			drawn.Ticks = append(drawn.Ticks, tick{y(at), kit.Fixed(at, 0)})
		}
		for k, v := range variants {
			var points strings.Builder
			for crank := 0; crank <= 360; crank += 3 {
				points.WriteString(kit.Fixed(float64(left+2*crank), 0) + "," + y(p.of(&v.stroke[crank%360])) + " ")
			}
			drawn.Curves = append(drawn.Curves, curve{styles[k].Colour, styles[k].Dash, strings.TrimSpace(points.String())})
		}
		f.Panels = append(f.Panels, drawn)
		f.Height = y0 + height + 50
	}
	var b bytes.Buffer
	err := figureTemplate.Execute(&b, f)
	return b.Bytes(), err
}
