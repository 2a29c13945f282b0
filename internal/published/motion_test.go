package published_test

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/motion"
	"gonum.org/v1/gonum/spatial/r3"
)

// lowPass gives a filter's coefficients, and its gain at the cut-off after all passes.
func lowPass(a *args) (results, error) {
	rate, cutOff, passes := a.number("rate", "1"), a.number("cut_off", "1"), a.number("passes", "1")
	f, err := motion.NewFilter(rate, cutOff, int(passes))
	once, _ := f.Gain(rate, cutOff)
	return results{}.number("a0", "1", f.A0).number("b1", "1", f.B1).number("b2", "1", f.B2).number("gain", "1", math.Pow(once, passes)), err
}

func circle(a *args) (results, error) {
	by, err := motion.ParseCircleMethod(a.text("by"))
	if err != nil {
		return nil, err
	}
	c, err := motion.FitCircle(a.points("points", "mm"), by)
	return results{}.number("centre", "mm", c.Centre.X, c.Centre.Z).number("radius", "mm", c.Radius), err
}

func pelvis(a *args) (results, error) {
	axes, err := motion.PelvisAxes(a.point("left", "mm"), a.point("right", "mm"), a.point("rear", "mm"))
	r := results{}
	for name, v := range map[string]r3.Vec{"x": axes.X, "y": axes.Y, "z": axes.Z} {
		r.number(name, "1", v.X, v.Y, v.Z)
	}
	return r.number("tilt", "degrees", math.Asin(axes.Z.X)*180/math.Pi).number("rotation", "degrees", math.Asin(axes.X.Y)*180/math.Pi), err
}

// hipCentre gives both hips of a pelvis that stands upright, from the middle of both ASIS.
func hipCentre(a *args) (results, error) {
	by, err := motion.ParseHipRegression(a.text("by"))
	if err != nil {
		return nil, err
	}
	r, half := results{}, a.mm("width")/2
	for name, side := range map[string]contact.Side{"left": contact.Left, "right": contact.Right} {
		at, err := motion.HipCentre(r3.Vec{Y: half}, r3.Vec{Y: -half}, r3.Vec{X: -a.mm("depth")}, a.or("leg", "mm", 0), side, by)
		if err != nil {
			return nil, err
		}
		r.number(name, "mm", at.X, at.Y, at.Z)
	}
	return r, nil
}

func correlation(a *args) (results, error) {
	c, common, _, err := motion.MultipleCorrelation(a.table("curves", "1"))
	return results{}.number("coefficient", "1", c).number("common", "1", common), err
}

func symmetry(a *args) (results, error) {
	left, right := a.number("left", "1"), a.number("right", "1")
	index, _ := motion.SymmetryIndex(left, right)
	angle, _ := motion.SymmetryAngle(left, right)
	return results{}.number("index", "1", index).number("angle", "1", angle), nil
}
