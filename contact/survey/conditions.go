package survey

import (
	"math"

	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// A residual is the misfit of one condition that a perfect bike and perfect readings
// meet.
type residual struct {
	pair  int
	value float64
	sigma float64
	by    [fitted]float64 // derivatives by the datum's numbers
	on    [4]landmarkSlope
	extra float64 // variance of what is not read: radii, gravity, usual values
}

// A landmarkSlope is the derivative by one landmark's coordinates, in the bike's axes.
type landmarkSlope struct {
	landmark int // -1: none
	by       r3.Vec
}

var none = [4]landmarkSlope{{landmark: -1}, {landmark: -1}, {landmark: -1}, {landmark: -1}}

// conditions lists the conditions that the datum is fitted to. Call [datum.settle] first.
func (d *datum) conditions(s *Survey, p *points, rows []residual) []residual {
	for i := range d.pairs {
		rows = d.mirrorEachOther(p, i, rows)
	}
	if d.head {
		rows = d.alongHeadTube(p, rows)
	}
	rows = append(
		rows, d.level(s, p),
		residual{pair: frontAxle, value: d.offset - usualOffset, by: [fitted]float64{offset: 1}, on: none, extra: usualOffsetSigma * usualOffsetSigma},
		residual{pair: frontAxle, value: d.angle - usualAngle*num.Rad, by: [fitted]float64{angle: 1}, on: none, extra: usualAngleSigma * num.Rad * usualAngleSigma * num.Rad},
	)
	for i := range rows {
		d.weigh(p, &rows[i])
	}
	return rows
}

// mirrorEachOther adds the conditions of one pair: its midpoint lies on the mid-plane,
// and the line from right to left is square to the mid-plane. If the wheel is turned, the
// midpoint of the front axle lies beside the mid-plane, and the axle turns with the
// wheel.
func (d *datum) mirrorEachOther(p *points, i int, rows []residual) []residual {
	y := r3.Vec{Y: 1}
	k := &d.pairs[i]
	mid, apart := d.midway(p, k), r3.Sub(d.see(p.all[k.left].at), d.see(p.all[k.right].at))
	m := residual{pair: i, value: mid.Y - d.aside, on: none}
	m.turning(y, mid)
	m.by[aside] = -1
	m.on[0], m.on[1] = landmarkSlope{k.left, half(y)}, landmarkSlope{k.right, half(y)}

	across := func(e r3.Vec) residual {
		c := residual{pair: i, value: r3.Dot(e, apart), on: none}
		c.turning(e, apart)
		c.on[0], c.on[1] = landmarkSlope{k.left, e}, landmarkSlope{k.right, r3.Scale(-1, e)}
		return c
	}
	if i != frontAxle {
		return append(rows, m, across(r3.Vec{X: 1}), across(r3.Vec{Z: 1}))
	}
	m.value -= d.offset * d.sinS
	m.by[steer] = -d.offset * d.cosS
	m.by[offset] = -d.sinS
	fore, up := across(r3.Add(r3.Scale(d.cosS, d.out), r3.Scale(d.sinS, y))), across(d.along)
	fore.by[steer] = d.cosS*apart.Y - d.sinS*r3.Dot(d.out, apart)
	fore.by[angle] = -d.cosS * r3.Dot(d.along, apart)
	up.by[angle] = r3.Dot(d.out, apart)
	return append(rows, m, fore, up)
}

// alongHeadTube adds the condition that the steering axis runs through the head tube.
func (d *datum) alongHeadTube(p *points, rows []residual) []residual {
	front, top, foot := &d.pairs[frontAxle], &d.pairs[headTubeTop], &d.pairs[headTubeFoot]
	long := r3.Sub(d.midway(p, top), d.midway(p, foot))
	c := residual{pair: headTubeTop, value: r3.Dot(d.out, long), on: between(top, foot, d.out)}
	c.turning(d.out, long)
	c.by[angle] = -r3.Dot(d.along, long)
	rows = append(rows, c)

	from := r3.Sub(d.midway(p, foot), d.front)
	c = residual{pair: headTubeFoot, value: r3.Dot(d.out, from) + d.offset*d.cosS, on: between(foot, front, d.out)}
	c.turning(d.out, from)
	c.by[steer] = -d.offset * d.sinS
	c.by[offset] = d.cosS
	c.by[angle] = -r3.Dot(d.along, from)
	return append(rows, c)
}

// level returns the condition that the heights of the axles differ by as much as the
// radii, with the wheel straight. Without radii, the condition is that gravity is square
// to the forward axis.
func (d *datum) level(s *Survey, p *points) residual {
	level := residual{pair: frontAxle, on: none}
	if s.FrontRadius == 0 {
		g := d.turn(r3.Unit(s.Up))
		level.value = g.X
		level.turning(r3.Vec{X: 1}, g)
		level.extra = s.UpSigma * num.Rad * s.UpSigma * num.Rad
		return level
	}
	front, rear := &d.pairs[frontAxle], &d.pairs[rearAxle]
	back := d.midway(p, rear)
	z := r3.Vec{Z: 1}
	level.value = d.front.Z + d.offset*(1-d.cosS)*d.cosA - back.Z - (s.FrontRadius - s.RearRadius)
	level.turning(z, r3.Sub(d.front, back))
	level.by[steer] = d.offset * d.sinS * d.cosA
	level.by[offset] = (1 - d.cosS) * d.cosA
	level.by[angle] = -d.offset * (1 - d.cosS) * d.sinA
	level.on = between(front, rear, z)
	level.extra = 2 * s.RadiusSigma * s.RadiusSigma
	return level
}

// weigh computes the standard uncertainty of a condition, from its landmarks and from
// what is not read.
func (d *datum) weigh(p *points, r *residual) {
	variance := r.extra
	for _, o := range r.on {
		if o.landmark >= 0 {
			variance += r3.Dot(o.by, apply(d.reading, o.by))/p.all[o.landmark].n + trueFrame*trueFrame*r3.Norm2(o.by)
		}
	}
	r.sigma = math.Sqrt(max(variance, 1e-12)) // gravity may be known exactly
}

// turning adds the derivative of the coordinate e·v of a vector v by a small turn w of
// the axes, which changes it by w·(e×v).
func (r *residual) turning(e, v r3.Vec) {
	c := r3.Cross(e, v)
	r.by[turnX] += c.X
	r.by[turnY] += c.Y
	r.by[turnZ] += c.Z
}

// midway returns the midpoint of a pair's landmarks, in the bike's axes.
func (d *datum) midway(p *points, k *placedPair) r3.Vec {
	return half(r3.Add(d.see(p.all[k.left].at), d.see(p.all[k.right].at)))
}

func half(v r3.Vec) r3.Vec { return r3.Scale(0.5, v) }

// between returns the derivatives of the coordinate along e of the vector from the
// midpoint of b to the midpoint of a.
func between(a, b *placedPair, e r3.Vec) [4]landmarkSlope {
	h, g := half(e), half(r3.Scale(-1, e))
	return [4]landmarkSlope{{a.left, h}, {a.right, h}, {b.left, g}, {b.right, g}}
}
