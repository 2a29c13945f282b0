package survey

import "gonum.org/v1/gonum/spatial/r3"

// turn returns a direction in the instrument's axes as one in the bike's axes.
func (d *datum) turn(v r3.Vec) r3.Vec {
	return r3.Vec{X: r3.Dot(d.axes[0], v), Y: r3.Dot(d.axes[1], v), Z: r3.Dot(d.axes[2], v)}
}

// see returns a point in the instrument's axes as one in the bike's axes, from the middle
// of the bottom bracket.
func (d *datum) see(v r3.Vec) r3.Vec { return d.turn(r3.Sub(v, d.middle)) }

// place returns a point in the instrument's axes as one in the bike's axes, as it is with
// the wheel straight.
func (d *datum) place(v r3.Vec, front bool) r3.Vec {
	q := d.see(v)
	if !front {
		return r3.Sub(q, r3.Vec{Y: d.aside})
	}
	from := r3.Sub(q, d.front)
	a, b := r3.Dot(from, d.out)+d.offset*d.cosS, q.Y-d.aside
	a, b = a*d.cosS+b*d.sinS, b*d.cosS-a*d.sinS
	p := r3.Add(r3.Scale(a-d.offset*d.cosS, d.out), r3.Scale(r3.Dot(from, d.along), d.along))
	return r3.Vec{X: d.front.X + p.X, Y: b, Z: d.front.Z + p.Z}
}

// A change is a small change of the datum's numbers and of a point.
type change struct {
	turn                         r3.Vec
	aside, steer, offset, angle  float64
	originX, originZ, fromX, frZ float64 // of the middles of bottom bracket and front axle
	point                        r3.Vec
}

// moves returns the change of a point in the bike's axes, to first order.
func (d *datum) moves(v r3.Vec, front bool, c change) r3.Vec {
	q := d.see(v)
	dq := r3.Sub(c.point, r3.Cross(c.turn, q))
	if !front {
		return r3.Vec{X: dq.X - c.originX, Y: dq.Y - c.aside, Z: dq.Z - c.originZ}
	}
	dFront := r3.Sub(r3.Vec{X: c.fromX, Z: c.frZ}, r3.Cross(c.turn, d.front))
	from, dFrom := r3.Sub(q, d.front), r3.Sub(dq, dFront)
	up := r3.Dot(from, d.along)
	a, b := r3.Dot(from, d.out)+d.offset*d.cosS, q.Y-d.aside
	da := r3.Dot(dFrom, d.out) - up*c.angle + d.cosS*c.offset - d.offset*d.sinS*c.steer
	db := dq.Y - c.aside
	dUp := r3.Dot(dFrom, d.along) + r3.Dot(from, d.out)*c.angle
	a2, b2 := a*d.cosS+b*d.sinS, b*d.cosS-a*d.sinS
	da2 := d.cosS*da + d.sinS*db + b2*c.steer
	db2 := d.cosS*db - d.sinS*da - a2*c.steer
	dOut := da2 - d.cosS*c.offset + d.offset*d.sinS*c.steer
	out := r3.Add(r3.Scale(dOut, d.out), r3.Scale(-(a2-d.offset*d.cosS)*c.angle, d.along))
	along := r3.Add(r3.Scale(dUp, d.along), r3.Scale(up*c.angle, d.out))
	return r3.Vec{
		X: dFront.X - c.originX + out.X + along.X,
		Y: db2,
		Z: dFront.Z - c.originZ + out.Z + along.Z,
	}
}

func apply(m [3][3]float64, v r3.Vec) r3.Vec {
	return r3.Vec{
		X: m[0][0]*v.X + m[0][1]*v.Y + m[0][2]*v.Z,
		Y: m[1][0]*v.X + m[1][1]*v.Y + m[1][2]*v.Z,
		Z: m[2][0]*v.X + m[2][1]*v.Y + m[2][2]*v.Z,
	}
}

func at(v r3.Vec, i int) float64 {
	switch i {
	case 0:
		return v.X
	case 1:
		return v.Y
	default:
		return v.Z
	}
}
