package part

import (
	"example.com/fitgeom/contact"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Place is where a part has a contact site, in the part's own axes. Of a pair
// it is the left one; the right one mirrors it.
type Place struct {
	Site contact.Site
	At   r3.Vec // mm
}

// Places returns the sites that a handlebar offers with a lever, from the clamp's centre,
// in its nominal position: of a drop bar the hoods, and tops and drops where they are
// stated; of the others the grips.
func (b Handlebar) Places(l Lever) []Place { return b.AppendPlaces(nil, l) }

// AppendPlaces is [Handlebar.Places] that appends to a slice of the caller's, at
// most three.
func (b Handlebar) AppendPlaces(to []Place, l Lever) []Place {
	switch {
	case b.Drop != DropBar{}:
		d := &b.Drop
		if d.TopsWidth != 0 {
			to = append(to, Place{contact.TopsLeft, r3.Vec{Y: d.TopsWidth / 2}})
		}
		to = append(to, Place{contact.HoodsLeft, r3.Vec{X: d.Reach + l.Reach, Y: d.Width / 2, Z: l.Rise}})
		y := d.DropsWidth / 2
		if d.Flare != 0 {
			sin, cos := num.Sincos(d.Flare)
			y = d.Width/2 + float64(d.Drop*sin/cos)
		}
		if y != 0 {
			to = append(to, Place{contact.DropsLeft, r3.Vec{X: d.Reach - d.Hook, Y: y, Z: -d.Drop}})
		}
	case b.Flat != FlatBar{}:
		f := &b.Flat
		sinB, cosB := num.Sincos(f.Backsweep)
		sinU, cosU := num.Sincos(f.Upsweep)
		// The straight part goes along (-sinB cosU, cosB cosU, sinU); its end is at half
		// of the width.
		along := (f.Width-f.Centre)/2/(cosB*cosU) - f.Hand
		to = append(to, Place{contact.GripLeft, r3.Vec{
			X: f.Forward - float64(along*sinB*cosU),
			Y: f.Centre/2 + float64(along*cosB*cosU),
			Z: f.Rise + float64(along*sinU),
		}})
	default:
		to = append(to, Place{contact.GripLeft, r3.Vec{X: b.Base.Reach, Y: b.Base.Width / 2, Z: b.Base.Rise}})
	}
	return to
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
		{contact.SaddleReference, r3.Vec{X: -s.Reference(), Z: s.Height}},
		{contact.SaddleNose, r3.Vec{Z: s.Height + s.Dip - s.NoseDroop}},
		{contact.SaddleRear, r3.Vec{X: -s.Length, Z: s.Height + s.Dip - s.RearDroop}},
	}
}
