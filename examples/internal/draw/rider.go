package draw

import (
	"fmt"
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/contact/rider"
	"gonum.org/v1/gonum/spatial/r3"
)

// Rider draws the whole outline of a rider in a position, with the left leg, or the right
// if that alone is known, where its knee is bent most and where least, and the angles of the
// joints as arcs with their degrees. Dashed, if it differs, is the position before.
func Rider(name, title string, b rider.Body, before, p contact.Position) (*Figure, error) {
	v := Side(name, title, Window{X0: -560, X1: 760, Z0: -260, Z1: 1330, Head: 56})
	var was map[string]float64
	if before != p {
		var err error
		if was, err = v.rider("ghost", b, before, nil); err != nil {
			return nil, err
		}
	}
	if _, err := v.rider("part", b, p, was); err != nil {
		return nil, err
	}
	if was != nil {
		v.Legend(44, [2]string{"part", "the rider now"}, [2]string{"ghost", "before"})
	}
	v.Desc = "Side view of a rider from the hip to the shoulder, the elbow and the hands, and of one leg at the two ends of its stroke, with the angles of the joints."
	v.Caption = "From the right side, to scale: joints as points, segments as lines. An arc shows how far a joint is bent from straight; the trunk's is its lean above the horizontal."
	return v.Figure, nil
}

// rider draws a rider and returns the angles; of those that are drawn with degrees it says
// what they were.
func (v *View) rider(class string, b rider.Body, p contact.Position, was map[string]float64) (map[string]float64, error) {
	angles := map[string]float64{}
	said := func(name string, degrees float64) string {
		angles[name] = degrees
		s := fmt.Sprintf("%s %s°", name, fixed(degrees))
		if before, ok := was[name]; ok && math.Abs(degrees-before) >= 0.05 {
			s += fmt.Sprintf(" (was %s°)", fixed(before))
		}
		return s
	}
	chain, err := rider.NewChain(b, p)
	if err != nil {
		return nil, err
	}
	side := contact.Left
	if b.Left.Thigh == 0 {
		side = contact.Right
	}
	var ends [2]rider.Posture
	span, err := chain.Span(rider.KneeFlexion, side)
	if err != nil {
		return nil, err
	}
	for i, at := range [2]float64{span.MostAt, span.LeastAt} {
		if ends[i], err = chain.At(side, at); err != nil {
			return nil, err
		}
	}
	solid := class != "ghost"
	saddle, _ := p.At(contact.SaddleReference)
	foot, _ := p.At(contact.FootLeft.On(side))
	v.Line(class, r3.Add(saddle, r3.Vec{X: -90}), r3.Add(saddle, r3.Vec{X: 120}))
	if solid {
		v.Circle("ext", v.At(r3.Vec{}), v.Scale*foot.X)
		v.Name("ring", r3.Vec{}, "", "s")
	}
	for i, e := range ends {
		v.Line(class, e.Hip, e.Knee, e.Ankle, e.Pedal)
		v.Line("ext", r3.Vec{}, e.Pedal)
		text := said([...]string{"knee, most", "knee, least"}[i], e.KneeFlexion)
		if solid {
			v.Arc(e.Hip, e.Knee, e.Ankle, text)
		}
	}
	up, ok := chain.Upper()
	if !ok {
		return angles, nil
	}
	v.Line(class, up.Hip, up.Shoulder, up.Elbow, up.Wrist)
	trunk, elbow := said("trunk", up.TrunkLean), said("elbow", up.ElbowFlexion)
	shoulder := said("shoulder", up.ShoulderFlexion)
	hip, err := chain.Span(rider.HipFlexion, side)
	if err != nil {
		return nil, err
	}
	bent := said("hip, most", hip.Most)
	if !solid {
		return angles, nil
	}
	v.Circle(class, v.At(r3.Add(up.Shoulder, r3.Scale(150, r3.Unit(r3.Add(r3.Unit(r3.Sub(up.Shoulder, up.Hip)), r3.Vec{X: 0.4, Z: 0.3}))))), 95*v.Scale)
	v.Arc(r3.Add(up.Hip, r3.Vec{X: -200}), up.Hip, up.Shoulder, trunk)
	v.Arc(up.Shoulder, up.Elbow, up.Wrist, elbow)
	v.Label(v.At(up.Hip), bent, "", "w", "sw")
	v.Label(v.At(up.Shoulder), shoulder, "", "nw", "w")
	return angles, nil
}

// Arc draws how far the way from a over b to c is bent at b: from the line that goes
// straight on.
func (v *View) Arc(a, b, c r3.Vec, text string) {
	const radius, steps = 34., 12
	on, to := v.At(r3.Add(b, r3.Sub(b, a))), v.At(c)
	at := v.At(b)
	from, end := math.Atan2(on.Y-at.Y, on.X-at.X), math.Atan2(to.Y-at.Y, to.X-at.X)
	turn := math.Remainder(end-from, 2*math.Pi)
	var points []Point
	for i := range steps + 1 {
		sin, cos := math.Sincos(from + turn*float64(i)/steps)
		points = append(points, Point{tenth(at.X + radius*cos), tenth(at.Y + radius*sin)})
	}
	v.Path("move", false, points...)
	v.Path("ext", false, at, Point{tenth(at.X + 1.4*radius*math.Cos(from)), tenth(at.Y + 1.4*radius*math.Sin(from))})
	v.Dot("disc", at, 4)
	v.Label(points[steps/2], text, "", "e", "ne", "se")
}
