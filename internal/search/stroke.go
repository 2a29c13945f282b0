package search

import (
	"math"

	"example.com/fitgeom/contact"
	"example.com/fitgeom/fitgeom"
	"gonum.org/v1/gonum/spatial/r3"
)

// A Stroke describes the path of the foot in the side view: the crank length, and the
// height of the sole above the pedal spindle.
type Stroke struct {
	Length, Height float64
	Footed, Known  bool
}

// StrokeOf returns the stroke of a position, as the mean of the sides that it has.
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
		s = Stroke{foot.X, foot.Z, true, true} // or the pedal's, below
	}
	if known {
		s.Length, s.Known = pedal.X, true
	}
	return s
}

// SaddleMoved returns how far the policy moves the saddle for a build's stroke, and why;
// false if the saddle is so near to the centre of the foot's circle that the move could
// lead through it. Then it ends there.
func SaddleMoved(p fitgeom.CrankPolicy, saddle r3.Vec, target, build Stroke) (fitgeom.SaddleMove, bool) {
	if p == fitgeom.KeepSaddle || !target.Known {
		return fitgeom.SaddleMove{}, true
	}
	if !target.Footed || !build.Footed {
		target.Height, build.Height = 0, 0
	}
	if target.Length == build.Length && target.Height == build.Height {
		return fitgeom.SaddleMove{}, true
	}
	m := fitgeom.SaddleMove{Crank: build.Length - target.Length, Foot: build.Height - target.Height}
	// The centre of the foot's circle is the foot's height above the bottom bracket.
	x, z := saddle.X, saddle.Z-target.Height
	d := math.Hypot(x, z)
	ok := d > math.Abs(m.Crank)
	farther := -1.0
	if ok {
		farther = (target.Length - build.Length) / d
	}
	m.By = r3.Vec{X: float64(x * farther), Z: float64(z*farther) + build.Height - target.Height}
	return m, ok
}
