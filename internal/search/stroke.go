package search

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Stroke is what a foot turns on in the side view: how long the crank is, and
// how high the sole lies above the spindle.
type Stroke struct {
	Length, Height float64
	Footed, Known  bool
}

// StrokeOf reads a position. It takes the mean of the sides that are known.
func StrokeOf(p *contact.Position) Stroke {
	mean := func(left contact.Site) (v r3.Vec, ok bool) {
		l, okL := p.At(left)
		r, okR := p.At(left.On(contact.Right))
		switch {
		case okL && okR:
			return r3.Scale(0.5, r3.Add(l, r)), true
		case okL:
			return l, true
		}
		return r, okR
	}
	var s Stroke
	foot, footed := mean(contact.FootLeft)
	pedal, known := mean(contact.PedalLeft)
	if footed {
		s = Stroke{foot.X, foot.Z, true, true}
	}
	if known {
		s.Length, s.Known = pedal.X, true
	}
	return s
}

// SaddleShift returns how far the policy moves the saddle for a build's stroke.
func SaddleShift(p fitgeom.CrankPolicy, saddle r3.Vec, target, build Stroke) r3.Vec {
	if p == fitgeom.KeepSaddle || !target.Known {
		return r3.Vec{}
	}
	if !target.Footed || !build.Footed {
		target.Height, build.Height = 0, 0
	}
	if target.Length == build.Length && target.Height == build.Height {
		return r3.Vec{}
	}
	// The foot's circle has its centre above the bottom bracket by the foot's height.
	x, z := saddle.X, saddle.Z-target.Height
	d := math.Hypot(x, z)
	farther := (target.Length - build.Length) / d
	return r3.Vec{X: float64(x * farther), Z: float64(z*farther) + build.Height - target.Height}
}
