package draw

import (
	"example.com/fitgeom/convert/chart"
	"example.com/fitgeom/fitgeom"
	"gonum.org/v1/gonum/spatial/r3"
)

// Stands draws a frame as it stands on the ground under a rider, and dashed as its manufacturer
// draws it, on the same ground, each with its head angle.
func (v *View) Stands(f fitgeom.Frame, w chart.Wheels) {
	g := f.Geometry
	ground := func(w chart.Wheels) float64 {
		w = w.On(g)
		pitch, _ := g.Pitch(w)
		rear, _ := g.RearAxle()
		rear.Z += w.RearSag
		return w.RearRadius - pitched(rear, pitch).Z
	}
	drawn, under := ground(chart.Wheels{}), ground(w)
	angle := func(w chart.Wheels, way string) {
		pitch, _ := g.Pitch(w.On(g))
		v.Label(v.At(pitched(g.HeadTop(), pitch)), "head angle "+fixed(g.HeadAngle-pitch)+"°", "", way)
	}
	v.oy -= v.Scale * (drawn - under)
	v.Frame("ghost", f, chart.Wheels{})
	angle(chart.Wheels{}, "ne")
	v.Dot("ring", v.At(r3.Vec{}), 3)
	v.oy += v.Scale * (drawn - under)
	v.Frame("tube", f, w)
	angle(w, "se")
	v.Name("ring", r3.Vec{}, "bottom bracket under the rider", "se", "s")
	v.Ground(under)
}
