package draw

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/survey"
	"gonum.org/v1/gonum/spatial/r3"
)

// Stood draws a bike as it stood: from the side with its slope and the block that goes under
// the lower wheel, and from behind with its lean. Nothing is magnified.
func Stood(name, title string, s survey.Survey, fix survey.Fix, st survey.Standing) *Figure {
	v := Side(name, title, Window{X0: -800, X1: 1690, Z0: -390, Z1: 830, Head: 64, Scale: 0.4})
	v.nose = st.NoseUp
	v.Bike(fix, s.FrontRadius, s.RearRadius)
	v.Contacts("part", fix.Position)
	v.Hands("ghost", fix.Position)
	v.NameContacts(fix.Position)
	rear, _, _ := fix.Mark(survey.RearAxleLeft)
	front, _, _ := fix.Mark(survey.FrontAxleLeft)
	v.nose = 0
	rearFoot, frontFoot := pitched(rear, st.NoseUp), pitched(front, st.NoseUp)
	rearFoot.Z -= s.RearRadius
	frontFoot.Z -= s.FrontRadius
	slope := r3.Sub(frontFoot, rearFoot)
	v.Line("ghost", r3.Sub(rearFoot, r3.Scale(0.35, slope)), r3.Add(frontFoot, r3.Scale(0.35, slope)))
	low, high, wheel := frontFoot, rearFoot, "front"
	if frontFoot.Z > rearFoot.Z {
		low, high, wheel = rearFoot, frontFoot, "rear"
	}
	// The block is drawn where it goes, as high as it is, under the ground on which the bike stands.
	gap := high.Z - low.Z
	p, q := v.At(r3.Vec{X: low.X - 60, Z: low.Z}), v.At(r3.Vec{X: low.X + 60, Z: low.Z - gap})
	v.Area("bar", []Point{p, {q.X, p.Y}, q, {p.X, q.Y}})
	v.Label(Point{(p.X + q.X) / 2, q.Y}, "under the "+wheel+" wheel: "+Fixed(gap, 0)+" mm", "bold", "s", "se", "sw")
	// The angle, from the horizontal through the higher foot.
	far := r3.Add(high, r3.Vec{X: low.X - high.X})
	v.Line("edge", r3.Sub(high, r3.Scale(0.25, r3.Sub(far, high))), r3.Add(far, r3.Scale(0.25, r3.Sub(far, high))))
	way := "nose-down"
	if st.NoseUp > 0 {
		way = "nose-up"
	}
	v.Label(v.At(r3.Add(high, r3.Scale(0.5, r3.Sub(far, high)))), Fixed(math.Abs(st.NoseUp), 1)+"° "+way, "bold", "n", "s")
	v.behind(fix, st, max(s.RearRadius, 300), high.Z)
	v.Legend(44, [2]string{"ghost", "the ground under the tyres"}, [2]string{"edge", "horizontal and vertical"}, [2]string{"area:bar", "what goes under the wheel, as high as it is"})
	v.Desc = "Side view of the bike as it stood, with the slope of the ground dashed, the horizontal thin, and the block under the lower wheel; and a view from behind with its lean against the vertical."
	v.Caption = "From the right side and, at the right, from behind: both to scale, not magnified. Tubes that were not read are dashed, about where they are."
	return v.Figure
}

// behind draws how a bike leaned, as it is seen from behind, with the ground at a height.
func (v *View) behind(fix survey.Fix, st survey.Standing, radius, ground float64) {
	const middle = 1440.
	sin, cos := math.Sincos(st.Lean * math.Pi / 180)
	at := func(right, up float64) r3.Vec {
		return r3.Vec{X: middle + right*cos + up*sin, Z: ground - right*sin + up*cos}
	}
	v.Line("ext", r3.Vec{X: middle - 230, Z: ground}, r3.Vec{X: middle + 230, Z: ground})
	v.Line("edge", r3.Vec{X: middle, Z: ground}, r3.Vec{X: middle, Z: ground + 1120})
	v.Line("wheel", at(0, 0), at(0, 2*radius))
	saddle, ok := fix.Position.At(contact.SaddleReference)
	if !ok {
		saddle = contact.SaddleReference.Usual()
	}
	v.Line("faint", at(0, radius), at(0, saddle.Z-ground))
	v.Line("part", at(-70, saddle.Z-ground), at(70, saddle.Z-ground))
	for _, s := range []contact.Site{contact.HoodsLeft, contact.GripLeft, contact.PadLeft} {
		l, okL := fix.Position.At(s)
		r, okR := fix.Position.At(s.On(contact.Right))
		if okL && okR {
			v.Line("ghost", at(-l.Y, l.Z-ground), at(-r.Y, r.Z-ground))
			break
		}
	}
	way := "right"
	if st.Lean < 0 {
		way = "left"
	}
	v.Label(v.At(r3.Vec{X: middle, Z: ground + 1120}), "leaned "+Fixed(math.Abs(st.Lean), 1)+"° to the "+way, "bold", "n", "ne", "nw")
	v.Label(v.At(r3.Vec{X: middle, Z: ground}), "from behind", "quiet", "s")
}
