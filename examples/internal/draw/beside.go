package draw

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"gonum.org/v1/gonum/spatial/r3"
)

// Two is contact points as they are found in one way, beside the same found in another.
type Two struct {
	Reference contact.Position
	By        string // by what that was found
	Fix       survey.Fix
	To        string // what the arrows lead to
}

// Beside draws arrows from where a reference has each point to where a fix has it, with the
// ellipse of the fix's uncertainty.
func Beside(name, title string, two Two) *Figure {
	v := Side(name, title, Window{X0: -790, X1: 1010, Z0: -320, Z1: 900, Head: 64})
	v.Bike(two.Fix, 0, 0)
	v.Contacts("ghost", two.Reference)
	const magnified = 5
	var names []func()
	for s, at := range two.Reference.All() {
		has, ok := two.Fix.Position.At(s)
		if !ok || s.Group() == contact.OnPedals {
			continue
		}
		x, z := contact.Coordinate{Site: s, Axis: contact.AxisX}, contact.Coordinate{Site: s, Axis: contact.AxisZ}
		xx, _ := two.Fix.Covariance.At(x, x)
		xz, _ := two.Fix.Covariance.At(x, z)
		zz, _ := two.Fix.Covariance.At(z, z)
		c := v.At(r3.Add(at, r3.Scale(magnified, r3.Sub(has, at))))
		v.Ellipse(c, xx, xz, zz, math.Sqrt(-2*math.Log(0.05)), magnified)
		names = append(names, func() {
			v.Dot("ring", v.At(at), 3.5)
			v.Arrow("move", v.At(at), c)
			v.Label(c, Words(s), "", "n", "ne", "nw", "se", "s", "e", "w")
		})
	}
	for _, name := range names {
		name()
	}
	v.Name("disc", r3.Vec{}, "bottom bracket", "s", "se")
	v.Legend(44, [2]string{"dot:ring", two.By}, [2]string{"arrow:move", two.To + ", 5 times as far"}, [2]string{"area:cloud", "its 95 %, as much magnified"})
	return v.Figure
}
