package survey

import (
	"math"

	"example.com/fitgeom/internal/num"
	"gonum.org/v1/gonum/spatial/r3"
)

// upright computes how the bike stood from the upward direction in its axes, of length 1.
func (f *Fix) upright(g r3.Vec) {
	f.hasStanding = true
	f.standing.NoseUp = math.Asin(max(-1, min(1, g.X))) / num.Rad
	f.standing.Lean = num.Atan2(g.Y, g.Z)
	f.standing.RaiseFront, f.standing.RaiseRear = max(0, -f.datum.base*g.X), max(0, f.datum.base*g.X)
}

// stand computes how the bike stood, with its uncertainty.
func (f *Fix) stand(s *Survey) {
	d := f.datum
	g := d.turn(r3.Unit(s.Up))
	f.upright(g)
	// g turns opposite to the axes: its derivatives are those of e·v.
	sigma := func(c r3.Vec) float64 {
		by := numberVec{turnX: c.X, turnY: c.Y, turnZ: c.Z}
		sum := 0.0
		for j, a := range by {
			for k, b := range by {
				sum += a * b * d.cov[j][k]
			}
		}
		return math.Sqrt(sum/num.Rad/num.Rad + s.UpSigma*s.UpSigma)
	}
	x, y, z := r3.Cross(r3.Vec{X: 1}, g), r3.Cross(r3.Vec{Y: 1}, g), r3.Cross(r3.Vec{Z: 1}, g)
	f.standing.NoseUpSigma = sigma(r3.Scale(1/math.Sqrt(max(1e-12, 1-g.X*g.X)), x))
	square := max(1e-12, g.Y*g.Y+g.Z*g.Z)
	f.standing.LeanSigma = sigma(r3.Scale(1/square, r3.Sub(r3.Scale(g.Z, y), r3.Scale(g.Y, z))))
	if s.FrontRadius == 0 {
		f.standing.NoseUpSigma = s.UpSigma // the ground was taken to be level
	}
}
