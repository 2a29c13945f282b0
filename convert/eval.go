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
	m.setBasis(b)
	return m
}

func (m *points) setBasis(b Basis) {
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
		return m.at[e.a.site].Y - m.at[e.a.site.On(contact.Right)].Y
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
	default: // seatTube
		// (-cos, sin)·h lies on the line through the reference at the saddle's
		// tilt: that is where a tape laid along the tube ends, wherever on the
		// saddle it is.
		r := m.at[contact.SaddleReference]
		over := m.sin*m.cosT + m.cos*m.sinTilt
		h := (r.Z*m.cosT - r.X*m.sinTilt) / over
		if to != nil {
			m.by(to, at(contact.SaddleReference), r3.Vec{X: -m.sinTilt / over, Z: m.cosT / over})
			byTilt := (-r.Z*m.sinTilt - r.X*m.cosT - h*(m.cos*m.cosT-m.sin*m.sinTilt)) / over
			to(contact.SaddleReference, contact.AxisTilt, byTilt*num.Rad)
		}
		return h
	}
}

// between passes the derivatives along a vector from one end to the other to the sink.
func (m *points) between(to sink, e *entry, v r3.Vec) {
	m.by(to, e.b, v)
	m.by(to, e.a, r3.Scale(-1, v))
}
