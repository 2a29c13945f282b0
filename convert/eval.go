package convert

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/fault"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// points is a position laid out for measuring.
type points struct {
	at    [contact.SiteCount]r3.Vec
	known [contact.SiteCount]bool
	tilt  float64
	tilts bool // whether tilt is known
	// turn holds the directions of other sites, and turns tells which are known.
	turn  [contact.SiteCount]contact.Attitude
	turns [contact.SiteCount]bool

	basis         Basis
	side          contact.Side
	sin, cos      float64 // of the seat tube
	height        float64 // of the bottom bracket above the ground
	sinTilt, cosT float64
}

func newPoints(p *contact.Position, b Basis) points {
	var m points
	for s, v := range p.All() {
		m.at[s], m.known[s] = v, true
	}
	a, ok := p.Attitude(contact.SaddleReference)
	m.setTilt(a.Tilt)
	m.tilts = ok
	for _, s := range directed {
		m.turn[s], m.turns[s] = p.Attitude(s)
	}
	m.setBasis(b)
	return m
}

// directed lists the sites whose directions some measure needs.
var directed = func() (all []contact.Site) {
	for i := range measures {
		if s := measures[i].Direction.Site; s != 0 {
			all = append(all, s, s.On(contact.Right))
		}
	}
	return all
}()

func (m *points) setBasis(b Basis) {
	m.basis = b
	m.side, m.height = b.Side, b.BottomBracketHeight
	m.sin, m.cos = num.Sincos(b.SeatAngle)
}

func (m *points) setTilt(deg float64) {
	m.tilt = deg
	m.sinTilt, m.cosT = num.Sincos(deg)
}

// end returns the point of an end; of a pair, the point at the requested side.
func (m *points) end(e end) r3.Vec {
	switch {
	case e.origin:
		return r3.Vec{}
	case e.site.Side() == contact.Centre:
		return m.at[e.site]
	case m.side == contact.Centre:
		return r3.Scale(0.5, r3.Add(m.at[e.site], m.at[e.site.On(contact.Right)]))
	default:
		return m.at[e.site.On(m.side)]
	}
}

// checkTube reports a saddle whose line meets the seat tube at so small an angle that the
// height along the tube says nothing, or does not meet it.
func (m *points) checkTube(f *fault.List, path string) {
	const least = 30 // degrees; of a bike that can be ridden it is more than 45
	if over := math.Abs(m.sin*m.cosT + m.cos*m.sinTilt); !(over >= math.Sin(least*num.Rad)) {
		f.Add(path, "saddle at "+num.Text(math.Asin(over)/num.Rad, "degrees")+" to the seat tube", "at least "+num.Text(least, "degrees"), contact.ErrConflict)
	}
}

// A sink takes the derivatives of a measure by coordinates.
type sink func(s contact.Site, a contact.Axis, by float64)

// by passes the derivatives at an end to the sink.
func (m *points) by(to sink, e end, v r3.Vec) {
	if e.origin {
		return
	}
	give := func(s contact.Site, share float64) {
		if v.X != 0 {
			to(s, contact.AxisX, share*v.X)
		}
		if v.Y != 0 {
			to(s, contact.AxisY, share*v.Y)
		}
		if v.Z != 0 {
			to(s, contact.AxisZ, share*v.Z)
		}
	}
	switch {
	case e.site.Side() == contact.Centre:
		give(e.site, 1)
	case m.side == contact.Centre:
		give(e.site, 0.5)
		give(e.site.On(contact.Right), 0.5)
	default:
		give(e.site.On(m.side), 1)
	}
}

