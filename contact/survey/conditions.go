package survey

import (
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// A residual is the misfit of one condition that a perfect bike and perfect readings
// meet.
type residual struct {
	pair  int
	part  part
	value float64
	by    [fitted]float64 // derivatives by the datum's numbers
	on    [6]landmarkSlope
	count int
	// The variance has three parts: of readings, of how true the pair is (times d.square,
	// if that is the usual value) and of what is not read: radii, gravity, usual values.
	read, frame, extra float64
	usual              bool
	level              bool // by the radii of both tyres
}

// A part is what of a pair a condition is about.
type part uint8

const (
	other part = iota // no part of a pair that could be left out
	middle
	line
	partCount
)

// A landmarkSlope is the derivative by one landmark's coordinates, in the bike's axes.
type landmarkSlope struct {
	landmark int
	by       r3.Vec
}

// see adds derivatives by a landmark's coordinates.
func (r *residual) see(landmark int, by r3.Vec) {
	r.on[r.count] = landmarkSlope{landmark, by}
	r.count++
}

// seeMiddle adds derivatives by the coordinates of a pair's midpoint.
func (r *residual) seeMiddle(k *placedPair, by r3.Vec) {
	by = half(by)
	r.see(k.left, by)
	r.see(k.right, by)
}

// conditions lists the conditions that the datum is fitted to, and apart from them those
// of parts that do not count. Call [datum.settle] first.
func (d *datum) conditions(s *Survey, p *points, rows, aside []residual) (counted, not []residual) {
	for i := range d.pairs {
		k := &d.pairs[i]
		m := d.midwayRow(p, i)
		a, b := d.lineRows(p, i)
		for j, r := range [...]residual{m, a, b} {
			if k.counts[min(j, 1)] {
				rows = append(rows, r)
			} else {
				aside = append(aside, r)
			}
		}
	}
	if d.head {
		rows = d.alongHeadTube(p, rows)
	}
	rows = append(rows, d.level(s, p))
	if !d.head {
		rows = append(
			rows,
			residual{pair: frontAxle, value: d.offset - usualOffset, by: [fitted]float64{offset: 1}, extra: unsure * usualOffsetSigma * usualOffsetSigma},
			residual{pair: frontAxle, value: d.angle - usualAngle*num.Rad, by: [fitted]float64{angle: 1}, extra: unsure * usualAngleSigma * num.Rad * usualAngleSigma * num.Rad},
		)
	}
	for i := range rows {
		d.weigh(p, &rows[i])
	}
	for i := range aside {
		d.weigh(p, &aside[i])
	}
	return rows, aside
}

// midwayRow returns the condition that the midpoint of a pair lies on the mid-plane. A
// pair that turns with the wheel lies on the wheel's, which is turned about the steering
// axis: b = a tan(steer), where a is in front of the axis and b beside the mid-plane.
func (d *datum) midwayRow(p *points, i int) residual {
	y := r3.Vec{Y: 1}
	k := &d.pairs[i]
	mid := d.midway(p, k)
	m := residual{pair: i, part: middle, value: mid.Y - d.aside, frame: k.sigma * k.sigma / 2, usual: k.usual}
	m.by[aside] = -1
	if !k.steers {
		m.turning(y, mid)
		m.seeMiddle(k, y)
		return m
	}
	tan := d.sinS / d.cosS
	from := r3.Sub(mid, d.front)
	a := r3.Dot(d.out, from) + d.offset*d.cosS
	m.value -= a * tan
	m.turning(y, mid)
	m.turning(r3.Scale(-tan, d.out), from)
	m.by[steer] = tan*d.offset*d.sinS - a/(d.cosS*d.cosS)
	m.by[offset] = -d.sinS
	m.by[angle] = tan * r3.Dot(d.along, from)
	if i == frontAxle { // from is zero
		m.seeMiddle(k, y)
		return m
	}
	m.seeMiddle(k, r3.Sub(y, r3.Scale(tan, d.out)))
	m.seeMiddle(&d.pairs[frontAxle], r3.Scale(tan, d.out))
	return m
}

// lineRows returns the two conditions that the line from right to left of a pair is square
// to the mid-plane, or to the turned wheel's.
func (d *datum) lineRows(p *points, i int) (fore, up residual) {
	k := &d.pairs[i]
	apart := r3.Sub(d.see(p.all[k.left].at), d.see(p.all[k.right].at))
	across := func(e r3.Vec) residual {
		c := residual{pair: i, part: line, value: r3.Dot(e, apart), frame: 2 * k.sigma * k.sigma, usual: k.usual}
		c.turning(e, apart)
		c.see(k.left, e)
		c.see(k.right, r3.Scale(-1, e))
		return c
	}
	if !k.steers {
		return across(r3.Vec{X: 1}), across(r3.Vec{Z: 1})
	}
	fore, up = across(r3.Add(r3.Scale(d.cosS, d.out), r3.Vec{Y: d.sinS})), across(d.along)
	fore.by[steer] = d.cosS*apart.Y - d.sinS*r3.Dot(d.out, apart)
	fore.by[angle] = -d.cosS * r3.Dot(d.along, apart)
	up.by[angle] = r3.Dot(d.out, apart)
	return fore, up
}

// alongHeadTube adds the condition that the steering axis runs through the head tube. How
// true the two ends are counts for their difference and for the mean that is independent
// of it.
func (d *datum) alongHeadTube(p *points, rows []residual) []residual {
	front, top, foot := &d.pairs[frontAxle], &d.pairs[d.top], &d.pairs[d.top+1]
	at, to := d.midway(p, top), d.midway(p, foot)
	long := r3.Sub(at, to)
	usual := top.usual && foot.usual
	a, b := d.squareOf(top), d.squareOf(foot)
	if usual {
		a, b = top.sigma*top.sigma, foot.sigma*foot.sigma
	}
	c := residual{pair: d.top, value: r3.Dot(d.out, long), frame: (a + b) / 2, usual: usual}
	c.turning(d.out, long)
	c.by[angle] = -r3.Dot(d.along, long)
	c.seeMiddle(top, d.out)
	c.seeMiddle(foot, r3.Scale(-1, d.out))
	rows = append(rows, c)

	u := 0.5 // the share of the top
	if a+b > 0 {
		u = b / (a + b)
	}
	from := r3.Sub(r3.Add(r3.Scale(u, at), r3.Scale(1-u, to)), d.front)
	c = residual{pair: d.top + 1, value: r3.Dot(d.out, from) + d.offset*d.cosS, frame: (u*u*a + (1-u)*(1-u)*b) / 2, usual: usual}
	c.turning(d.out, from)
	c.by[steer] = -d.offset * d.sinS
	c.by[offset] = d.cosS
	c.by[angle] = -r3.Dot(d.along, from)
	c.seeMiddle(top, r3.Scale(u, d.out))
	c.seeMiddle(foot, r3.Scale(1-u, d.out))
	c.seeMiddle(front, r3.Scale(-1, d.out))
	return append(rows, c)
}

// squareOf returns the square of how true a pair is.
func (d *datum) squareOf(k *placedPair) float64 {
	if k.usual {
		return d.square * k.sigma * k.sigma
	}
	return k.sigma * k.sigma
}

// level returns the condition that the heights of the axles differ by as much as the
// radii, with the wheel straight. Without radii, the condition is that gravity is square
// to the forward axis.
func (d *datum) level(s *Survey, p *points) residual {
	level := residual{pair: frontAxle}
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
	level.seeMiddle(front, z)
	level.seeMiddle(rear, r3.Scale(-1, z))
	level.extra = 2 * s.RadiusSigma * s.RadiusSigma
	level.level = true
	return level
}

// weigh computes the variance that the readings give a condition.
func (d *datum) weigh(p *points, r *residual) {
	r.read = 0
	for _, o := range r.on[:r.count] {
		r.read += r3.Dot(o.by, apply(d.reading, o.by)) / p.all[o.landmark].n
	}
}

// variance returns the variance of a condition, where the usual trueness has a square.
func (r *residual) variance(square float64) float64 {
	v := r.read + r.extra
	if r.usual {
		v += square * r.frame
	} else {
		v += r.frame
	}
	return max(v, 1e-12) // gravity may be known exactly
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
