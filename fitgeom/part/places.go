package part

import (
	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Place is where a part has a contact site, in the part's own axes, and which way what is
// there lies. Of a pair it is the left one; the right one mirrors it.
type Place struct {
	Site contact.Site
	At   r3.Vec // mm
	// Forward and Left are the directions, of length 1, of what is forward and left where a
	// rider is: along a hood or a grip that reaches forward, and along a grip across.
	Forward, Left r3.Vec
}

// Places returns the sites that a handlebar offers with a lever and its mount, from the
// clamp's centre, in its nominal position: of a drop bar the hoods, and tops and drops where
// they are stated; of the others the grips.
func (b Handlebar) Places(l Lever, m LeverMount) []Place { return b.AppendPlaces(nil, l, m) }

// AppendPlaces is [Handlebar.Places] that appends to a slice of the caller's, at
// most three.
func (b *Handlebar) AppendPlaces(to []Place, l Lever, m LeverMount) []Place {
	switch {
	case b.Drop != DropBar{}:
		return b.Drop.places(to, &l, m)
	case b.Flat != FlatBar{}:
		f := &b.Flat
		s := sweepOf(f.Backsweep, f.Upsweep)
		at := s.along((f.Width-f.Centre)/2, -f.Hand)
		at.X += f.Forward
		at.Y += f.Centre / 2
		at.Z += f.Rise
		return append(to, Place{contact.GripLeft, at, s.forward, s.left})
	default:
		p := Place{contact.GripLeft, r3.Vec{X: b.Base.Reach, Y: b.Base.Width / 2, Z: b.Base.Rise}, ahead, aside}
		if b.Base.Slope != 0 {
			sin, cos := num.Sincos(b.Base.Slope)
			p.Forward = r3.Vec{X: cos, Z: sin}
		}
		return append(to, p)
	}
}

// ahead and aside are the directions of what is level and points straight ahead.
var ahead, aside = r3.Vec{X: 1}, r3.Vec{Y: 1}

// places returns the sites of a drop bar.
func (b *DropBar) places(to []Place, l *Lever, m LeverMount) []Place {
	if b.TopsWidth != 0 {
		to = append(to, Place{})
		p := &to[len(to)-1]
		p.Site, p.At, p.Forward, p.Left = contact.TopsLeft, r3.Vec{Y: b.TopsWidth / 2, Z: b.TopsRise}, ahead, aside
		if b.TopsBacksweep != 0 || b.TopsUpsweep != 0 {
			s := sweepOf(b.TopsBacksweep, b.TopsUpsweep)
			p.At = s.along((b.TopsWidth-b.TopsCentre)/2, 0)
			p.At.Y += b.TopsCentre / 2
			p.At.Z += b.TopsRise
			p.Forward, p.Left = s.forward, s.left
		}
	}
	to = append(to, Place{})
	h := &to[len(to)-1]
	h.Site, h.At, h.Forward, h.Left = contact.HoodsLeft, r3.Vec{X: l.Reach, Y: l.Offset, Z: l.Rise}, ahead, aside
	b.hood(h, l, m)
	sin, cos := 0.0, 1.0
	if b.Flare != 0 {
		sin, cos = num.Sincos(b.Flare)
		for _, v := range [...]*r3.Vec{&h.At, &h.Forward, &h.Left} {
			v.Y, v.Z = float64(v.Y*cos)-float64(v.Z*sin), float64(v.Y*sin)+float64(v.Z*cos)
		}
	}
	h.At.Y += b.Width / 2
	y := b.DropsWidth / 2
	if y == 0 && b.Flare != 0 {
		y = b.Width/2 + float64(b.Drop*sin/cos)
	}
	if y != 0 {
		to = append(to, Place{})
		d := &to[len(to)-1]
		d.Site, d.At, d.Forward, d.Left = contact.DropsLeft, r3.Vec{X: b.Reach - b.Hook, Y: y, Z: -b.Drop}, ahead, r3.Vec{Y: cos, Z: sin}
	}
	return to
}

// hood moves the left hood from where it is on its lever to where that is mounted, in the plane
// of the bend and from the height of the clamp.
func (b *DropBar) hood(p *Place, l *Lever, m LeverMount) {
	if l.Slope != 0 {
		sin, cos := num.Sincos(l.Slope)
		p.Forward = r3.Vec{X: cos, Z: sin}
	}
	if m.In != 0 { // about the tube, which is upright at the bend's foremost point
		sin, cos := num.Sincos(m.In)
		for _, v := range [...]*r3.Vec{&p.At, &p.Forward, &p.Left} {
			v.X, v.Y = float64(v.X*cos)+float64(v.Y*sin), float64(v.Y*cos)-float64(v.X*sin)
		}
	}
	if m.Up != 0 && b.BendRadius != 0 { // about the bend's centre
		sin, cos := num.Sincos(m.Up / b.BendRadius / num.Rad)
		p.At.X += b.BendRadius
		p.At.Z += b.BendBelow
		p.At, p.Forward, p.Left = num.Turned(p.At, sin, cos), num.Turned(p.Forward, sin, cos), num.Turned(p.Left, sin, cos)
		p.At.X -= b.BendRadius
		p.At.Z -= b.BendBelow
	}
	p.At.X += b.Reach
}

// A sweep is the directions of a tube that goes out to the left, swept up and then back.
type sweep struct{ forward, left r3.Vec }

func sweepOf(back, up float64) sweep {
	sinB, cosB := num.Sincos(back)
	sinU, cosU := num.Sincos(up)
	return sweep{r3.Vec{X: cosB, Y: sinB}, r3.Vec{X: 0 - float64(sinB*cosU), Y: float64(cosB * cosU), Z: sinU}}
}

// along returns where the tube is after so much across, and then so much along it.
func (s *sweep) along(across, more float64) r3.Vec {
	n := across/s.left.Y + more
	return r3.Vec{X: float64(n * s.left.X), Y: float64(n * s.left.Y), Z: float64(n * s.left.Z)}
}

// Tip returns the left extension's tip at tilt 0, from the clamp's centre in mm, with the
// pads at a rise and the extension at a length.
func (a AeroBar) Tip(padRise, extension float64) r3.Vec {
	sin, cos := num.Sincos(a.ExtensionAngle)
	return r3.Vec{X: float64(extension * cos), Y: a.ExtensionWidth / 2, Z: padRise - a.ExtensionDrop + float64(extension*sin)}
}

// Places returns the three sites of a horizontal saddle, from the point of the rails
// below the nose.
func (s Saddle) Places() [3]Place {
	return [3]Place{
		{contact.SaddleReference, r3.Vec{X: -s.Reference(), Z: s.Height}, ahead, aside},
		{contact.SaddleNose, r3.Vec{Z: s.Height + s.Dip - s.NoseDroop}, ahead, aside},
		{contact.SaddleRear, r3.Vec{X: -s.Length, Z: s.Height + s.Dip - s.RearDroop}, ahead, aside},
	}
}
