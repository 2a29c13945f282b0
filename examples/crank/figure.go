package main

import (
	"math"
	"slices"

	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/examples/internal/draw"
)

// A panel is the curves of one joint.
type panel struct {
	title string
	of    func(*rider.Posture) float64
}

// panels lists the panels, from top to bottom: without the hip if the body has no trunk.
func panels(variants []variant) []panel {
	all := []panel{
		{"knee flexion", func(p *rider.Posture) float64 { return p.KneeFlexion }},
		{"hip flexion", func(p *rider.Posture) float64 { return p.HipFlexion }},
		{"ankle dorsiflexion", func(p *rider.Posture) float64 { return p.AnkleDorsiflexion }},
	}
	if !variants[0].stroke[0].HipKnown {
		all = slices.Delete(all, 1, 2)
	}
	return all
}

// lines tell the variants apart, in all figures alike.
var lines = []string{"s1", "s2", "s3"}

// A strip is one panel as it is drawn: its curves, one for each variant, every 3 degrees
// of crank.
type strip struct {
	title  string
	scale  draw.Scale
	height float64 // px
	ys     [][]float64
}

// strips makes the panels. If of changes they hold how far the angles are from those
// of the first variant, all to one scale.
func strips(variants []variant, ofChanges bool) []strip {
	var all []strip
	for _, j := range panels(variants) {
		s := strip{title: j.title + ", degrees", height: 150}
		lo, hi := math.Inf(1), math.Inf(-1)
		for _, v := range variants {
			var ys []float64
			for at := 0; at <= 360; at += 3 {
				y := j.of(&v.stroke[at%360])
				if ofChanges {
					y -= j.of(&variants[0].stroke[at%360])
				}
				ys = append(ys, y)
				lo, hi = min(lo, y), max(hi, y)
			}
			s.ys = append(s.ys, ys)
		}
		step := 10.
		switch {
		case ofChanges && hi-lo < 20:
			step = 2
		case hi-lo > 60:
			step = 20
		}
		lo, hi = step*math.Floor(lo/step), step*math.Ceil(hi/step)
		s.scale = draw.Scale{From: lo, To: max(hi, lo+step), Step: step}
		if ofChanges {
			s.height = max((hi-lo)*12, 24) // px to a degree
		}
		all = append(all, s)
	}
	return all
}

// these says what the panels show.
func these(variants []variant, what string) string {
	if len(panels(variants)) == 2 {
		return "Two panels over the crank angle: " + what + "knee flexion and ankle dorsiflexion"
	}
	return "Three panels over the crank angle: " + what + "knee flexion, hip flexion and ankle dorsiflexion"
}

// curves draws the joint angles over the stroke.
func curves(variants []variant) *draw.Figure {
	f := &draw.Figure{
		Name: "crank-curves", Title: "Joint angles over one turn of the crank",
		Desc: these(variants, "") + " in degrees. " +
			"One curve each for the old crank (solid), the new one with the saddle kept (dashed) and with the saddle moved (dotted).",
		Caption: "What the joints do with the old crank, and with the new one in both ways. Each panel has its own vertical scale.",
	}
	stack(f, variants, lines, strips(variants, false), "")
	return f
}

// changes draws how far the joint angles are from those with the old crank, at a larger
// scale.
func changes(variants []variant) *draw.Figure {
	f := &draw.Figure{
		Name: "crank-change", Title: "Change of the joint angles over one turn of the crank",
		Desc: these(variants, "the change of ") + " from those with the old crank, in degrees, " +
			"with the saddle kept (dashed) and with the saddle moved (dotted).",
		Caption: "The same curves minus those of the old crank. Above the zero line the joint is bent more than it was, below it less. The vertical scale is the same in all panels.",
	}
	stack(f, variants, append([]string{"edge"}, lines[1:]...), strips(variants, true), ", 1° of change 12 px")
	return f
}

// stack draws panels one under the other, with a class of line for each variant. What
// is drawn as an edge is not in the legend.
func stack(f *draw.Figure, variants []variant, classes []string, all []strip, scale string) {
	const (
		left, top = 62, 74
		width     = 720 // two px to a degree of crank
		gap       = 62
	)
	f.W = left + width + 24
	f.Text(draw.Point{X: 14, Y: 22}, -1, "bold", f.Title)
	var entries [][2]string
	for i, v := range variants {
		if classes[i] != "edge" {
			entries = append(entries, [2]string{classes[i], v.name})
		}
	}
	f.Legend(44, entries...)
	y0 := float64(top)
	for _, s := range all {
		a := f.Axes(draw.Box{X0: left, Y0: y0, X1: left + width, Y1: y0 + s.height}, draw.Scale{To: 360, Step: 45}, s.scale)
		f.Text(draw.Point{X: left, Y: y0 - 8}, -1, "bold", s.title)
		for k, ys := range s.ys {
			var xs []float64
			for i := range ys {
				xs = append(xs, float64(3*i))
			}
			a.Curve(classes[k], xs, ys)
		}
		y0 += s.height + gap
	}
	f.H = y0 - 8
	f.Text(draw.Point{X: left + width, Y: f.H - 10}, 1, "quiet", "crank angle, degrees: 0 with the pedal at the top, 90 horizontal in front; 1° of crank is 2 px"+scale)
}
