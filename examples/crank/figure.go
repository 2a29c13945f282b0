package main

import (
	"fmt"
	"math"
	"slices"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"example.com/fitgeom/examples/internal/draw"
	"gonum.org/v1/gonum/spatial/r3"
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

// curves draws the joint angles over the stroke and, if change is true, how far
// they are from those before, at a larger scale.
func curves(variants []variant, change bool) *draw.Figure {
	const (
		left, top = 62, 74
		width     = 720 // two px to a degree of crank
		gap       = 62
	)
	joints := panels(variants)
	these := "Three panels over the crank angle: %sknee flexion, hip flexion and ankle dorsiflexion"
	if len(joints) == 2 {
		these = "Two panels over the crank angle: %sknee flexion and ankle dorsiflexion"
	}
	f := &draw.Figure{
		Name: "crank-curves", Title: "Joint angles over one turn of the crank",
		Desc: fmt.Sprintf(these, "") + " in degrees. " +
			"One curve each for the old crank (solid), the new one with the saddle kept (dashed) and with the saddle moved (dotted).",
		Caption: "What the joints do with the old crank, and with the new one in both ways. Each panel has its own scale upwards.",
	}
	height := 150.
	if change {
		f.Name, f.Title = "crank-change", "Change of the joint angles over one turn of the crank"
		f.Desc = fmt.Sprintf(these, "the change of ") + " from those with the old crank, in degrees, " +
			"with the saddle kept (dashed) and with the saddle moved (dotted)."
		f.Caption = "The same curves less those of the old crank: above the zero line the joint is bent more than it was, below it less. The scale upwards is the same in all panels."
		height = 0 // from the range
	}
	type row struct {
		title string
		lo, hi,
		step float64
		ys [][]float64
	}
	var rows []row
	for _, c := range joints {
		r := row{title: c.title + ", degrees", lo: math.Inf(1), hi: math.Inf(-1)}
		for _, v := range variants {
			var ys []float64
			for at := 0; at <= 360; at += 3 {
				y := c.of(&v.stroke[at%360])
				if change {
					y -= c.of(&variants[0].stroke[at%360])
				}
				ys = append(ys, y)
				r.lo, r.hi = min(r.lo, y), max(r.hi, y)
			}
			r.ys = append(r.ys, ys)
		}
		r.step = 10
		switch {
		case change && r.hi-r.lo < 20:
			r.step = 2
		case r.hi-r.lo > 60:
			r.step = 20
		}
		r.lo, r.hi = r.step*math.Floor(r.lo/r.step), r.step*math.Ceil(r.hi/r.step)
		rows = append(rows, r)
	}
	f.W = left + width + 24
	f.Text(draw.Point{X: 14, Y: 22}, -1, "bold", f.Title)
	var entries [][2]string
	for i, v := range variants {
		if change && i == 0 {
			continue
		}
		entries = append(entries, [2]string{lines[i], v.name})
	}
	f.Legend(44, entries...)
	y0 := float64(top)
	for _, r := range rows {
		h := height
		if change {
			h = max((r.hi-r.lo)*12, 24) // px to a degree
		}
		a := f.Axes(draw.Box{X0: left, Y0: y0, X1: left + width, Y1: y0 + h}, 0, 360, 45, r.lo, max(r.hi, r.lo+r.step), r.step)
		f.Text(draw.Point{X: left, Y: y0 - 8}, -1, "bold", r.title)
		for k, ys := range r.ys {
			var xs []float64
			for i := range ys {
				xs = append(xs, float64(3*i))
			}
			switch {
			case change && k == 0:
				a.Curve("edge", xs, ys)
			default:
				a.Curve(lines[k], xs, ys)
			}
		}
		y0 += h + gap
	}
	f.H = y0 - 8
	scale := "1° of crank is 2 px"
	if change {
		scale += ", 1° of change 12 px"
	}
	f.Text(draw.Point{X: left + width, Y: f.H - 10}, 1, "quiet", "crank angle, degrees: 0 with the pedal at the top, 90 level in front; "+scale)
	return f
}

// leg draws the leg where the knee is bent most and where least, before and
// with the saddle moved.
func leg(c *comparison) *draw.Figure {
	variants := c.variants
	v := draw.Side("crank-leg", fmt.Sprintf("The %v leg, most and least bent", c.side), 0.5, -440, 620, -300, 860, 56)
	v.Desc = "Side view of saddle, leg and crank circle at the two ends of the stroke: with the old crank and saddle (solid lines), " +
		"and with the new crank and the saddle moved (dotted lines)."
	v.Caption = "Hip, knee, ankle and pedal as the chain puts them, with the old crank and with the new one and the saddle moved. " +
		"A shorter crank with the saddle moved leaves the far end of the stroke as it was; at the top the pedal is lower, and the knee less bent."
	v.Legend(44, [2]string{lines[0], variants[0].name}, [2]string{lines[2], variants[2].name})
	for _, i := range []int{0, 2} {
		at := variants[i]
		most, least := 0, 0
		for k := range at.stroke {
			if at.stroke[k].KneeFlexion > at.stroke[most].KneeFlexion {
				most = k
			}
			if at.stroke[k].KneeFlexion < at.stroke[least].KneeFlexion {
				least = k
			}
		}
		saddle, _ := at.position.At(contact.SaddleReference)
		foot, _ := at.position.At(contact.FootLeft.On(c.side))
		v.Circle(lines[i], v.At(r3.Vec{}), v.Scale*foot.X)
		v.Line(lines[i], r3.Add(saddle, r3.Vec{X: -60}), r3.Add(saddle, r3.Vec{X: 60}))
		for _, k := range []int{most, least} {
			p := at.stroke[k]
			v.Line(lines[i], p.Hip, p.Knee, p.Ankle, p.Pedal)
			v.Line("ext", r3.Vec{}, p.Pedal)
			if i > 0 {
				continue
			}
			end := "most bent"
			if k == least {
				end = "least bent"
			}
			v.Name("disc", p.Knee, "knee, "+end, "e")
			v.Name("disc", p.Ankle, "ankle", "w")
			v.Name("square", p.Pedal, "pedal", "se")
		}
		if i == 0 {
			v.Name("disc", at.stroke[0].Hip, "hip", "w")
			v.Name("square", saddle, "saddle reference", "sw", "s")
		}
	}
	v.Name("ring", r3.Vec{}, "bottom bracket", "e")
	return v.Figure
}
