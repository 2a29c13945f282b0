// Package rigid says where the sites of parts are, each in the part's own axes.
package rigid

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom/part"
	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Site is a left hand's place on a level bar, from the clamp's centre.
type Site struct {
	Left contact.Site
	At   r3.Vec
}

// BarSites appends the sites that a bar offers, at most three.
func BarSites(to []Site, bar *part.Bar, l *part.Lever) []Site {
	switch {
	case bar.Drop != part.DropBar{}:
		b := &bar.Drop
		if b.TopsWidth != 0 {
			to = append(to, Site{contact.TopsLeft, r3.Vec{Y: b.TopsWidth / 2}})
		}
		to = append(to, Site{contact.HoodsLeft, r3.Vec{X: b.Reach + l.Reach, Y: b.Width / 2, Z: l.Rise}})
		y := b.DropsWidth / 2
		if b.Flare != 0 {
			sin, cos := num.Sincos(b.Flare)
			y = b.Width/2 + float64(b.Drop*sin/cos)
		}
		if y != 0 {
			to = append(to, Site{contact.DropsLeft, r3.Vec{X: b.Reach - b.Hook, Y: y, Z: -b.Drop}})
		}
	case bar.Flat != part.FlatBar{}:
		b := &bar.Flat
		sinB, cosB := num.Sincos(b.Backsweep)
		sinU, cosU := num.Sincos(b.Upsweep)
		// The straight part goes along (-sinB cosU, cosB cosU, sinU); its end is at half of the width.
		along := (b.Width-b.Centre)/2/(cosB*cosU) - b.Hand
		to = append(to, Site{contact.GripLeft, r3.Vec{
			X: b.Forward - float64(along*sinB*cosU),
			Y: b.Centre/2 + float64(along*cosB*cosU),
			Z: b.Rise + float64(along*sinU),
		}})
	default:
		b := &bar.Base
		to = append(to, Site{contact.GripLeft, r3.Vec{X: b.Reach, Y: b.Width / 2, Z: b.Rise}})
	}
	return to
}

// ExtensionTip is the left extension's tip on a level aero bar, from the clamp's centre.
func ExtensionTip(a *part.AeroBar, padStack, extension float64) r3.Vec {
	sin, cos := num.Sincos(a.ExtensionAngle)
	return r3.Vec{X: float64(extension * cos), Y: a.ExtensionWidth / 2, Z: padStack - a.ExtensionDrop + float64(extension*sin)}
}

// SaddleSites is the three sites of a level saddle, from the rail clamp's
// centre if that held the rails below the nose.
func SaddleSites(s *part.Saddle) [3]r3.Vec {
	return [3]r3.Vec{
		contact.SaddleReference: {X: -s.Station, Z: s.Stack},
		contact.SaddleNose:      {Z: s.Stack + s.Dip},
		contact.SaddleRear:      {X: -s.Length, Z: s.Stack + s.Dip},
	}
}

// Turned turns v nose-up by an angle.
func Turned(v r3.Vec, sin, cos float64) r3.Vec {
	return r3.Vec{X: float64(v.X*cos) - float64(v.Z*sin), Y: v.Y, Z: float64(v.X*sin) + float64(v.Z*cos)}
}

// Leeway is how much of a tolerance rounding may go beyond it.
const Leeway = 1e-6

// Beyond reports whether a coordinate that is asked for is off by more than its
// tolerance, with allowance for rounding.
func Beyond(off, tolerance float64) bool {
	return tolerance != 0 && math.Abs(off) > tolerance*(1+Leeway)
}