// value returns the measure's number, and passes its derivatives to the sink unless that
// is nil.
func (e *entry) value(m *points, to sink) float64 {
	switch e.kind {
	case direct, sideView:
		d := r3.Sub(m.end(e.b), m.end(e.a))
		if e.kind == sideView {
			d.Y = 0
		}
		length := math.Sqrt(d.X*d.X + d.Y*d.Y + d.Z*d.Z)
		if to != nil && length > 0 {
			m.between(to, e, r3.Scale(1/length, d))
		}
		return length
	case horizontal:
		if to != nil {
			m.between(to, e, r3.Vec{X: e.sign})
		}
		return 0 + e.sign*(m.end(e.b).X-m.end(e.a).X)
	case vertical:
		if to != nil {
			m.between(to, e, r3.Vec{Z: e.sign})
		}
		return 0 + e.sign*(m.end(e.b).Z-m.end(e.a).Z)
	case lateral:
		if to != nil {
			to(e.a.site, contact.AxisY, 1)
			to(e.a.site.On(contact.Right), contact.AxisY, -1)
		}
		width := m.at[e.a.site].Y - m.at[e.a.site.On(contact.Right)].Y
		if e.wide != 0 {
			width += e.wide * e.size(&m.basis)
		}
		return width
	case fromGround:
		if to != nil {
			m.by(to, e.b, r3.Vec{Z: 1})
		}
		return m.end(e.b).Z + m.height
	case fromHighest:
		top := max(m.at[contact.SaddleReference].Z, m.at[contact.SaddleNose].Z, m.at[contact.SaddleRear].Z)
		if to != nil {
			for _, highest := range [...]contact.Site{contact.SaddleReference, contact.SaddleNose, contact.SaddleRear} {
				if m.at[highest].Z >= top-1e-6 { // of equally high points the first, whatever the rounding
					m.by(to, at(highest), r3.Vec{Z: 1})
					break
				}
			}
			m.by(to, e.b, r3.Vec{Z: -1})
		}
		return top - m.end(e.b).Z
	case tilt:
		if to != nil {
			to(contact.SaddleReference, contact.AxisTilt, 1)
		}
		return m.tilt
	case pedalFar:
		r := m.at[contact.SaddleReference]
		length := math.Hypot(r.X, r.Z)
		if to != nil && length > 0 {
			m.by(to, at(contact.SaddleReference), r3.Vec{X: r.X / length, Z: r.Z / length})
			m.by(to, at(contact.PedalLeft), r3.Vec{X: 1})
		}
		return length + m.end(at(contact.PedalLeft)).X
	default:
		return e.special(m, to)
	}
}

// special is value of the kinds that few measures have.
func (e *entry) special(m *points, to sink) float64 {
	switch e.kind {
	case soleFar: // the sole circles a point above the bottom bracket
		crank := at(contact.PedalLeft)
		d := r3.Sub(m.end(e.a), r3.Vec{Z: m.end(e.b).Z})
		length := math.Hypot(d.X, d.Z)
		if to != nil && length > 0 {
			m.by(to, e.a, r3.Vec{X: d.X / length, Z: d.Z / length})
			m.by(to, e.b, r3.Vec{Z: -d.Z / length})
			m.by(to, crank, r3.Vec{X: 1})
		}
		return length + m.end(crank).X
	case slope:
		d := r3.Sub(m.end(e.b), m.end(e.a))
		if square := (d.X*d.X + d.Z*d.Z) * num.Rad; to != nil && square > 0 {
			m.between(to, e, r3.Vec{X: -e.sign * d.Z / square, Z: e.sign * d.X / square})
		}
		return math.Atan2(d.Z, 0+e.sign*d.X) / num.Rad
	case quotient:
		d := r3.Sub(m.end(e.b), m.end(e.a))
		if to != nil && d.X != 0 {
			m.between(to, e, r3.Vec{X: -d.Z / (d.X * d.X), Z: 1 / d.X})
		}
		return d.Z / d.X
	case turned:
		return e.direction(m, to)
	case rails:
		return m.tube(e.size(&m.basis), 1, to)
	case standing:
		return m.height + m.tube(0, m.sin, to)*m.sin
	default: // seatTube
		return m.tube(0, 1, to)
	}
}

// direction returns an angle of a pair's directions: left and right mirror each other's
// yaw.
func (e *entry) direction(m *points, to sink) float64 {
	of := func(side contact.Side, share float64) float64 {
		s, sign := e.Direction.Site.On(side), e.sign
		v := m.turn[s].Tilt
		if e.Direction.Axis == contact.AxisYaw {
			if v = m.turn[s].Yaw; side == contact.Left {
				sign = -sign
			}
		}
		if to != nil {
			to(s, e.Direction.Axis, sign*share)
		}
		return 0 + sign*share*v
	}
	if m.side != contact.Centre {
		return of(m.side, 1)
	}
	return of(contact.Left, 0.5) + of(contact.Right, 0.5)
}

// tube returns how far up the seat tube's line, (-cos, sin)·h, meets the line along the
// saddle at its tilt, below the reference by a distance square to it: that is where a tape
// laid along the tube ends, wherever on the saddle it is. Slopes are given times a factor.
func (m *points) tube(below, times float64, to sink) float64 {
	r := m.at[contact.SaddleReference]
	over := m.sin*m.cosT + m.cos*m.sinTilt
	h := (r.Z*m.cosT - r.X*m.sinTilt - below) / over
	if to != nil {
		m.by(to, at(contact.SaddleReference), r3.Vec{X: -m.sinTilt / over * times, Z: m.cosT / over * times})
		byTilt := (-r.Z*m.sinTilt - r.X*m.cosT - h*(m.cos*m.cosT-m.sin*m.sinTilt)) / over
		to(contact.SaddleReference, contact.AxisTilt, byTilt*num.Rad*times)
	}
	return h
}

// between passes the derivatives along a vector from one end to the other to the sink.
func (m *points) between(to sink, e *entry, v r3.Vec) {
	m.by(to, e.b, v)
	m.by(to, e.a, r3.Scale(-1, v))
}
